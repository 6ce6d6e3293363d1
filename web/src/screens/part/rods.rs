//! Rods know the length that they need: what clamps furthest forward, half its width, and a finger's breadth.

use leptos::prelude::*;
use solver::entering::{RodLength, cut_rods, rod_length};
use solver::package::{PartId, Shape};

use super::part_of;
use crate::app::App;
use crate::dom::{El, el, p};
use crate::screens::shared::section;
use crate::show::Kind;

/// The length that a pair of rods needs; none for any other part.
pub(super) fn view(app: App, id: PartId) -> Option<El> {
    app.document
        .now(|package| part_of(package, id).is_some_and(|part| part.shape == Shape::RodPair))
        .then(|| length(app, id))
}

fn length(app: App, id: PartId) -> El {
    let need = Memo::new(move |_| app.document.with(|package| rod_length(package, id)));
    let words = move || need.with(|need| words(app, need.as_ref()));
    let cut = move || {
        if let Some(need) = need.get_untracked() {
            app.document.edit(|package| cut_rods(package, id, need.needed_m));
        }
    };
    let fits = move || need.with(|need| need.as_ref().is_none_or(|need| (need.length_m - need.needed_m).abs() < 1e-9));
    section("part-rods", "Length of the rods")
        .child(
            p("part__fact", "")
                .test("rods-need")
                .live_class("part__fact--short", move || need.with(|need| need.as_ref().is_some_and(RodLength::short)))
                .live_words(words),
        )
        .child(el("button").class("button").attr("type", "button").test("rods-cut").hidden(fits).press(cut).live_words(
            move || {
                let length = |need: &RodLength| app.style().show(Kind::Length, need.needed_m);
                format!("Make them {} long", need.with(|need| need.as_ref().map(length).unwrap_or_default()))
            },
        ))
}

fn words(app: App, need: Option<&RodLength>) -> String {
    let Some(need) = need else { return "Nothing clamps on them yet.".to_owned() };
    let style = app.style();
    let (length, needed) = (style.show(Kind::Length, need.length_m), style.show(Kind::Length, need.needed_m));
    if need.short() {
        format!("{length} is too short: {} needs {needed}.", need.furthest)
    } else {
        format!("{length} is long enough: {} needs {needed}.", need.furthest)
    }
}
