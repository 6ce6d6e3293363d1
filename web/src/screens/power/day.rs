//! The day: when packs are changed, drawn and in words.

use leptos::prelude::*;
use quantity::{clock, day_clock, hours};
use solver::day::{DayBlock, DayReport, PackChange};
use solver::finding_words::{due_within_min, lasts_h};

use super::{Day, breaks, drawn, due};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::drawing::follow_width;
use crate::screens::moves;
use crate::screens::shared::{line, section};
use crate::show::{Kind, Style};
use crate::ui::help::help;

/// A share left in a set that comes off is told above this: a cut-off voltage always leaves some per cent.
const WORTH_TELLING: f64 = 0.1;

/// The day with its drawing, its changes and its length.
pub(super) fn view(app: App, day: Day) -> El {
    let wide_px = RwSignal::new(328.0);
    let lines = move || {
        let wide_px = wide_px.get();
        day.with(|day| match day {
            Some(day) => lines(app, day, wide_px),
            None => vec![p("quiet", "Not worked out while the package has a fault.")],
        })
    };
    let shown = div("day").test("day").live_value(move || first_change(day)).live(lines);
    follow_width(shown.raw(), wide_px);
    section("power-day", "The day")
        .child(help("the day", "Moves follow each other in the order of the list, each for its share of the hours, with the breaks between them."))
        .child(shown)
        .child(div("fields").child(moves::start(app)).child(moves::hours(app)))
        .child(breaks::view(app))
}

fn first_change(day: Day) -> Option<f64> {
    day.with(|day| day.as_ref()?.changes.first().map(|change| change.at_min.value))
}

fn lines(app: App, day: &DayReport, wide_px: f64) -> Vec<El> {
    let style = app.style();
    let runtime = app.document.report(|report| report.power.runtime_h.known().copied()).flatten();
    let mut lines = vec![p("cost__verdict", &verdict(day))];
    lines.extend(runtime.map(|runtime| {
        let words = format!("{} ±{}\u{a0}min", hours(lasts_h(runtime)), due_within_min(60.0 * runtime.u));
        line("first-set", "The first set lasts", &words)
    }));
    lines.push(drawn::view(day, wide_px));
    lines.push(
        div("table").children(day.changes.iter().enumerate().map(|(place, change)| changed(style, place, change))),
    );
    lines.extend(in_breaks(day));
    let numbered = drawn::is_numbered(day, wide_px);
    lines.push(div("table").children(day.blocks.iter().enumerate().map(|(place, block)| {
        let name = drawn::name(block);
        let name = if numbered { format!("{} {name}", place + 1) } else { name.to_owned() };
        one_block(style, &name, block)
    })));
    lines
}

fn verdict(day: &DayReport) -> String {
    match (day.sets, day.collapses_in, day.packs_in_set) {
        (_, _, 0) => "Put a pack on the head to see how the day goes.".to_owned(),
        (_, Some(block), _) => format!("Full packs cannot feed {}: add packs.", day.blocks[block].name),
        (Some(1), ..) => "One set lasts the day: no pack change.".to_owned(),
        (Some(sets), _, 1) => format!("{} pack changes: {sets} packs.", sets - 1),
        (Some(2), _, packs) => format!("One pack change: 2 sets of {packs} packs."),
        (Some(sets), _, packs) => format!("{} pack changes: {sets} sets of {packs} packs.", sets - 1),
        (None, ..) => "More pack changes than anybody makes: use larger packs.".to_owned(),
    }
}

fn changed(style: Style, place: usize, change: &PackChange) -> El {
    let left = if change.left > WORTH_TELLING {
        format!(
            "; {} are left in that set, but it stands too low for what is drawn",
            style.show(Kind::Share, change.left)
        )
    } else {
        String::new()
    };
    let words = format!("{}, in {}{left}", due(change.at_min), change.name);
    line("pack-change", &format!("Pack change {}", place + 1), &words)
        .attr("data-value", &format!("{}", change.at_min.value))
}

/// The changes that a break can take.
fn in_breaks(day: &DayReport) -> Option<El> {
    let told = day.break_changes.iter().map(|change| {
        el("li").words(&change.words()).test("break-change").attr("data-value", &format!("{}", change.at_min))
    });
    let then = day.then_words().map(|words| el("li").words(&words).test("changes-then"));
    (!day.break_changes.is_empty()).then(|| el("ul").class("plain-list").children(told.chain(then)))
}

fn one_block(style: Style, name: &str, block: &DayBlock) -> El {
    let times = format!("{} to {}", clock(block.from_min), day_clock(block.to_min));
    match block.in_break {
        Some(kind) => line("day-break", name, &format!("{times}, {}", kind.words())),
        None => line("day-move", name, &format!("{times}, {}", style.show(Kind::Power, block.power_w))),
    }
}
