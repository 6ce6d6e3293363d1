//! The demonstration's worst-case torque against a brute-force grid of 1°.

use solver::report::Report;

/// The slow way, written beside the solver's own tests of random builds.
#[path = "../../crates/solver/tests/torque/brute_force.rs"]
mod brute_force;

fn marks_m(report: &Report, package: &solver::Package) -> Vec<f64> {
    let target = |id: &str| report.slides.iter().find(|slide| slide.slide == id).map(|slide| slide.target_m.value);
    package.head.slides().map(|slide| target(&slide.id).expect("a row for every slide")).collect()
}

#[test]
fn demo_peak_and_continuous_torque_within_half_a_per_cent_of_every_pose() {
    let demo = codec::library::demo();
    assert!(demo.moves.len() >= 2);
    for each in &demo.moves {
        let mut package = demo.clone();
        package.moves = vec![each.clone()];
        let report = solver::check(&package).expect("the demo is sound");
        let marks_m = marks_m(&report, &package);
        let worst = brute_force::Brute::new(&package, &marks_m).worst(1.0);
        let torque = report.torque.known().expect("torque is known when there is a move");
        for (place, joint) in package.head.joints().enumerate() {
            let axis = torque.moves[0].axes.iter().find(|axis| axis.joint == joint.id).expect("a row for every joint");
            for (what, answer, brute) in [
                ("peak", axis.peak_nm.value, worst.peak_nm[place]),
                ("continuous", axis.continuous_nm.value, worst.continuous_nm[place]),
            ] {
                let off = (answer - brute).abs() / brute;
                assert!(off < 0.005, "{}, {}, {what}: {answer} against {brute} N·m", each.name, joint.id);
            }
        }
    }
}
