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
            app.document.edit(|package| {
                cut_rods(package, id, need.needed_m);
                if let Some(rods) = package.parts.iter_mut().find(|part| part.id == id) {
                    rods.name = renamed(&rods.name, need.length_m, need.needed_m);
                }
            });
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

/// The name of rods that tells their length in millimetres, "Rods 19 mm, 450 long", after that has changed. Any other
/// name stays.
fn renamed(name: &str, was_m: f64, is_m: f64) -> String {
    let [was, is] = [was_m, is_m].map(|m| format!(" {:.0} long", 1e3 * m));
    name.replace(&was, &is)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_tells_the_length_follows_it() {
        assert_eq!(renamed("Rods 19 mm, 450 long", 0.45, 0.52), "Rods 19 mm, 520 long");
        assert_eq!(renamed("Rods 19 mm, 450 long (2)", 0.45, 0.3), "Rods 19 mm, 300 long (2)");
        assert_eq!(renamed("Our steel rods, 450", 0.45, 0.52), "Our steel rods, 450");
        assert_eq!(renamed("Rods 19 mm, 1450 long", 0.45, 0.52), "Rods 19 mm, 1450 long");
    }
}
