//! The words of a step: how the head stands, what is open and what stays locked, what was seen.

use solver::Package;
use solver::balance::procedure::{Pose, ProcedureStep, Progress};
use solver::package::{Joint, LoggedFace, Seen};

use crate::show::{Kind, Style};

/// The joint of a step.
pub(super) fn joint_of<'a>(package: &'a Package, step: &ProcedureStep) -> Option<&'a Joint> {
    package.head.joints().find(|joint| joint.id == step.joint)
}

/// How the head stands.
pub(super) fn pose(style: Style, package: &Package, step: &ProcedureStep) -> String {
    match step.pose {
        Pose::Level => "Head level, every axis at its middle.".to_owned(),
        Pose::Turned { angle_rad, lens_up } => {
            let angle = style.show(Kind::Angle, angle_rad.abs());
            let how = match lens_up {
                up if up > 0.9 => "the lens points straight up".to_owned(),
                up if up < -0.9 => "the lens points straight down".to_owned(),
                _ => joint_of(package, step).map_or_else(String::new, |joint| {
                    let sense = if angle_rad > 0.0 { &joint.turns.plus } else { &joint.turns.minus };
                    format!("as when {sense}")
                }),
            };
            format!("Turn {} by {angle}: {how}.", step.name.to_lowercase())
        }
        Pose::Tipped { tip_rad, downhill } => {
            let tip = style.show(Kind::Angle, tip_rad);
            let [ahead, left, _] = downhill;
            let lies = if ahead.abs() > left.abs() {
                if ahead > 0.0 { "the lens points down the slope" } else { "the lens points up the slope" }
            } else if left > 0.0 {
                "the lens lies across the slope, downhill on its left"
            } else {
                "the lens lies across the slope, downhill on its right"
            };
            format!("Tip the base {tip}. Turn {} until {lies}.", step.name.to_lowercase())
        }
    }
}

/// The two ways in which the lens may lie on the slope: first the one for a balance whose `other_way` is not set.
pub(super) fn ways(pose: &Pose, other_way: bool) -> Option<[&'static str; 2]> {
    let Pose::Tipped { downhill: [ahead, left, _], .. } = pose else { return None };
    let word =
        |sign: f64| match (ahead.abs() > left.abs(), if ahead.abs() > left.abs() { sign * ahead } else { sign * left })
        {
            (true, down) if down > 0.0 => "Lens down the slope",
            (true, _) => "Lens up the slope",
            (false, down) if down > 0.0 => "Downhill left",
            (false, _) => "Downhill right",
        };
    let [now, other] = [word(1.0), word(-1.0)];
    Some(if other_way { [other, now] } else { [now, other] })
}

/// Which locks and clamps are open, and which stay shut.
pub(super) fn locks(package: &Package, step: &ProcedureStep) -> [String; 2] {
    let others: Vec<&str> =
        package.head.joints().filter(|joint| joint.id != step.joint).map(|joint| joint.name.as_str()).collect();
    let axes = match others.as_slice() {
        [] => format!("{}: lock off.", step.name),
        others => format!("{}: lock off. Locked: {}.", step.name, others.join(", ")),
    };
    let Some(slide) = step.slide.as_ref() else { return [axes, "Every clamp stays closed.".to_owned()] };
    let name = package.head.slides().find(|each| each.id == *slide).map(|each| each.name.as_str()).unwrap_or_default();
    let closed: Vec<&str> =
        package.head.slides().filter(|each| each.id != *slide).map(|each| each.name.as_str()).collect();
    let clamps = if closed.is_empty() {
        format!("Open only the clamp of {name}.")
    } else {
        format!("Open only the clamp of {name}. Closed: {}.", closed.join(", "))
    };
    [axes, clamps]
}

/// What a positive and a negative turn look like in the pose of a step.
pub(super) fn senses(package: &Package, step: &ProcedureStep) -> [String; 2] {
    let Some(joint) = joint_of(package, step) else { return Default::default() };
    match step.pose {
        // From straight up, a turn by which the nose drops tips the lens forward.
        Pose::Turned { lens_up, .. } if lens_up > 0.9 && joint.axis[1].abs() > 0.9 => {
            let (forward, back) = ("lens tips forward".to_owned(), "lens tips back".to_owned());
            if joint.axis[1] > 0.0 { [forward, back] } else { [back, forward] }
        }
        Pose::Tipped { downhill, .. } => {
            // A positive turn about an axis that points up carries what lies ahead to the left.
            let left_is_down = downhill[1] * joint.axis[2] > 0.0;
            let across = downhill[1].abs() > downhill[0].abs();
            let slope = |down: bool| match (across, down) {
                (false, _) => "",
                (true, true) => ", downhill",
                (true, false) => ", uphill",
            };
            let [plus, minus] = [&joint.turns.plus, &joint.turns.minus];
            [format!("{plus}{}", slope(left_is_down)), format!("{minus}{}", slope(!left_is_down))]
        }
        _ => [joint.turns.plus.clone(), joint.turns.minus.clone()],
    }
}

/// What was seen, in the words of the step.
pub(super) fn seen(style: Style, package: &Package, step: &ProcedureStep, seen: Seen) -> String {
    let [plus, minus] = senses(package, step);
    match seen {
        Seen::Stays => "stays".to_owned(),
        Seen::Turns => "turns".to_owned(),
        Seen::LeftOut => "left out".to_owned(),
        Seen::Ends { low_m, high_m } => {
            let [low, high] = [low_m, high_m].map(|mark_m| style.fine_bare(Kind::Mark, mark_m, 1));
            format!("stays from {low} to {high}")
        }
        Seen::Gauge { mark_m, .. } => format!("gauge points to {}", style.bare(Kind::Mark, mark_m)),
        seen if seen == step.means.plus => plus,
        _ => minus,
    }
}

/// How far a step has come, in a few words.
pub(super) fn progress(style: Style, step: &ProcedureStep) -> String {
    match step.progress {
        Progress::Found { mark_m } => format!("stays at {}", style.bare(Kind::Mark, mark_m)),
        Progress::Holds => "stays".to_owned(),
        Progress::Turns => "does not stay".to_owned(),
        Progress::LeftOut => "left out".to_owned(),
        Progress::TakenOver => "left where it is: the next does the rest".to_owned(),
        Progress::Geared => "geared: it does not turn, so there is nothing to balance by hand".to_owned(),
        Progress::Waiting => "to come".to_owned(),
        Progress::Set(_) | Progress::BetweenHoles { .. } | Progress::Look => "now".to_owned(),
    }
}

/// Axes that were found to stay put, by name; those of which only one face was, as such.
pub(super) fn axes(package: &Package, held: &[String], faces: &[LoggedFace]) -> String {
    let name = |joint: &Joint| {
        if held.contains(&joint.id) {
            return Some(joint.name.clone());
        }
        faces.iter().any(|face| face.joint == joint.id).then(|| format!("{} one way", joint.name))
    };
    package.head.joints().filter_map(name).collect::<Vec<_>>().join(", ")
}

/// The name of a step: the slide that is set, or what is looked at.
pub(super) fn step_name(package: &Package, step: &ProcedureStep) -> String {
    let slide = step.slide.as_ref().and_then(|id| package.head.slides().find(|slide| slide.id == *id));
    match (slide, step.again) {
        (Some(slide), false) => slide.name.clone(),
        (Some(slide), true) => format!("{} again", slide.name),
        (None, _) if step.progress == Progress::Geared => "no test".to_owned(),
        (None, _) => match step.pose {
            Pose::Level => "a look, level".to_owned(),
            Pose::Turned { .. } => "a look, turned".to_owned(),
            Pose::Tipped { downhill: [ahead, left, _], .. } if ahead.abs() > left.abs() => {
                "a look, lens along the slope".to_owned()
            }
            Pose::Tipped { .. } => "a look, lens across the slope".to_owned(),
        },
    }
}
