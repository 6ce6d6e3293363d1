//! Motion of textbook chains, through the door for outside programs.

use checks::build;
use checks::table::{near, run};
use serde::Deserialize;
use serde_json::json;
use solver::Package;
use solver::dynamics::{State, torques_nm};
use solver::package::Element;

/// A planar arm of two links in a vertical plane; angles from the horizontal, the second from the first.
#[derive(Deserialize)]
struct TwoLinks {
    mass_kg: [f64; 2],
    /// From the first joint to the second, m.
    length_m: f64,
    /// From each joint to the centre of gravity of its link, m.
    cg_m: [f64; 2],
    inertia_kg_m2: [f64; 2],
    q_rad: [f64; 2],
    qd_rad_s: [f64; 2],
    qdd_rad_s2: [f64; 2],
    torque_nm: [f64; 2],
    tolerance: f64,
}

#[test]
fn planar_arms() {
    run("planar_arm", |row: &TwoLinks| {
        // A positive angle lifts the arm, which is a negative turn about the left-hand axis y.
        let axis = [0.0, -1.0, 0.0];
        let link = |index: usize| {
            let inertia = row.inertia_kg_m2[index];
            build::yoke(row.mass_kg[index], [row.cg_m[index], 0.0, 0.0], [inertia; 3])
        };
        let package = build::package(vec![
            Element::Joint(build::joint("shoulder", axis, [0.0; 3])),
            link(0),
            Element::Joint(build::joint("elbow", axis, [row.length_m, 0.0, 0.0])),
            link(1),
        ]);
        let found = torque_nm(&package, &row.q_rad, &row.qd_rad_s, &row.qdd_rad_s2);
        for (joint, printed) in row.torque_nm.iter().enumerate() {
            near(["shoulder", "elbow"][joint], found[joint], *printed, row.tolerance)?;
        }
        Ok(())
    });
}

fn torque_nm(package: &Package, q_rad: &[f64], qd_rad_s: &[f64], qdd_rad_s2: &[f64]) -> Vec<f64> {
    let state: State = build::typed(json!({ "q_rad": q_rad, "qd_rad_s": qd_rad_s, "qdd_rad_s2": qdd_rad_s2 }));
    torques_nm(package, &[state]).unwrap_or_else(|faults| panic!("{faults:?}")).remove(0)
}

#[derive(Deserialize)]
struct Swing {
    amplitude_rad: f64,
    /// Period over that of a small swing.
    factor: f64,
    tolerance: f64,
}

/// Lets a pendulum fall from rest, with the acceleration that leaves its drive without torque, until it hangs straight
/// down: a quarter of a period.
#[test]
fn wide_swings_take_longer() {
    run("wide_swing", |row: &Swing| {
        let (mass_kg, arm_m, own_kg_m2) = (12.0, 0.02, 0.3452);
        let package = build::package(vec![
            Element::Joint(build::joint("tilt", [0.0, 1.0, 0.0], [0.0; 3])),
            build::yoke(mass_kg, [0.0, 0.0, -arm_m], [own_kg_m2; 3]),
        ]);
        let torque = |q: f64, qdd: f64| torque_nm(&package, &[q], &[0.0], &[qdd])[0];
        let inertia_kg_m2 = torque(0.0, 1.0);
        let falling = |q: f64| -torque(q, 0.0) / inertia_kg_m2;
        let small_s = std::f64::consts::TAU * (inertia_kg_m2 / (mass_kg * arm_m * 9.806_65)).sqrt();

        let step_s = small_s / 4000.0;
        let (mut q, mut qd, mut time_s) = (row.amplitude_rad, 0.0_f64, 0.0);
        while q > 0.0 {
            // Velocity Verlet, of second order.
            let half = qd + 0.5 * step_s * falling(q);
            let next = q + step_s * half;
            let ends = half + 0.5 * step_s * falling(next);
            if next <= 0.0 {
                time_s += step_s * q / (q - next);
                break;
            }
            (q, qd, time_s) = (next, ends, time_s + step_s);
        }
        near("factor", 4.0 * time_s / small_s, row.factor, row.tolerance)
    });
}
