//! The other lenses of the set: what the next lens change costs.

use quantity::Kind;
use solver::lens_set::{LensMark, LensRow};
use solver::package::Package;
use solver::report::TuneVerdict;

use super::Sheet;

pub(super) fn print(sheet: &mut Sheet, package: &Package, lenses: &[LensRow]) {
    let others = || lenses.iter().filter(|row| Some(row.lens) != package.active_lens);
    if others().next().is_none() {
        return;
    }
    sheet.heading("After a lens change");
    for row in others() {
        let line = lens(sheet, row);
        sheet.line(line);
    }
}

fn lens(sheet: &Sheet, row: &LensRow) -> String {
    let marks: Vec<String> = row.slides.iter().map(|slide| mark(sheet, slide)).collect();
    let mut line =
        format!("  {:<18}{:>8}  {}", row.name, sheet.digits(row.camera_kg.value, Kind::Mass, 1), marks.join(", "));
    if !row.within_payload {
        line.push_str("; outside the head's payload");
    }
    if !row.hangs {
        line.push_str("; does not hang still");
    }
    match row.tune {
        Some(TuneVerdict::Check) => line.push_str("; check the tune"),
        Some(TuneVerdict::Redo) => line.push_str("; tune again"),
        Some(TuneVerdict::Keep) | None => {}
    }
    if row.may_stay {
        line.push_str("; no rebalancing needed");
    }
    line
}

fn mark(sheet: &Sheet, slide: &LensMark) -> String {
    let target = sheet.style.show(slide.target_m.value, Kind::Mark).number;
    let short =
        slide.beyond_m.map_or(String::new(), |beyond_m| format!(" ({} short)", sheet.show(beyond_m, Kind::Length)));
    format!("{} {target}{short}", slide.name)
}
