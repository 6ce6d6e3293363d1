//! Constant power behind a resistance, copper wire, packs, and what the trade knows of hours and taps.

use checks::build;
use checks::table::{near, run};
use serde::Deserialize;
use serde_json::json;
use solver::finding::Matter;
use solver::package::Load;
use solver::power::open_circuit_v;
use solver::{Package, Report};

/// A head with one regulated tap and one part on it.
fn fed(volts: f64, limit_a: f64, efficiency: f64, load: Load) -> Package {
    let mut package = build::package(vec![build::camera_place()]);
    package.head.taps = build::typed(json!([{
        "id": "tap", "name": "tap", "voltage": { "regulated": { "volts": volts } }, "limit_a": limit_a,
        "efficiency": efficiency,
    }]));
    let mut part = build::point(1, "camera", 1.0, [0.0; 3]);
    part.load = Some(load);
    package.parts.push(part);
    package
}

fn load(power_w: f64, cable: Option<(f64, f64)>) -> Load {
    let mut load: Load = build::typed(json!({ "typical_w": power_w, "peak_w": power_w, "tap": "tap" }));
    load.cable = cable
        .map(|(length_m, conductor_mm2)| build::typed(json!({ "length_m": length_m, "conductor_mm2": conductor_mm2 })));
    load
}

fn check(package: &Package) -> Report {
    solver::check(package).unwrap_or_else(|faults| panic!("{faults:?}"))
}

#[derive(Deserialize)]
struct Wire {
    conductor_mm2: f64,
    ohm_per_km: f64,
    tolerance: f64,
}

/// The resistance of 50 m there and back follows from the current that 1 W draws through it from 24 V.
#[test]
fn copper_wire() {
    run("copper_wire", |row: &Wire| {
        let report = check(&fed(24.0, 100.0, 1.0, load(1.0, Some((50.0, row.conductor_mm2)))));
        let current_a = report.power.taps[0].typical_a;
        let ohm = (24.0 - 1.0 / current_a) / current_a;
        near("resistance", ohm / 0.1, row.ohm_per_km, row.tolerance * row.ohm_per_km)
    });
}

#[derive(Deserialize)]
struct ConstantPower {
    volts: f64,
    ohm: f64,
    power_w: f64,
    current_a: f64,
    tolerance: f64,
}

#[test]
fn constant_power_behind_a_resistance() {
    run("constant_power", |row: &ConstantPower| {
        // Copper of 1/58 Ω·mm²/m, there and back, of the length that makes up the resistance.
        let conductor_mm2 = 0.5;
        let length_m = 0.5 * row.ohm * 58.0 * conductor_mm2;
        let report = check(&fed(row.volts, 100.0, 1.0, load(row.power_w, Some((length_m, conductor_mm2)))));
        near("current", report.power.taps[0].typical_a, row.current_a, row.tolerance)
    });
}

#[derive(Deserialize)]
struct Falling {
    full_v: f64,
    empty_v: f64,
    capacity_ah: f64,
    ohm: f64,
    power_w: f64,
    hours: f64,
    tolerance: f64,
}

/// Hours at constant power while the open-circuit voltage falls in a straight line: t = (Q/ΔE)·[F(E₁) − F(E₀)] with
/// F(E) = [E²/2 + ½(E√(E² − a) − a ln(E + √(E² − a)))] / 2P and a = 4RP.
fn straight_line_h(row: &Falling) -> f64 {
    let a = 4.0 * row.ohm * row.power_w;
    let antiderivative = |volts: f64| {
        let root = (volts * volts - a).sqrt();
        (0.5 * volts * volts + 0.5 * (volts * root - a * solver::float::ln(volts + root))) / (2.0 * row.power_w)
    };
    row.capacity_ah / (row.full_v - row.empty_v) * (antiderivative(row.full_v) - antiderivative(row.empty_v))
}

/// The closed form gives the printed hours, and, piece by piece along the curve of a cell, those of the solver.
#[test]
fn discharge_in_closed_form() {
    run("falling_voltage", |row: &Falling| near("closed form", straight_line_h(row), row.hours, row.tolerance));
    for (cells, capacity_ah, ohm, power_w) in [(6.0, 10.0, 0.06, 250.0), (4.0, 6.8, 0.1, 30.0), (7.0, 12.0, 0.15, 90.0)]
    {
        let mut package = build::package(vec![build::camera_place()]);
        package.head.idle_w = power_w;
        let mut part = build::point(1, "camera", 1.0, [0.0; 3]);
        part.pack = Some(build::typed(json!({
            "cells": cells, "capacity_ah": capacity_ah, "resistance_ohm": ohm, "usable_share": 1.0, "cutoff_v_cell": 1.0,
        })));
        package.parts.push(part);
        let report = check(&package);
        let hours = report.power.runtime_h.known().map_or(f64::NAN, |hours| hours.value);
        // A cut-off of 1 V leaves only the end of the charge, and the curve is straight between its knots.
        let knots = [0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0];
        let expected: f64 = knots
            .windows(2)
            .map(|pair| {
                straight_line_h(&Falling {
                    full_v: cells * open_circuit_v(pair[1]),
                    empty_v: cells * open_circuit_v(pair[0]),
                    capacity_ah: capacity_ah * (pair[1] - pair[0]),
                    ohm,
                    power_w,
                    hours: 0.0,
                    tolerance: 0.0,
                })
            })
            .sum();
        assert!((hours - expected).abs() < 1e-9 * expected, "{power_w} W: {hours} h against {expected} h");
    }
}

#[derive(Deserialize)]
struct Hours {
    packs: u32,
    cells: f64,
    capacity_ah: f64,
    usable_share: f64,
    cutoff_v_cell: f64,
    converter: f64,
    load_w: f64,
    hours: f64,
    share: f64,
}

#[test]
fn hours_in_the_trade() {
    run("hours_in_the_trade", |row: &Hours| {
        let mut package = fed(15.0, 10.0, row.converter, load(row.load_w, None));
        for id in 0..row.packs {
            let mut pack = build::point(10 + id, "camera", 1.2, [0.0; 3]);
            pack.pack = Some(build::typed(json!({
                "cells": row.cells, "capacity_ah": row.capacity_ah, "resistance_ohm": 0.09,
                "usable_share": row.usable_share, "cutoff_v_cell": row.cutoff_v_cell,
            })));
            package.parts.push(pack);
        }
        let report = check(&package);
        let hours = report.power.runtime_h.known().map_or(f64::NAN, |hours| hours.value);
        near("hours", hours, row.hours, row.share * row.hours)
    });
}

#[derive(Deserialize)]
struct Tap {
    volts: f64,
    limit_a: f64,
    load_w: f64,
    over: bool,
}

#[test]
fn taps_in_the_trade() {
    run("taps_in_the_trade", |row: &Tap| {
        let report = check(&fed(row.volts, row.limit_a, 1.0, load(row.load_w, None)));
        let over = report.findings.iter().any(|finding| matches!(finding.matter, Matter::TapOver { .. }));
        if over == row.over { Ok(()) } else { Err(format!("over the limit: {over}")) }
    });
}
