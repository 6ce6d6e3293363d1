//! Balancing step by step, played by a person who knows only what the true head does.

use nalgebra::{Rotation3, Unit, Vector3};
use solver::Package;
use solver::balance::Moments;
use solver::balance::guided::Step;
use solver::balance::procedure::{Pose, Procedure, ProcedureStep, Progress, begin, log_found, procedure};
use solver::constants::GRAVITY_M_S2;
use solver::float;
use solver::layout::Layout;
use solver::package::{CgSource, DriveKind, Element, LoggedMark, Seen, Tried};

use crate::random::Random;
use crate::rigs;

pub(crate) fn order(package: &Package) -> Vec<String> {
    let steps = procedure(package).expect("valid").steps;
    let one = |step: &ProcedureStep| {
        let slide = step.slide.as_deref().unwrap_or("look");
        format!("{} {slide}{}", step.joint, if step.again { " again" } else { "" })
    };
    steps.iter().map(one).collect()
}

/// Source: common practice, no source: fore-aft level, height with the lens up, fore-aft again, side, pan; and a look at
/// what no slide reaches.
#[test]
fn the_usual_head_is_balanced_in_the_usual_order() {
    let wanted =
        ["tilt plate", "tilt height", "tilt plate again", "roll side", "roll look", "pan pan_slide", "pan look"];
    assert_eq!(order(&rigs::medium()), wanted);
}

#[test]
fn the_lens_goes_up_for_the_height_and_across_the_slope_for_pan() {
    let mut package = rigs::medium();
    for element in &mut package.head.chain {
        if let Element::Joint(joint) = element {
            joint.turns.shown_reversed = joint.id == "tilt";
        }
    }
    let steps = procedure(&package).expect("valid").steps;
    assert!(
        matches!(steps[1].pose, Pose::Turned { lens_up, .. } if (lens_up - 1.0).abs() < 1e-9),
        "{:?}",
        steps[1].pose
    );
    // The roll turns 45 degrees at most: its height is seen by so much less.
    assert!((steps[4].share - float::sin(0.79)).abs() < 1e-6, "{}", steps[4].share);
    assert!(matches!(steps[5].pose, Pose::Tipped { downhill: [ahead, ..], .. } if ahead.abs() < 1e-9));
    assert!(matches!(steps[6].pose, Pose::Tipped { downhill: [_, left, _], .. } if left.abs() < 1e-9));
}

#[test]
fn a_geared_head_has_nothing_to_test() {
    let mut package = rigs::medium();
    for element in &mut package.head.chain {
        if let Element::Joint(joint) = element {
            joint.drive.kind = DriveKind::Geared;
        }
    }
    let found = procedure(&package).expect("valid");
    assert!(found.steps.iter().all(|step| step.progress == Progress::Geared) && found.open.is_none());
    assert!(found.held.is_empty() && log_found(&package).expect("valid").is_none());
}

/// Torque of gravity about the joint of a step on the true head as it stands, N·m: from the moments of the whole head, not
/// from the direction of a slide.
pub(crate) fn torque_nm(truth: &Package, step: &ProcedureStep, marks_m: &[f64]) -> f64 {
    let layout = Layout::new(truth);
    let index = truth.head.joints().position(|joint| joint.id == step.joint).expect("a joint of the head");
    let moments = &Moments::all(&layout)[index];
    let moment = moments.at_kg_m(&layout, marks_m);
    let down = match step.pose {
        Pose::Level => -Vector3::z(),
        Pose::Turned { angle_rad, .. } => {
            Rotation3::from_axis_angle(&Unit::new_normalize(moments.axis), angle_rad).inverse() * -Vector3::z()
        }
        Pose::Tipped { tip_rad, downhill } => {
            Vector3::from(downhill) * float::sin(tip_rad) - Vector3::z() * float::cos(tip_rad)
        }
    };
    GRAVITY_M_S2 * moments.axis.dot(&moment.cross(&down))
}

pub(crate) fn friction_nm(package: &Package, step: &ProcedureStep) -> f64 {
    package.head.joints().find(|joint| joint.id == step.joint).expect("a joint of the head").drive.friction_nm
}

/// Plays a balance to its end, each step by what `try_it` sets and sees.
pub(crate) fn play_by(believed: &Package, mut try_it: impl FnMut(&mut Package, &ProcedureStep) -> Tried) -> Package {
    let mut package = believed.clone();
    package.balancing = Some(begin(&package));
    for _ in 0..100 {
        let stand = procedure(&package).expect("valid");
        let Some(open) = stand.open else { return package };
        let tried = try_it(&mut package, &stand.steps[open]);
        package.balancing.as_mut().expect("begun").tried.push(tried);
    }
    panic!("it came to no end: {:?}", package.balancing)
}

/// Plays a balance to its end on the true head; gives the package then and the number of settings of each step.
fn play(believed: &Package, truth: &Package) -> (Package, Vec<usize>) {
    let package = play_by(believed, |package, step| setting(package, truth, step));
    let settings = procedure(&package).expect("valid").steps.iter().map(|step| step.trials.len()).collect();
    (package, settings)
}

/// Sets what the step asks for and looks what the true head does.
pub(crate) fn setting(package: &mut Package, truth: &Package, step: &ProcedureStep) -> Tried {
    let mut at = None;
    match step.progress {
        Progress::Set(Step::Set { mark_m, .. }) => {
            let id = step.slide.clone().expect("a slide is set");
            package.head.slides_mut().find(|slide| slide.id == id).expect("a slide of the head").mark_m = mark_m;
            at = Some(LoggedMark { slide: id, mark_m });
        }
        Progress::Look => {}
        ref other => panic!("{} {:?}: {other:?}", step.joint, step.slide),
    }
    let marks_m: Vec<f64> = package.head.slides().map(|slide| slide.mark_m).collect();
    let torque_nm = torque_nm(truth, step, &marks_m);
    let seen = if torque_nm.abs() <= friction_nm(truth, step) {
        Seen::Stays
    } else if at.is_none() {
        Seen::Turns
    } else if torque_nm > 0.0 {
        step.means.plus
    } else {
        step.means.minus
    };
    Tried { joint: step.joint.clone(), at, seen }
}

/// The package with every mass and centre of gravity off by what is stated of it.
pub(crate) fn spoilt(package: &Package, random: &mut Random) -> Package {
    let mut truth = package.clone();
    for part in &mut truth.parts {
        if let solver::package::PartMass::Own(mass) = &mut part.mass {
            mass.kg = (mass.kg + 0.7 * mass.standard_uncertainty_kg() * random.normal()).max(0.01);
        }
        let u_m = part.cg.standard_uncertainty_m(part.size_m[0]);
        part.cg.offset_m[0] += 0.7 * u_m * random.normal();
    }
    for lens in &mut truth.lenses {
        lens.cg_ahead_m += 0.003 * random.normal();
    }
    truth
}

/// The head seen from another side: the same head, with the sense of axes and slides turned about.
fn turned_about(package: &Package) -> Package {
    let mut other = package.clone();
    for element in &mut other.head.chain {
        match element {
            Element::Joint(joint) => {
                joint.axis = joint.axis.map(|part| -part);
                joint.turns.shown_reversed = !joint.turns.shown_reversed;
            }
            Element::Slide(slide) => {
                slide.direction = slide.direction.map(|part| -part);
            }
            _ => {}
        }
    }
    other
}

#[test]
fn a_person_who_sees_only_the_head_ends_at_marks_that_hold() {
    let mut random = Random::new(3);
    for run in 0..20 {
        let believed = if run % 2 == 0 { rigs::medium() } else { turned_about(&rigs::medium()) };
        let truth = spoilt(&believed, &mut random);
        let (found, settings) = play(&believed, &truth);
        assert!(settings.iter().all(|count| *count <= 9), "run {run}: {settings:?}");
        let stand = procedure(&found).expect("valid");
        for step in stand.steps.iter().filter(|step| step.slide.is_some()) {
            let marks_m: Vec<f64> = found.head.slides().map(|slide| slide.mark_m).collect();
            let torque_nm = torque_nm(&truth, step, &marks_m);
            assert!(torque_nm.abs() <= friction_nm(&truth, step) * 1.000_001, "run {run}: {} turns", step.joint);
        }
        assert!(stand.held.contains(&"tilt".to_owned()), "{:?}", stand.steps);
    }
}

#[test]
fn the_other_way_on_the_slope_leads_to_the_same_mark() {
    let mut random = Random::new(5);
    let believed = rigs::medium();
    let truth = spoilt(&believed, &mut random);
    let found = |other_way: bool| {
        let mut package = believed.clone();
        package.balancing = Some(begin(&package));
        package.balancing.as_mut().expect("begun").other_way = other_way;
        let mut marks = Vec::new();
        while let Some(open) = procedure(&package).expect("valid").open {
            let step = procedure(&package).expect("valid").steps[open].clone();
            let tried = setting(&mut package, &truth, &step);
            marks.extend(tried.at.as_ref().map(|at| at.mark_m));
            package.balancing.as_mut().expect("begun").tried.push(tried);
        }
        marks
    };
    assert_eq!(found(false), found(true));
}

/// Half of an axis teaches nothing: a balance of it would claim the other half as well.
#[test]
fn only_whole_axes_teach_the_next_step() {
    let believed = rigs::medium();
    let mut package = believed.clone();
    package.balancing = Some(begin(&package));
    let mut widths = Vec::new();
    while let Some(open) = procedure(&package).expect("valid").open {
        let step = procedure(&package).expect("valid").steps[open].clone();
        if let Progress::Set(Step::Set { between_m: [low_m, high_m], .. }) = step.progress {
            widths.push((step.slide.clone().expect("a slide is set"), step.again, high_m - low_m));
        }
        let tried = setting(&mut package, &believed, &step);
        package.balancing.as_mut().expect("begun").tried.push(tried);
    }
    let report = solver::check(&believed).expect("valid");
    for (slide, again, width_m) in widths {
        let entered_m = report.slides.iter().find(|each| each.slide == slide).expect("a slide").target_m.u;
        // The middle 95 % of a normal distribution are 3.92 deviations wide.
        let deviations = width_m / entered_m;
        match (slide.as_str(), again) {
            ("plate" | "height", false) => assert!((deviations - 3.92).abs() < 0.01, "{slide}: {deviations}"),
            ("plate", true) => assert!(deviations < 1.0, "{slide}: {deviations}"),
            // What friction hides on the axes further in hangs on this one: a tilt slide that stays anywhere within
            // 0.2 N·m, 12 g·m of standard deviation, is 0.6 mm of some 20 kg.
            ("pan_slide", _) => assert!((3.93..4.0).contains(&deviations), "{slide}: {deviations}"),
            _ => assert!(deviations < 3.921, "{slide}: {deviations}"),
        }
    }
}

#[test]
fn what_is_found_and_logged_is_what_is_predicted_next() {
    let mut random = Random::new(7);
    let believed = rigs::medium();
    let truth = spoilt(&believed, &mut random);
    let (mut found, _) = play(&believed, &truth);
    let log = log_found(&found).expect("valid").expect("something holds");
    assert!(log.axes.contains(&"tilt".to_owned()), "{:?}", log.axes);
    found.logs.push(log);
    let before = solver::check(&believed).expect("valid");
    let after = solver::check(&found).expect("valid");
    for id in ["plate", "height"] {
        let of =
            |report: &solver::Report| report.slides.iter().find(|slide| slide.slide == id).expect("a slide").clone();
        let slide = of(&after);
        let zone_m = slide.hold_zone_m.expect("not geared");
        assert!((slide.target_m.value - slide.mark_m).abs() <= 1.5 * zone_m, "{id}: {slide:?}");
        assert!(slide.target_m.u < of(&before).target_m.u, "{id}");
    }
    // Logged again with more found, it takes the place of the first.
    let id = found.logs[0].id;
    found.balancing.as_mut().expect("begun").log = Some(id);
    assert_eq!(log_found(&found).expect("valid").expect("something holds").id, id);
}

#[test]
fn an_axis_that_was_left_out_is_never_logged() {
    let believed = rigs::medium();
    let (mut found, _) = play(&believed, &believed);
    let began = found.balancing.as_mut().expect("begun");
    let last = began.tried.last_mut().expect("something was tried");
    assert_eq!((last.joint.as_str(), last.seen), ("pan", Seen::Stays));
    last.seen = Seen::LeftOut;
    let stand = procedure(&found).expect("valid");
    assert_eq!(stand.held, ["roll", "tilt"]);
    // What was tested of it still counts, and no more: forward and back, where the slide goes.
    let [face] = stand.faces.as_slice() else { panic!("{:?}", stand.faces) };
    assert_eq!((face.joint.as_str(), face.direction), ("pan", [1.0, 0.0, 0.0]));
    let log = log_found(&found).expect("valid").expect("something holds");
    assert_eq!(log.faces, stand.faces);
    found.logs.push(log);
    let learned = solver::check(&found).expect("valid").learned.expect("there is a log");
    let pan = learned.axes.iter().find(|axis| axis.joint == "pan").expect("a face of pan was logged");
    assert!(pan.cg_error_m[0].is_some() && pan.cg_error_m[1].is_none() && pan.cg_error_m[2].is_none());
}

#[test]
fn the_state_is_the_list_of_what_was_tried() {
    let mut random = Random::new(11);
    let believed = rigs::medium();
    let truth = spoilt(&believed, &mut random);
    let mut package = believed.clone();
    package.balancing = Some(begin(&package));
    let mut before: Vec<(Package, Procedure)> = Vec::new();
    while let Some(open) = procedure(&package).expect("valid").open {
        let stand = procedure(&package).expect("valid");
        let step = stand.steps[open].clone();
        before.push((package.clone(), stand));
        let tried = setting(&mut package, &truth, &step);
        package.balancing.as_mut().expect("begun").tried.push(tried);
    }
    // Taken back one by one, with the slides where they stood, every step is met again.
    for (earlier, stand) in before.iter().rev() {
        package.balancing.as_mut().expect("begun").tried.pop();
        package.head = earlier.head.clone();
        assert_eq!(procedure(&package).expect("valid"), *stand);
    }
}

#[test]
fn another_lens_or_part_is_noticed() {
    let mut package = rigs::medium();
    package.balancing = Some(begin(&package));
    assert!(!procedure(&package).expect("valid").changed_since);
    let mut other = package.clone();
    other.active_lens = Some(rigs::PRIME);
    assert!(procedure(&other).expect("valid").changed_since);
    package.parts[3].on = false;
    assert!(procedure(&package).expect("valid").changed_since);
}

#[test]
fn a_slide_with_holes_is_asked_for_holes_only() {
    let mut random = Random::new(13);
    let mut believed = rigs::medium();
    for slide in believed.head.slides_mut().filter(|slide| slide.id == "height") {
        slide.hole_spacing_m = Some(0.004);
    }
    let truth = spoilt(&believed, &mut random);
    let mut package = believed.clone();
    package.balancing = Some(begin(&package));
    for _ in 0..40 {
        let stand = procedure(&package).expect("valid");
        let Some(open) = stand.open else { break };
        let step = stand.steps[open].clone();
        let tried = match step.progress {
            Progress::BetweenHoles { .. } => {
                let at = step.slide.clone().map(|slide| LoggedMark { slide, mark_m: 0.04 });
                Tried { joint: step.joint.clone(), at, seen: Seen::LeftOut }
            }
            _ => setting(&mut package, &truth, &step),
        };
        if let Some(at) = tried.at.as_ref().filter(|at| at.slide == "height") {
            let holes = at.mark_m / 0.004;
            assert!((holes - holes.round()).abs() < 1e-6, "{}", at.mark_m);
        }
        package.balancing.as_mut().expect("begun").tried.push(tried);
    }
    assert_eq!(procedure(&package).expect("valid").open, None);
}

#[test]
fn a_gauge_points_to_the_true_mark() {
    let believed = rigs::medium();
    let mut truth = believed.clone();
    for lens in &mut truth.lenses {
        (lens.cg_ahead_m, lens.cg_from) = (lens.cg_ahead_m + 0.03, CgSource::Estimate);
    }
    let mut package = believed.clone();
    package.balancing = Some(begin(&package));
    let stand = procedure(&package).expect("valid");
    let step = &stand.steps[0];
    let Progress::Set(Step::Set { mark_m, .. }) = step.progress else { panic!("{:?}", step.progress) };
    let mut marks_m: Vec<f64> = package.head.slides().map(|slide| slide.mark_m).collect();
    let plate = package.head.slides().position(|slide| slide.id == "plate").expect("a plate");
    marks_m[plate] = mark_m;
    let torque = torque_nm(&truth, step, &marks_m);
    let unbalance_kg_m = torque.abs() / GRAVITY_M_S2;
    let seen = solver::balance::procedure::gauge_seen(step, mark_m, unbalance_kg_m, 0.001, torque > 0.0);
    let Seen::Gauge { mark_m: pointed_m, .. } = seen else { panic!("{seen:?}") };
    marks_m[plate] = pointed_m;
    // What is stored is a tenth of a millimetre.
    assert!(torque_nm(&truth, step, &marks_m).abs() < 0.0002 * step.across_kg * GRAVITY_M_S2, "{pointed_m}");
    assert!(pointed_m < mark_m, "a nose that is heavier than believed wants the plate further back");
}
