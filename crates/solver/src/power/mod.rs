//! What is drawn from the packs, whether taps carry it, and how long it lasts.

mod discharge;
mod ocv;
mod taps;

pub use discharge::{Bank, bank_power_limit_w, runtime_h, usable_wh};
pub use ocv::open_circuit_v;
pub use taps::{TapUse, tap_uses};

use crate::answer::{Answer, Estimate};
use crate::package::Package;
use crate::path::FieldPath;
use crate::report::PowerReport;

/// Relative standard uncertainty of what the loads draw. Common practice, no source.
pub const LOAD_U: f64 = 0.10;
/// Relative standard uncertainty of a pack's capacity. Common practice, no source.
pub const CAPACITY_U: f64 = 0.05;

/// Power, packs and hours of a package whose motors draw `motors_w` on average, idle included.
pub fn power_report(package: &Package, motors_w: f64) -> PowerReport {
    let uses = tap_uses(package);
    let loads_w = package.riding().filter_map(|part| part.load.as_ref()).map(|load| load.typical_w).sum();
    let unwired_w: f64 = package
        .riding()
        .filter_map(|part| part.load.as_ref())
        .filter(|load| load.tap.is_none())
        .map(|load| load.typical_w)
        .sum();
    let draw_w = motors_w + unwired_w + uses.iter().map(|tap| tap.drawn_w).sum::<f64>();
    let bank = Bank::of(package);
    let runtime = if bank.packs.is_empty() { None } else { runtime_h(&bank, draw_w) };
    let runtime_h = if bank.packs.is_empty() {
        Answer::Needs(vec![FieldPath::root().field("parts")])
    } else {
        // A bank that collapses under the draw lasts no time at all: the finding says why.
        let hours = runtime.unwrap_or(0.0);
        Answer::Known(Estimate::new(hours, hours * libm::hypot(LOAD_U, CAPACITY_U)))
    };
    let change_min =
        runtime.filter(|hours| *hours < package.day.running_h).map(|hours| package.day.start_min + 60.0 * hours);
    let sets = runtime.filter(|hours| *hours > 0.0).map(|hours| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a day of 48 h and a runtime above 0"
        )]
        let sets = libm::ceil((package.day.running_h / hours).min(1_000.0)) as u32;
        sets.max(1)
    });
    PowerReport {
        loads_w,
        motors_w,
        draw_w,
        taps: uses.iter().map(|tap| tap.report.clone()).collect(),
        usable_wh: usable_wh(&bank),
        runtime_h,
        change_min,
        sets,
    }
}
