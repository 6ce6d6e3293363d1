//! The ± of a demand against changing every mass and centre of gravity by itself and adding up the squares.

use nalgebra::Vector3;
use solver::constants::GRAVITY_M_S2;
use solver::layout::Layout;
use solver::torque::torque_report;

use super::builds::{medium, random, targets_m};

/// Peak and continuous demand of every axis, innermost first, N·m.
fn demands(package: &solver::Package, layout: &Layout, marks_m: &[f64]) -> Vec<[f64; 2]> {
    torque_report(package, layout, marks_m).moves[0]
        .axes
        .iter()
        .map(|axis| [axis.peak_nm.value, axis.continuous_nm.value])
        .collect()
}

#[test]
fn propagation_agrees_with_one_change_at_a_time() {
    let mut compared = 0;
    for seed in 400..440 {
        let build = random(seed);
        let layout = Layout::new(&build.package);
        let report = torque_report(&build.package, &layout, &build.marks_m);
        let mut variance = vec![[0.0; 2]; 3];
        let mut add = |change: &dyn Fn(&mut Layout, f64), u: f64| {
            let step = 1e-3 * u;
            let [mut less, mut more] = [layout.clone(), layout.clone()];
            change(&mut less, -step);
            change(&mut more, step);
            let (less, more) =
                (demands(&build.package, &less, &build.marks_m), demands(&build.package, &more, &build.marks_m));
            for (variance, (less, more)) in variance.iter_mut().zip(less.iter().zip(&more)) {
                for kind in 0..2 {
                    let slope = (more[kind] - less[kind]) / (2.0 * step);
                    variance[kind] += slope * slope * u * u;
                }
            }
        };
        for index in 0..layout.bodies.len() {
            let (mass_u_kg, cg_u_m) = (layout.bodies[index].mass_u_kg, layout.bodies[index].cg_u_m);
            add(
                &|layout, by| {
                    let body = &mut layout.bodies[index];
                    body.inertia_kg_m2 *= 1.0 + by / body.mass_kg;
                    body.mass_kg += by;
                },
                mass_u_kg,
            );
            for along in [Vector3::x(), Vector3::y(), Vector3::z()] {
                add(&|layout, by| layout.bodies[index].cg_m += along * by, cg_u_m);
            }
        }
        for (axis, variance) in report.moves[0].axes.iter().zip(&variance) {
            for (kind, here) in [axis.peak_nm.u, axis.continuous_nm.u].into_iter().enumerate() {
                let there = variance[kind].sqrt();
                // Where the hold zone and the chain's own unbalance are all but equal, either side is right.
                compared += usize::from((here - there).abs() < 0.02 * there + 1e-4);
            }
        }
    }
    // 40 packages × 3 axes × 2 limits; a few stand on such an edge.
    assert!(compared >= 236, "{compared} of 240 agree");
}

/// What the marks leave open about the innermost axis, body by body: an error of a mass at its arm, and of a centre of
/// gravity either way across the axis; and the zeros of the two scales.
#[test]
fn gravity_that_the_marks_leave_open() {
    let package = medium();
    let report = solver::check(&package).expect("a valid package");
    let tilt = report.axes.iter().find(|axis| axis.joint == "tilt").expect("a tilt axis");
    let layout = Layout::new(&package);
    let marks_m = targets_m(&package);
    let mut square = 0.0;
    for body in layout.bodies.iter().filter(|body| body.link == 3) {
        let arm_m = body.cg_m + layout.displacement_m(body.link, body.slides, &marks_m);
        let (mass_square, cg_square) = (body.mass_u_kg * body.mass_u_kg, body.cg_u_m * body.cg_u_m);
        square += mass_square * (arm_m.x * arm_m.x + arm_m.z * arm_m.z)
            + 2.0 * cg_square * (body.mass_kg * body.mass_kg + mass_square);
    }
    let sliding_kg = layout.bodies.iter().filter(|body| body.link == 3 && body.slides > 1).map(|body| body.mass_kg);
    let zero_kg_m = solver::constants::SCALE_ZERO_U_M * sliding_kg.sum::<f64>();
    square += 2.0 * zero_kg_m * zero_kg_m;
    let expected_nm = GRAVITY_M_S2 * square.sqrt();
    let found_nm = tilt.gravity_u_nm.expect("slides balance it");
    assert!((found_nm / expected_nm - 1.0).abs() < 1e-6, "{found_nm} {expected_nm}");
    // Friction holds a few tenths of a newton metre: the chance to hit that at once is small, and is told. Both slides have
    // to: it is less than that of the less certain one.
    let at_once = tilt.within_hold_zone.expect("slides balance it");
    let least = report.slides.iter().filter(|slide| slide.balances.as_deref() == Some("tilt"));
    let least = least.filter_map(|slide| slide.within_hold_zone).fold(1.0, f64::min);
    assert!(at_once > 0.0 && at_once < 0.7 * least && tilt.friction_nm < found_nm, "{at_once} {least}");
}
