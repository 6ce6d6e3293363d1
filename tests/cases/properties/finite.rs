//! Nothing that is not a number leaves the solver, and every number of a package is known to its one walk.

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use serde_json::Value;
use solver::explain::{AnswerId, explain};
use solver::lens_set;
use solver::numbers::Numbers;
use solver::{FieldPath, Package, Report};

use super::{many, random};

/// Words of a printed value that are no numbers. Not-a-number would print as null in JSON, so the debug form is read.
fn not_finite(printed: &str) -> Option<&str> {
    printed.split(|letter: char| !letter.is_alphanumeric()).find(|word| matches!(*word, "NaN" | "inf"))
}

/// Every answer of the first screen that can be opened.
fn answers(report: &Report) -> Vec<AnswerId> {
    let mut answers = vec![AnswerId::CameraMass, AnswerId::ArmMass, AnswerId::Runtime];
    answers.extend(report.slides.iter().map(|slide| AnswerId::Mark(slide.slide.clone())));
    answers.extend(report.axes.iter().map(|axis| AnswerId::Hang(axis.joint.clone())));
    answers.extend(report.power.taps.iter().map(|tap| AnswerId::Tap(tap.tap.clone())));
    for each in report.torque.known().iter().flat_map(|torque| &torque.moves) {
        let of = |joint: &str| AnswerId::Torque { joint: joint.to_owned(), move_id: each.move_id };
        answers.extend(each.axes.iter().map(|axis| of(&axis.joint)));
        answers.push(AnswerId::HowFar(each.move_id));
    }
    answers
}

fn finite_everywhere(package: &Package) -> Result<(), TestCaseError> {
    let report = solver::check(package).map_err(|faults| TestCaseError::fail(format!("{faults:?}")))?;
    let printed = format!("{report:?}");
    prop_assert_eq!(not_finite(&printed), None, "{}", printed);
    // A report that holds not-a-number would not equal itself, and a screen would redraw for ever.
    prop_assert_eq!(&report, &report.clone());
    let stiff = solver::stiffness(package).map_err(|faults| TestCaseError::fail(format!("{faults:?}")))?;
    let printed = format!("{stiff:?}");
    prop_assert_eq!(not_finite(&printed), None, "{}", printed);
    let printed = format!("{:?} {:?}", solver::day(package), solver::wiring(package));
    prop_assert_eq!(not_finite(&printed), None, "{}", printed);
    let stiff = stiff.known().map(|_| AnswerId::Stiffness);
    for answer in answers(&report).into_iter().chain(stiff) {
        let term = explain(package, &answer).map_err(|faults| TestCaseError::fail(format!("{faults:?}")))?;
        prop_assert!(term.is_some(), "{answer:?} is on the screen but cannot be opened");
        let printed = format!("{term:?}");
        prop_assert_eq!(not_finite(&printed), None, "{:?}: {}", answer, printed);
    }
    Ok(())
}

/// What the lens set says of a package with two more lenses, and the proof of its common marks.
fn finite_for_every_lens(package: &Package) -> Result<(), TestCaseError> {
    let told = |faults: Vec<solver::InputError>| TestCaseError::fail(format!("{faults:?}"));
    let mut package = package.clone();
    package.lenses.extend(
        [(901, 0.9, 0.04), (902, 4.8, 0.15)]
            .map(|(id, kg, ahead_m)| checks::build::lens(id, kg, ahead_m, 2.0 * ahead_m, 0.1)),
    );
    let all: Vec<u32> = package.lenses.iter().map(|lens| lens.id).collect();
    let changes = lens_set::change::lens_changes(&package, package.active_lens).map_err(told)?;
    let table = lens_set::change::change_table(&package).map_err(told)?;
    let preview = lens_set::preview::lens_preview(&package, 901).map_err(told)?;
    let common = lens_set::common::common_marks(&package, &all).map_err(told)?;
    let printed = format!("{changes:?} {table:?} {preview:?} {common:?}");
    prop_assert_eq!(not_finite(&printed), None, "{}", printed);
    let heaviest_kg = solver::check(&package).map_err(told)?.mass.all_up_kg.value + 5.0;
    for axis in common.iter().flat_map(|common| &common.axes) {
        // Where no slide stops at holes the marks are proved to be the best, and never better than possible.
        let holed = package.head.slides().any(|slide| slide.hole_spacing_m.is_some());
        prop_assert!(axis.at_least_kg_m <= axis.worst_kg_m, "{axis:?}");
        prop_assert!(holed || axis.worst_kg_m - axis.at_least_kg_m <= 1e-9 * heaviest_kg, "{axis:?}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(many(400))]

    #[test]
    fn the_lens_set_is_finite_and_proves_its_marks(package in random::package()) {
        finite_for_every_lens(&package)?;
    }

    #[test]
    fn every_float_of_every_report_is_finite(package in random::package()) {
        finite_everywhere(&package)?;
    }

    /// A number that the walk forgets has no bounds, no storage step, no place in the schema.
    #[test]
    fn the_walk_sees_every_number_of_a_package(package in random::package()) {
        let mut seen = 0;
        package.see_numbers(&mut FieldPath::root(), &mut |_, _, _| seen += 1);
        let stored = serde_json::to_value(&package).expect("a package is JSON");
        prop_assert_eq!(floats(&stored), seen);
    }

    #[test]
    fn a_package_survives_its_own_rounding(package in random::package()) {
        prop_assert_eq!(package.quantised(), package);
    }
}

/// Floats in a JSON value; ids are whole numbers and do not count.
fn floats(value: &Value) -> usize {
    match value {
        Value::Number(number) => usize::from(number.is_f64()),
        Value::Array(values) => values.iter().map(floats).sum(),
        Value::Object(fields) => fields.values().map(floats).sum(),
        _ => 0,
    }
}

#[test]
fn what_is_not_finite_is_found() {
    assert_eq!(not_finite("Estimate { value: NaN, u: 1.0 }"), Some("NaN"));
    assert_eq!(not_finite("[1.0, -inf]"), Some("inf"));
    assert_eq!(not_finite("inflow 1.0"), None);
}

/// The extremes that a person can enter, where divisions by nothing wait.
#[test]
fn packages_at_the_edge_of_their_bounds_stay_finite() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    for lowest in [true, false] {
        for _ in 0..60 {
            let mut package = random::package().new_tree(&mut runner).expect("a package").current();
            let mut number = 0;
            package.change_numbers(&mut FieldPath::root(), &mut |path, value, bounds| {
                number += 1;
                // Directions must stay of unit length and ends of ranges in order; every third of the rest goes.
                let kept = path.to_string();
                let kept = ["axis", "direction", "range", "limits", "_v[", "payload", "mark_m", "zero_m", "inertia"]
                    .iter()
                    .any(|word| kept.contains(word));
                if !kept && number % 3 == 0 {
                    *value = if lowest { bounds.min } else { bounds.max };
                }
            });
            if let Err(fault) = finite_everywhere(&package) {
                panic!("{fault}\n{package:?}");
            }
        }
    }
}
