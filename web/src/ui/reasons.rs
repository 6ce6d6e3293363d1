//! A row that opens into the reasons behind its answer, which are built only when somebody looks.

use leptos::prelude::*;

use crate::app::App;
use crate::dom::{El, div, el};
use crate::screens::{self, Inside};

/// A row that opens: its summary, then its inside, from the first time that it is opened.
pub(crate) fn row(app: App, class: &str, test: &str, summary: El, inside: Inside) -> El {
    let opened = RwSignal::new(false);
    let built = div("row__inside").live(move || {
        if opened.get() && app.later.get() { untrack(|| screens::inside::view(app, &inside)) } else { Vec::new() }
    });
    el("details")
        .class(class)
        .test(test)
        .on("toggle", move |_| {
            if !opened.get_untracked() {
                opened.set(true);
            }
        })
        .child(summary.class("row__summary"))
        .child(built)
}

/// The line of a row that is always in view.
pub(crate) fn summary() -> El {
    el("summary")
}
