//! Discharge of packs that are not alike: each has its own state of charge, and they share the current by their voltages.

use super::discharge::{Bank, current_a, resistance_ohm};
use super::ocv::open_circuit_v;

/// Steps of the unlike bank: each draws a thousandth of the charge in it, which is 1e-6 of the runtime.
const STEPS: f64 = 1_000.0;

/// No step is shorter, h.
const SHORTEST_H: f64 = 1e-9;

/// Draws a constant power for at most so many hours and takes the charges along; gives the hours for which the bank
/// fed.
pub(super) fn feed_h(bank: &Bank, charges: &mut Vec<f64>, power_w: f64, most_h: f64) -> f64 {
    let total_ah: f64 = bank.usable_ah().sum();
    let mut hours = 0.0;
    while let Some(currents) = share_a(bank, charges, power_w) {
        let left_h = most_h - hours;
        if left_h < SHORTEST_H {
            break;
        }
        let sum_a: f64 = currents.iter().sum();
        // Never past the point where a pack runs empty.
        let to_empty_h = bank
            .usable_ah()
            .zip(&currents)
            .zip(&*charges)
            .filter(|((_, current), _)| **current > 0.0)
            .map(|((usable_ah, current), charge)| charge * usable_ah / current)
            .fold(f64::INFINITY, f64::min);
        let step_h = (total_ah / STEPS / sum_a).min(to_empty_h).min(left_h);
        // Midpoint rule: the currents half-way through the step.
        let middle = drained(bank, charges, &currents, 0.5 * step_h);
        let currents = share_a(bank, &middle, power_w).unwrap_or(currents);
        let step_h = last_feeding_h(bank, charges, &currents, step_h, power_w);
        *charges = drained(bank, charges, &currents, step_h);
        hours += step_h;
        // Nothing but an end makes a step that short.
        if step_h < SHORTEST_H {
            break;
        }
    }
    if most_h - hours < SHORTEST_H { most_h } else { hours }
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
