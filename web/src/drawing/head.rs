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
    /// Where the word stands; an axis that comes out of the sheet is named on a leader, as parts are.
    pub(crate) word_at: Option<WordAt>,
    /// The leader of a word that found its room away from the line, path data.
    pub(crate) staff: Option<String>,
    /// Where the axis crosses the sheet, or a point of it.
    pub(crate) point: [f64; 2],
}

/// The place of a word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct WordAt {
    /// Its base line begins here, or ends here.
    pub(crate) at: [f64; 2],
    /// Whether it ends there.
    pub(crate) ends: bool,
}

impl WordAt {
    /// The room that a word takes here.
    pub(crate) fn frame(self, word: &str) -> Frame {
        let [x, y] = self.at;
        let width = 9.0 * word.chars().count() as f64;
        let left = if self.ends { x - width } else { x };
        Frame { left, top: y - 12.0, right: left + width, bottom: y + 4.0 }
    }

    /// The upright line from a level axis to a word that is not beside it.
    fn staff(self, axis_px: f64) -> Option<String> {
        let ([x, y], out) = (self.at, if self.ends { STAFF } else { -STAFF });
        let mut pen = Pen::default();
        pen.line(&[[x + out, axis_px], [x + out, if y > axis_px { y } else { y - 8.0 }]]);
        far(y - axis_px).then(|| pen.done())
    }
}

/// Whether a base line so far below its axis needs a leader.
fn far(below_px: f64) -> bool {
    !(-12.0..20.0).contains(&below_px)
}

/// From a word to the leader that it flies from, px.
const STAFF: f64 = 4.0;

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

/// Frames of the arms and of the motor cases at the bearings: where a word of an axis would be hard to read.
pub(crate) fn solids(skeleton: &Skeleton, paper: &Paper) -> Vec<Frame> {
    let build = &skeleton.build;
    let half = [0.5 * paper.length(build.arm_m) + 1.0; 2];
    let round = |point_m: [f64; 3]| Frame::round(paper.point(point_m), half);
    let limbs = arms(build, &skeleton.bones, skeleton.sits_m, skeleton.floor_rides);
    let strokes = limbs.iter().flat_map(|arm| arm.corners_m.windows(2));
    let bones = skeleton.bones.iter().enumerate();
    let bearings = bones.flat_map(|(index, bone)| build.bearings_m(bone, index == 0));
    let motor = [paper.length(build.motor_m()) + 1.0; 2];
    strokes
        .map(|ends| round(ends[0]).union(&round(ends[1])))
        .chain(bearings.map(|bearing_m| Frame::round(paper.point(bearing_m), motor)))
        .collect()
}

/// A centre line across the drawing, or a cross where the axis comes out of the sheet. A level one has its word at
/// either end, above or below, where it covers nothing of `busy`.
pub(crate) fn axis(bone: &Bone, paper: &Paper, sheet: &Frame, busy: &[Frame]) -> Axis {
    let [x, y] = paper.point(bone.origin_m);
    let [across, down] = paper.vector(bone.axis).map(|part| part / paper.px_per_m);
    let mut pen = Pen::default();
    let (word_at, moves) = if paper.view.through() == bone.along() {
        let arm = 16.0;
        pen.line(&[[x - arm, y], [x + arm, y]]).line(&[[x, y - arm], [x, y + arm]]);
        (None, [true, true])
    } else if across.abs() >= down.abs() {
        let slope = down / across;
        let at = |x_px: f64| [x_px, y + slope * (x_px - x)];
        let ends = [at(sheet.left), at(sheet.right)];
        pen.line(&ends);
        (Some(clear_end(&bone.name, ends, sheet, busy)), [false, true])
    } else {
        let slope = across / down;
        let at = |y_px: f64| [x + slope * (y_px - y), y_px];
        pen.line(&[at(sheet.top), at(sheet.bottom)]);
        (Some(WordAt { at: plus(at(sheet.top), [6.0, 8.0]), ends: false }), [true, false])
    };
    let staff = word_at.filter(|_| !moves[0]).and_then(|place: WordAt| place.staff(y));
    Axis { rides: bone.rides, moves, path: pen.done(), word: bone.name.clone(), word_at, staff, point: [x, y] }
}

/// The nearest place at the ends of a level line where a word covers nothing; above its right end when there is none
/// within some rows.
fn clear_end(word: &str, [left, right]: [[f64; 2]; 2], sheet: &Frame, busy: &[Frame]) -> WordAt {
    let usual = WordAt { at: plus(right, [0.0, -5.0]), ends: true };
    let steps = (0..16).flat_map(|step| {
        let off = 8.0 * f64::from(step);
        [(-5.0 - off, true), (-5.0 - off, false), (15.0 + off, true), (15.0 + off, false)]
    });
    let places = steps.map(|(off, ends)| {
        let inwards = if far(off) { STAFF } else { 0.0 };
        let (end, by) = if ends { (right, -inwards) } else { (left, inwards) };
        WordAt { at: plus(end, [by, off]), ends }
    });
    let free = |place: &WordAt| {
        let frame = place.frame(word);
        frame.top >= sheet.top && frame.bottom <= sheet.bottom && !busy.iter().any(|other| other.overlaps(&frame))
    };
    places.into_iter().find(free).unwrap_or(usual)
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
