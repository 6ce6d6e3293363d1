//! What is said for and against a lens before it goes on, held against the first screen of every lens.

use solver::finding::{Finding, Matter, Severity};
use solver::lens_set::lens_set;
use solver::lens_set::preview::{LensVerdict, Reason, Verdict, lens_verdicts};
use solver::package::{LensId, LoggedBalance, Mass, MassSource};
use solver::{Package, explain::AnswerId};

/// A prime of the demonstration.
const PRIME: LensId = 1;

fn with(package: &Package, lens: LensId) -> Package {
    Package { active_lens: Some(lens), ..package.clone() }
}

fn verdicts(package: &Package) -> Vec<LensVerdict> {
    lens_verdicts(package).expect("a valid package")
}

/// Axes and moves in which less torque is in hand than the reserve.
fn tight<'a>(findings: impl Iterator<Item = &'a Finding>) -> Vec<[String; 2]> {
    let of = |finding: &Finding| match &finding.matter {
        Matter::TorqueTight { axis, move_name, .. } => Some([axis.clone(), move_name.clone()]),
        _ => None,
    };
    findings.filter_map(of).collect()
}

/// Little in hand of what the voltage leaves is to be minded, and stops nothing.
#[test]
fn only_what_is_a_no_go_on_the_first_screen_says_no() {
    let mut package = codec::library::demo();
    package.moves.truncate(1);
    package.reserve.torque_headroom = 0.6;
    for axis in &mut package.moves[0].operator {
        axis.rate_rad_s = 2.0;
    }
    let voltage = |reason: &Reason| matches!(reason, Reason::Check(finding) if matches!(finding.matter, Matter::VoltageTight { .. }));
    let mut minded = 0;
    for step in 0..20 {
        package.moves[0].airspeed_m_s = 6.0 + 1.5 * f64::from(step);
        for verdict in verdicts(&with(&package, PRIME)) {
            let stopped = verdict.reasons.iter().any(|reason| reason.severity() == Severity::NoGo);
            assert!(stopped || verdict.verdict != Verdict::No, "{verdict:?}");
            minded += usize::from(!stopped && verdict.reasons.iter().any(voltage));
        }
    }
    assert!(minded > 0, "no lens had too little in hand of what the voltage leaves");
}

/// Two moves whose names differ by a figure, and causes that differ from lens to lens: an axis is told in the moves in which
/// it was not tight before, and in no other.
#[test]
fn a_watch_is_told_once_for_every_axis_and_move_in_which_it_is_new() {
    let mut package = codec::library::demo();
    package.reserve.torque_headroom = 0.55;
    package.moves.truncate(1);
    package.moves.push(package.moves[0].clone());
    for (each, name) in package.moves.iter_mut().zip(["Car at 60", "Car at 90"]) {
        each.name = name.to_owned();
        each.operator.clear();
    }
    package.moves[1].id = 99;
    let mut beside = 0;
    for step in 0..14 {
        package.moves[1].airspeed_m_s = 12.0 + 2.0 * f64::from(step);
        package.moves[0].airspeed_m_s = 0.9 * package.moves[1].airspeed_m_s;
        let first = solver::check(&package).expect("a valid package");
        let before = tight(first.findings.iter());
        for verdict in verdicts(&package) {
            let report = solver::check(&with(&package, verdict.lens)).expect("a valid package");
            let mut fresh = tight(report.findings.iter());
            fresh.retain(|each| !before.contains(each));
            let told = tight(verdict.reasons.iter().filter_map(|reason| match reason {
                Reason::Check(finding) => Some(finding),
                Reason::Fit(_) => None,
            }));
            assert_eq!(told, fresh, "with {before:?} before");
            beside += usize::from(fresh.iter().any(|[axis, _]| before.iter().any(|[known, _]| known == axis)));
        }
    }
    assert!(beside > 0, "no axis was tight in one move before and in the other with another lens");
}

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
