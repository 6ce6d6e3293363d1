//! Slides that do each other's work.

use solver::finding::Matter;
use solver::package::{Element, Slide};
use solver::remedies::remedies;

use crate::rigs;

/// A second fore-aft slide under the plate, of 8 mm either way, on a plate that has to go far: shared out evenly it would
/// go past its end, but the plate can do the rest.
#[test]
fn a_short_slide_beside_a_long_one_is_not_out_of_travel() {
    let mut package = rigs::medium();
    package.mount.flange_ahead_m += 0.030;
    let plate = package.head.slides().find(|slide| slide.id == "plate").expect("a plate").clone();
    let range_m = [0.0, 0.016];
    let fine = Slide { id: "fine".into(), name: "fine".into(), range_m, zero_m: 0.008, mark_m: 0.008, ..plate };
    let at = package.head.chain.iter().position(|each| matches!(each, Element::Slide(slide) if slide.id == "plate"));
    package.head.chain.insert(at.expect("a plate"), Element::Slide(fine));
    let report = solver::check(&package).expect("valid");
    let tilt = report.axes.iter().find(|axis| axis.joint == "tilt").expect("tilt");
    assert!(tilt.gravity_any_nm < 1e-9, "the plate makes up for it: {}", tilt.gravity_any_nm);
    let out = |matter: &Matter| matches!(matter, Matter::OutOfTravel { .. });
    assert!(!report.findings.iter().any(|finding| out(&finding.matter)), "{:?}", report.slides);
    assert_eq!(remedies(&package).expect("valid"), []);
}
