//! The short way to the tightest of every move, against the whole report.

use solver::layout::Layout;
use solver::report::{LimitKind, MoveTorque};
use solver::torque::{tightest_of_all, tightest_of_moves, torque_report};

use super::builds::random;

/// The tightest headroom of a move's report: axis, limit, value and ±.
fn of_report(each: &MoveTorque) -> (String, LimitKind, f64, f64) {
    let limits = each.axes.iter().flat_map(|axis| {
        let rate = axis.voltage_headroom.map(|value| (LimitKind::Rate, value, axis.peak_headroom.u));
        let (peak, continuous) = (axis.peak_headroom, axis.continuous_headroom);
        [(LimitKind::Peak, peak.value, peak.u), (LimitKind::Continuous, continuous.value, continuous.u)]
            .into_iter()
            .chain(rate)
            .map(|(limit, value, u)| (axis.joint.clone(), limit, value, u))
    });
    limits.reduce(|best, next| if next.2 < best.2 { next } else { best }).expect("a head with joints")
}

/// The same axis, limit, headroom and ± as the whole report, to the last digit, in three moves of three hundred random
/// packages; of the tightest of all, the cause as well.
#[test]
fn is_the_tightest_of_the_report() {
    for seed in 0..300 {
        let mut build = random(seed);
        for (id, other) in [(101, 1_000 + seed), (102, 2_000 + seed)] {
            let mut more = random(other).package.moves.swap_remove(0);
            more.id = id;
            build.package.moves.push(more);
        }
        let layout = Layout::new(&build.package);
        let report = torque_report(&build.package, &layout, &build.marks_m);
        let short = tightest_of_moves(&build.package, &layout, &build.marks_m);
        assert_eq!(short.len(), report.moves.len());
        for (each, short) in report.moves.iter().zip(&short) {
            let short = short.as_ref().expect("a head with joints");
            let there = of_report(each);
            let here = (short.joint.clone(), short.limit, short.headroom.value, short.headroom.u);
            assert_eq!(here, there, "seed {seed}, {}", each.name);
        }
        assert_eq!(tightest_of_all(&build.package, &layout, &build.marks_m), report.tightest, "seed {seed}");
    }
}
