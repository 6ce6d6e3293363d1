//! Constant-power discharge of packs in parallel.
//!
//! Every pack is an open-circuit voltage E(s) behind a resistance R and a diode: it feeds the bus but takes no current
//! back. At bus voltage V the packs give Σ max(0, (E − V)/R)·V.

use super::ocv::{KNOTS, open_circuit_v};
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

    fn alike(&self) -> bool {
        self.packs.windows(2).all(|pair| pair[0] == pair[1])
    }
}

/// Open-circuit energy of the usable part of every pack, Wh.
pub fn usable_wh(bank: &Bank) -> f64 {
    bank.packs.iter().map(|pack| pack.cells * pack.capacity_ah * pack.usable_share * mean_open_circuit_v()).sum()
}

fn mean_open_circuit_v() -> f64 {
    KNOTS.windows(2).map(|pair| 0.5 * (pair[0].1 + pair[1].1) * (pair[1].0 - pair[0].0)).sum()
}

/// The most that full packs can give, W: each alone gives E²/4R; the bus is at half of E.
pub fn bank_power_limit_w(bank: &Bank) -> f64 {
    bank.packs
        .iter()
        .map(|pack| {
            let full_v = pack.cells * open_circuit_v(1.0);
            full_v * full_v / (4.0 * resistance_ohm(pack))
        })
        .sum()
}

/// A pack without any resistance is not real and would make the bus undefined; a tenth of a milliohm is nothing.
fn resistance_ohm(pack: &Pack) -> f64 {
    pack.resistance_ohm.max(1e-4)
}

/// How long the packs feed a constant power, h: from full to the first of empty, cut-off voltage, or collapse.
///
/// Like packs are one pack: t = ∫ C ds / i(s) by five-point Gauss between the knots of the curve. Unlike packs share
/// the current by their voltages and are integrated in small steps of charge.
///
/// `None` when the packs cannot give the power even when full, or when nothing is drawn.
pub fn runtime_h(bank: &Bank, power_w: f64) -> Option<f64> {
    if power_w <= 0.0 || bank.packs.is_empty() {
        return None;
    }
    if bank.alike() { alike_h(bank, power_w) } else { unlike_h(bank, power_w) }
}

/// Current of one pack and bus voltage at constant power: V = (E + √(E² − 4RP))/2; `None` past the collapse.
fn current_a(open_v: f64, resistance_ohm: f64, power_w: f64) -> Option<(f64, f64)> {
    let square = open_v * open_v - 4.0 * resistance_ohm * power_w;
    if square < 0.0 {
        return None;
    }
    let bus_v = 0.5 * (open_v + libm::sqrt(square));
    Some((power_w / bus_v, bus_v))
}

fn alike_h(bank: &Bank, power_w: f64) -> Option<f64> {
    let pack = bank.packs.first()?;
    let each_w = power_w / bank.packs.len() as f64;
    let capacity_ah = pack.capacity_ah * pack.usable_share;
    let feeds = |charge: f64| {
        current_a(pack.cells * open_circuit_v(charge), resistance_ohm(pack), each_w)
            .filter(|(_, bus_v)| *bus_v >= pack.cells * pack.cutoff_v_cell)
            .map(|(current_a, _)| current_a)
    };
    feeds(1.0)?;
    let empty = end_of_charge(&feeds);
    let mut hours = 0.0;
    for pair in KNOTS.windows(2) {
        let (low, high) = (pair[0].0.max(empty), pair[1].0);
        if high > low {
            hours += gauss(low, high, &|charge| capacity_ah / feeds(charge).unwrap_or(f64::INFINITY));
        }
    }
    Some(hours)
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

/// Steps of the unlike bank: each draws a thousandth of the charge in it, which is 1e-6 of the runtime.
const STEPS: f64 = 1_000.0;

fn unlike_h(bank: &Bank, power_w: f64) -> Option<f64> {
    let mut charges = vec![1.0; bank.packs.len()];
    let total_ah: f64 = bank.packs.iter().map(|pack| pack.capacity_ah * pack.usable_share).sum();
    let mut hours = 0.0;
    let mut started = false;
    while let Some(currents) = share_a(bank, &charges, power_w) {
        started = true;
        let sum_a: f64 = currents.iter().sum();
        // Never past the point where a pack runs empty.
        let to_empty_h = bank
            .packs
            .iter()
            .zip(&currents)
            .zip(&charges)
            .filter(|((_, current), _)| **current > 0.0)
            .map(|((pack, current), charge)| charge * pack.capacity_ah * pack.usable_share / current)
            .fold(f64::INFINITY, f64::min);
        let step_h = (total_ah / STEPS / sum_a).min(to_empty_h);
        // Midpoint rule: the currents half-way through the step.
        let middle = drained(bank, &charges, &currents, 0.5 * step_h);
        let currents = share_a(bank, &middle, power_w).unwrap_or(currents);
        let step_h = last_feeding_h(bank, &charges, &currents, step_h, power_w);
        charges = drained(bank, &charges, &currents, step_h);
        hours += step_h;
        if step_h < 1e-9 {
            break;
        }
    }
    started.then_some(hours)
}

/// The whole step, or as much of it as the bank still feeds, by bisection: the end of the day falls inside a step.
fn last_feeding_h(bank: &Bank, charges: &[f64], currents_a: &[f64], step_h: f64, power_w: f64) -> f64 {
    let feeds = |step_h: f64| share_a(bank, &drained(bank, charges, currents_a, step_h), power_w).is_some();
    if feeds(step_h) {
        return step_h;
    }
    let (mut low, mut high) = (0.0, step_h);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if feeds(middle) { low = middle } else { high = middle }
    }
    low
}

fn drained(bank: &Bank, charges: &[f64], currents_a: &[f64], step_h: f64) -> Vec<f64> {
    bank.packs
        .iter()
        .zip(charges)
        .zip(currents_a)
        .map(|((pack, charge), current)| {
            (charge - current * step_h / (pack.capacity_ah * pack.usable_share).max(1e-9)).max(0.0)
        })
        .collect()
}

/// Current of every pack at constant total power; `None` when they cannot give it or the bus is below cut-off.
/// Empty packs and packs below the bus voltage give nothing.
fn share_a(bank: &Bank, charges: &[f64], power_w: f64) -> Option<Vec<f64>> {
    let open_v: Vec<f64> =
        bank.packs.iter().zip(charges).map(|(pack, charge)| pack.cells * open_circuit_v(*charge)).collect();
    let live: Vec<bool> = charges.iter().map(|charge| *charge > 1e-6).collect();
    let cutoff_v = bank
        .packs
        .iter()
        .zip(&live)
        .filter(|(_, live)| **live)
        .map(|(pack, _)| pack.cells * pack.cutoff_v_cell)
        .fold(f64::INFINITY, f64::min);
    let mut feeding = live;
    loop {
        let (mut conductance, mut short_a) = (0.0, 0.0);
        for ((pack, open_v), _) in bank.packs.iter().zip(&open_v).zip(&feeding).filter(|(_, feeding)| **feeding) {
            conductance += 1.0 / resistance_ohm(pack);
            short_a += open_v / resistance_ohm(pack);
        }
        if conductance <= 0.0 {
            return None;
        }
        let (_, bus_v) = current_a(short_a / conductance, 1.0 / conductance, power_w)?;
        if bus_v < cutoff_v {
            return None;
        }
        let blocked = feeding.iter().zip(&open_v).position(|(feeding, open_v)| *feeding && *open_v < bus_v);
        match blocked {
            Some(pack) => feeding[pack] = false,
            None => {
                return Some(
                    bank.packs
                        .iter()
                        .zip(&open_v)
                        .zip(&feeding)
                        .map(
                            |((pack, open_v), feeding)| {
                                if *feeding { (open_v - bus_v) / resistance_ohm(pack) } else { 0.0 }
                            },
                        )
                        .collect(),
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pack(cells: f64, capacity_ah: f64) -> Pack {
        Pack { cells, capacity_ah, resistance_ohm: 0.1, usable_share: 0.93, cutoff_v_cell: 2.5 }
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
        let (alike, unlike) = (alike_h(&bank, 120.0), unlike_h(&bank, 120.0));
        let (alike, unlike) = (alike.unwrap_or_default(), unlike.unwrap_or_default());
        assert!((alike - unlike).abs() < 1e-4 * alike, "{alike} {unlike}");
    }

    #[test]
    fn no_runtime_past_the_power_limit() {
        let bank = Bank { packs: vec![pack(6.0, 10.0)] };
        let limit_w = bank_power_limit_w(&bank);
        assert_eq!(runtime_h(&bank, 1.01 * limit_w), None);
    }

    #[test]
    fn a_small_pack_beside_a_large_one_lasts_no_longer_than_its_share() {
        let bank = Bank { packs: vec![pack(6.0, 10.0), pack(6.0, 5.0)] };
        let hours = runtime_h(&bank, 80.0).unwrap_or_default();
        let whole = usable_wh(&bank) / 80.0;
        assert!(hours > 0.95 * whole && hours < whole, "{hours} of {whole}");
    }
}
