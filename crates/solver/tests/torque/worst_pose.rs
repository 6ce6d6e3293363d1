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
