//! Where the marks go, and how every axis hangs at them.

use quantity::Kind;
use solver::Report;
use solver::answer::Estimate;
use solver::package::Package;
use solver::report::{AxisReport, Hold, SlideReport, TuneVerdict};

use super::Sheet;

/// A move below this reads as none, m.
const NO_MOVE_M: f64 = 5e-4;

pub(super) fn print_marks(sheet: &mut Sheet, package: &Package, report: &Report) {
    sheet.heading("Marks, in balancing order");
    sheet.line("  Everything on first: caps off, filters and media in, rods final, cables strapped, packs on,");
    sheet.line("  lens at mid zoom and focus. Motors off. Hold the camera before a clamp is loosened.");
    if let Some(lens) = package.lens() {
        sheet.line(format!("  For {}:", lens.name));
    }
    for slide in &report.slides {
        let line = mark(sheet, slide);
        sheet.line(line);
    }
}

fn mark(sheet: &Sheet, slide: &SlideReport) -> String {
    let target = sheet.show(slide.target_m.value, Kind::Mark);
    let start = format!("  {:<12}{target:>8}", slide.name);
    if slide.balances.is_none() {
        return format!("{start}  stays: it balances no axis");
    }
    let moved = if slide.move_m.abs() < NO_MOVE_M {
        "stays".to_owned()
    } else {
        format!("{} {}", slide.word, sheet.show(slide.move_m.abs(), Kind::Length))
    };
    let u = sheet.u(slide.target_m, Kind::Length);
    let room = match slide.beyond_m {
        Some(beyond_m) => format!("at its end: {} short", sheet.show(beyond_m, Kind::Length)),
        None => format!("{} to spare", sheet.show(slide.left_m, Kind::Length)),
    };
    let holds = slide.hold_zone_m.map_or(String::new(), |zone_m| {
        let decimals = Kind::Length.usual_decimals(sheet.style.system) + 1;
        format!(", holds within ± {}", sheet.digits(zone_m, Kind::Length, decimals))
    });
    format!("{start}  {moved:<18} ± {u:<7} {room}{holds}")
}

pub(super) fn print_axes(sheet: &mut Sheet, report: &Report) {
    sheet.heading("Hanging, at those marks");
    for axis in &report.axes {
        let line = hanging(sheet, axis);
        sheet.line(line);
    }
    let tuned: Vec<&AxisReport> = report.axes.iter().filter(|axis| axis.tune.is_some()).collect();
    if !tuned.is_empty() {
        sheet.heading("Tune");
        for axis in tuned {
            let line = tune(sheet, axis);
            sheet.line(line);
        }
    }
}

fn hanging(sheet: &Sheet, axis: &AxisReport) -> String {
    let held = match axis.hold {
        Hold::Holds { .. } => "can be balanced",
        Hold::Turns { .. } => "TURNS",
        Hold::Geared => "geared, no test says what its gears hold",
    };
    // What the marks leave open is mostly more than what is left at exactly those marks.
    let any = axis.gravity_u_nm.map_or_else(
        || sheet.digits(axis.gravity_any_nm, Kind::Torque, 2),
        |u_nm| sheet.with_u(Estimate::new(axis.gravity_any_nm, u_nm), Kind::Torque),
    );
    let in_use = if axis.gravity_in_use_nm < 0.005 {
        String::new()
    } else {
        format!(", {} in use", sheet.digits(axis.gravity_in_use_nm, Kind::Torque, 2))
    };
    let friction = sheet.digits(axis.friction_nm, Kind::Torque, 2);
    let at_once =
        axis.within_hold_zone.map_or_else(String::new, |share| format!("; stays put at once: {}", sheet.chance(share)));
    format!("  {:<12}{held}: gravity {any} in any attitude{in_use}, friction {friction}{at_once}", axis.name)
}

fn tune(sheet: &Sheet, axis: &AxisReport) -> String {
    let Some(tune) = axis.tune else { return String::new() };
    let verdict = match tune.verdict {
        TuneVerdict::Keep => "keep",
        TuneVerdict::Check => "check: listen for ringing or hunting",
        TuneVerdict::Redo => "tune again",
    };
    let sign = if tune.change < 0.0 { "" } else { "+" };
    format!("  {:<12}inertia {sign}{}: {verdict}", axis.name, sheet.show(tune.change, Kind::Share))
}
