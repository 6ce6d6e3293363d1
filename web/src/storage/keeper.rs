//! Keeps the package on the screen: which record it is, what has been written, what went wrong.

use std::ops::Deref;
use std::sync::Arc;

use codec::Foreign;
use leptos::prelude::*;
use solver::Package;
use wasm_bindgen::prelude::*;

use super::database::Database;
use super::mirror;
use super::queue::{Draft, Queue};
use super::record::{Card, Record, distinct};
use crate::browser::{fresh_id, now_ms};
use crate::later;
use crate::state::document::Document;
use crate::state::history::History;

/// What the person is told about the package on the screen.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Kept {
    /// Storage is being opened.
    Starting,
    /// The demo, unchanged: there is nothing to keep.
    Demo,
    /// Opened from a link or a file and not kept.
    Preview,
    /// Written by a newer version: it can be looked at, and stays as it is.
    ReadOnly,
    /// Being written.
    Saving,
    /// On this device, since the time given (ms since 1970).
    Saved(f64),
    /// Not written, and why.
    Failed(String),
}

/// Which record the package on the screen is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Holding {
    /// None: the demo until it is changed.
    Demo,
    /// None: a link, a file, an earlier state, or what a newer version has written.
    Preview,
    /// The record with this id.
    Record { id: String, archived_at: Option<f64> },
}

/// Two records that have grown from one: both are kept, and the person may choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Choice {
    /// The record with what was changed in this window.
    pub(crate) mine: String,
    /// The record with what was changed in the other one.
    pub(crate) other: String,
}

/// Keeps the package on the screen: one pointer, as [`crate::app::App`] is.
#[derive(Clone, Copy)]
pub(crate) struct Keeper(&'static Keeping);

impl Deref for Keeper {
    type Target = Keeping;

    fn deref(&self) -> &Keeping {
        self.0
    }
}

/// What a keeper works with.
pub(crate) struct Keeping {
    pub(super) document: Document,
    /// What the person is told.
    pub(crate) kept: RwSignal<Kept>,
    /// What is on this device, newest first.
    pub(crate) cards: RwSignal<Vec<Card>>,
    /// Something that happened to the data and that the person must know.
    pub(crate) notice: RwSignal<Option<String>>,
    /// Two windows have changed the same package, and the person may choose.
    pub(crate) choice: RwSignal<Option<Choice>>,
    holding: StoredValue<Holding>,
    /// Id of the record on the screen, to be followed.
    pub(crate) on_screen: RwSignal<Option<String>>,
    /// What else the package was opened with: sections that this version does not know.
    foreign: StoredValue<Arc<Vec<Foreign>>>,
    /// The link that the package on the screen came from.
    linked: StoredValue<Option<String>>,
    /// The state before the first edit, by the id of its record, until it has been kept as a snapshot.
    pub(super) opened: StoredValue<Vec<(String, Arc<codec::Document>)>>,
    database: StoredValue<Option<Database>, LocalStorage>,
    pub(super) queue: Queue,
}

impl Keeper {
    /// A keeper of `document`, before anything has been read.
    pub(crate) fn new(document: Document) -> Self {
        Self(Box::leak(Box::new(Keeping {
            document,
            kept: RwSignal::new(Kept::Starting),
            cards: RwSignal::new(Vec::new()),
            notice: RwSignal::new(None),
            choice: RwSignal::new(None),
            holding: StoredValue::new(Holding::Demo),
            on_screen: RwSignal::new(None),
            foreign: StoredValue::new(Arc::default()),
            linked: StoredValue::new(None),
            opened: StoredValue::new(Vec::new()),
            database: StoredValue::new_local(None),
            queue: Queue::new(),
        })))
    }

    /// Opens the database and what was on the screen last; the demo when nothing is kept. From then on every commit is
    /// written.
    pub(crate) async fn start(self, last: Option<String>) {
        if let Err(reason) = self.database().await {
            self.notice.set(Some(format!(
                "Nothing can be kept on this device now ({reason}). Everything works, but take what you enter with you as a link or a file."
            )));
        }
        self.list().await;
        for record in mirror::read() {
            if self.recover(record.clone()).await {
                mirror::clear_one(&record);
            }
        }
        let open = self.cards.with_untracked(|cards| {
            let last = last.filter(|id| cards.iter().any(|card| card.id == *id));
            last.or_else(|| cards.iter().find(|card| card.archived_at.is_none()).map(|card| card.id.clone()))
        });
        if let Some(id) = open {
            self.open(&id).await;
        }
        if self.kept.get_untracked() == Kept::Starting {
            self.kept.set(Kept::Demo);
        }
        self.queue.listen(self);
        self.document.on_commit(Callback::new(move |()| self.committed()));
        self.queue.run(self);
    }

    /// The open database; opened again if the connection was lost.
    pub(super) async fn database(self) -> Result<Database, String> {
        if let Some(database) = self.database.get_value() {
            return Ok(database);
        }
        let database = Database::open().await?;
        self.database.set_value(Some(database.clone()));
        Ok(database)
    }

    /// Gives up the connection: the next one who needs it opens another.
    pub(super) fn forget_database(self) {
        self.database.set_value(None);
    }

    /// Whether a newer version has laid out what is kept here.
    pub(super) fn is_newer(self) -> bool {
        self.database.with_value(|database| database.as_ref().is_some_and(Database::is_newer))
    }

    /// Id of the record on the screen.
    pub(crate) fn id(self) -> Option<String> {
        self.holding.with_value(|holding| match holding {
            Holding::Record { id, .. } => Some(id.clone()),
            Holding::Demo | Holding::Preview => None,
        })
    }

    pub(super) fn now_holding(self, holding: Holding) {
        self.holding.set_value(holding);
        let id = self.id();
        if self.on_screen.with_untracked(|before| *before != id) {
            self.on_screen.set(id);
        }
    }

    /// Puts the record with this id on the screen; whether it could be read.
    pub(crate) async fn open(self, id: &str) -> bool {
        if self.open_unwritten(id) {
            return true;
        }
        let read = self.read(id).await;
        // What has been entered while it was being read goes on from what was there before.
        if self.open_unwritten(id) {
            return true;
        }
        match read {
            Ok(Some(object)) => self.open_object(&object),
            Ok(None) => {
                self.notice.set(Some("That package is not on this device any more.".to_owned()));
                false
            }
            Err(reason) => {
                self.told(Err(reason));
                false
            }
        }
    }

    /// Puts the record with this id on the screen as it waits to be written; whether it does.
    fn open_unwritten(self, id: &str) -> bool {
        self.document.settle(None);
        let Some(record) = self.queue.unwritten_of(id) else { return false };
        let kept = self.kept.get_untracked();
        self.hold(record, if matches!(kept, Kept::Failed(_)) { kept } else { Kept::Saving });
        true
    }

    /// Puts what the database holds on the screen. What a newer version has written is only shown.
    fn open_object(self, object: &JsValue) -> bool {
        let newer = Card::of(object).is_some_and(|card| card.newer);
        match (Record::from_object(object), newer || self.is_newer()) {
            (Ok(record), true) => self.show(record.document, Holding::Preview, Kept::ReadOnly),
            (Ok(record), false) => {
                self.queue.known(&record.id, record.rev);
                let kept = Kept::Saved(record.updated_at);
                self.hold(record, kept);
            }
            (Err(_), true) => {
                self.notice.set(Some(
                    "A newer version of Counterpoise wrote this package, and this one cannot show it. It stays as it is: update the app to open it."
                        .to_owned(),
                ));
                return false;
            }
            (Err(reason), false) => {
                self.notice.set(Some(format!(
                    "This package cannot be read ({reason}) It stays as it is. Its earlier states are under Packages; all that is kept can be taken out on the rescue page."
                )));
                return false;
            }
        }
        true
    }

    /// Puts a package from a link or a file on the screen, without keeping it.
    pub(crate) fn preview(self, opened: codec::Document) {
        self.show(opened, Holding::Preview, Kept::Preview);
    }

    /// Puts the package of a link on the screen, without keeping it. Whoever comes back to the address, by the key that
    /// goes back, finds it as it is by now.
    pub(crate) fn follow_link(self, link: String) -> Result<(), String> {
        if self.linked.with_value(|linked| linked.as_ref() == Some(&link)) {
            return Ok(());
        }
        let opened = codec::link::decode(&link).map_err(|fault| fault.to_string())?;
        self.preview(opened);
        self.linked.set_value(Some(link));
        Ok(())
    }

    /// Keeps what is on the screen as a record if it was only looked at and has then been changed: it is about to go.
    pub(crate) fn keep_changed(self) {
        // Nothing has been changed before the module is there that keeps it.
        if later::is_there() {
            self.keep_changed_now();
        }
    }

    #[inline(never)]
    fn keep_changed_now(self) {
        self.document.settle(None);
        if self.document.ways_now()[0] && self.kept.with_untracked(|kept| *kept == Kept::Preview) {
            self.keep_this();
            let name = self.document.now(|package| package.name.clone());
            self.notice.set(Some(format!("What you have changed in \u{201c}{name}\u{201d} is kept, under Packages.")));
        }
    }

    /// Puts the demo on the screen, without keeping it until it is changed.
    pub(crate) fn show_demo(self, mut package: Package) {
        package.name = self.free_name(&package.name);
        self.show(package.into(), Holding::Demo, Kept::Demo);
    }

    /// Keeps a document as a new record and puts it on the screen.
    pub(crate) fn keep_new(self, mut document: codec::Document) {
        document.package.name = self.free_name(&document.package.name);
        self.show(document, Holding::Demo, Kept::Saving);
        self.keep_this();
    }

    /// Keeps what is on the screen as a new record: the end of a preview.
    pub(crate) fn keep_this(self) {
        self.now_holding(Holding::Record { id: fresh_id(), archived_at: None });
        let (name, free) = self.document.now(|package| (package.name.clone(), self.free_name(&package.name)));
        if free == name {
            self.committed();
        } else {
            self.document.edit(|package| package.name = free);
        }
    }

    /// This name, or with a number after it where a package on this device has it: no two of a list are alike.
    pub(super) fn free_name(self, name: &str) -> String {
        self.cards.with_untracked(|cards| distinct(name, |name| cards.iter().any(|card| card.name == name)))
    }

    /// What is on the screen, with whatever it was opened with, for a link or a file.
    pub(crate) fn whole(self) -> codec::Document {
        codec::Document { package: (*self.document.settled()).clone(), foreign: (*self.foreign.get_value()).clone() }
    }

    /// Commits what is under way and mirrors what the database has not confirmed: the page may be gone in a moment.
    pub(crate) fn hide(self) {
        self.document.settle(None);
        if later::is_there() {
            self.mirror();
        }
    }

    #[inline(never)]
    fn mirror(self) {
        let unwritten = self.queue.unwritten();
        if !unwritten.is_empty() {
            self.queue.mirror(&unwritten);
        }
    }

    fn show(self, opened: codec::Document, holding: Holding, kept: Kept) {
        self.keep_changed();
        self.linked.set_value(None);
        self.foreign.set_value(Arc::new(opened.foreign));
        self.now_holding(holding);
        self.document.open(Arc::new(opened.package), History::default());
        self.kept.set(kept);
    }

    pub(super) fn hold(self, record: Record, kept: Kept) {
        // An edit under way belongs to what was on the screen until now.
        self.keep_changed();
        if self.id().as_ref() != Some(&record.id) {
            self.linked.set_value(None);
        }
        self.opens(&record);
        let package = Arc::new(record.document.package);
        self.foreign.set_value(Arc::new(record.document.foreign));
        self.now_holding(Holding::Record { id: record.id, archived_at: record.archived_at });
        self.document.open(package, History::read(record.undo, record.redo));
        self.kept.set(kept);
    }

    /// Remembers a record as it is opened. Of those before it, only what waits to be written still needs that.
    fn opens(self, record: &Record) {
        let (id, document) = (record.id.clone(), Arc::new(record.document.clone()));
        self.opened.update_value(|opened| {
            opened.retain(|(known, _)| *known != id && self.queue.is_unwritten(known));
            opened.push((id, document));
        });
    }

    /// Something has been committed: write it. A preview is not written; the demo becomes a record of its own.
    #[inline(never)]
    pub(super) fn committed(self) {
        if self.holding.with_value(|holding| *holding == Holding::Demo) {
            self.now_holding(Holding::Record { id: fresh_id(), archived_at: None });
        }
        let holding = self.holding.get_value();
        let Holding::Record { id, archived_at } = holding else { return };
        self.kept.set(Kept::Saving);
        self.queue.push(self.draft(id, archived_at));
        self.queue.run(self);
    }

    /// What is on the screen, to be written as a record.
    fn draft(self, id: String, archived_at: Option<f64>) -> Draft {
        let (undo, redo) = self.document.written_history();
        Draft {
            id,
            archived_at,
            package: self.document.settled(),
            foreign: self.foreign.get_value(),
            undo,
            redo,
            at_ms: now_ms(),
        }
    }

    /// Goes through what a commit does up to the database, and writes nothing.
    pub(crate) fn rehearse(self) {
        // A package that cannot be written is told of when it is.
        let _ = self.queue.record(&self.draft(String::new(), None)).to_object();
    }

    /// Something is not on the device, and the person must know.
    pub(super) fn fail(self, reason: String) {
        self.kept.set(Kept::Failed(reason));
    }
}
