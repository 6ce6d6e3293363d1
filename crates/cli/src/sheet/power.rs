//! Loads, taps, the day on its packs, chargers, and flying the packs.

use quantity::{Kind, clock, day_clock, hours};
use solver::answer::Estimate;
use solver::day::{BreakChange, DayReport, FlyingPack, PackChange, flying_words};
use solver::finding_words::{due_min, due_within_min, lasts_h};
use solver::package::Package;
use solver::wiring::{WiringReport, WiringVerdict};

use super::Sheet;
use crate::commands::Answers;

pub(super) fn print(sheet: &mut Sheet, package: &Package, answers: &Answers) {
    let power = &answers.report.power;
    sheet.heading("Power");
    let [draw, loads, motors, lost] =
        [power.draw_w, power.loads_w, power.motors_w, power.lost_w()].map(|watts| sheet.show(watts, Kind::Power));
    sheet.line(format!(
        "  Drawn from the packs {draw}: loads {loads}, motors and head {motors}, converters and cables {lost}"
    ));
    match power.runtime_h.known() {
        Some(runtime) => {
            sheet.line(format!(
                "  The first set lasts {} ± {:.0} min",
                hours(lasts_h(*runtime)),
                due_within_min(60.0 * runtime.u)
            ));
            print_day(sheet, package, &answers.day);
        }
        None => sheet.line("  No packs ride: how long it runs is not known."),
    }
    for tap in &power.taps {
        let [typical, peak, limit] =
            [tap.typical_a, tap.peak_a, tap.limit_a].map(|ampere| sheet.show(ampere, Kind::Current));
        sheet.line(format!("  {:<16}{typical}, at peak {peak}, limit {limit}", tap.name));
    }
    print_wiring(sheet, &answers.wiring);
    for kind in &answers.day.flying {
        print_flying(sheet, kind);
    }
    if !answers.day.flying.is_empty() {
        sheet.line(format!("  {}", solver::day::EDITION));
    }
}

fn print_day(sheet: &mut Sheet, package: &Package, day: &DayReport) {
    sheet.line(format!("  On from {} to {}", clock(package.day.start_min), day_clock(day.end_min)));
    for block in &day.blocks {
        if let Some(kind) = block.in_break {
            let (from, to) = (clock(block.from_min), day_clock(block.to_min));
            sheet.line(format!("  {} from {from} to {to}: {}", block.name, kind.words()));
        }
    }
    for change in &day.changes {
        sheet.line(format!("  {}", change_words(change)));
    }
    for words in day.break_changes.iter().map(BreakChange::words).chain(day.then_words()) {
        sheet.line(super::terminal(&format!("  {words}")));
    }
    match day.sets {
        Some(1) => sheet.line("  One set lasts the day"),
        Some(sets) => sheet.line(format!("  The day takes {sets} sets, packs in a set: {}", day.packs_in_set)),
        None => sheet.line("  The day cannot be run through on these packs"),
    }
    if let Some(charging) = &day.charging {
        let typical = if charging.typical { ", typical: nobody has said" } else { "" };
        let chargers = format!("{:.0} packs at once, {} each{typical}", charging.places, hours(charging.hours));
        sheet.line(format!("  {} ({chargers})", charging.words()));
    }
}

/// One pack change on one line.
fn change_words(change: &PackChange) -> String {
    let Estimate { value, u } = change.at_min;
    format!(
        "Pack change {} ± {} min, in {}; that set is full again at {}",
        day_clock(due_min(value, u)),
        due_within_min(u),
        change.name,
        day_clock(change.full_again_min)
    )
}

fn print_wiring(sheet: &mut Sheet, wiring: &WiringReport) {
    match wiring.verdict {
        WiringVerdict::Nothing | WiringVerdict::Keep => {}
        WiringVerdict::Change | WiringVerdict::ChangePerhapsMore => {
            for change in &wiring.changes {
                sheet.line(format!("  Wire {} to {}", change.name, change.to_name));
            }
        }
        WiringVerdict::NoneExists => sheet.line("  No wiring keeps every limit and every voltage window"),
        WiringVerdict::NotFound => sheet.line("  No wiring was found that keeps every limit; not all were tried"),
    }
    for load in &wiring.unfeedable {
        for refusal in &load.refused {
            sheet.line(format!("  {} not on {}: {}", load.name, refusal.tap, refusal.why.words()));
        }
    }
    for cable in wiring.cables.iter().filter(|cable| cable.too_thin || cable.hot) {
        let size = cable.thinnest.map_or_else(|| "the tap itself stands too low".to_owned(), |size| size.words());
        sheet.line(super::terminal(&format!("  Cable of {}: too thin, at least {size}", cable.name)));
    }
}

fn print_flying(sheet: &mut Sheet, kind: &FlyingPack) {
    let energy = sheet.show(kind.rated_wh, Kind::Energy);
    sheet.line(format!("  Flying: {} × {energy}, {}", kind.count, flying_words(kind)));
}
