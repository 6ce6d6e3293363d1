//! What every screen gets: the package, its keeper, the person's preferences, the open screen.

use std::ops::Deref;
use std::sync::Arc;

use leptos::prelude::*;
use solver::Package;

use crate::route::Screen;
use crate::screens::{Fits, Stiff};
use crate::show::Style;
use crate::state::document::Document;
use crate::state::prefs::Prefs;
use crate::storage::keeper::Keeper;

/// What every screen gets: one pointer, which every closure copies. There is one app for as long as the page lives.
#[derive(Clone, Copy)]
pub(crate) struct App(&'static Shared);

impl Deref for App {
    type Target = Shared;

    fn deref(&self) -> &Shared {
        self.0
    }
}

/// What all screens share.
pub(crate) struct Shared {
    /// The package on the screen and its answers.
    pub(crate) document: Document,
    /// Where it is kept.
    pub(crate) keeper: Keeper,
    /// How the person likes it.
    pub(crate) prefs: RwSignal<Prefs>,
    /// The open screen.
    pub(crate) screen: RwSignal<Screen>,
    /// Whether the page has been painted for the first time.
    pub(crate) painted: RwSignal<bool>,
    /// Whether the screens behind the first are there.
    pub(crate) later: RwSignal<bool>,
    /// Whether a new version of the app waits.
    pub(crate) update: RwSignal<bool>,
    /// What does not fit, once the last module has looked.
    pub(crate) fits: RwSignal<Fits>,
    /// How stiff it is, once the last module has looked.
    pub(crate) stiff: RwSignal<Stiff>,
}

impl App {
    /// An app that shows `package`.
    pub(crate) fn new(package: Package) -> Self {
        let document = Document::new(Arc::new(package));
        Self(Box::leak(Box::new(Shared {
            document,
            keeper: Keeper::new(document),
            prefs: RwSignal::new(Prefs::load()),
            screen: RwSignal::new(Screen::Answers),
            painted: RwSignal::new(false),
            later: RwSignal::new(false),
            update: RwSignal::new(false),
            fits: RwSignal::new(Fits::default()),
            stiff: RwSignal::new(Stiff::default()),
        })))
    }

    /// How the person writes numbers, followed.
    pub(crate) fn style(self) -> Style {
        self.prefs.with(|prefs| Style::from(prefs))
    }

    /// The same, not followed.
    pub(crate) fn style_now(self) -> Style {
        self.prefs.with_untracked(|prefs| Style::from(prefs))
    }

    /// Changes a preference and keeps it beside what another window has kept: this one goes on with its own.
    pub(crate) fn prefer(self, change: impl Fn(&mut Prefs)) {
        self.prefer_by(&change);
    }

    #[inline(never)]
    fn prefer_by(self, change: &dyn Fn(&mut Prefs)) {
        self.prefs.update(change);
        let mut kept = self.prefs.get_untracked().kept();
        change(&mut kept);
        kept.save();
    }
}
