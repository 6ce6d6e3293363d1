//! Constant-power discharge of packs in parallel.
//!
//! Every pack is an open-circuit voltage E(s) behind a resistance R and a diode: it feeds the bus but takes no current
//! back. At bus voltage V the packs give Σ max(0, (E − V)/R)·V.

use super::ocv::{KNOTS, open_circuit_v};
use super::unlike;
use crate::float::sort_largest_first;
use crate::package::{Pack, Package};

/// Packs that feed one bus together.
#[derive(Debug, Clone, PartialEq)]
pub struct Bank {
    /// The packs, in the order of the package.
    pub packs: Vec<Pack>,
}

impl Bank {
    /// The packs that ride.
    pub fn of(package: &Package) -> Self {
        Self { packs: package.riding().filter_map(|part| part.pack.clone()).collect() }
    }

    /// Whether all packs discharge in the same way: what is printed on them does not matter.
    fn alike(&self) -> bool {
        let plain = |pack: &Pack| Pack { rated_wh: None, ..pack.clone() };
        self.packs.windows(2).all(|pair| plain(&pair[0]) == plain(&pair[1]))
    }

    /// Charge that can be used of every pack, Ah.
    pub(super) fn usable_ah(&self) -> impl Iterator<Item = f64> + '_ {
        self.packs.iter().map(|pack| pack.capacity_ah * pack.usable_share)
    }
}

/// State of charge of every pack of a bank, 0 to 1 of what can be used.
#[derive(Debug, Clone, PartialEq)]
pub struct Charge(pub(super) Vec<f64>);

impl Charge {
    /// A set as it comes from the charger.
    pub fn full(bank: &Bank) -> Self {
        Self(vec![1.0; bank.packs.len()])
    }

    /// What is left of the whole set, 0 to 1.
    pub fn share(&self, bank: &Bank) -> f64 {
        let all_ah: f64 = bank.usable_ah().sum();
        let left_ah: f64 = bank.usable_ah().zip(&self.0).map(|(usable_ah, charge)| usable_ah * charge).sum();
        if all_ah > 0.0 { left_ah / all_ah } else { 0.0 }
    }
}

/// Open-circuit energy of the usable part of every pack, Wh.
pub fn usable_wh(bank: &Bank) -> f64 {
    bank.packs.iter().map(|pack| pack.cells * pack.capacity_ah * pack.usable_share * mean_open_circuit_v()).sum()
}

fn mean_open_circuit_v() -> f64 {
    KNOTS.windows(2).map(|pair| 0.5 * (pair[0].1 + pair[1].1) * (pair[1].0 - pair[0].0)).sum()
}

/// The most that full packs can give with the bus at their cut-off or above, W: Σ max(0, (E − V)/R)·V, largest at
/// V = ½·Σ(E/R)/Σ(1/R) of the packs that feed, or at the cut-off where that is higher.
pub fn bank_power_limit_w(bank: &Bank) -> f64 {
    let cutoff_v = bank.packs.iter().map(|pack| pack.cells * pack.cutoff_v_cell).fold(f64::INFINITY, f64::min);
    let mut full: Vec<[f64; 2]> =
        bank.packs.iter().map(|pack| [pack.cells * open_circuit_v(1.0), resistance_ohm(pack)]).collect();
    sort_largest_first(&mut full, |[full_v, _]| *full_v);
    // Those of the highest voltage feed first: every bus voltage has so many of them feeding.
    let (mut short_a, mut conductance, mut most_w) = (0.0, 0.0, 0.0_f64);
    for [full_v, ohm] in full {
        short_a += full_v / ohm;
        conductance += 1.0 / ohm;
        let bus_v = f64::max(0.5 * short_a / conductance, cutoff_v);
        most_w = most_w.max((short_a - conductance * bus_v) * bus_v);
    }
    most_w
}

/// A pack without any resistance is not real and would make the bus undefined; a tenth of a milliohm is nothing.
pub(super) fn resistance_ohm(pack: &Pack) -> f64 {
    pack.resistance_ohm.max(1e-4)
}

/// How long the packs feed a constant power, h: from full to the first of empty, cut-off voltage, or collapse.
///
/// `None` when the packs cannot give the power even when full, or when nothing is drawn.
pub fn runtime_h(bank: &Bank, power_w: f64) -> Option<f64> {
    if power_w <= 0.0 || bank.packs.is_empty() {
        return None;
    }
    let hours = feed_h(bank, &mut Charge::full(bank), power_w, f64::INFINITY);
    (hours > 0.0).then_some(hours)
}

/// Draws a constant power for at most so many hours and takes the charge along; gives the hours for which the packs
/// fed: fewer when they came to empty, to cut-off voltage or to collapse before.
///
/// Like packs are one pack: t = ∫ C ds / i(s) by five-point Gauss between the knots of the curve. Unlike packs share
/// the current by their voltages and are integrated in small steps of charge.
pub fn feed_h(bank: &Bank, charge: &mut Charge, power_w: f64, most_h: f64) -> f64 {
    if power_w <= 0.0 {
        return most_h;
    }
    match (bank.alike(), bank.packs.first(), charge.0.first().copied()) {
        (true, Some(pack), Some(now)) => {
            let (hours, left) = feed_alike_h(pack, now, power_w / bank.packs.len() as f64, most_h);
            charge.0.fill(left);
            hours
        }
        (false, ..) => unlike::feed_h(bank, &mut charge.0, power_w, most_h),
        _ => 0.0,
    }
}

/// Current of one pack and bus voltage at constant power: V = (E + √(E² − 4RP))/2; `None` past the collapse.
pub(super) fn current_a(open_v: f64, resistance_ohm: f64, power_w: f64) -> Option<(f64, f64)> {
    let square = open_v * open_v - 4.0 * resistance_ohm * power_w;
    if square < 0.0 {
        return None;
    }
    let bus_v = 0.5 * (open_v + libm::sqrt(square));
    Some((power_w / bus_v, bus_v))
}

/// Hours that one of several like packs feeds from a state of charge on, and what is left of it then.
fn feed_alike_h(pack: &Pack, from: f64, each_w: f64, most_h: f64) -> (f64, f64) {
    let capacity_ah = pack.capacity_ah * pack.usable_share;
    let feeds = |charge: f64| {
        current_a(pack.cells * open_circuit_v(charge), resistance_ohm(pack), each_w)
            .filter(|(_, bus_v)| *bus_v >= pack.cells * pack.cutoff_v_cell)
            .map(|(current_a, _)| current_a)
    };
    if feeds(from).is_none() {
        return (0.0, from);
    }
    let integrand = |charge: f64| capacity_ah / feeds(charge).unwrap_or(f64::INFINITY);
    let empty = end_of_charge(&feeds);
    let (mut hours, mut top) = (0.0, from);
    for pair in KNOTS.windows(2).rev() {
        let (low, high) = (pair[0].0.max(empty), pair[1].0.min(top));
        if high <= low {
            continue;
        }
        let span_h = gauss(low, high, &integrand);
        if hours + span_h >= most_h {
            return (most_h, charge_after(low, high, most_h - hours, &integrand));
        }
        hours += span_h;
        top = low;
    }
    (hours, top)
}

/// The charge at which so many hours have gone since `high`, by Newton's method; it lies between `low` and `high`.
fn charge_after(low: f64, high: f64, hours: f64, integrand: &dyn Fn(f64) -> f64) -> f64 {
    let mut charge = high;
    for _ in 0..12 {
        let per_charge_h = integrand(charge).max(1e-12);
        let step = (gauss(charge, high, integrand) - hours) / per_charge_h;
        charge = (charge + step).clamp(low, high);
        if step.abs() < 1e-15 {
            break;
        }
    }
    charge
}

/// State of charge at which the pack stops feeding: the voltage falls with the charge, so bisection finds it.
fn end_of_charge(feeds: &dyn Fn(f64) -> Option<f64>) -> f64 {
    if feeds(0.0).is_some() {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if feeds(middle).is_some() { high = middle } else { low = middle }
    }
    high
}

/// Five-point Gauss–Legendre quadrature. Source of nodes and weights: Abramowitz and Stegun, table 25.4.
fn gauss(low: f64, high: f64, integrand: &dyn Fn(f64) -> f64) -> f64 {
    const NODES: [(f64, f64); 3] = [
        (0.0, 0.568_888_888_888_888_9),
        (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
        (0.906_179_845_938_664, 0.236_926_885_056_189_08),
    ];
    let (middle, half) = (0.5 * (low + high), 0.5 * (high - low));
    let [(_, centre_weight), pairs @ ..] = NODES;
    let sum: f64 = pairs
        .iter()
        .map(|(node, weight)| weight * (integrand(middle - half * node) + integrand(middle + half * node)))
        .sum();
    half * (centre_weight * integrand(middle) + sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pack(cells: f64, capacity_ah: f64) -> Pack {
        Pack { cells, capacity_ah, resistance_ohm: 0.1, usable_share: 0.93, cutoff_v_cell: 2.5, rated_wh: None }
    }

    #[test]
    fn five_hours_in_the_trade() {
        // Common practice, no source: two six-cell packs of 10 Ah run an ordinary package of 77 W behind a converter
        // of 0.93 for 4 h 59, "about five hours".
        let bank = Bank { packs: vec![pack(6.0, 10.0), pack(6.0, 10.0)] };
        let hours = runtime_h(&bank, 77.0 / 0.93).unwrap_or_default();
        assert!((hours - (4.0 + 59.0 / 60.0)).abs() < 0.02 * hours, "{hours}");
    }

    #[test]
    fn a_bank_treated_as_unlike_agrees_with_the_closed_integral() {
        let bank = Bank { packs: vec![pack(6.0, 10.0), pack(6.0, 10.0)] };
        let alike = runtime_h(&bank, 120.0).unwrap_or_default();
        let unlike = unlike::feed_h(&bank, &mut vec![1.0; 2], 120.0, f64::INFINITY);
        assert!((alike - unlike).abs() < 1e-4 * alike, "{alike} {unlike}");
    }

    #[test]
    fn hours_in_two_goes_are_those_in_one() {
        for packs in [vec![pack(6.0, 10.0), pack(6.0, 10.0)], vec![pack(6.0, 10.0), pack(6.0, 7.0)]] {
            let bank = Bank { packs };
            let whole = runtime_h(&bank, 120.0).unwrap_or_default();
            for share in [0.01, 0.3, 0.77, 0.999] {
                let mut charge = Charge::full(&bank);
                let first = feed_h(&bank, &mut charge, 120.0, share * whole);
                let rest = feed_h(&bank, &mut charge, 120.0, f64::INFINITY);
                assert!((first - share * whole).abs() < 1e-12, "{first}");
                // Steps of the unlike bank fall elsewhere: they promise 1e-6 of the runtime.
                let slack = if bank.alike() { 1e-9 } else { 1e-5 };
                assert!((first + rest - whole).abs() < slack * whole, "{share}: {first} + {rest} of {whole}");
            }
        }
    }

    #[test]
    fn no_runtime_past_the_power_limit() {
        let bank = Bank { packs: vec![pack(6.0, 10.0)] };
        let limit_w = bank_power_limit_w(&bank);
        assert_eq!(runtime_h(&bank, 1.01 * limit_w), None);
    }

    /// 25.2 V behind 0.4 Ω could give 396.9 W at 12.6 V; a cut-off of 21 V leaves (25.2 − 21)/0.4 · 21 = 220.5 W (by hand).
    #[test]
    fn the_cut_off_limits_the_power_as_well() {
        let weak = |cutoff_v_cell| Pack { resistance_ohm: 0.4, cutoff_v_cell, ..pack(6.0, 8.0) };
        for (cutoff_v_cell, most_w) in [(2.0, 396.9), (3.5, 220.5), (4.3, 0.0)] {
            let bank = Bank { packs: vec![weak(cutoff_v_cell)] };
            assert!((bank_power_limit_w(&bank) - most_w).abs() < 1e-9, "{}", bank_power_limit_w(&bank));
            assert_eq!(runtime_h(&bank, most_w + 0.1), None);
            assert!(most_w == 0.0 || runtime_h(&bank, most_w - 0.1).is_some());
        }
    }

    /// The limit is where the discharge itself begins to fail, for packs of different voltages too.
    #[test]
    fn unlike_packs_feed_up_to_the_limit() {
        let beside =
            |cells, resistance_ohm| Bank { packs: vec![pack(7.0, 8.0), Pack { resistance_ohm, ..pack(cells, 8.0) }] };
        for bank in [beside(6.0, 0.05), beside(4.0, 0.4)] {
            let most_w = bank_power_limit_w(&bank);
            assert!(runtime_h(&bank, 0.999 * most_w).is_some(), "{most_w}");
            assert_eq!(runtime_h(&bank, 1.001 * most_w), None);
        }
    }

    #[test]
    fn a_small_pack_beside_a_large_one_lasts_no_longer_than_its_share() {
        let bank = Bank { packs: vec![pack(6.0, 10.0), pack(6.0, 5.0)] };
        let hours = runtime_h(&bank, 80.0).unwrap_or_default();
        let whole = usable_wh(&bank) / 80.0;
        assert!(hours > 0.95 * whole && hours < whole, "{hours} of {whole}");
    }
}
