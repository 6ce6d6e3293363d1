//! The day and the wiring: what they say agrees with the first screen, and with themselves.

use codec::library;
use proptest::prelude::*;
use solver::Package;
use solver::finding::{Matter, Severity};
use solver::power::{LoadFault, load_fault, tap_uses};
use solver::wiring::{WiringReport, WiringVerdict};

use super::{many, random};

fn valid<T>(answer: Result<T, Vec<solver::InputError>>) -> Result<T, TestCaseError> {
    answer.map_err(|faults| TestCaseError::fail(format!("{faults:?}")))
}

/// A limit of taps, voltages or cables that is not kept.
fn is_over(matter: &Matter) -> bool {
    matches!(
        matter,
        Matter::TapOver { .. } | Matter::GroupOver { .. } | Matter::VoltageOutside { .. } | Matter::CableTooThin { .. }
    )
}

/// Whether the first screen finds nothing wrong with taps and voltages.
fn keeps_limits(package: &Package) -> Result<bool, TestCaseError> {
    Ok(!valid(solver::check(package))?.findings.iter().any(|finding| is_over(&finding.matter)))
}

fn keeps(wiring: &WiringReport) -> bool {
    matches!(wiring.verdict, WiringVerdict::Keep | WiringVerdict::Change | WiringVerdict::ChangePerhapsMore)
}

/// How grave the findings about feeding are at their gravest, of those that fall on a load.
fn gravest(package: &Package) -> Result<Option<Severity>, TestCaseError> {
    let fed = |matter: &Matter| is_over(matter) || matches!(matter, Matter::NotWired { .. });
    let report = valid(solver::check(package))?;
    Ok(report.findings.iter().filter(|finding| fed(&finding.matter)).map(|finding| finding.severity).min())
}

/// The demonstration with some of its loads heavier and on other taps, some cables long and thin, on a day so long.
fn demo() -> impl Strategy<Value = Package> {
    let loads = proptest::collection::vec((0_usize..4, 0.5..4.0, 0.1..6.0, 0.1..1.0), 40);
    (loads, 0.0..30.0, 30.0..400.0).prop_map(|(loads, running_h, limit_w)| {
        let mut package = library::demo();
        package.day.running_h = running_h;
        package.head.tap_groups[0].limit_w = limit_w;
        let taps: Vec<String> = package.head.taps.iter().map(|tap| tap.id.clone()).collect();
        for (part, (tap, heavier, length_m, conductor_mm2)) in package.parts.iter_mut().zip(loads) {
            let Some(load) = &mut part.load else { continue };
            load.tap = taps.get(tap).cloned();
            load.peak_w *= heavier;
            if let Some(cable) = &mut load.cable {
                (cable.length_m, cable.conductor_mm2) = (length_m, conductor_mm2);
            }
        }
        package.quantised()
    })
}

proptest! {
    #![proptest_config(many(200))]

    #[test]
    fn the_day_says_what_the_first_screen_says(package in prop_oneof![demo(), random::package()]) {
        let (report, day) = (valid(solver::check(&package))?, valid(solver::day(&package))?);
        let changes: Vec<f64> = day.changes.iter().map(|change| change.at_min.value).collect();
        let first = report.power.change_min.map(|at| at.value);
        prop_assert_eq!(first.is_some(), !changes.is_empty());
        if let (Some(first), Some(change)) = (first, changes.first()) {
            prop_assert!((first - change).abs() < 1e-3, "{} and {}", first, change);
        }
        prop_assert!(changes.windows(2).all(|pair| pair[0] < pair[1]), "{:?}", changes);
        if let (Some(sets), Some(first)) = (day.sets, report.power.sets) {
            prop_assert_eq!(sets, first);
            prop_assert_eq!(sets as usize, changes.len() + 1);
        }
        if let Some(charging) = &day.charging {
            prop_assert!(charging.charged_before >= 2 && charging.charged_before <= charging.sets);
            prop_assert!(Some(charging.sets) >= day.sets);
        }
        let inside = day.charge.iter().all(|point| (0.0..=1.0).contains(&point.share));
        prop_assert!(inside, "{:?}", day.charge);
    }

    #[test]
    fn a_move_split_in_two_changes_nothing(package in demo()) {
        let mut split = package.clone();
        let first = &mut split.moves[0];
        first.share *= 0.5;
        let mut second = first.clone();
        second.id = 900;
        split.moves.insert(1, second);
        let (whole, split) = (valid(solver::day(&package))?, valid(solver::day(&split))?);
        prop_assert_eq!(whole.changes.len(), split.changes.len());
        for (one, other) in whole.changes.iter().zip(&split.changes) {
            prop_assert!((one.at_min.value - other.at_min.value).abs() < 1e-6, "{:?} {:?}", one, other);
        }
    }

    #[test]
    fn the_order_of_parts_does_not_matter(package in demo()) {
        let mut turned = package.clone();
        turned.parts.reverse();
        let (day, other) = (valid(solver::day(&package))?, valid(solver::day(&turned))?);
        prop_assert_eq!(day.changes.len(), other.changes.len());
        for (one, other) in day.changes.iter().zip(&other.changes) {
            // Sums in another order move the worst pose, and with it the motors' draw, by parts in a million.
            prop_assert!((one.at_min.value - other.at_min.value).abs() < 0.01, "{:?} {:?}", one, other);
        }
        let (wiring, other) = (valid(solver::wiring(&package))?, valid(solver::wiring(&turned))?);
        prop_assert_eq!(keeps(&wiring), keeps(&other));
        let moved = |wiring: &WiringReport| wiring.changes.iter().filter(|change| change.from.is_some()).count();
        prop_assert_eq!(moved(&wiring), moved(&other));
        let tightest = |wiring: &WiringReport| wiring.tightest.as_ref().map_or(0.0, |tap| tap.peak_a / tap.limit_a);
        prop_assert!((tightest(&wiring) - tightest(&other)).abs() < 1e-9);
    }

    #[test]
    fn a_load_bears_the_mark_of_what_the_first_screen_finds(package in demo(), unwired in 0_usize..8) {
        let mut package = package;
        if let Some(load) = package.parts.iter_mut().filter_map(|part| part.load.as_mut()).nth(unwired) {
            load.tap = None;
        }
        let uses = tap_uses(&package);
        let faults = package.riding().filter_map(|part| load_fault(&package, &uses, part.id));
        prop_assert_eq!(faults.map(LoadFault::severity).min(), gravest(&package)?);
    }

    /// What is suggested keeps every limit as the first screen checks them, and where none exists something is wrong
    /// already: the first screen checks only what somebody has wired.
    #[test]
    fn a_suggested_wiring_keeps_every_limit(package in demo()) {
        let wiring = valid(solver::wiring(&package))?;
        let applied = wiring.applied(&package);
        let all_wired = package.riding().all(|part| part.load.as_ref().is_none_or(|load| load.tap.is_some()));
        if keeps(&wiring) || all_wired {
            prop_assert_eq!(keeps(&wiring), keeps_limits(&applied)?, "{:?}", wiring);
        }
        if keeps(&wiring) {
            prop_assert_eq!(valid(solver::wiring(&applied))?.verdict, WiringVerdict::Keep);
        }
    }

    #[test]
    fn the_thinnest_conductor_keeps_the_voltage(package in demo()) {
        for cable in valid(solver::wiring(&package))?.cables.iter().filter(|cable| cable.too_thin) {
            if cable.thinnest.is_some_and(|size| size.metric_mm2.is_some()) {
                let applied = cable.applied(&package);
                let mended = valid(solver::wiring(&applied))?;
                let after = mended.cables.iter().find(|each| each.part == cable.part);
                prop_assert!(after.is_none_or(|after| !after.too_thin), "{:?}", after);
            }
        }
    }
}

/// All of the above tries both what can be wired and what cannot.
#[test]
fn everything_on_one_outlet_is_mended_and_too_little_power_is_not() {
    let mut package = library::demo();
    for load in package.parts.iter_mut().filter_map(|part| part.load.as_mut()) {
        load.tap = Some("aux_1".to_owned());
    }
    let wiring = solver::wiring(&package).expect("valid");
    assert_eq!(wiring.verdict, WiringVerdict::Change);
    assert!(wiring.changes.iter().any(|change| change.name.contains("body")), "{wiring:?}");
    // The group gives less than the body alone takes.
    package.head.tap_groups[0].limit_w = 90.0;
    let wiring = solver::wiring(&package).expect("valid");
    assert_eq!(wiring.verdict, WiringVerdict::NoneExists);
    assert!(wiring.unfeedable.iter().any(|load| load.name.contains("body") && load.refused.len() == 3), "{wiring:?}");
    // It gives the body and not all the rest: leaving something off helps, and what is named does help.
    package.head.tap_groups[0].limit_w = 140.0;
    let wiring = solver::wiring(&package).expect("valid");
    assert_eq!(wiring.verdict, WiringVerdict::NoneExists);
    assert!(wiring.unfeedable.is_empty() && !wiring.without.is_empty(), "{wiring:?}");
    for id in wiring.without {
        let mut without = package.clone();
        without.parts.iter_mut().filter(|part| part.id == id).for_each(|part| part.load = None);
        assert_eq!(solver::wiring(&without).expect("valid").verdict, WiringVerdict::Change);
    }
}

/// 0.25 mm² of half a metre leave the voltage and would melt before a tap of 8 A lets go: common practice, 8 A/mm².
#[test]
fn a_cable_must_carry_what_its_tap_lets_through() {
    let mut package = library::demo();
    let body = package.parts.iter_mut().find(|part| part.load.is_some()).expect("the demo's body draws power");
    let id = body.id;
    body.load.as_mut().and_then(|load| load.cable.as_mut()).expect("it has a cable").conductor_mm2 = 0.25;
    let wiring = solver::wiring(&package).expect("valid");
    let cable = wiring.cables.iter().find(|cable| cable.part == id).expect("advice for it");
    assert!(cable.hot && !cable.too_thin, "{cable:?}");
    assert_eq!(cable.thinnest.map(|size| (size.metric_mm2, size.gauge)), Some((Some(1.0), Some(16))));
    let mended = solver::wiring(&cable.applied(&package)).expect("valid");
    assert!(mended.cables.iter().all(|cable| !cable.hot));
}
