//! Gravity torque alone: in any attitude at all, and in the attitudes and leans of the day's moves.

use nalgebra::{Unit, Vector3};

use super::demand::leaning_kg_m;
use crate::balance::worst_unbalance_kg_m;
use crate::constants::{DEGREE_RAD, GRAVITY_M_S2};
use crate::dynamics::{MAX_JOINTS, Pose};
use crate::float;
use crate::linkage::Linkage;
use crate::package::{Joint, Package};
use crate::platform::{PlatformMotion, up_in_base};

/// Step of the poses that are tried, rad.
const STEP_RAD: f64 = 7.5 * DEGREE_RAD;

/// Most poses that are tried for one move.
const MOST_POSES: usize = 2_000;

/// Largest gravity torque of every joint in any attitude of the whole head, over the travel of the joints inside it,
/// platform first, N·m.
pub fn gravity_any_nm(linkage: &Linkage, limits_rad: &[Option<[f64; 2]>]) -> Vec<f64> {
    worst_unbalance_kg_m(linkage, limits_rad).into_iter().map(|worst| GRAVITY_M_S2 * worst).collect()
}

/// Largest gravity torque of every joint over the working ranges of the moves, with their leans and the largest level
/// acceleration *a* of their platforms, both in the worst direction, platform first, N·m. Zero without moves.
///
/// Any lean up to the largest counts. An axis that stands upright sees only g·sin(lean) + *a*.
pub fn gravity_in_use_nm(package: &Package, linkage: &Linkage) -> Vec<f64> {
    let joints: Vec<_> = package.head.joints().take(MAX_JOINTS).collect();
    let mut largest = vec![0.0; linkage.links.len()];
    let mut pose = Pose::new(linkage);
    for region in regions(package, &joints) {
        over_poses(&region.ranges_rad, |q_rad| {
            pose.set_pushes(q_rad);
            let up = match linkage.links.first() {
                Some(outermost) if q_rad[0].abs() > 0.0 => {
                    nalgebra::Rotation3::from_axis_angle(&Unit::new_unchecked(outermost.axis), -q_rad[0])
                        * region.up_in_base
                }
                _ => region.up_in_base,
            };
            for (largest, push) in largest.iter_mut().zip(&pose.push_kg_m) {
                let (along, across) = along_and_across(push, &up);
                for (lean, level_m_s2) in &region.leans {
                    let leaning_nm = GRAVITY_M_S2 * leaning_kg_m([along, across], *lean);
                    *largest = f64::max(*largest, leaning_nm + across * level_m_s2);
                }
            }
        });
    }
    largest
}

/// Poses that several moves share: the same working ranges about the same vertical.
struct Region {
    ranges_rad: Vec<[f64; 2]>,
    up_in_base: Vector3<f64>,
    /// Sine and cosine of the largest lean of each of the moves, and its largest level acceleration, m/s².
    leans: Vec<([f64; 2], f64)>,
}

fn regions(package: &Package, joints: &[&Joint]) -> Vec<Region> {
    let mut regions: Vec<Region> = Vec::new();
    for each in &package.moves {
        let motion = PlatformMotion::of(each);
        let (sin, cos) = float::sin_cos(motion.largest_lean_rad());
        let lean = ([sin, cos], motion.largest_level_m_s2());
        let ranges_rad: Vec<[f64; 2]> = joints
            .iter()
            .map(|joint| {
                let wanted =
                    each.ranges.iter().find(|range| range.joint == joint.id).map_or([0.0; 2], |range| range.range_rad);
                joint.limits_rad.map_or(wanted, |[low, high]| wanted.map(|angle| angle.clamp(low, high)))
            })
            .collect();
        let up_in_base = up_in_base(each.mounting);
        // Hung or stood: the lean counts in every direction, so the sense of the vertical does not.
        let same = |region: &&mut Region| {
            region.ranges_rad == ranges_rad && (region.up_in_base == up_in_base || region.up_in_base == -up_in_base)
        };
        match regions.iter_mut().find(same) {
            Some(region) => region.leans.push(lean),
            None => regions.push(Region { ranges_rad, up_in_base, leans: vec![lean] }),
        }
    }
    regions
}

/// |push · up|, and the length of what of the push lies level: with the vertical leaning by an angle in the worst
/// direction the torque is g times the one times the cosine and the other times the sine.
fn along_and_across(push: &Vector3<f64>, up: &Vector3<f64>) -> (f64, f64) {
    let along = push.dot(up);
    (along.abs(), float::sqrt((push - up * along).norm_squared()))
}

/// Calls `f` on a grid over the ranges, ends included.
fn over_poses(ranges: &[[f64; 2]], mut f: impl FnMut(&[f64; MAX_JOINTS])) {
    let mut step_rad = STEP_RAD;
    let counts = loop {
        let counts: Vec<usize> = ranges
            .iter()
            .map(|[low, high]| {
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a range is a few turns")]
                let steps = libm::ceil((high - low) / step_rad - 1e-9) as usize;
                steps + 1
            })
            .collect();
        if counts.iter().product::<usize>() <= MOST_POSES || step_rad > 4.0 {
            break counts;
        }
        step_rad *= 1.3;
    };
    let poses: usize = counts.iter().product();
    for place in 0..poses {
        let mut q_rad = [0.0; MAX_JOINTS];
        let mut rest = place;
        for (q, (count, [low, high])) in q_rad.iter_mut().zip(counts.iter().zip(ranges)) {
            let step = rest % count;
            rest /= count;
            *q = if *count > 1 { low + (high - low) * step as f64 / (count - 1) as f64 } else { *low };
        }
        f(&q_rad);
    }
}
