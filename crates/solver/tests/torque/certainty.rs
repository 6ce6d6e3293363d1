//! The ± of a demand against changing every mass and centre of gravity by itself and adding up the squares.

use nalgebra::Vector3;
use solver::layout::Layout;
use solver::torque::torque_report;

use super::builds::random;

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
