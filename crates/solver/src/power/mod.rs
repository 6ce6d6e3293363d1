//! What is drawn from the packs, whether taps carry it, and how long it lasts.

mod charger;
mod discharge;
mod ocv;
mod standing;
mod taps;
mod timeline;
mod unlike;

pub use charger::{CHARGE_H, CHARGER_PLACES, Charger};
pub use discharge::{Bank, Charge, bank_power_limit_w, feed_h, runtime_h, usable_wh};
pub use ocv::open_circuit_v;
pub use standing::{LoadFault, group_over, group_peak_w, load_fault};
pub use taps::{FedAt, TapUse, cable_ohm, conductor_for_mm2, fed_at, tap_uses, tap_volts};
pub use timeline::{Block, BlockOf, Change, Timeline, blocks, follow_day, mean_w};

use crate::answer::{Answer, Estimate};
use crate::package::Package;
use crate::path::FieldPath;
use crate::report::PowerReport;

impl PowerReport {
    /// What converters and cables turn to heat, W: what leaves the packs and reaches neither parts nor motors.
    pub fn lost_w(&self) -> f64 {
        (self.draw_w - self.loads_w - self.motors_w).max(0.0)
    }
}

/// Relative standard uncertainty of what the loads draw. Common practice, no source.
pub const LOAD_U: f64 = 0.10;
/// Relative standard uncertainty of a pack's capacity. Common practice, no source.
pub const CAPACITY_U: f64 = 0.05;

/// A time with fewer standard uncertainties to spare is not counted on. Common practice, no source.
pub(crate) const SURE: f64 = 2.0;

/// A running time on packs with its ±. Load and capacity are off in one way all day, so ± grows with the hours.
pub fn hours_estimate(hours: f64) -> Estimate {
    Estimate::new(hours, hours * libm::hypot(LOAD_U, CAPACITY_U))
}

/// What leaves the packs besides motors and head, converters and cables included, W.
pub fn else_w(package: &Package, uses: &[TapUse]) -> f64 {
    let unwired_w: f64 = package
        .riding()
        .filter_map(|part| part.load.as_ref())
        .filter(|load| load.tap.is_none())
        .map(|load| load.typical_w)
        .sum();
    unwired_w + uses.iter().map(|tap| tap.drawn_w).sum::<f64>()
}

/// Power, packs and hours of a package whose motors draw so much in each of its moves, the head's idle draw included.
pub fn power_report(package: &Package, motors_w: &[f64]) -> PowerReport {
    let uses = tap_uses(package);
    let loads_w = package.riding().filter_map(|part| part.load.as_ref()).map(|load| load.typical_w).sum();
    let else_w = else_w(package, &uses);
    let blocks = blocks(package, motors_w, else_w);
    let draw_w = mean_w(&blocks);
    let bank = Bank::of(package);
    let mut report = PowerReport {
        loads_w,
        motors_w: draw_w - else_w,
        draw_w,
        taps: uses.iter().map(|tap| tap.report.clone()).collect(),
        usable_wh: usable_wh(&bank),
        runtime_h: Answer::Needs(vec![FieldPath::root().field("parts")]),
        change_min: None,
        sets: None,
        collapsing_w: None,
    };
    if bank.packs.is_empty() {
        return report;
    }
    let day = follow_day(&bank, &blocks, &[], Charger::of(&package.day), f64::INFINITY, &mut |_, _| {});
    if let Some(hours) = day.first_set_h {
        report.runtime_h = Answer::Known(hours_estimate(hours));
    }
    report.change_min = day.changes.first().map(|change| change_estimate_min(package, change));
    report.collapsing_w = day.collapses_in.map(|block| blocks[block].power_w);
    report.sets = sets(&day);
    report
}

/// Clock time of a pack change, minutes after midnight: its ± grows with the hours for which packs have fed, a break in
/// which nothing is drawn adds none.
pub fn change_estimate_min(package: &Package, change: &Change) -> Estimate {
    Estimate::new(package.day.start_min + 60.0 * change.at_h, 60.0 * hours_estimate(change.fed_h).u)
}

/// Sets that a day takes; `None` for a day that cannot be run through.
pub fn sets(day: &Timeline) -> Option<u32> {
    let whole = day.collapses_in.is_none() && !day.endless && day.first_set_h.is_some();
    whole.then(|| u32::try_from(day.changes.len()).unwrap_or(u32::MAX).saturating_add(1))
}
