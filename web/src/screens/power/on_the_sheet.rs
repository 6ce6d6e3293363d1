//! The day, chargers and flying on the prep sheet: a line for each.

use quantity::{clock, day_clock, hours};
use solver::day::{BreakChange, DayReport, EDITION, flying_words};
use solver::package::Package;
use solver::wiring::{WiringReport, WiringVerdict};

use super::due;
use crate::dom::{El, p};
use crate::show::{Kind, Style};

/// The lines.
pub(in crate::screens) fn view(style: Style, package: &Package) -> Vec<El> {
    let mut lines = Vec::new();
    if let Ok(day) = solver::day(package) {
        lines.extend(changes(&day));
        lines.extend(charged(&day));
        lines.extend(flying(style, &day));
    }
    lines.extend(solver::wiring(package).ok().and_then(|wiring| rewired(&wiring)));
    lines.iter().map(|words| p("prep__line", words)).collect()
}

fn changes(day: &DayReport) -> Vec<String> {
    let one = |(place, change): (usize, &solver::day::PackChange)| {
        format!("Pack change {}: {}, in {}.", place + 1, due(change.at_min), change.name)
    };
    let on = format!("On from {} to {}.", clock(day.start_min), day_clock(day.end_min));
    let breaks = day.blocks.iter().filter_map(|block| {
        let kind = block.in_break?;
        Some(format!("{}, {} to {}: {}.", block.name, clock(block.from_min), day_clock(block.to_min), kind.words()))
    });
    let in_breaks = day.break_changes.iter().map(BreakChange::words).chain(day.then_words());
    [on].into_iter().chain(breaks).chain(day.changes.iter().enumerate().map(one)).chain(in_breaks).collect()
}

fn charged(day: &DayReport) -> Option<String> {
    let charging = day.charging.as_ref()?;
    let typical = if charging.typical { ", typical" } else { "" };
    let chargers = format!("{:.0} packs at once, {} each{typical}", charging.places, hours(charging.hours));
    let count = match day.packs_in_set {
        1 => format!("{} packs", charging.sets),
        packs => format!("{} sets of {packs} packs", charging.sets),
    };
    Some(format!("{count}. {} ({chargers}).", charging.words()))
}

fn flying(style: Style, day: &DayReport) -> Vec<String> {
    let one = |kind: &solver::day::FlyingPack| {
        format!("Flying {} × {}: {}.", kind.count, style.show(Kind::Energy, kind.rated_wh), flying_words(kind))
    };
    let edition = (!day.flying.is_empty()).then(|| EDITION.to_owned());
    day.flying.iter().map(one).chain(edition).collect()
}

fn rewired(wiring: &WiringReport) -> Option<String> {
    let one = |change: &solver::wiring::Rewire| format!("{} to {}", change.name, change.to_name);
    match wiring.verdict {
        WiringVerdict::NoneExists => Some("No wiring keeps every limit and every voltage: see Power.".to_owned()),
        _ if wiring.changes.is_empty() => None,
        _ => Some(format!("Wire {}.", wiring.changes.iter().map(one).collect::<Vec<_>>().join(", "))),
    }
}
