//! What every tap carries, at the voltages of a full and of an empty pack.

use super::discharge::Bank;
use super::ocv::open_circuit_v;
use crate::package::{Cable, Load, Package, PartId, Tap, TapVoltage};
use crate::report::TapReport;

/// Resistivity of annealed copper at 20 °C, Ω·mm²/m. Source: IEC 60028:1925, 1/58.
const COPPER_OHM_MM2_M: f64 = 1.0 / 58.0;

/// What one tap carries.
#[derive(Debug, Clone, PartialEq)]
pub struct TapUse {
    /// The row for the screen.
    pub report: TapReport,
    /// Power drawn from the packs in ordinary use, converter and cables included, W.
    pub drawn_w: f64,
    /// Power at the tap with everything at its peak, W.
    pub peak_w: f64,
    /// Sum-limit group, if any.
    pub group: Option<String>,
    /// Parts whose voltage window is not kept: id, lowest and highest voltage at the part, window, all V.
    pub outside: Vec<(PartId, f64, f64, [f64; 2])>,
}

/// What every tap of the head carries, in the order of the head.
pub fn tap_uses(package: &Package) -> Vec<TapUse> {
    let bank = Bank::of(package);
    let loads: Vec<(PartId, &Load)> =
        package.riding().filter_map(|part| part.load.as_ref().map(|load| (part.id, load))).collect();
    package.head.taps.iter().map(|tap| tap_use(&loads, tap, &bank)).collect()
}

/// Lowest and highest voltage of a tap, V. Without packs a tap that follows them has none: 0.
fn tap_volts(tap: &Tap, bank: &Bank) -> [f64; 2] {
    match tap.voltage {
        TapVoltage::Regulated { volts } => [volts, volts],
        TapVoltage::FollowsPack => {
            let low = bank.packs.iter().map(|pack| pack.cells * pack.cutoff_v_cell).fold(f64::INFINITY, f64::min);
            let high = bank.packs.iter().map(|pack| pack.cells * open_circuit_v(1.0)).fold(0.0, f64::max);
            if bank.packs.is_empty() { [0.0, 0.0] } else { [low, high] }
        }
    }
}

fn tap_use(loads: &[(PartId, &Load)], tap: &Tap, bank: &Bank) -> TapUse {
    let [low_v, high_v] = tap_volts(tap, bank);
    let mean_v = 0.5 * (low_v + high_v);
    let mut sum = TapUse {
        report: TapReport {
            tap: tap.id.clone(),
            name: tap.name.clone(),
            typical_a: 0.0,
            peak_a: 0.0,
            limit_a: tap.limit_a,
            parts: Vec::new(),
        },
        drawn_w: 0.0,
        peak_w: 0.0,
        group: tap.group.clone(),
        outside: Vec::new(),
    };
    for (part, load) in loads.iter().filter(|(_, load)| load.tap.as_deref() == Some(tap.id.as_str())) {
        let cable_ohm = load.cable.as_ref().map_or(0.0, cable_ohm);
        let (typical_a, _) = fed(mean_v, cable_ohm, load.typical_w);
        let (peak_a, lowest_v) = fed(low_v, cable_ohm, load.peak_w);
        sum.report.typical_a += typical_a;
        sum.report.peak_a += peak_a;
        sum.report.parts.push(*part);
        sum.drawn_w += typical_a * mean_v / tap.efficiency;
        sum.peak_w += peak_a * low_v;
        if let Some(window_v) = outside_window(load, lowest_v, high_v) {
            sum.outside.push((*part, lowest_v, high_v, window_v));
        }
    }
    sum
}

/// Resistance of both conductors of a cable at 20 °C, Ω.
fn cable_ohm(cable: &Cable) -> f64 {
    2.0 * COPPER_OHM_MM2_M * cable.length_m / cable.conductor_mm2
}

/// Current and voltage at a constant-power load behind a resistance. Past the collapse the load gets half the voltage
/// and what current that drives: the window check then says that it is too low.
fn fed(source_v: f64, resistance_ohm: f64, power_w: f64) -> (f64, f64) {
    if source_v <= 0.0 {
        return (0.0, 0.0);
    }
    let square = source_v * source_v - 4.0 * resistance_ohm * power_w;
    let load_v = 0.5 * (source_v + libm::sqrt(square.max(0.0)));
    (power_w / load_v, load_v)
}

fn outside_window(load: &Load, lowest_v: f64, highest_v: f64) -> Option<[f64; 2]> {
    load.window_v.filter(|[low, high]| lowest_v < *low || highest_v > *high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drop_of_a_long_run() {
        // 10 m of 0.8230 mm² (18 AWG, ASTM B258), 5 A: 2.0948 V at 20 °C (computed from IEC 60028 copper).
        let cable = Cable { length_m: 10.0, conductor_mm2: 0.8230 };
        assert!((5.0 * cable_ohm(&cable) - 2.0948).abs() < 2e-3);
    }

    #[test]
    fn constant_power_behind_a_resistance() {
        // E 24 V, R 0.06 Ω, P 250 W: V 23.357817, I 10.703055 (computed from the quadratic).
        let (current_a, load_v) = fed(24.0, 0.06, 250.0);
        assert!((load_v - 23.357_817).abs() < 1e-6 && (current_a - 10.703_055).abs() < 1e-6);
    }
}
