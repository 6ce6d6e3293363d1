//! Weighing on two scales, through the door that the screen uses.

use checks::table::{near, run};
use serde::Deserialize;
use solver::answer::Estimate;
use solver::measure::{Support, TwoScales, two_scales};

/// An aircraft is heavier and longer than any camera: its figures shrink by these. A centre of gravity does not mind.
const KG_PER_WEIGHT: f64 = 0.01;
const M_PER_STATION: f64 = 0.01;

#[derive(Deserialize)]
struct Weighed {
    unit: Option<String>,
    first: [f64; 2],
    second: [f64; 2],
    #[serde(default)]
    reading_u: f64,
    weight: f64,
    cg: f64,
    tolerance: f64,
    u: Option<f64>,
    u_tolerance: Option<f64>,
}

#[test]
fn centre_of_gravity_from_two_reactions() {
    run("reactions", |row: &Weighed| {
        let (per_weight, per_station) = if row.unit.is_some() { (1.0, 1.0) } else { (KG_PER_WEIGHT, M_PER_STATION) };
        let support = |[reading, station]: [f64; 2]| Support {
            reading_kg: Estimate::new(reading * per_weight, row.reading_u * per_weight),
            ahead_m: Estimate::new(station * per_station, 0.0),
        };
        let input = TwoScales { first: support(row.first), second: support(row.second) };
        let found = two_scales(&input).map_err(|faults| format!("{faults:?}"))?;
        near("weight", found.mass_kg.value / per_weight, row.weight, 1e-9 * row.weight)?;
        near("centre of gravity", found.ahead_m.value / per_station, row.cg, row.tolerance)?;
        if let (Some(u), Some(tolerance)) = (row.u, row.u_tolerance) {
            near("standard uncertainty", found.ahead_m.u, u, tolerance)?;
        }
        // Scales the other way round tell the same.
        let turned = TwoScales { first: input.second, second: input.first };
        let again = two_scales(&turned).map_err(|faults| format!("{faults:?}"))?;
        near("turned round", again.ahead_m.value, found.ahead_m.value, 1e-12)
    });
}
