//! Loads, taps, packs and hours.

use quantity::{Kind, clock, day_clock, hours};
use solver::Report;
use solver::package::Package;

use super::Sheet;

pub(super) fn print(sheet: &mut Sheet, package: &Package, report: &Report) {
    let power = &report.power;
    sheet.heading("Power");
    let [draw, loads, motors] =
        [power.draw_w, power.loads_w, power.motors_w].map(|watts| sheet.show(watts, Kind::Power));
    sheet.line(format!(
        "  Drawn from the packs {draw}: loads {loads}, motors and head {motors}, the rest is converters and cables"
    ));
    match power.runtime_h.known() {
        Some(runtime) => {
            sheet.line(format!("  Packs last {} ± {}", hours(runtime.value), hours(runtime.u)));
            if let (Some(change_min), Some(sets)) = (power.change_min, power.sets) {
                let (start, change) = (clock(package.day.start_min), day_clock(change_min));
                sheet.line(format!("  On at {start}, first pack change at {change}; the day needs {sets} sets"));
            }
        }
        None => sheet.line("  No packs ride: how long it runs is not known."),
    }
    for tap in &power.taps {
        let [typical, peak, limit] =
            [tap.typical_a, tap.peak_a, tap.limit_a].map(|ampere| sheet.show(ampere, Kind::Current));
        sheet.line(format!("  {:<16}{typical}, at peak {peak}, limit {limit}", tap.name));
    }
}
