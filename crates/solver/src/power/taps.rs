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
    /// Power drawn from the packs in ordinary use, converter and cables included, half-way from full to empty, W.
    pub drawn_w: f64,
    /// Power at the tap in ordinary use on empty packs, W: with the lowest voltage cables lose most.
    pub typical_w: f64,
    /// Power at the tap with everything at its peak, W.
    pub peak_w: f64,
    /// Sum-limit group, if any.
    pub group: Option<String>,
    /// Parts whose voltage window is not kept: id, lowest and highest voltage at the part, window, all V.
    pub outside: Vec<(PartId, f64, f64, [f64; 2])>,
    /// Parts whose cable cannot pass what they draw at their peak: id, that power, and the most that it passes, W.
    pub starved: Vec<(PartId, f64, f64)>,
}

/// What every tap of the head carries, in the order of the head.
pub fn tap_uses(package: &Package) -> Vec<TapUse> {
    let bank = Bank::of(package);
    let loads: Vec<(PartId, &Load)> =
        package.riding().filter_map(|part| part.load.as_ref().map(|load| (part.id, load))).collect();
    package.head.taps.iter().map(|tap| tap_use(&loads, tap, &bank)).collect()
}

/// Lowest and highest voltage of a tap, V: at empty and at full packs. Without packs a tap that follows them has
/// none: 0.
pub fn tap_volts(tap: &Tap, bank: &Bank) -> [f64; 2] {
    match tap.voltage {
        TapVoltage::Regulated { volts } => [volts, volts],
        TapVoltage::FollowsPack => {
            let low = bank.packs.iter().map(|pack| pack.cells * pack.cutoff_v_cell).fold(f64::INFINITY, f64::min);
            let high = bank.packs.iter().map(|pack| pack.cells * open_circuit_v(1.0)).fold(0.0, f64::max);
            if bank.packs.is_empty() { [0.0, 0.0] } else { [low, high] }
        }
    }
}

/// One load on one tap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FedAt {
    /// Current at its peak, at the lowest voltage of the tap, A.
    pub peak_a: f64,
    /// Power at the tap then, W.
    pub peak_w: f64,
    /// Lowest and highest voltage that reaches it: at its peak on empty packs, and idle on full ones, V.
    pub volts: [f64; 2],
    /// The most that its cable passes at the lowest voltage, W: E²/4R; infinite without a cable.
    pub passes_w: f64,
    /// Whether its peak passes, and what arrives lies within what it accepts.
    pub within: bool,
}

/// What one load would be on a tap of these lowest and highest voltages.
pub fn fed_at(load: &Load, [low_v, high_v]: [f64; 2]) -> FedAt {
    let cable_ohm = load.cable.as_ref().map_or(0.0, cable_ohm);
    let (peak_a, lowest_v) = fed(low_v, cable_ohm, load.most_w());
    let passes_w = if cable_ohm > 0.0 { 0.25 * low_v * low_v / cable_ohm } else { f64::INFINITY };
    let within = load.most_w() <= passes_w && outside_window(load, lowest_v, high_v).is_none();
    FedAt { peak_a, peak_w: peak_a * low_v, volts: [lowest_v, high_v], passes_w, within }
}

/// Copper cross-section at which a cable of that length leaves a constant-power load its lowest voltage, mm²: the
/// whole formula V = (E + √(E² − 4RP))/2 solved for R, which gives R = V(E − V)/P, and E²/4P where V is below E/2.
/// `None` when no cable can: the tap itself stands too low.
pub fn conductor_for_mm2(source_v: f64, lowest_v: f64, power_w: f64, length_m: f64) -> Option<f64> {
    if source_v <= lowest_v || source_v <= 0.0 {
        return None;
    }
    let at_load_v = lowest_v.max(0.5 * source_v);
    Some(2.0 * COPPER_OHM_MM2_M * length_m * power_w / (at_load_v * (source_v - at_load_v)))
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
        typical_w: 0.0,
        peak_w: 0.0,
        group: tap.group.clone(),
        outside: Vec::new(),
        starved: Vec::new(),
    };
    for (part, load) in loads.iter().filter(|(_, load)| load.tap.as_deref() == Some(tap.id.as_str())) {
        let cable_ohm = load.cable.as_ref().map_or(0.0, cable_ohm);
        let (mean_a, _) = fed(mean_v, cable_ohm, load.typical_w);
        let (typical_a, _) = fed(low_v, cable_ohm, load.typical_w);
        let FedAt { peak_a, peak_w, volts: [lowest_v, _], passes_w, .. } = fed_at(load, [low_v, high_v]);
        sum.report.typical_a += typical_a;
        sum.report.peak_a += peak_a;
        sum.report.parts.push(*part);
        sum.typical_w += typical_a * low_v;
        sum.drawn_w += mean_a * mean_v / tap.efficiency;
        sum.peak_w += peak_w;
        if low_v > 0.0 && load.most_w() > passes_w {
            // What would arrive is no voltage that anything runs at.
            sum.starved.push((*part, load.most_w(), passes_w));
        } else if let Some(window_v) = outside_window(load, lowest_v, high_v) {
            sum.outside.push((*part, lowest_v, high_v, window_v));
        }
    }
    sum
}

/// Resistance of both conductors of a cable at 20 °C, Ω.
pub fn cable_ohm(cable: &Cable) -> f64 {
    2.0 * COPPER_OHM_MM2_M * cable.length_m / cable.conductor_mm2
}

/// Current and voltage at a constant-power load behind a resistance. Past the collapse there is neither: half the voltage
/// and the current that would bring the power at it, for sums that are not to be too small.
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
    use crate::finding::Severity;
    use crate::package::Pack;

    #[test]
    fn a_peak_is_no_less_than_ordinary_use() {
        let load = |typical_w, peak_w| Load { typical_w, peak_w, window_v: None, tap: None, cable: None };
        assert!((fed_at(&load(70.0, 47.5), [15.0, 15.0]).peak_w - 70.0).abs() < 1e-12);
        assert!((fed_at(&load(70.0, 95.0), [15.0, 15.0]).peak_w - 95.0).abs() < 1e-12);
    }

    /// 40 W from six cells: 1.85 A at their mean of 21.6 V, 2.22 A at the cut-off of 18 V (by hand). In ordinary use a
    /// limit of 2 A is passed before the packs are empty.
    #[test]
    fn ordinary_use_is_that_on_packs_that_run_empty() {
        let (cells, capacity_ah, resistance_ohm) = (6.0, 8.0, 0.1);
        let pack = Pack { cells, capacity_ah, resistance_ohm, usable_share: 0.9, cutoff_v_cell: 3.0, rated_wh: None };
        let tap =
            |voltage| Tap { id: "a".into(), name: "A".into(), voltage, limit_a: 2.0, efficiency: 1.0, group: None };
        let load = Load { typical_w: 40.0, peak_w: 40.0, window_v: None, tap: Some("a".into()), cable: None };
        let bank = Bank { packs: vec![pack] };
        let used = tap_use(&[(1, &load)], &tap(TapVoltage::FollowsPack), &bank);
        assert!((used.report.typical_a - 40.0 / 18.0).abs() < 1e-12);
        assert_eq!(used.over(), Some(Severity::NoGo));
        let held = tap_use(&[(1, &load)], &tap(TapVoltage::Regulated { volts: 21.6 }), &bank);
        assert_eq!(held.over(), None);
    }

    /// 12 V behind 1 Ω pass 12²/4 = 36 W at most, at 6 V, whatever voltages the load accepts (by hand).
    #[test]
    fn a_cable_that_cannot_pass_the_power_is_told_without_a_window_too() {
        let cable = Cable { length_m: 29.0, conductor_mm2: 1.0 };
        let tap = Tap {
            id: "a".into(),
            name: "A".into(),
            voltage: TapVoltage::Regulated { volts: 12.0 },
            limit_a: 20.0,
            efficiency: 0.9,
            group: None,
        };
        for window_v in [None, Some([5.0, 15.0])] {
            for (power_w, starved) in [(35.9, false), (36.1, true)] {
                let (tap_id, cable) = (Some("a".into()), Some(cable.clone()));
                let load = Load { typical_w: 1.0, peak_w: power_w, window_v, tap: tap_id, cable };
                let fed = fed_at(&load, [12.0; 2]);
                assert!((fed.passes_w - 36.0).abs() < 1e-9 && fed.within != starved, "{fed:?}");
                let used = tap_use(&[(1, &load)], &tap, &Bank { packs: Vec::new() });
                assert_eq!((used.starved.len(), used.outside.len()), (usize::from(starved), 0));
            }
        }
    }

    #[test]
    fn drop_of_a_long_run() {
        // 10 m of 0.8230 mm² (18 AWG, ASTM B258), 5 A: 2.0948 V at 20 °C (computed from IEC 60028 copper).
        let cable = Cable { length_m: 10.0, conductor_mm2: 0.8230 };
        assert!((5.0 * cable_ohm(&cable) - 2.0948).abs() < 2e-3);
    }

    #[test]
    fn the_thinnest_conductor_leaves_just_the_lowest_voltage() {
        for (source_v, lowest_v, power_w, length_m) in
            [(15.0, 11.0, 12.0, 8.0), (24.0, 11.0, 95.0, 3.0), (18.0, 8.0, 60.0, 5.0)]
        {
            let conductor_mm2 = conductor_for_mm2(source_v, lowest_v, power_w, length_m).unwrap_or_default();
            let (_, load_v) = fed(source_v, cable_ohm(&Cable { length_m, conductor_mm2 }), power_w);
            assert!((load_v - lowest_v.max(0.5 * source_v)).abs() < 1e-6, "{load_v} V at {conductor_mm2} mm²");
        }
        assert_eq!(conductor_for_mm2(11.0, 11.0, 5.0, 1.0), None);
    }

    #[test]
    fn constant_power_behind_a_resistance() {
        // E 24 V, R 0.06 Ω, P 250 W: V 23.357817, I 10.703055 (computed from the quadratic).
        let (current_a, load_v) = fed(24.0, 0.06, 250.0);
        assert!((load_v - 23.357_817).abs() < 1e-6 && (current_a - 10.703_055).abs() < 1e-6);
    }
}
