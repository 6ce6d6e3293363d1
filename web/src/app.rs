//! What every screen gets: the package, its keeper, the person's preferences, the open screen.

use std::sync::Arc;

use leptos::prelude::*;
use solver::Package;

use crate::route::Screen;
use crate::show::Style;
use crate::state::document::Document;
use crate::state::prefs::Prefs;
use crate::storage::keeper::Keeper;

/// What every screen gets.
#[derive(Clone, Copy)]
pub(crate) struct App {
    /// The package on the screen and its answers.
    pub(crate) document: Document,
    /// Where it is kept.
    pub(crate) keeper: Keeper,
    /// How the person likes it.
    pub(crate) prefs: RwSignal<Prefs>,
    /// The open screen.
    pub(crate) screen: RwSignal<Screen>,
    /// Whether the screens behind the first are there.
    pub(crate) later: RwSignal<bool>,
    /// Whether a new version of the app waits.
    pub(crate) update: RwSignal<bool>,
    /// Why a link or a file could not be opened.
    pub(crate) refused: RwSignal<Option<String>>,
}

impl App {
    /// An app that shows `package`.
    pub(crate) fn new(package: Package) -> Self {
        let document = Document::new(Arc::new(package));
        Self {
            document,
            keeper: Keeper::new(document),
            prefs: RwSignal::new(Prefs::load()),
            screen: RwSignal::new(Screen::Answers),
            later: RwSignal::new(false),
            update: RwSignal::new(false),
            refused: RwSignal::new(None),
        }
    }

    /// How the person writes numbers, followed.
    pub(crate) fn style(self) -> Style {
        self.prefs.with(|prefs| Style::from(prefs))
    }

    /// The same, not followed.
    pub(crate) fn style_now(self) -> Style {
        self.prefs.with_untracked(|prefs| Style::from(prefs))
    }

    /// Opens a screen.
    pub(crate) fn go(self, screen: Screen) {
        if let Some(window) = web_sys::window() {
            // The address changes and the page follows it; an engine that refuses leaves the screen as it is.
            let _ = window.location().set_hash(&screen.hash());
        }
    }

    /// Changes a preference and keeps it.
    pub(crate) fn prefer(self, change: impl FnOnce(&mut Prefs)) {
        self.prefs.update(change);
        self.prefs.with_untracked(Prefs::save);
    }
}
