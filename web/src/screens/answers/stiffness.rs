//! Whether the package is stiff enough, and the one change that helps. The last module works it out
//! ([`crate::screens::stiffness`]); until it is there the row says so and keeps its place.

use leptos::prelude::*;
use solver::explain::AnswerId;

use super::{Inside, sheet};
use crate::app::App;
use crate::dom::{El, el, span};
use crate::route::Screen;
use crate::ui::help::help;
use crate::ui::reasons::{row, summary};

/// What the last module says of stiffness.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Stiff {
    /// Whether it has looked.
    pub(crate) known: bool,
    /// First mode in Hz, as it is read, and what it means; absent without a body on the head.
    pub(crate) row: Option<(f64, String, String)>,
}

/// First mode, what the rule says of it, and what would help.
pub(super) fn view(app: App) -> El {
    let stiff = app.stiff;
    let first_hz = move || stiff.with(|stiff| stiff.row.as_ref().map(|(hz, ..)| *hz));
    let value = move || stiff.with(|stiff| stiff.row.as_ref().map(|(_, value, _)| value.clone()));
    let words = move || {
        stiff.with(|stiff| match &stiff.row {
            Some((_, _, words)) => words.clone(),
            None if stiff.known => "Put a body on the head to see how stiff the package is.".to_owned(),
            None => "Being worked out.".to_owned(),
        })
    };
    let head = summary()
        .child(span("answer__value").live_words(move || value().unwrap_or_default()))
        .child(span("answer__words").live_words(words));
    let way = el("a").class("finding__way").attr("href", &Screen::Stiffness.hash()).test("to-stiffness");
    sheet("stiffness-title", "Stiffness")
        .child(help(
            "stiffness",
            "How fast the package swings from plate to lens front when it is knocked. The motors hold only what swings well above their loops' crossover.",
        ))
        .child(row(app, "answer-row answer-row--late", "stiffness", head, Inside::Answer(AnswerId::Stiffness)).live_value(first_hz))
        .child(way.words("What bends, and what helps"))
}
