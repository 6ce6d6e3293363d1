//! Which part the wind gets hold of.

use solver::layout::Layout;
use solver::torque::{WindShareOf, torque_report, wind_on_axis};

use super::builds::{medium, targets_m};

#[test]
fn shares_add_up_and_sheltering_the_largest_helps() {
    let mut package = medium();
    package.moves[0].airspeed_m_s = 25.0;
    let marks_m = targets_m(&package);
    let report =
        |package: &solver::Package| torque_report(package, &Layout::new(package), &marks_m).moves.swap_remove(0);
    let before = report(&package);
    let wind = wind_on_axis(&package, &Layout::new(&package), &marks_m, &before).expect("axes are there");
    let axis = before.axes.iter().find(|axis| axis.joint == wind.joint).expect("that axis");
    let sum: f64 = wind.shares.iter().map(|share| share.torque_nm).sum();
    assert!((wind.torque_nm / axis.peak.wind_nm - 1.0).abs() < 1e-9, "{} {}", wind.torque_nm, axis.peak.wind_nm);
    assert!((sum / wind.torque_nm - 1.0).abs() < 1e-9, "{sum} {}", wind.torque_nm);
    assert!(wind.from_ahead_nm <= wind.torque_nm);
    let counter = wind.counter_sail_m3.expect("there is wind");
    let pressure = 0.5 * before.air_kg_m3 * (25.0 * 1.5) * (25.0 * 1.5);
    assert!((1.17 * counter * pressure / wind.torque_nm - 1.0).abs() < 1e-9);

    // The matte box stands furthest ahead and shows most.
    assert_eq!(wind.shares[0].of, WindShareOf::Part(2));
    for part in &mut package.parts {
        part.drag.sheltered |= wind.shares[0].of == WindShareOf::Part(part.id);
    }
    let after = report(&package);
    let calmer = after.axes.iter().find(|axis| axis.joint == wind.joint).expect("that axis");
    assert!(calmer.peak.wind_nm < axis.peak.wind_nm);
    assert!(after.fastest_air_m_s > before.fastest_air_m_s);
}
