//! What is said of a lens before it goes on, held against the first screen.

use solver::explain::AnswerId;
use solver::lens_set::lens_set;
use solver::package::{LoggedBalance, Mass, MassSource};

/// Once the camera has been weighed as a whole, its mass is as well known in the list of lenses and in the arithmetic as on
/// the first screen.
#[test]
fn one_mass_has_one_uncertainty_wherever_it_is_told() {
    let mut package = codec::library::demo();
    let before = solver::check(&package).expect("a valid package");
    let marks_m: Vec<f64> = package.head.slides().map(|slide| slide.mark_m).collect();
    let axes = package.head.joints().map(|joint| joint.id.clone()).collect();
    let weighed = Mass { kg: before.mass.camera_kg.value + 0.1, from: MassSource::BenchScale, u_kg: None };
    let log = solver::balance::log_balance(&package, 1, axes, &marks_m);
    package.logs.push(LoggedBalance { weighed: Some(weighed), ..log });
    let report = solver::check(&package).expect("a valid package");
    assert!(report.mass.camera_kg.u < 0.5 * before.mass.camera_kg.u, "{:?}", report.mass.camera_kg);
    let rows = lens_set(&package).expect("a valid package");
    let on = rows.iter().find(|row| Some(row.lens) == package.active_lens).expect("a lens is on");
    assert_eq!(on.camera_kg, report.mass.camera_kg);
    for (answer, told) in [(AnswerId::CameraMass, report.mass.camera_kg), (AnswerId::ArmMass, report.mass.all_up_kg)] {
        let term = solver::explain(&package, &answer).expect("a valid package").expect("a mass");
        assert_eq!((term.value, term.u), (Some(told.value), Some(told.u)), "{}", term.label);
    }
}
