//! Air, wind and road, as a move of the day meets them.

use checks::build;
use checks::table::{near, run};
use serde::Deserialize;
use serde_json::json;
use solver::package::{Element, Move};
use solver::report::MoveTorque;
use solver::{Package, package};

/// A head with one upright axis, and one move of the day.
fn on(each: Move, parts: Vec<package::Part>) -> MoveTorque {
    let axis = Element::Joint(build::joint("pan", [0.0, 0.0, 1.0], [0.0; 3]));
    let mut package: Package = build::package(vec![axis, build::camera_place()]);
    package.moves = vec![each];
    package.parts = parts;
    let report = solver::check(&package).unwrap_or_else(|faults| panic!("{faults:?}"));
    report.torque.known().expect("torque is known when there is a move").moves[0].clone()
}

#[derive(Deserialize)]
struct Air {
    altitude_m: f64,
    air_k: f64,
    kg_m3: f64,
    tolerance: f64,
}

#[test]
fn air_density() {
    run("air_density", |row: &Air| {
        let mut each = build::still(1);
        (each.altitude_m, each.air_k) = (row.altitude_m, row.air_k);
        near("density", on(each, Vec::new()).air_kg_m3, row.kg_m3, row.tolerance)
    });
}

#[derive(Deserialize)]
struct Wind {
    shape: String,
    size_m: [f64; 3],
    drag_coefficient: f64,
    airspeed_m_s: f64,
    force_n: f64,
    tolerance: f64,
}

/// Sea level at 15 °C; the wind comes from where it pushes most.
#[test]
fn wind_force() {
    run("wind_force", |row: &Wind| {
        let mut part = build::solid(1, "camera", &row.shape, 1.0, [0.0; 3], row.size_m);
        (part.drag.coefficient, part.drag.sheltered) = (row.drag_coefficient, false);
        let mut each = build::still(1);
        each.airspeed_m_s = row.airspeed_m_s;
        near("force", on(each, vec![part]).wind_force_n, row.force_n, row.tolerance)
    });
}

#[derive(Deserialize)]
struct Road {
    class: String,
    speed_km_h: f64,
    rms_m_s2: f64,
}

/// The body of the stated quarter car. Half a per cent, as the printed digits and the band of the spectrum allow.
#[test]
fn road_ride() {
    run("road_ride", |row: &Road| {
        let mut each = build::still(1);
        each.motion = build::typed(json!({ "road": {
            "class": row.class, "speed_m_s": row.speed_km_h / 3.6, "wheelbase_m": 0.0, "lateral_share": 0.0,
            "fore_aft_share": 0.0, "lean_rad": 0.0, "steady_m_s2": 0.0,
        }}));
        near("heave", on(each, Vec::new()).platform.rms_up_m_s2, row.rms_m_s2, 0.005 * row.rms_m_s2)
    });
}
