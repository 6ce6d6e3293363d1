//! The head on the sheet: arms, motor cases, rails, centre lines, the clear space, and what is fixed.

use super::arms::{Bone, arms, main_axis};
use super::pen::Pen;
use super::projection::{Frame, Paper, View, plus};
use super::skeleton::Skeleton;

/// A stroke of the head itself.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stroke {
    /// How many slides stand outside it.
    pub(crate) rides: usize,
    /// Path data.
    pub(crate) path: String,
}

/// The centre line of a joint.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Axis {
    /// How many slides stand outside it.
    pub(crate) rides: usize,
    /// Whether it moves across and down with those slides: along itself a line has no place.
    pub(crate) moves: [bool; 2],
    /// Path data.
    pub(crate) path: String,
    /// The joint's name.
    pub(crate) word: String,
    /// Where the word stands, and whether it ends there.
    pub(crate) word_at: [f64; 2],
    /// Whether the word ends at its place instead of beginning there.
    pub(crate) ends: bool,
}

/// The circle that stays clear of the head's arms.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Clear {
    /// How many slides stand outside it.
    pub(crate) rides: usize,
    /// Path data.
    pub(crate) path: String,
    /// Its radius, m.
    pub(crate) radius_m: f64,
    /// Where its words begin: outside the circle, on the lower right.
    pub(crate) words_at: [f64; 2],
}

/// Arms, as the centre lines that are stroked as thick as an arm.
pub(crate) fn arm_strokes(skeleton: &Skeleton, paper: &Paper) -> Vec<Stroke> {
    arms(&skeleton.build, &skeleton.bones, skeleton.sits_m, skeleton.floor_rides)
        .into_iter()
        .map(|arm| {
            let corners: Vec<[f64; 2]> = arm.corners_m.iter().map(|corner| paper.point(*corner)).collect();
            let mut pen = Pen::default();
            pen.line(&corners);
            Stroke { rides: arm.rides, path: pen.done() }
        })
        .collect()
}

/// Motor cases at the bearings, the rails of level slides, the base.
pub(crate) fn cases(skeleton: &Skeleton, paper: &Paper) -> Vec<Stroke> {
    let build = &skeleton.build;
    let mut cases = Vec::new();
    for way in &skeleton.ways {
        let along = main_axis(way.direction);
        if along == 2 || paper.view.through() == along {
            continue;
        }
        let length_m = way.range_m[1] - way.range_m[0] + 2.0 * build.arm_m;
        let mut size_m = [2.0 * build.arm_m, 2.0 * build.arm_m, 0.5 * build.arm_m];
        size_m[along] = length_m;
        let below_m = plus(way.rail_m, [0.0, 0.0, -0.25 * build.arm_m]);
        let rides = if way.rail_m == skeleton.sits_m { skeleton.floor_rides } else { 0 };
        let mut pen = Pen::default();
        pen.rectangle(&paper.outline(below_m, size_m));
        cases.push(Stroke { rides, path: pen.done() });
    }
    for (index, bone) in skeleton.bones.iter().enumerate() {
        for bearing_m in build.bearings_m(bone, index == 0) {
            let mut pen = Pen::default();
            let radius_m = build.motor_m();
            if paper.view.through() == bone.along() {
                let centre = paper.point(bearing_m);
                pen.circle(centre, paper.length(radius_m)).circle(centre, paper.length(0.45 * radius_m));
            } else {
                let mut size_m = [2.0 * radius_m; 3];
                size_m[bone.along()] = 1.6 * build.arm_m;
                pen.rounded(&paper.outline(bearing_m, size_m), 3.0);
            }
            cases.push(Stroke { rides: bone.rides, path: pen.done() });
        }
    }
    cases
}

/// The near case of every joint whose axis comes out of the sheet and that has bearings on both sides of the camera.
pub(crate) fn before(skeleton: &Skeleton, paper: &Paper) -> Vec<Stroke> {
    let build = &skeleton.build;
    let through = skeleton.bones.iter().enumerate().filter(|(_, bone)| paper.view.through() == bone.along());
    let pairs = through.map(|(index, bone)| (bone, build.bearings_m(bone, index == 0))).filter(|(_, at)| at.len() > 1);
    pairs
        .map(|(bone, bearings_m)| {
            let mut pen = Pen::default();
            pen.circle(paper.point(bearings_m[0]), paper.length(build.motor_m()));
            Stroke { rides: bone.rides, path: pen.done() }
        })
        .collect()
}

/// The hatching by which drawings say: this does not move.
pub(crate) fn fixed(skeleton: &Skeleton, paper: &Paper) -> Option<String> {
    let bone = skeleton.bones.first()?;
    if paper.view == View::Top || bone.along() != 2 {
        return None;
    }
    let [x, y] = paper.point(bone.origin_m);
    let half = paper.length(2.6 * skeleton.build.arm_m);
    let top = y - paper.length(0.8 * skeleton.build.arm_m);
    let band = Frame { left: x - half, right: x + half, top: top - 7.0, bottom: top };
    let mut pen = Pen::default();
    pen.line(&[band.at(0.0, 1.0), band.at(1.0, 1.0)]).oblique_lines(&band, 6.0);
    Some(pen.done())
}

/// A centre line across the drawing, or a cross where the axis comes out of the sheet.
pub(crate) fn axis(bone: &Bone, paper: &Paper, sheet: &Frame) -> Axis {
    let [x, y] = paper.point(bone.origin_m);
    let [across, down] = paper.vector(bone.axis).map(|part| part / paper.px_per_m);
    let mut pen = Pen::default();
    let (word_at, ends, moves) = if paper.view.through() == bone.along() {
        let arm = 16.0;
        pen.line(&[[x - arm, y], [x + arm, y]]).line(&[[x, y - arm], [x, y + arm]]);
        ([x - 7.0, y + 18.0], true, [true, true])
    } else if across.abs() >= down.abs() {
        let slope = down / across;
        let at = |x_px: f64| [x_px, y + slope * (x_px - x)];
        pen.line(&[at(sheet.left), at(sheet.right)]);
        (plus(at(sheet.right), [0.0, -5.0]), true, [false, true])
    } else {
        let slope = across / down;
        let at = |y_px: f64| [x + slope * (y_px - y), y_px];
        pen.line(&[at(sheet.top), at(sheet.bottom)]);
        (plus(at(sheet.top), [6.0, 8.0]), false, [true, false])
    };
    Axis { rides: bone.rides, moves, path: pen.done(), word: bone.name.clone(), word_at, ends }
}

/// The clear radius round the tilt axis, seen along it.
pub(crate) fn clear(skeleton: &Skeleton, paper: &Paper) -> Option<Clear> {
    let radius_m = skeleton.clear_m?;
    let radius = paper.length(radius_m);
    let bone = skeleton.bones.iter().rev().find(|bone| bone.along() == 1)?;
    if paper.view.through() != 1 {
        return None;
    }
    let mut pen = Pen::default();
    let centre = paper.point(bone.origin_m);
    pen.circle(centre, radius);
    let words_at = plus(centre, [0.61 * radius + 6.0, 0.8 * radius + 10.0]);
    Some(Clear { rides: bone.rides, path: pen.done(), radius_m, words_at })
}
