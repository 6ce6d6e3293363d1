//! The worst pose of a move, and what it asks for, against every pose tried one by one.

use std::thread;

use solver::layout::Layout;
use solver::torque::torque_report;

use super::brute_force::Brute;
use super::builds::random;

/// Within 0.5 % of brute force over a 1° grid on fifty random packages, on two threads.
#[test]
fn fifty_random_packages() {
    let halves = [0, 25].map(|first| thread::spawn(move || (first..first + 25).map(furthest_off).fold(0.0, f64::max)));
    for half in halves {
        let furthest = half.join().expect("every package is within the limit");
        println!("furthest from brute force: {:.2} %", 100.0 * furthest);
    }
}

/// How far the report of one random package is from brute force, as a share; fails beyond the limit.
fn furthest_off(seed: u64) -> f64 {
    let build = random(seed);
    let report = torque_report(&build.package, &Layout::new(&build.package), &build.marks_m);
    let worst = Brute::new(&build.package, &build.marks_m).worst(1.0);
    let joints = worst.peak_nm.len();
    let mut furthest = 0.0_f64;
    for (place, axis) in report.moves[0].axes.iter().enumerate() {
        let joint = joints - 1 - place;
        for (name, here, there) in [
            ("peak", axis.peak_nm.value, worst.peak_nm[joint]),
            ("continuous", axis.continuous_nm.value, worst.continuous_nm[joint]),
        ] {
            let off = (here / there - 1.0).abs();
            assert!(off < 0.005, "seed {seed}, {} {name}: {here} against {there}", axis.joint);
            furthest = furthest.max(off);
        }
    }
    furthest
}

/// Moves that share their poses answer as each does alone: demands within 0.5 %, and how far one can go within what such
/// a difference makes of it, on ranges that have little in common.
#[test]
fn moves_together_answer_as_moves_alone() {
    let (mut furthest, mut apart) = (0.0_f64, Vec::new());
    for seed in 0..25 {
        let build = random(seed);
        let layout = Layout::new(&build.package);
        let mut package = build.package.clone();
        package.moves = (1..=5)
            .map(|id| {
                let mut each = build.package.moves[0].clone();
                each.id = id;
                for range in &mut each.ranges {
                    range.range_rad = range.range_rad.map(|end| end * (1.0 - 0.13 * f64::from(id - 1)));
                }
                each
            })
            .collect();
        let together = torque_report(&package, &layout, &build.marks_m);
        for (each, shared) in package.moves.iter().zip(&together.moves) {
            let mut alone = package.clone();
            alone.moves = vec![each.clone()];
            let alone = torque_report(&alone, &layout, &build.marks_m).moves.swap_remove(0);
            let mut compare = |what: &str, here: f64, there: f64, most: f64| {
                if (here - there).abs() > most {
                    apart.push(format!("seed {seed}, move {}, {what}: {here} against {there}", each.id));
                }
            };
            for (here, there) in shared.axes.iter().zip(&alone.axes) {
                let (peak, continuous) = (there.peak_nm.value, there.continuous_nm.value);
                compare("peak", here.peak_nm.value, peak, 0.005 * peak);
                compare("continuous", here.continuous_nm.value, continuous, 0.005 * continuous);
                furthest = furthest.max((here.peak_nm.value / peak - 1.0).abs());
            }
            // A little torque is a large share of the wind or the whip where these take little of it.
            let far = |value: Option<f64>| value.unwrap_or_default();
            let (air, factor) = (far(alone.fastest_air_m_s), far(alone.operator_factor));
            compare("air", far(shared.fastest_air_m_s), air, 0.02 * (5.0 + air));
            compare("whip", far(shared.operator_factor), factor, 0.02 * (1.0 + factor));
            compare("motors", shared.motors_w, alone.motors_w, 0.02 * alone.motors_w);
        }
    }
    println!("furthest from alone: {:.3} %", 100.0 * furthest);
    assert!(apart.is_empty(), "{} differ:\n{}", apart.len(), apart.join("\n"));
}
