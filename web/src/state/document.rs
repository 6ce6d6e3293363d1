//! The package on the screen, how it is edited, and the answers that follow from it.

use std::ops::Deref;
use std::sync::Arc;

use leptos::prelude::*;
use solver::report::Report;
use solver::{InputError, Package};

use super::history::History;
use crate::later;

/// What the solver says about the package: answers, or every fault of its input.
pub(crate) type Outcome = Result<Report, Vec<InputError>>;

/// An outcome that is compared by identity: two calls of the solver are two outcomes, and what is shown of them is
/// compared where it is shown.
#[derive(Clone)]
struct Solved(Arc<Outcome>);

impl PartialEq for Solved {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// The package on the screen: one pointer, as [`crate::app::App`] is.
#[derive(Clone, Copy)]
pub(crate) struct Document(&'static State);

impl Deref for Document {
    type Target = State;

    fn deref(&self) -> &State {
        self.0
    }
}

/// What a document is made of.
pub(crate) struct State {
    /// What the screen shows, a drag under way included.
    live: RwSignal<Arc<Package>>,
    /// What was last committed.
    settled: StoredValue<Arc<Package>>,
    history: RwSignal<History>,
    /// Called with every commit, at once: what storage follows.
    on_commit: StoredValue<Option<Callback<()>>>,
    /// The one call of the solver.
    outcome: Memo<Solved>,
}

impl Document {
    /// A document that holds `package`.
    pub(crate) fn new(package: Arc<Package>) -> Self {
        let live = RwSignal::new(package.clone());
        Self(Box::leak(Box::new(State {
            live,
            settled: StoredValue::new(package),
            history: RwSignal::new(History::default()),
            on_commit: StoredValue::new(None),
            outcome: Memo::new(move |_| Solved(Arc::new(live.with(|package| outcome(package))))),
        })))
    }

    /// Puts another package on the screen, with its own history. Nothing is written.
    pub(crate) fn open(self, package: Arc<Package>, history: History) {
        self.settled.set_value(package.clone());
        self.history.set(history);
        self.live.set(package);
    }

    /// The package, followed.
    pub(crate) fn package(self) -> Arc<Package> {
        self.live.get()
    }

    /// Reads the package and follows it.
    pub(crate) fn with<T>(self, read: impl FnOnce(&Package) -> T) -> T {
        self.live.with(|package| read(package))
    }

    /// Reads the package without following it.
    pub(crate) fn now<T>(self, read: impl FnOnce(&Package) -> T) -> T {
        self.live.with_untracked(|package| read(package))
    }

    /// What the screen shows, not followed.
    pub(crate) fn shown(self) -> Arc<Package> {
        self.live.get_untracked()
    }

    /// The last committed package, not followed.
    pub(crate) fn settled(self) -> Arc<Package> {
        self.settled.get_value()
    }

    /// The answers, followed.
    pub(crate) fn outcome(self) -> Arc<Outcome> {
        self.outcome.get().0
    }

    /// Reads the report and follows it; `None` while the package has faults.
    pub(crate) fn report<T>(self, read: impl FnOnce(&Report) -> T) -> Option<T> {
        self.outcome.with(|outcome| outcome.0.as_ref().as_ref().ok().map(read))
    }

    /// Calls `hook` with every commit from now on.
    pub(crate) fn on_commit(self, hook: Callback<()>) {
        self.on_commit.set_value(Some(hook));
    }

    /// Changes what the screen shows without committing it: while a finger still drags or a number is being typed.
    pub(crate) fn sketch(self, change: impl FnOnce(&mut Package)) {
        self.sketch_on(&self.shown(), change);
    }

    /// The same on an earlier state of the package: what has been sketched since is given up.
    pub(crate) fn sketch_on(self, before: &Package, change: impl FnOnce(&mut Package)) {
        let mut change = Some(change);
        self.sketch_by(before, &mut |package| {
            if let Some(change) = change.take() {
                change(package);
            }
        });
    }

    #[inline(never)]
    fn sketch_by(self, before: &Package, change: &mut dyn FnMut(&mut Package)) {
        let mut package = before.clone();
        change(&mut package);
        let package = package.quantised();
        if self.live.with_untracked(|before| **before != package) {
            self.live.set(Arc::new(package));
        }
    }

    /// Commits what has been sketched. Edits of the same `field` in a row are one step of undo.
    pub(crate) fn settle(self, field: Option<&str>) {
        // Nothing has been edited before the module is there that edits.
        if later::is_there() {
            self.settle_now(field);
        }
    }

    #[inline(never)]
    fn settle_now(self, field: Option<&str>) {
        let (before, after) = (self.settled.get_value(), self.live.get_untracked());
        if before == after {
            return;
        }
        self.history.update(|history| history.edited(before, &after, field));
        // The screen shows it already.
        self.committed(after);
    }

    /// Changes the package and commits it. The first screen asks [`crate::later`] before.
    pub(crate) fn edit(self, change: impl FnOnce(&mut Package)) {
        self.sketch(change);
        self.settle(None);
    }

    /// A field has been left: the next edit of it is a step of its own.
    pub(crate) fn leave_field(self) {
        self.history.update_untracked(History::left_field);
    }

    /// One step back.
    pub(crate) fn undo(self) {
        later::then(move || {
            self.settle(None);
            self.back();
        });
    }

    /// One step forward.
    pub(crate) fn redo(self) {
        later::then(move || self.forward());
    }

    /// Whether there is a step back and a step forward, followed.
    pub(crate) fn ways(self) -> [bool; 2] {
        self.history.with(History::ways)
    }

    /// The same, not followed.
    pub(crate) fn ways_now(self) -> [bool; 2] {
        self.history.with_untracked(History::ways)
    }

    /// The history as links, for storage.
    pub(crate) fn written_history(self) -> (Vec<String>, Vec<String>) {
        self.history.try_update_untracked(History::written).unwrap_or_default()
    }

    #[inline(never)]
    fn back(self) {
        self.go(History::undo);
    }

    #[inline(never)]
    fn forward(self) {
        self.go(History::redo);
    }

    fn go(self, way: fn(&mut History, Arc<Package>) -> Option<Arc<Package>>) {
        let now = self.live.get_untracked();
        if let Some(package) = self.history.try_update(|history| way(history, now)).flatten() {
            self.take(package);
        }
    }

    fn take(self, package: Arc<Package>) {
        self.live.set(package.clone());
        self.committed(package);
    }

    fn committed(self, package: Arc<Package>) {
        self.settled.set_value(package);
        if let Some(hook) = self.on_commit.get_value() {
            hook.run(());
        }
    }
}

/// Before the reader is there, nothing but the demo can be on the screen, whose numbers are sound: looking for faults
/// stands in that module.
fn outcome(package: &Package) -> Outcome {
    if later::reader_is_there() { solver::check(package) } else { Ok(solver::check_sound(package)) }
}
