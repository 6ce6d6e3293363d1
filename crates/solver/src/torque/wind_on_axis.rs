//! What the wind does to one axis: which part it gets hold of, and what would help.

use nalgebra::Vector3;
use serde::Serialize;

use super::study::Study;
use crate::air;
use crate::dynamics::{MAX_JOINTS, Pose};
use crate::float;
use crate::layout::{Layout, Of};
use crate::package::{LensId, Package, PartId};
use crate::platform::up_in_base;
use crate::report::{AxisTorque, MoveTorque};
use crate::wind::{Exposure, Sail};

/// The wind on one axis in the worst pose of one move, gusts included.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WindOnAxis {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub name: String,
    /// Where the worst wind blows *to*, from the camera's forward direction, to the left, rad.
    pub heading_rad: f64,
    /// Torque of that wind, N·m: the sum of the shares.
    pub torque_nm: f64,
    /// Torque of the same wind from straight ahead or behind, N·m.
    pub from_ahead_nm: f64,
    /// What a plate on the other side of the axis would need to cancel it: its area (C_d 1.17, square plate) times its
    /// lever, m²·m; absent without wind.
    pub counter_sail_m3: Option<f64>,
    /// What each part takes, largest first; negative where it helps.
    pub shares: Vec<WindShare>,
}

/// What one body takes of the wind's torque.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WindShare {
    /// The part or lens.
    pub of: WindShareOf,
    /// Its name.
    pub name: String,
    /// Its share of the torque, N·m.
    pub torque_nm: f64,
}

/// What takes a share of the wind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WindShareOf {
    /// A part.
    Part(PartId),
    /// The lens that is on.
    Lens(LensId),
}

/// Drag coefficient of a square plate across the wind.
///
/// # Source
/// Matthews, *Aeronautical Engineer's Data Book*, figure 5.13 (seen in text).
pub(super) const PLATE_DRAG: f64 = 1.17;

/// The wind on the axis of a move where it takes the largest share of the peak limit, of those in the wind that lack torque
/// where some do. `None` without axes, or when the move is not in the package. `marks_m` and `each` belong together: the
/// report of a package at these marks.
pub fn wind_on_axis(package: &Package, layout: &Layout, marks_m: &[f64], each: &MoveTorque) -> Option<WindOnAxis> {
    let use_of = |axis: &AxisTorque| axis.peak.wind_nm / f64::max(axis.peak_limit_nm, 1e-3);
    let lacks =
        |axis: &AxisTorque| axis.peak.wind_nm > 0.0 && axis.tightest().1.value < package.reserve.torque_headroom;
    let axis = each.axes.iter().max_by(|a, b| lacks(a).cmp(&lacks(b)).then(use_of(a).total_cmp(&use_of(b))))?;
    wind_on_joint(package, layout, marks_m, each, axis)
}

/// The same on one axis of the move.
pub(crate) fn wind_on_joint(
    package: &Package,
    layout: &Layout,
    marks_m: &[f64],
    each: &MoveTorque,
    axis: &AxisTorque,
) -> Option<WindOnAxis> {
    let wanted = package.moves.iter().find(|wanted| wanted.id == each.move_id)?;
    let study = Study::new(package, layout, marks_m);
    let joint = study.joints.iter().position(|about| about.id == axis.joint)?;
    let mut q_rad = [0.0; MAX_JOINTS];
    for (q, angle) in q_rad.iter_mut().zip(&axis.pose_rad) {
        *q = *angle;
    }
    let mut pose = Pose::new(&study.linkage);
    pose.set(&q_rad);
    let up = study.up(&q_rad, &up_in_base(wanted.mounting));
    let standing = study.standing(&pose);
    let mut exposure = Exposure::new();
    exposure.set(&standing[..study.joints.len()], &up, joint);
    let (torque_m3, wind) = exposure.worst_m3(joint, &exposure.tried(joint));

    let density = air::density_kg_m3(wanted.altitude_m, wanted.air_k);
    let pressure_pa = air::dynamic_pressure_pa(density, wanted.airspeed_m_s * wanted.gust_factor);
    let camera = layout.camera.link.checked_sub(1)?;
    let forward = level(&(pose.rotations[camera] * Vector3::x()), &up);
    let about = |wind: &Vector3<f64>| {
        let of = |body: &crate::layout::Body| share_m3(layout, marks_m, &pose, joint, wind, body);
        layout.bodies.iter().map(of).sum::<f64>()
    };
    // The wind from behind twists the other way: the sense is that of the sum.
    let sense = about(&wind).signum();
    let loss = 1.0 / study.joints[joint].drive.efficiency;
    let mut shares: Vec<WindShare> = layout
        .bodies
        .iter()
        .filter_map(|body| {
            let (of, name) = match body.of {
                Of::Part(index) => (WindShareOf::Part(package.parts[index].id), &package.parts[index].name),
                Of::Lens(index) => (WindShareOf::Lens(package.lenses[index].id), &package.lenses[index].name),
                Of::Yoke(_) => return None,
            };
            let torque_nm = loss * sense * pressure_pa * share_m3(layout, marks_m, &pose, joint, &wind, body);
            (torque_nm != 0.0).then(|| WindShare { of, name: name.clone(), torque_nm })
        })
        .collect();
    float::sort_largest_first(&mut shares, |share| share.torque_nm);
    Some(WindOnAxis {
        joint: axis.joint.clone(),
        name: axis.name.clone(),
        heading_rad: float::atan2(up.cross(&forward).dot(&wind), forward.dot(&wind)),
        torque_nm: loss * pressure_pa * torque_m3,
        from_ahead_nm: loss * pressure_pa * about(&forward).abs(),
        counter_sail_m3: (pressure_pa > 0.0).then_some(torque_m3 / PLATE_DRAG),
        shares,
    })
}

/// Torque of one body about a joint per pascal of a wind along `wind`, with its sign, m³.
fn share_m3(
    layout: &Layout,
    marks_m: &[f64],
    pose: &Pose,
    joint: usize,
    wind: &Vector3<f64>,
    body: &crate::layout::Body,
) -> f64 {
    if body.link <= joint || body.drag_coefficient <= 0.0 {
        return 0.0;
    }
    let link = body.link - 1;
    let centre_m = body.centre_m + layout.displacement_m(body.link, body.slides, marks_m);
    let rotation = &pose.rotations[link];
    let arm_m = pose.origins_m[link] + rotation * centre_m - pose.origins_m[joint];
    Sail::of(body, &centre_m).across_m2(&rotation.tr_mul(wind)) * pose.axes[joint].dot(&arm_m.cross(wind))
}

/// The level part of a direction as a unit vector; any level direction for one that stands upright.
pub(super) fn level(direction: &Vector3<f64>, up: &Vector3<f64>) -> Vector3<f64> {
    let across = direction - up * up.dot(direction);
    let length = float::sqrt(across.norm_squared());
    if length > 1e-9 { across / length } else { crate::wind::level_directions(up).next().unwrap_or(*direction) }
}
