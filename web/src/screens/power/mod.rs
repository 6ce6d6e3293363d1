//! Power: the day on its packs, what draws, taps and cables, chargers, a wiring that keeps every limit, flying the packs.

mod breaks;
mod day;
mod drawn;
mod flying;
mod groups;
mod loads;
pub(super) mod on_the_sheet;
mod packs;
mod taps;
mod wiring;

use leptos::prelude::*;
use quantity::day_clock;
use solver::answer::Estimate;
use solver::day::DayReport;
use solver::finding::Severity;
use solver::finding_words::{due_min, due_within_min};

use super::shared::{back, section};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::words::{PACKS, WHO_DECIDES};

/// The day of the package; nothing while it has a fault.
type Day = Memo<Option<DayReport>>;

/// In what order power goes on and off. Common practice, no source.
const ORDER: [&str; 3] = [
    "On: power before video. Every supply cable is plugged in before the first video cable.",
    "Off: video before power. Every video cable comes off before a supply cable is pulled.",
    "Switch off before a pack is changed, unless the head is made to be fed by the other one meanwhile.",
];

/// The screen.
pub(crate) fn view(app: App) -> El {
    let day: Day = Memo::new(move |_| app.document.with(|package| solver::day(package).ok()));
    div("screen")
        .child(back(Screen::Answers, "to-answers", "Answers"))
        .child(day::view(app, day))
        .child(loads::view(app))
        .child(taps::view(app))
        .child(groups::view(app))
        .child(packs::view(app, day))
        .child(wiring::view(app))
        .child(order())
        .child(flying::view(app, day))
}

/// The word of a severity on a line, where there is one: a no-go filled, a watch hatched, a note plain.
fn flag(severity: impl Fn() -> Option<Severity> + 'static) -> El {
    let word = |severity: Severity| {
        let class = match severity {
            Severity::NoGo => "flag flag--no-go",
            Severity::Watch => "flag flag--watch",
            Severity::Note => "flag",
        };
        span(class).words(&severity.to_string())
    };
    span("flags").live(move || severity().map(word).into_iter().collect())
}

/// A line that opens into what is needed once a day or less.
fn folded(test: &str, words: &str, inside: impl IntoIterator<Item = El>) -> El {
    let head = el("summary").class("row__summary").child(span("row__name").words(words));
    el("details").class("row").test(test).child(head).child(div("row__inside").children(inside))
}

/// The clock time of a pack change with its ±, as far as it is known.
pub(super) fn due(at_min: Estimate) -> String {
    let Estimate { value, u } = at_min;
    format!("{} ±{}\u{a0}min", day_clock(due_min(value, u)), due_within_min(u))
}

fn order() -> El {
    let steps = ORDER.iter().map(|step| el("li").words(step));
    let why = "Common practice: the ground of a video cable must not have to carry what a supply cable should.";
    section("power-order", "In this order")
        .child(folded(
            "power-order-more",
            "On: power before video. Off: video before power.",
            [el("ol").class("ordered").children(steps), p("quiet", why)],
        ))
        .child(p("caution", PACKS))
        .child(p("quiet", WHO_DECIDES))
}
