//! A log speaks of the day on which it was made: what is changed in the package since neither falsifies it nor is lost on it.

use solver::Package;
use solver::finding::Matter;
use solver::own_head::add_slide;
use solver::package::{CgSource, PartKind};

use crate::lessons::{answers, log};
use crate::rigs;

fn logged() -> Package {
    let mut package = rigs::medium();
    let truth = package.clone();
    log(&mut package, &truth, rigs::PRIME);
    package.quantised()
}

fn chi_squared(package: &Package) -> Option<f64> {
    let report = solver::check(package).expect("valid");
    report.learned.and_then(|learned| learned.agreement).map(|agreement| agreement.chi_squared)
}

/// The same answers, mark by mark with its ±.
fn assert_same(one: &Package, other: &Package) {
    for ((slide, mark_m, u_m), (_, then_m, then_u_m)) in answers(one).into_iter().zip(answers(other)) {
        assert!((mark_m - then_m).abs() < 1e-9 && (u_m - then_u_m).abs() < 1e-9, "{slide}: {mark_m} {then_m}");
    }
}

#[test]
fn a_pack_that_rides_elsewhere_since_does_not_falsify_a_log() {
    let before = logged();
    let mut after = before.clone();
    for part in after.parts.iter_mut().filter(|part| part.kind == PartKind::Pack) {
        assert_eq!(part.at.place, "pan_yoke");
        part.at.place = "camera".to_owned();
    }
    // Cables are a share of what the camera carries now, hence not quite the same.
    let [before, after] = [before, after].map(|package| chi_squared(&package).expect("a log"));
    assert!(before < 0.02 && after < 0.02, "{before} {after}");
}

/// Measured after the balance or before it, the centre of gravity of a lens is the same.
#[test]
fn a_centre_of_gravity_that_is_measured_later_corrects_the_log_as_well() {
    let measured = |package: &mut Package| {
        for lens in package.lenses.iter_mut().filter(|lens| lens.id == rigs::LONG_ZOOM) {
            lens.cg_ahead_m += 0.014;
            (lens.cg_from, lens.cg_u_m) = (CgSource::Measured, None);
        }
    };
    let mut truth = rigs::medium();
    measured(&mut truth);
    let (mut first, mut later) = (truth.clone(), rigs::medium());
    log(&mut first, &truth, rigs::LONG_ZOOM);
    log(&mut later, &truth, rigs::LONG_ZOOM);
    measured(&mut later);
    assert_same(&first, &later);
}

#[test]
fn a_log_of_something_that_is_gone_teaches_nothing() {
    let mut package = logged();
    package.parts.retain(|part| part.kind != PartKind::Front);
    assert_eq!(chi_squared(&package), None);
    let findings = solver::check(&package).expect("valid").findings;
    assert!(findings.iter().any(|finding| finding.matter == Matter::LogsVoid { logs: 1 }), "{findings:?}");
    assert_same(&package, &Package { logs: Vec::new(), ..package.clone() });
}

/// Yokes go by their place in the chain: with another slide before them a log would speak of others.
#[test]
fn a_log_of_another_chain_teaches_nothing() {
    let mut package = logged();
    add_slide(&mut package.head, "pan");
    assert_eq!(chi_squared(&package), None);
    assert_same(&package, &Package { logs: Vec::new(), ..package.clone() });
}
