//! The poses of a move: a coarse grid over its working ranges, and the worst of them narrowed down.

use nalgebra::Vector3;

use super::demand::{Demand, Load};
use super::study::{AtJoint, Study};
use crate::constants::DEGREE_RAD;
use crate::dynamics::{MAX_JOINTS, Pose};
use crate::package::Move;
use crate::platform::up_in_base;

/// Step of the grid, rad. The maps are trigonometric polynomials of degree two, so a parabola through three
/// neighbours finds the top between them.
const STEP_RAD: f64 = 12.5 * DEGREE_RAD;

/// Most poses of one grid; chains with many joints at work get a coarser one.
const MOST_POSES: usize = 3_000;

/// What decides the poses of a move: moves that agree in it share one table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach {
    /// The vertical in the axes of the base.
    pub(super) up_in_base: Vector3<f64>,
    /// Lowest and highest angle of every joint, rad.
    pub(super) ranges_rad: [[f64; 2]; MAX_JOINTS],
}

impl Reach {
    /// The working ranges of a move within the joints' own limits. A joint that is not listed stays at 0; ranges of
    /// joints that this head does not have are ignored.
    pub(super) fn of(study: &Study<'_>, each: &Move) -> Self {
        let mut ranges_rad = [[0.0; 2]; MAX_JOINTS];
        for (range_rad, joint) in ranges_rad.iter_mut().zip(&study.joints) {
            if let Some(wanted) = each.ranges.iter().find(|range| range.joint == joint.id) {
                let [low, high] = wanted.range_rad;
                *range_rad = match joint.limits_rad {
                    Some([least, most]) => [low.clamp(least, most), high.clamp(least, most)],
                    None => [low, high],
                };
            }
        }
        Self { up_in_base: up_in_base(each.mounting), ranges_rad }
    }

    /// Largest deflection of a joint's cables, rad.
    pub(super) fn widest_rad(&self, joint: usize) -> f64 {
        let [low, high] = self.ranges_rad[joint];
        f64::max(low.abs(), high.abs())
    }
}

#[derive(Debug, Clone, Copy)]
struct Span {
    joint: usize,
    low_rad: f64,
    step_rad: f64,
    count: usize,
    /// Distance in the list between two poses that differ by one step of this joint.
    stride: usize,
}

/// The grid of poses of one reach.
pub(super) struct Table {
    pub(super) reach: Reach,
    /// Whether some of the poses were left out near gimbal lock.
    pub(super) near_lock: bool,
    /// Whether the outermost joint's angle is part of the grid: not when its axis is the vertical.
    pub(super) outermost: bool,
    spans: Vec<Span>,
    joints: usize,
    q_rad: Vec<[f64; MAX_JOINTS]>,
    usable: Vec<bool>,
    at: Vec<AtJoint>,
}

impl Table {
    pub(super) fn new(study: &Study<'_>, reach: Reach, pose: &mut Pose) -> Self {
        let joints = study.joints.len();
        let outermost =
            study.linkage.links.first().is_some_and(|link| link.axis.dot(&reach.up_in_base).abs() < 1.0 - 1e-9);
        let spans = spans(&reach, joints, outermost);
        let poses: usize = spans.iter().map(|span| span.count).product();
        let mut table = Self {
            reach,
            near_lock: false,
            outermost,
            spans,
            joints,
            q_rad: Vec::with_capacity(poses),
            usable: Vec::with_capacity(poses),
            at: vec![AtJoint::nothing(); poses * joints],
        };
        for place in 0..poses {
            let mut q_rad = [0.0; MAX_JOINTS];
            for (q, [low, _]) in q_rad.iter_mut().zip(&reach.ranges_rad).skip(usize::from(!outermost)) {
                *q = *low;
            }
            for span in &table.spans {
                let step = (place / span.stride) % span.count;
                q_rad[span.joint] = span.low_rad + span.step_rad * step as f64;
            }
            let row = place * joints..(place + 1) * joints;
            let usable = study.at(pose, &q_rad, &reach.up_in_base, &mut table.at[row]);
            table.q_rad.push(q_rad);
            table.usable.push(usable);
            table.near_lock |= !usable;
        }
        // A move that works in gimbal lock alone still gets figures, and says so.
        if !table.usable.contains(&true) {
            table.usable.fill(true);
        }
        table
    }

    /// Every usable pose: its place, its angles and what each joint sees in it.
    pub(super) fn poses(&self) -> impl Iterator<Item = (usize, &[f64; MAX_JOINTS], &[AtJoint])> {
        (0..self.q_rad.len())
            .filter(|place| self.usable[*place])
            .map(|place| (place, &self.q_rad[place], &self.at[place * self.joints..(place + 1) * self.joints]))
    }

    /// Number of poses, usable or not.
    pub(super) fn places(&self) -> usize {
        self.q_rad.len()
    }

    /// Deflection of a joint's cables in a pose, rad.
    pub(super) fn deflection_rad(&self, joint: usize, q_rad: &[f64; MAX_JOINTS]) -> f64 {
        if joint == 0 && !self.outermost { self.reach.widest_rad(0) } else { q_rad[joint].abs() }
    }

    /// The pose near `place` where one joint is asked for most: the tops of the parabolas through the neighbours, whose
    /// values `known` gives by their place. Falls back to the pose of the grid where that is no better.
    pub(super) fn narrowed(
        &self,
        study: &Study<'_>,
        pose: &mut Pose,
        place: usize,
        load: &Load<'_>,
        known: impl Fn(usize) -> f64,
        pick: impl Fn(&Demand) -> f64,
    ) -> Narrowed {
        let joint = load.joint;
        let mut q_rad = self.q_rad[place];
        let mut moved = false;
        for span in &self.spans {
            if let Some(angle_rad) = self.top(span, place, &known) {
                moved |= (angle_rad - q_rad[span.joint]).abs() > 1e-3 * span.step_rad;
                q_rad[span.joint] = angle_rad;
            }
        }
        let up = &self.reach.up_in_base;
        let demand = |at: &AtJoint, q_rad: &[f64; MAX_JOINTS]| load.demand(at, self.deflection_rad(joint, q_rad));
        let mut best = None;
        if moved && let Some(at) = study.exactly(pose, &q_rad, up, joint) {
            let demand = demand(&at, &q_rad);
            if pick(&demand) > known(place) {
                best = Some(Narrowed { q_rad, at, demand });
            }
        }
        let mut best = best.unwrap_or_else(|| {
            let (q_rad, at) = (self.q_rad[place], self.at[place * self.joints + joint]);
            pose.set(&study.linkage, &q_rad);
            Narrowed { q_rad, at, demand: demand(&at, &q_rad) }
        });
        if load.pressure_pa[1] > 0.0 {
            best.at.wind_m3 = study.wind_m3(pose, &best.q_rad, up, joint);
            best.demand = demand(&best.at, &best.q_rad);
        }
        best
    }

    fn top(&self, span: &Span, place: usize, known: &impl Fn(usize) -> f64) -> Option<f64> {
        let step = (place / span.stride) % span.count;
        let middle = step.clamp(1, span.count - 2);
        let at = |wanted: usize| {
            let place = place + wanted * span.stride - step * span.stride;
            self.usable[place].then(|| known(place))
        };
        let (before, here, after) = (at(middle - 1)?, at(middle)?, at(middle + 1)?);
        let bend = before - 2.0 * here + after;
        (bend < 0.0).then(|| {
            let shift = (0.5 * (before - after) / bend).clamp(-1.0, 1.0);
            span.low_rad + span.step_rad * (middle as f64 + shift)
        })
    }
}

/// A pose between those of the grid; the chain is left in it.
pub(super) struct Narrowed {
    pub(super) q_rad: [f64; MAX_JOINTS],
    pub(super) at: AtJoint,
    pub(super) demand: Demand,
}

/// The joints that have room to move, with three poses or more each.
fn spans(reach: &Reach, joints: usize, outermost: bool) -> Vec<Span> {
    let mut step_rad = STEP_RAD;
    loop {
        let mut stride = 1;
        let mut spans = Vec::new();
        for joint in usize::from(!outermost)..joints {
            let [low, high] = reach.ranges_rad[joint];
            let width = high - low;
            if width > 1e-6 {
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a range is a few turns")]
                let count = (libm::ceil(width / step_rad) as usize + 1).max(3);
                let step_rad = width / (count - 1) as f64;
                spans.push(Span { joint, low_rad: low, step_rad, count, stride });
                stride *= count;
            }
        }
        if stride <= MOST_POSES || step_rad > 4.0 {
            return spans;
        }
        step_rad *= 1.3;
    }
}
