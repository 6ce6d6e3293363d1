//! The other lenses of the set: what the next lens change costs.

use quantity::Kind;
use solver::lens_set::change::{ChangeTable, LensChange};
use solver::lens_set::preview::{LensVerdict, Verdict};
use solver::lens_set::{LensMark, LensRow};
use solver::package::Package;
use solver::report::TuneVerdict;

use super::{Sheet, Words, terminal};
use crate::commands::Lenses;

pub(super) fn print(sheet: &mut Sheet, package: &Package, lenses: &Lenses) {
    let others = || lenses.rows.iter().filter(|row| Some(row.lens) != package.active_lens);
    if others().next().is_none() {
        return;
    }
    sheet.heading("After a lens change");
    for row in others() {
        let change = lenses.changes.iter().find(|change| change.to == row.lens);
        let line = lens(sheet, row, change);
        sheet.line(line);
        let told = lenses.verdicts.iter().find(|told| told.lens == row.lens);
        if let Some(told) = told {
            reasons(sheet, told);
        }
    }
    minutes_of_all(sheet, &lenses.table, package.change_minutes.is_empty());
}

/// A row for each lens that comes off, a column for each that goes on. Typical minutes are common practice, no source.
fn minutes_of_all(sheet: &mut Sheet, table: &ChangeTable, typical: bool) {
    if table.lenses.len() < 3 {
        return;
    }
    let whose = if typical { "typical" } else { "by this crew's own steps" };
    sheet.line(format!("  Minutes from each lens (down) to each other (across, in the same order), {whose}:"));
    for (name, row) in table.names.iter().zip(&table.minutes) {
        let cells = row.iter().map(|min| match min {
            Some(min) => format!("{:>6}", minutes(sheet, *min)),
            None => format!("{:>6}", "-"),
        });
        let line = format!("  {name:<18}{}", cells.collect::<String>());
        sheet.line(line);
    }
}

/// Whole or half ones: that is all they deserve.
fn minutes(sheet: &Sheet, min: f64) -> String {
    sheet.digits(min, Kind::Plain, usize::from(min.fract() > 0.0))
}

fn lens(sheet: &Sheet, row: &LensRow, change: Option<&LensChange>) -> String {
    let marks: Vec<String> = row.slides.iter().map(|slide| mark(sheet, slide)).collect();
    let took = change.map_or_else(String::new, |change| {
        let clamps = if change.clamps == 1 { "clamp" } else { "clamps" };
        format!("; about {} min, {} {clamps}", minutes(sheet, change.minutes), change.clamps)
    });
    let kg = sheet.digits(row.camera_kg.value, Kind::Mass, 1);
    let tune = match row.tune {
        Some(TuneVerdict::Check) => "; check the tune",
        Some(TuneVerdict::Redo) => "; tune again",
        Some(TuneVerdict::Keep) | None => "",
    };
    let left = if row.may_stay { "may stay" } else { "left" };
    let stays = row
        .stays_put
        .map_or_else(String::new, |chance| format!("; marks {left}, every axis stays put: {}", sheet.chance(chance)));
    format!("  {:<18}{kg:>8}  {}{took}{tune}{stays}", row.name, marks.join(", "))
}

/// Whether it can go on, where something stands against it, and what.
fn reasons(sheet: &mut Sheet, told: &LensVerdict) {
    match told.verdict {
        Verdict::Yes => return,
        Verdict::YesIf => sheet.line("    Yes, if this is minded:"),
        Verdict::No => sheet.line("    No, because of this:"),
    }
    for reason in &told.reasons {
        let line = format!("      {}: {}", reason.severity(), terminal(&reason.words(&Words(sheet.style))));
        sheet.line(line);
    }
}

fn mark(sheet: &Sheet, slide: &LensMark) -> String {
    let target = sheet.style.show(slide.target_m.value, Kind::Mark).number;
    let short =
        slide.beyond_m.map_or(String::new(), |beyond_m| format!(" ({} short)", sheet.show(beyond_m, Kind::Length)));
    format!("{} {target}{short}", slide.name)
}
