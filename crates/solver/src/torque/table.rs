//! The poses of a move: a coarse grid over its working ranges, and the worst of them narrowed down.

use nalgebra::Vector3;

use super::demand::{Demand, Load};
use super::study::{AtJoint, Desk, Study, same_pose};
use crate::constants::DEGREE_RAD;
use crate::dynamics::MAX_JOINTS;
use crate::order::sort_short;
use crate::package::Move;
use crate::platform::up_in_base;

/// Step of the grid, rad: a quarter of the usual range down. The maps are trigonometric polynomials of degree two, so a
/// parabola through three neighbours finds the top between them; wider steps miss creases of what the wind sees.
const STEP_RAD: f64 = 11.25 * DEGREE_RAD;

/// Height, as a share of the highest, from which a hill of the grid is narrowed down too.
const LOWEST_HILL: f64 = 0.96;

/// Share of a demand by which poses must differ to be told apart: far above the last digits, far below what counts.
const LEVEL: f64 = 1e-9;

/// Most hills that are narrowed down.
const MOST_HILLS: usize = 5;

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
        // Nothing that a pose shows depends on the sense of the vertical, so a hung head and one that stands share a table.
        let up_in_base = up_in_base(each.mounting);
        let up_in_base = if up_in_base.sum() < 0.0 { -up_in_base } else { up_in_base };
        Self { up_in_base, ranges_rad }
    }

    /// Largest deflection of a joint's cables, rad.
    pub(super) fn widest_rad(&self, joint: usize) -> f64 {
        let [low, high] = self.ranges_rad[joint];
        f64::max(low.abs(), high.abs())
    }
}

/// The angles of one joint in the grid.
#[derive(Debug, Clone)]
struct Span {
    joint: usize,
    angles_rad: Vec<f64>,
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
    /// The largest of every number that a joint sees over the usable poses, without sign.
    pub(super) most: [AtJoint; MAX_JOINTS],
}

impl Table {
    pub(super) fn new(study: &Study<'_>, reach: Reach, desk: &mut Desk) -> Self {
        let joints = study.joints.len();
        let outermost =
            study.linkage.links.first().is_some_and(|link| link.axis.dot(&reach.up_in_base).abs() < 1.0 - 1e-9);
        let spans = spans(&reach, joints, outermost);
        let poses: usize = spans.iter().map(|span| span.angles_rad.len()).product();
        let mut table = Self {
            reach,
            near_lock: false,
            outermost,
            spans,
            joints,
            q_rad: Vec::with_capacity(poses),
            usable: Vec::with_capacity(poses),
            at: vec![AtJoint::nothing(); poses * joints],
            most: [AtJoint::nothing(); MAX_JOINTS],
        };
        for place in 0..poses {
            let mut q_rad = [0.0; MAX_JOINTS];
            for (q, [low, _]) in q_rad.iter_mut().zip(&reach.ranges_rad).skip(usize::from(!outermost)) {
                *q = *low;
            }
            for span in &table.spans {
                q_rad[span.joint] = span.angles_rad[span.step(place)];
            }
            let row = place * joints..(place + 1) * joints;
            let usable = study.at(desk, &q_rad, &reach.up_in_base, &mut table.at[row]);
            table.q_rad.push(q_rad);
            table.usable.push(usable);
            table.near_lock |= !usable;
        }
        // A move that works in gimbal lock alone still gets figures, and says so.
        if !table.usable.contains(&true) {
            table.usable.fill(true);
        }
        for place in (0..poses).filter(|place| table.usable[*place]) {
            for (most, at) in table.most.iter_mut().zip(&table.at[place * joints..(place + 1) * joints]) {
                most.raise(at, joints, study.pairs.len());
            }
        }
        table
    }

    /// Place of the table of a reach among those that there are; a new one is made when there is none.
    pub(super) fn among(tables: &mut Vec<Self>, study: &Study<'_>, reach: Reach, desk: &mut Desk) -> usize {
        tables.iter().position(|table| table.reach == reach).unwrap_or_else(|| {
            tables.push(Self::new(study, reach, desk));
            tables.len() - 1
        })
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

    /// The pose where one joint is asked for most: the tops of the parabolas over the highest hills of the grid. `known`
    /// gives the joint's demand by the place of a pose, `place` that of the highest.
    pub(super) fn narrowed(
        &self,
        study: &Study<'_>,
        desk: &mut Desk,
        place: usize,
        load: &Load<'_>,
        known: impl Fn(usize) -> f64,
        pick: impl Fn(&Demand) -> f64,
    ) -> Narrowed {
        let joint = load.joint;
        let up = &self.reach.up_in_base;
        let mut just = None;
        let mut ask = |q_rad: [f64; MAX_JOINTS]| {
            let (at, tried) = study.one(desk, &q_rad, up, joint)?;
            just = Some((q_rad, (at, tried)));
            let demand = load.demand(&at, self.deflection_rad(joint, &q_rad));
            Some(Narrowed { q_rad, at, demand })
        };
        let hills = self.hills(place, &known);
        let mut best = self.on_grid(load, hills.first().copied().unwrap_or(place));
        for hill in hills {
            let mut q_rad = self.q_rad[hill];
            for span in &self.spans {
                if let Some(angle_rad) = self.top(span, hill, &known) {
                    q_rad[span.joint] = angle_rad;
                }
            }
            // At the end of a range the top is the pose of the grid itself.
            let moved = self.spans.iter().any(|span| {
                let joint = span.joint;
                (q_rad[joint] - self.q_rad[hill][joint]).abs() > 1e-3 * STEP_RAD
            });
            if moved
                && let Some(found) = ask(q_rad)
                && pick(&found.demand) > pick(&best.demand)
            {
                best = found;
            }
            if known(hill) > pick(&best.demand) {
                best = self.on_grid(load, hill);
            }
        }
        // The chain is left in the pose, and the wind's worst heading there is found for itself.
        let just = just.as_ref().filter(|(q_rad, _)| same_pose(q_rad, &best.q_rad)).map(|(_, just)| just);
        if let Some(at) = study.settle(desk, &best.q_rad, up, joint, just) {
            best = Narrowed { at, demand: load.demand(&at, self.deflection_rad(joint, &best.q_rad)), ..best };
        }
        best
    }

    fn on_grid(&self, load: &Load<'_>, place: usize) -> Narrowed {
        let (q_rad, at) = (self.q_rad[place], self.at[place * self.joints + load.joint]);
        Narrowed { q_rad, at, demand: load.demand(&at, self.deflection_rad(load.joint, &q_rad)) }
    }

    /// Poses of the grid that stand above their neighbours and little below the highest, highest first. Of poses that are
    /// level the first stands for all.
    fn hills(&self, highest: usize, known: &impl Fn(usize) -> f64) -> Vec<usize> {
        let (least, level_nm) = (LOWEST_HILL * known(highest), LEVEL * known(highest));
        let mut hills = Vec::with_capacity(MOST_HILLS + 1);
        for place in (0..self.q_rad.len()).filter(|place| self.usable[*place]) {
            let here = known(place);
            let lower = |other: usize, by_nm: f64| !self.usable[other] || known(other) <= here - by_nm;
            let above = |span: &Span| {
                let step = span.step(place);
                (step == 0 || lower(place - span.stride, level_nm))
                    && (step + 1 == span.angles_rad.len() || lower(place + span.stride, -level_nm))
            };
            if here >= least && self.spans.iter().all(above) {
                hills.push(place);
                sort_short(&mut hills, |a, b| known(*a) > known(*b));
                hills.truncate(MOST_HILLS);
            }
        }
        hills
    }

    /// Angle of the top of the parabola through the pose at `place` and its neighbours along one joint; `None` where it
    /// is level or has none.
    fn top(&self, span: &Span, place: usize, known: &impl Fn(usize) -> f64) -> Option<f64> {
        let step = span.step(place);
        let middle = step.clamp(1, span.angles_rad.len() - 2);
        let at = |wanted: usize| {
            let place = place + wanted * span.stride - step * span.stride;
            self.usable[place].then(|| (span.angles_rad[wanted], known(place)))
        };
        let ((before, low), (here, middle), (after, high)) = (at(middle - 1)?, at(middle)?, at(middle + 1)?);
        let (rise, fall) = ((middle - low) / (here - before), (high - middle) / (after - here));
        let bend = (fall - rise) / (after - before);
        (-bend * (after - before) * (after - before) > LEVEL * middle)
            .then(|| (0.5 * (before + here) - 0.5 * rise / bend).clamp(before, after))
    }
}

/// A pose between those of the grid; the chain is left in it.
pub(super) struct Narrowed {
    pub(super) q_rad: [f64; MAX_JOINTS],
    pub(super) at: AtJoint,
    pub(super) demand: Demand,
}

impl Span {
    /// Step of this joint in the pose at `place`.
    fn step(&self, place: usize) -> usize {
        (place / self.stride) % self.angles_rad.len()
    }
}

/// The joints that have room to move, with three poses or more each.
fn spans(reach: &Reach, joints: usize, outermost: bool) -> Vec<Span> {
    let mut step_rad = STEP_RAD;
    loop {
        let mut stride = 1;
        let mut spans = Vec::with_capacity(joints);
        // The innermost turns from pose to pose: what it does not carry stays.
        for joint in (usize::from(!outermost)..joints).rev() {
            let angles_rad = angles(reach.ranges_rad[joint], step_rad);
            if angles_rad.len() > 1 {
                let count = angles_rad.len();
                spans.push(Span { joint, angles_rad, stride });
                stride *= count;
            }
        }
        if stride <= MOST_POSES || step_rad > 4.0 {
            return spans;
        }
        step_rad *= 1.3;
    }
}

/// Angles over a range, ends included. 0 is always one of them when the range holds it: a camera square to the wind
/// stands on a crease of what the wind sees.
fn angles([low, high]: [f64; 2], step_rad: f64) -> Vec<f64> {
    if high - low < 1e-6 {
        return vec![low];
    }
    let steps = |width: f64, least: usize| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a range is a few turns")]
        let steps = libm::ceil(width / step_rad - 1e-9) as usize;
        steps.max(least)
    };
    if low < -1e-6 && high > 1e-6 {
        let (below, above) = (steps(-low, 1), steps(high, 1));
        let down = (0..below).map(|step| low * (1.0 - step as f64 / below as f64));
        return down.chain((0..=above).map(|step| high * step as f64 / above as f64)).collect();
    }
    let steps = steps(high - low, 2);
    (0..=steps).map(|step| low + (high - low) * step as f64 / steps as f64).collect()
}
