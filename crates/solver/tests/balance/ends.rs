//! Both ends of the hold zone, felt for by a person who knows only what the true head does.

use solver::Package;
use solver::balance::ends::{ends, ends_seen};
use solver::balance::guided::Step;
use solver::balance::procedure::{ProcedureStep, Progress, begin, log_found, procedure};
use solver::package::{Element, LoggedMark, Seen, Tried};

use crate::procedure::{friction_nm, play_by, setting, spoilt, torque_nm};
use crate::random::Random;
use crate::rigs;

fn mark_m<'a>(package: &'a mut Package, id: &str) -> &'a mut f64 {
    &mut package.head.slides_mut().find(|slide| slide.id == id).expect("a slide of the head").mark_m
}

/// The marks at which the true head begins to turn one way and the other, m: by bisection of what it does.
fn ends_m(package: &Package, truth: &Package, step: &ProcedureStep) -> [f64; 2] {
    let id = step.slide.clone().expect("a slide is set");
    let index = package.head.slides().position(|slide| slide.id == id).expect("a slide of the head");
    let mut marks_m: Vec<f64> = package.head.slides().map(|slide| slide.mark_m).collect();
    let stands_m = marks_m[index];
    [-1.0, 1.0].map(|sense| {
        let (mut holds_m, mut turns_m) = (stands_m, stands_m + sense * 0.1);
        for _ in 0..40 {
            marks_m[index] = 0.5 * (holds_m + turns_m);
            let holds = torque_nm(truth, step, &marks_m).abs() <= friction_nm(truth, step);
            if holds { holds_m = marks_m[index] } else { turns_m = marks_m[index] }
        }
        holds_m
    })
}

/// Plays a balance to its end; where a slide has been found the first time, its ends are felt for if `feels`.
fn play(believed: &Package, truth: &Package, feels: bool) -> Package {
    play_by(believed, |package, step| {
        let mut tried = setting(package, truth, step);
        if let (true, false, Seen::Stays, Some(at)) = (feels, step.again, tried.seen, &mut tried.at) {
            let [low_m, high_m] = ends_m(package, truth, step);
            (at.mark_m, tried.seen) = ends_seen(low_m, high_m);
            *mark_m(package, &at.slide) = at.mark_m;
        }
        tried
    })
}

fn predicted(package: &Package, id: &str) -> (f64, f64) {
    let report = solver::check(package).expect("valid");
    let row = report.slides.iter().find(|row| row.slide == id).expect("a row");
    (row.target_m.value, row.target_m.u)
}

#[test]
fn the_middle_is_found_logged_and_predicted_more_surely() {
    let mut random = Random::new(41);
    for run in 0..10 {
        let believed = rigs::medium();
        let truth = spoilt(&believed, &mut random);
        let [stays, felt] = [false, true].map(|feels| {
            let mut found = play(&believed, &truth, feels);
            let log = log_found(&found).expect("valid").expect("something holds");
            found.logs.push(log);
            found
        });
        let log = &felt.logs[0];
        assert!(log.axes.contains(&"tilt".to_owned()), "run {run}: {:?}", log.axes);
        let known = |joint: &str| log.faces.iter().filter(|face| face.joint == joint && face.u_kg_m.is_some()).count();
        assert_eq!([known("tilt"), known("roll"), known("pan")], [2, 1, 1], "run {run}: {:?}", log.faces);
        for id in ["plate", "height", "side", "pan_slide"] {
            let (mark_m, u_m) = predicted(&felt, id);
            let stands_m = felt.head.slides().find(|slide| slide.id == id).expect("it").mark_m;
            assert!((mark_m - stands_m).abs() < 0.001, "run {run}, {id}: {mark_m} and not {stands_m}");
            assert!(u_m <= predicted(&stays, id).1, "run {run}, {id}");
        }
        // What is told by millimetres at least shows where the zone is wide.
        assert!(predicted(&felt, "pan_slide").1 < 0.6 * predicted(&stays, "pan_slide").1, "run {run}");
    }
}

/// The width of the zone is the friction, in every pose: level, lens up, the base tipped.
#[test]
fn half_the_width_between_the_ends_is_the_friction() {
    let mut package = rigs::medium();
    for element in &mut package.head.chain {
        if let Element::Joint(joint) = element {
            joint.drive.friction_nm *= 1.7;
        }
    }
    let (truth, mut believed) = (package, rigs::medium());
    for slide in believed.head.slides_mut() {
        slide.mark_m = predicted(&truth, &slide.id).0;
    }
    let mut seen = 0;
    for step in procedure(&believed).expect("valid").steps.iter().filter(|step| step.slide.is_some()) {
        let [low_m, high_m] = ends_m(&believed, &truth, step);
        let found = ends(step, low_m, high_m).expect("two ends");
        let friction_nm = friction_nm(&truth, step);
        let error_nm = found.friction_nm.value - friction_nm;
        assert!(error_nm.abs() < 0.005 * friction_nm, "{} {:?}: {found:?}", step.joint, step.slide);
        assert!(found.friction_nm.u > 0.0 && found.middle_m.u < 0.5 * (high_m - low_m));
        seen += 1;
    }
    assert_eq!(seen, 5);
}

#[test]
fn ends_that_are_none_are_refused() {
    let steps = procedure(&rigs::medium()).expect("valid").steps;
    let step = &steps[0];
    assert!(ends(step, 0.1, 0.103).is_some());
    for [low_m, high_m] in [[0.103, 0.1], [0.1, 0.1], [f64::NAN, 0.1], [0.1, f64::INFINITY], [0.1, 3.0]] {
        assert_eq!(ends(step, low_m, high_m), None, "{low_m} {high_m}");
    }
    let look = steps.iter().find(|step| step.slide.is_none()).expect("a look");
    assert_eq!(ends(look, 0.1, 0.103), None);
}

/// After the height has moved, the first slide is looked at again: where another mark is set then, its middle is not known.
#[test]
fn a_middle_that_was_left_again_is_forgotten() {
    let mut package = rigs::medium();
    package.balancing = Some(begin(&package));
    let mut again_at = |mark_m: Option<f64>| {
        package.balancing.as_mut().expect("begun").tried.clear();
        let mut plate_m = 0.0;
        for _ in 0..3 {
            let stand = procedure(&package).expect("valid");
            let step = &stand.steps[stand.open.expect("a step")];
            let Progress::Set(Step::Set { mark_m: asked_m, .. }) = step.progress else { panic!("{step:?}") };
            let slide = step.slide.clone().expect("a slide");
            let (at_m, seen) = match (slide.as_str(), step.again) {
                ("plate", false) => ends_seen(asked_m - 0.002, asked_m + 0.002),
                ("plate", true) => (mark_m.unwrap_or(plate_m), Seen::Stays),
                _ => (asked_m, Seen::Stays),
            };
            if slide == "plate" {
                plate_m = at_m;
            }
            let at = Some(LoggedMark { slide, mark_m: at_m });
            package.balancing.as_mut().expect("begun").tried.push(Tried { joint: step.joint.clone(), at, seen });
        }
        let found = procedure(&package).expect("valid");
        assert!(found.held.contains(&"tilt".to_owned()));
        found.faces.len()
    };
    assert_eq!(again_at(None), 1);
    assert_eq!(again_at(Some(0.1)), 0);
}
