//! Density of the air against the integrated hydrostatic equation.

use checks::{build, fixture};
use serde::Deserialize;
use solver::package::Element;

#[derive(Deserialize)]
struct Case {
    altitude_m: f64,
    air_k: f64,
    kg_m3: f64,
}

#[test]
fn density_agrees_with_the_hydrostatic_equation() {
    for case in fixture::read::<Case>("air") {
        let mut package = build::package(vec![Element::Joint(build::joint("pan", [0.0, 0.0, 1.0], [0.0; 3]))]);
        let mut still = build::still(1);
        (still.altitude_m, still.air_k) = (case.altitude_m, case.air_k);
        package.moves.push(still);
        let report = solver::check(&package).expect("a plain package");
        let torque = report.torque.known().expect("torque is known when there is a move");
        let density = torque.moves[0].air_kg_m3;
        let off = (density - case.kg_m3).abs() / case.kg_m3;
        assert!(off < 1e-9, "{} m, {} K: {density} against {}", case.altitude_m, case.air_k, case.kg_m3);
    }
}
