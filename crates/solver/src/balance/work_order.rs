//! The steps of one axis: which slides, in which order, how the head stands for each, and what the answers mean.

use nalgebra::{Rotation3, Unit, Vector3};

use super::procedure::{Means, Pose, ProcedureStep, Progress};
use super::{Marks, across, held_unbalance_kg_m, tested_lean_rad, upright_test_rad};
use crate::order::sort_short;
use crate::package::{DriveKind, Joint, Package, Seen, Slide};

/// Unbalance along a direction counts as one face of an axis; it has two.
const SAME_FACE: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// The two faces of an axis, as unit vectors across it: the one that lies level (for an upright axis forward) first.
fn faces(axis: &Vector3<f64>) -> [Vector3<f64>; 2] {
    let upright = axis.z.abs() > SAME_FACE;
    let level = axis.cross(&Vector3::z());
    let first = if upright { across(axis, &Vector3::x()) } else { level }.normalize();
    [first, axis.cross(&first)]
}

/// The steps of one joint, in the order of the work.
pub(super) fn joint_steps(
    package: &Package,
    marks: &Marks,
    index: usize,
    joint: &Joint,
    other_way: bool,
) -> Vec<ProcedureStep> {
    let axis = Vector3::from(joint.axis).normalize();
    let slides: Vec<&Slide> = package.head.slides().collect();
    let step = |direction: &Vector3<f64>, slide: Option<usize>, again: bool| {
        let (pose, means, share) = test(package, joint, &axis, direction, other_way);
        let lean_rad = tested_lean_rad(&axis, package.reserve.tip_rad);
        let across_kg = slide.map_or(0.0, |slide| marks.slides[slide].across_kg);
        let held_kg_m = held_unbalance_kg_m(joint.drive.friction_nm, lean_rad) / share;
        ProcedureStep {
            joint: joint.id.clone(),
            name: joint.name.clone(),
            slide: slide.map(|slide| slides[slide].id.clone()),
            again,
            direction: (*direction).into(),
            pose,
            means,
            progress: Progress::Waiting,
            trials: Vec::new(),
            hold_zone_m: if across_kg > 0.0 { held_kg_m / across_kg } else { 0.0 },
            across_kg,
            share,
            stand_ins: Vec::new(),
        }
    };
    let faces = faces(&axis);
    if joint.drive.kind == DriveKind::Geared {
        return vec![ProcedureStep { progress: Progress::Geared, ..step(&faces[0], None, false) }];
    }
    let direction = |slide: usize| across(&axis, &Vector3::from(slides[slide].direction)).normalize();
    // Of slides that do each other's work the one with the longest travel is set; the others stand in for it.
    let of_face = |face: &Vector3<f64>| {
        let mine = marks.order.iter().copied().filter(|slide| marks.slides[*slide].joint == Some(index));
        let mut mine: Vec<usize> = mine.filter(|slide| direction(*slide).dot(face).abs() >= SAME_FACE).collect();
        sort_short(&mut mine, |a, b| travel_m(slides[*a]) > travel_m(slides[*b]));
        mine
    };
    let set = |of_face: &[usize]| {
        let mut all = of_face.iter().map(|slide| step(&direction(*slide), Some(*slide), false));
        let first = all.next()?;
        Some(ProcedureStep { stand_ins: all.collect(), ..first })
    };
    let of_faces = [of_face(&faces[0]), of_face(&faces[1])];
    let mut steps: Vec<ProcedureStep> = of_faces.iter().filter_map(|slides| set(slides)).collect();
    if let [Some(first), Some(_)] = of_faces.each_ref().map(|slides| slides.first()) {
        steps.push(step(&direction(*first), Some(*first), true));
    }
    for (face, slides) in faces.iter().zip(&of_faces) {
        if slides.is_empty() {
            steps.push(step(face, None, false));
        }
    }
    steps
}

fn travel_m(slide: &Slide) -> f64 {
    slide.range_m[1] - slide.range_m[0]
}

/// How the unbalance along a direction is tested, what the answers mean, and the share of it that pulls.
///
/// A mark that is too low leaves the unbalance −**d**; with **û** the upward direction as the joint sees it, gravity turns
/// it about **a** in the sense of **a**·(**d** × **û**).
fn test(
    package: &Package,
    joint: &Joint,
    axis: &Vector3<f64>,
    direction: &Vector3<f64>,
    other_way: bool,
) -> (Pose, Means, f64) {
    let turns = |up: &Vector3<f64>| axis.dot(&direction.cross(up));
    let means = |turns: f64, swings_back: Option<Seen>| {
        let (low, high) = (Seen::WantsMore, Seen::WantsLess);
        let (plus, minus) = if turns > 0.0 { (low, high) } else { (high, low) };
        Means { plus, minus, swings_back }
    };
    if axis.z.abs() > SAME_FACE {
        let side = axis.cross(direction).normalize();
        let downhill = if other_way { side } else { -side };
        let pulls = -turns(&downhill);
        let pose = Pose::Tipped { tip_rad: package.reserve.tip_rad, downhill: downhill.into() };
        return (pose, means(pulls, None), pulls.abs().max(0.05));
    }
    let level = turns(&Vector3::z());
    if level.abs() >= SAME_FACE {
        return (Pose::Level, means(level, None), level.abs());
    }
    let angle_rad = upright_test_rad(joint);
    let turned = Rotation3::from_axis_angle(&Unit::new_normalize(*axis), angle_rad);
    let pulls = turns(&(turned.inverse() * Vector3::z()));
    let low_hangs = if direction.z > 0.0 { Seen::WantsMore } else { Seen::WantsLess };
    let pose = Pose::Turned { angle_rad, lens_up: (turned * Vector3::x()).z };
    (pose, means(pulls, Some(low_hangs)), pulls.abs().max(0.05))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faces_are_square_to_the_axis_and_to_each_other() {
        for axis in [Vector3::x(), Vector3::y(), Vector3::z(), Vector3::new(0.6, 0.0, 0.8), Vector3::new(0.8, 0.6, 0.0)]
        {
            let [first, second] = faces(&axis);
            assert!(first.dot(&axis).abs() < 1e-12 && second.dot(&axis).abs() < 1e-12);
            assert!(first.dot(&second).abs() < 1e-12);
            assert!((first.norm() - 1.0).abs() < 1e-12 && (second.norm() - 1.0).abs() < 1e-12);
        }
    }
}
