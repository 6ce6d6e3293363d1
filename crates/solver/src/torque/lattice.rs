//! Poses that several moves share: one grid over all of their working ranges, from which each move's own poses follow.
//!
//! What a pose shows is a trigonometric polynomial of the second degree in every angle, or near to one, so parabolas
//! through neighbours [`STEP_RAD`] apart are within some thousandths. The poses that count are worked out exactly
//! afterwards, wherever they come from.

use nalgebra::Vector3;

use super::study::{AtJoint, Desk, SINE_OF_LOCK, Study};
use super::table::{Reach, STEP_RAD, Table};
use crate::dynamics::MAX_JOINTS;

/// Most joints at work; chains with more of them have every move worked out by itself.
const MOST_JOINTS: usize = 2;

/// The grid that moves about one vertical share.
pub(super) struct Lattice {
    up_in_base: Vector3<f64>,
    rows: Vec<Row>,
    joints: usize,
    pairs: usize,
    at: Vec<AtJoint>,
}

/// The angles of one joint: whole steps.
struct Row {
    joint: usize,
    /// The lowest angle in steps, and the number of angles.
    first: f64,
    count: usize,
    /// Places from one angle to the next.
    stride: usize,
}

impl Lattice {
    /// The grid over several moves' ranges about one vertical. `None` where every move had better be worked out by
    /// itself: when a grid for all takes as many poses, when more joints are at work than it is made for, or near gimbal
    /// lock, where nothing is a polynomial.
    pub(super) fn over(study: &Study<'_>, reaches: &[Reach], desk: &mut Desk) -> Option<Self> {
        let first = reaches.first()?;
        let joints = study.joints.len();
        let mut rows: Vec<Row> = Vec::new();
        let mut q_rad = [0.0; MAX_JOINTS];
        let mut stride = 1;
        for (joint, q) in q_rad.iter_mut().enumerate().take(joints).skip(usize::from(!first.outermost(study))) {
            let ranges = || reaches.iter().map(|reach| reach.ranges_rad[joint]);
            let low = ranges().map(|[low, _]| low).fold(f64::INFINITY, f64::min);
            let high = ranges().map(|[_, high]| high).fold(f64::NEG_INFINITY, f64::max);
            *q = low;
            if high - low < 1e-6 {
                continue;
            }
            let lowest = libm::floor(low / STEP_RAD + 1e-9);
            let steps = f64::max(libm::ceil(high / STEP_RAD - 1e-9) - lowest, 2.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a range is a few turns")]
            let count = steps as usize + 1;
            rows.push(Row { joint, first: lowest, count, stride });
            stride *= count;
        }
        let alone: usize = reaches.iter().map(|reach| Table::poses_of(reach, joints, first.outermost(study))).sum();
        if rows.is_empty() || rows.len() > MOST_JOINTS || 2 * stride > alone {
            return None;
        }
        let mut lattice = Self {
            up_in_base: first.up_in_base,
            rows,
            joints,
            pairs: study.pairs.len(),
            at: vec![AtJoint::nothing(); stride * joints],
        };
        for place in 0..stride {
            for row in &lattice.rows {
                let step = place / row.stride % row.count;
                q_rad[row.joint] = (row.first + step as f64) * STEP_RAD;
            }
            let of_pose = place * joints..(place + 1) * joints;
            study.at(desk, &q_rad, &lattice.up_in_base, &mut lattice.at[of_pose]);
            if joints >= 3 && desk.pose.from_gimbal_lock() < 2.0 * SINE_OF_LOCK {
                return None;
            }
        }
        Some(lattice)
    }

    /// What each joint sees in a pose within the grid.
    pub(super) fn at(&self, q_rad: &[f64; MAX_JOINTS], out: &mut [AtJoint]) {
        let mut corner = 0;
        let mut weights = [[0.0, 1.0, 0.0]; MOST_JOINTS];
        for (row, weights) in self.rows.iter().zip(&mut weights) {
            let steps = q_rad[row.joint] / STEP_RAD - row.first;
            let middle = libm::round(steps).clamp(1.0, row.count as f64 - 2.0);
            let off = steps - middle;
            // On an angle of the grid nothing is left to find.
            if off.abs() > 1e-9 {
                *weights = [0.5 * off * (off - 1.0), 1.0 - off * off, 0.5 * off * (off + 1.0)];
            }
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the grid")]
            let lowest = middle as usize - 1;
            corner += lowest * row.stride;
        }
        let strides = [self.rows[0].stride, self.rows.get(1).map_or(0, |row| row.stride)];
        for (joint, out) in out.iter_mut().enumerate() {
            *out = AtJoint::nothing();
            for (second, by_second) in weights[1].iter().enumerate() {
                for (first, by_first) in weights[0].iter().enumerate() {
                    let weight = by_first * by_second;
                    if weight != 0.0 {
                        let place = corner + first * strides[0] + second * strides[1];
                        out.add(&self.at[place * self.joints + joint], weight, self.joints, self.pairs);
                    }
                }
            }
            out.bound();
        }
    }
}
