//! Gravity torque alone: in any attitude at all, and in the attitudes and leans of the day's moves.

use nalgebra::{Unit, Vector3};

use crate::balance::worst_unbalance_kg_m;
use crate::constants::{DEGREE_RAD, GRAVITY_M_S2};
use crate::dynamics::{MAX_JOINTS, Pose};
use crate::float;
use crate::linkage::Linkage;
use crate::package::Package;
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

/// Largest gravity torque of every joint over the working ranges and effective leans of the moves, platform first, N·m.
/// Zero without moves.
///
/// The effective lean is atan((g·sin lean + a)/g) with the largest level acceleration *a* of the platform, in the worst
/// direction. An axis that stands upright sees only the sine of it.
pub fn gravity_in_use_nm(package: &Package, linkage: &Linkage) -> Vec<f64> {
    let joints: Vec<_> = package.head.joints().take(MAX_JOINTS).collect();
    let mut largest = vec![0.0; linkage.links.len()];
    let mut pose = Pose::new(linkage);
    for each in &package.moves {
        let motion = PlatformMotion::of(each);
        let lean_rad = effective_lean_rad(&motion);
        let (sin, cos) = float::sin_cos(lean_rad);
        let ranges: Vec<[f64; 2]> = joints
            .iter()
            .map(|joint| {
                let wanted =
                    each.ranges.iter().find(|range| range.joint == joint.id).map_or([0.0; 2], |range| range.range_rad);
                joint.limits_rad.map_or(wanted, |[low, high]| wanted.map(|angle| angle.clamp(low, high)))
            })
            .collect();
        let up_in_base = up_in_base(each.mounting);
        over_poses(&ranges, |q_rad| {
            pose.set(linkage, q_rad);
            let up = match linkage.links.first() {
                Some(outermost) => {
                    nalgebra::Rotation3::from_axis_angle(&Unit::new_unchecked(outermost.axis), -q_rad[0]) * up_in_base
                }
                None => up_in_base,
            };
            for (largest, push) in largest.iter_mut().zip(&pose.push_kg_m) {
                *largest = f64::max(*largest, GRAVITY_M_S2 * leaning(push, &up, sin, cos));
            }
        });
    }
    largest
}

/// Largest |push · up| over every direction in which the vertical can lean by an angle of this sine and cosine.
fn leaning(push: &Vector3<f64>, up: &Vector3<f64>, sin: f64, cos: f64) -> f64 {
    let along = push.dot(up);
    along.abs() * cos + float::sqrt((push - up * along).norm_squared()) * sin
}

/// atan((g·sin lean + a)/g), rad.
pub fn effective_lean_rad(motion: &PlatformMotion) -> f64 {
    let sideways = GRAVITY_M_S2 * float::sin(motion.largest_lean_rad()) + motion.largest_level_m_s2();
    float::atan2(sideways, GRAVITY_M_S2)
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
