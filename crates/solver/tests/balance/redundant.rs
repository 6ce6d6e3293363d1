//! Slides that do each other's work.

use solver::Package;
use solver::balance::guided::Step;
use solver::balance::procedure::{ProcedureStep, Progress, log_found, procedure};
use solver::finding::Matter;
use solver::package::{Element, LoggedMark, Seen, Slide, Tried};
use solver::remedies::remedies;

use crate::procedure::{friction_nm, order, play_by, setting, spoilt, torque_nm};
use crate::random::Random;
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

/// A second fore-aft slide of the given travel right inside the plate, at the middle of it.
fn with_fine(mut package: Package, travel_m: f64) -> Package {
    let middle_m = 0.5 * travel_m;
    let plate = package.head.slides().find(|slide| slide.id == "plate").expect("a plate").clone();
    let fine = Slide { id: "fine".into(), range_m: [0.0, travel_m], zero_m: middle_m, mark_m: middle_m, ..plate };
    let at = package.head.chain.iter().position(|each| matches!(each, Element::Slide(slide) if slide.id == "plate"));
    package.head.chain.insert(at.expect("a plate"), Element::Slide(Slide { hole_spacing_m: None, ..fine }));
    package
}

/// Plays on where a slide comes to its end or between its holes: it is left there.
fn play_on(believed: &Package, truth: &Package) -> Package {
    play_by(believed, |package, step| match step.progress {
        Progress::BetweenHoles { .. } | Progress::Set(Step::BeyondEnd { .. }) => {
            let stands = package.head.slides().find(|slide| Some(&slide.id) == step.slide.as_ref()).expect("it");
            let at = LoggedMark { slide: stands.id.clone(), mark_m: stands.mark_m };
            Tried { joint: step.joint.clone(), at: Some(at), seen: Seen::LeftOut }
        }
        _ => setting(package, truth, step),
    })
}

#[test]
fn of_slides_that_do_each_others_work_the_longest_is_set() {
    for travel_m in [0.016, 0.400] {
        let longest = if travel_m > 0.3 { "tilt fine" } else { "tilt plate" };
        let found = order(&with_fine(rigs::medium(), travel_m));
        assert_eq!(found[..3], [longest, "tilt height", &format!("{longest} again")], "{travel_m}");
        assert_eq!(found.len(), order(&rigs::medium()).len());
    }
}

/// Holes of 30 mm are too far apart for friction: the fine slide does what is left, and the whole axis can be logged.
#[test]
fn where_a_slide_cannot_do_it_the_next_one_takes_over() {
    let mut random = Random::new(29);
    let mut taken_over = [0, 0];
    for run in 0..20 {
        let mut believed = rigs::medium();
        // Between holes, and at the end of the travel.
        if run % 2 == 0 {
            let plate = believed.head.slides_mut().find(|slide| slide.id == "plate").expect("a plate");
            plate.hole_spacing_m = Some(0.030);
        } else {
            believed.mount.flange_ahead_m += 0.17;
        }
        let believed = with_fine(believed, 0.080);
        let truth = spoilt(&believed, &mut random);
        let found = play_on(&believed, &truth);
        let stand = procedure(&found).expect("valid");
        let marks_m: Vec<f64> = found.head.slides().map(|slide| slide.mark_m).collect();
        let tilt: Vec<&ProcedureStep> = stand.steps.iter().filter(|step| step.joint == "tilt").collect();
        if tilt[0].progress == Progress::TakenOver {
            taken_over[run % 2] += 1;
            assert_eq!((tilt[1].slide.as_deref(), tilt[3].again), (Some("fine"), true), "run {run}");
            assert_eq!(tilt[3].slide.as_deref(), Some("fine"), "run {run}");
        }
        assert!(stand.held.contains(&"tilt".to_owned()), "run {run}: {tilt:#?}");
        for step in tilt {
            let torque_nm = torque_nm(&truth, step, &marks_m);
            assert!(torque_nm.abs() <= friction_nm(&truth, step) * 1.000_001, "run {run}: {:?} turns", step.slide);
        }
        let log = log_found(&found).expect("valid").expect("an axis");
        let logged = |id: &str| log.marks.iter().find(|mark| mark.slide == id).expect("a mark").mark_m;
        for slide in found.head.slides() {
            assert!((logged(&slide.id) - slide.mark_m).abs() < 1e-9, "run {run}: {}", slide.id);
        }
    }
    assert!(taken_over.iter().all(|times| *times >= 5), "{taken_over:?}");
}
