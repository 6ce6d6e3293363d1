//! One package at given marks, made ready for every move: the chain, what the wind finds, and what balance leaves open.

use nalgebra::{Rotation3, Unit, Vector3};

use crate::balance::{held_unbalance_kg_m, tested_lean_rad};
use crate::dynamics::{MAX_JOINTS, Pose};
use crate::layout::Layout;
use crate::linkage::Linkage;
use crate::package::{DriveKind, Joint, Package};
use crate::wind::{Exposure, Sail, Standing, Tried};

/// Most pairs of joints, each with itself included.
pub(super) const MAX_PAIRS: usize = MAX_JOINTS * (MAX_JOINTS + 1) / 2;

/// Sine of the angle from gimbal lock within which poses are left out: 10°. Common practice, no source.
const SINE_OF_LOCK: f64 = 0.173_648_177_666_930_35;

/// Room to work out poses on, so that a pose costs no memory.
pub(super) struct Desk {
    pub(super) pose: Pose,
    pub(super) exposure: Exposure,
}

/// One package at given marks.
pub(super) struct Study<'a> {
    pub(super) package: &'a Package,
    /// Joints, platform first.
    pub(super) joints: Vec<&'a Joint>,
    pub(super) linkage: Linkage,
    pub(super) sails: Vec<Sail>,
    /// Unbalance that a joint may have and still stay put in its test, kg·m; 0 for a geared one.
    pub(super) held_kg_m: [f64; MAX_JOINTS],
    /// First moment by which zoom and focus shift the lens either way from the middle, kg·m, and the link it rides on.
    lens_shift: Option<(f64, usize)>,
    /// Pairs of joints that operators' moves turn at once, for the rate terms.
    pub(super) pairs: Vec<(usize, usize)>,
    /// Whether any platform turns under the head.
    pub(super) turning: bool,
}

/// What the chain shows one joint in one pose, whatever the move.
#[derive(Debug, Clone, Copy)]
pub(super) struct AtJoint {
    /// Torque per felt acceleration along the vertical, kg·m.
    pub(super) up_kg_m: f64,
    /// The same in the worst level direction, kg·m.
    pub(super) level_kg_m: f64,
    /// |cosine| of the angle between the axis and the vertical.
    pub(super) upright: f64,
    /// Sine of the same angle.
    pub(super) aslant: f64,
    /// Torque per angular acceleration of the base about the worst level direction, the camera held in space, kg·m².
    pub(super) turn_kg_m2: f64,
    /// Unbalance that zoom and focus add, kg·m.
    pub(super) shift_kg_m: f64,
    /// Torque of the wind per pascal at the worst heading, m³.
    pub(super) wind_m3: f64,
    /// Torque per acceleration of every joint, reflected inertia not included, kg·m².
    pub(super) inertia_kg_m2: [f64; MAX_JOINTS],
    /// Torque per product of rates, one for each of the study's pairs, kg·m².
    pub(super) rates_kg_m2: [f64; MAX_PAIRS],
}

impl AtJoint {
    pub(super) const fn nothing() -> Self {
        Self {
            up_kg_m: 0.0,
            level_kg_m: 0.0,
            upright: 0.0,
            aslant: 0.0,
            turn_kg_m2: 0.0,
            shift_kg_m: 0.0,
            wind_m3: 0.0,
            inertia_kg_m2: [0.0; MAX_JOINTS],
            rates_kg_m2: [0.0; MAX_PAIRS],
        }
    }
}

impl<'a> Study<'a> {
    pub(super) fn new(package: &'a Package, layout: &Layout, marks_m: &[f64]) -> Self {
        let joints: Vec<&Joint> = package.head.joints().take(MAX_JOINTS).collect();
        let mut held_kg_m = [0.0; MAX_JOINTS];
        for (held, joint) in held_kg_m.iter_mut().zip(&joints) {
            *held = held_kg_m_of(joint, package.reserve.tip_rad);
        }
        let lens_shift = package.lens().and_then(|lens| {
            let link = layout.camera.link.checked_sub(1)?;
            (lens.cg_shift_m > 0.0).then_some((0.5 * lens.mass.kg * lens.cg_shift_m, link))
        });
        let driven: Vec<usize> = (0..joints.len())
            .filter(|joint| {
                package
                    .moves
                    .iter()
                    .flat_map(|each| &each.operator)
                    .any(|axis| axis.joint == joints[*joint].id && axis.rate_rad_s > 0.0)
            })
            .collect();
        let pairs = driven
            .iter()
            .enumerate()
            .flat_map(|(place, first)| driven[place..].iter().map(move |second| (*first, *second)))
            .collect();
        let turning = package.moves.iter().any(|each| !matches!(each.motion, crate::package::Motion::Own { .. }));
        Self {
            package,
            joints,
            linkage: Linkage::new(layout, marks_m),
            sails: Sail::all(layout, marks_m),
            held_kg_m,
            lens_shift,
            pairs,
            turning,
        }
    }

    /// Works out one pose for every joint, the base's vertical along `up_in_base`, at the tried headings of the wind.
    /// False when the pose is too near gimbal lock.
    pub(super) fn at(
        &self,
        desk: &mut Desk,
        q_rad: &[f64; MAX_JOINTS],
        up_in_base: &Vector3<f64>,
        out: &mut [AtJoint],
    ) -> bool {
        desk.pose.set(&self.linkage, q_rad);
        let up = self.up(q_rad, up_in_base);
        let holding = self.holding(&desk.pose);
        for (joint, at) in out.iter_mut().enumerate() {
            self.of_joint(&desk.pose, &holding, &up, joint, at);
        }
        let standing = self.standing(&desk.pose);
        desk.exposure.set(&standing[..self.joints.len()], &up, 0);
        let mut wind_m3 = [0.0; MAX_JOINTS];
        desk.exposure.largest_m3(&mut wind_m3[..out.len()]);
        for (at, wind_m3) in out.iter_mut().zip(wind_m3) {
            at.wind_m3 = wind_m3;
        }
        self.joints.len() < 3 || desk.pose.from_gimbal_lock() >= SINE_OF_LOCK
    }

    /// The same for one joint, with its torque at every tried heading. `None` too near gimbal lock.
    pub(super) fn one(
        &self,
        desk: &mut Desk,
        q_rad: &[f64; MAX_JOINTS],
        up_in_base: &Vector3<f64>,
        joint: usize,
    ) -> Option<(AtJoint, Tried)> {
        desk.pose.set(&self.linkage, q_rad);
        if self.joints.len() >= 3 && desk.pose.from_gimbal_lock() < SINE_OF_LOCK {
            return None;
        }
        let up = self.up(q_rad, up_in_base);
        let holding = self.holding(&desk.pose);
        let mut at = AtJoint::nothing();
        self.of_joint(&desk.pose, &holding, &up, joint, &mut at);
        let standing = self.standing(&desk.pose);
        desk.exposure.set(&standing[..self.joints.len()], &up, joint);
        let tried = desk.exposure.tried(joint);
        at.wind_m3 = tried.top();
        Some((at, tried))
    }

    fn holding(&self, pose: &Pose) -> [Vector3<f64>; MAX_JOINTS] {
        if self.turning { pose.holding() } else { [Vector3::zeros(); MAX_JOINTS] }
    }

    /// The vertical in the axes of the outermost link.
    pub(super) fn up(&self, q_rad: &[f64; MAX_JOINTS], up_in_base: &Vector3<f64>) -> Vector3<f64> {
        match self.linkage.links.first() {
            Some(outermost) => Rotation3::from_axis_angle(&Unit::new_unchecked(outermost.axis), -q_rad[0]) * up_in_base,
            None => *up_in_base,
        }
    }

    /// Everything but the wind.
    fn of_joint(
        &self,
        pose: &Pose,
        holding: &[Vector3<f64>; MAX_JOINTS],
        up: &Vector3<f64>,
        joint: usize,
        at: &mut AtJoint,
    ) {
        let axis = &pose.axes[joint];
        let push = &pose.push_kg_m[joint];
        let along = push.dot(up);
        at.up_kg_m = along.abs();
        at.level_kg_m = (push - up * along).norm();
        at.upright = f64::min(axis.dot(up).abs(), 1.0);
        at.aslant = libm::sqrt(1.0 - at.upright * at.upright);
        at.inertia_kg_m2 = pose.inertia_kg_m2[joint];
        for (rate, (first, second)) in at.rates_kg_m2.iter_mut().zip(&self.pairs) {
            *rate = pose.rate_kg_m2(joint, *first, *second);
        }
        if self.turning {
            let turn = self.turn_held(pose, holding, joint);
            at.turn_kg_m2 = (turn - up * turn.dot(up)).norm();
        }
        at.shift_kg_m = match self.lens_shift {
            Some((shift_kg_m, link)) if joint <= link => {
                shift_kg_m * axis.cross(&pose.rotations[link].column(0)).norm()
            }
            _ => 0.0,
        };
    }

    /// Torque about a joint per angular acceleration of the base while the joints hold the camera in space, kg·m².
    pub(super) fn turn_held(&self, pose: &Pose, holding: &[Vector3<f64>; MAX_JOINTS], joint: usize) -> Vector3<f64> {
        let mut turn = pose.turn_kg_m2[joint];
        for (other, row) in holding.iter().take(self.joints.len()).enumerate() {
            turn += row * pose.inertia_kg_m2[joint][other];
        }
        turn + holding[joint] * self.joints[joint].drive.reflected_inertia_kg_m2
    }

    pub(super) fn standing<'b>(&'b self, pose: &'b Pose) -> [Standing<'b>; MAX_JOINTS] {
        core::array::from_fn(|joint| Standing {
            sail: &self.sails[(joint + 1).min(self.sails.len() - 1)],
            rotation: &pose.rotations[joint],
            axis: &pose.axes[joint],
            origin_m: &pose.origins_m[joint],
        })
    }
}

/// Unbalance up to which a joint stays put in its test: a crew that has set the marks knows no more than this.
///
/// A test without lean would hold anything; it is read as the usual 15°.
fn held_kg_m_of(joint: &Joint, tip_rad: f64) -> f64 {
    if joint.drive.kind == DriveKind::Geared {
        return 0.0;
    }
    let usual = crate::package::Reserve::default().tip_rad;
    let tip_rad = if tip_rad < crate::constants::DEGREE_RAD { usual } else { tip_rad };
    let lean_rad = tested_lean_rad(&Vector3::from(joint.axis).normalize(), tip_rad);
    held_unbalance_kg_m(joint.drive.friction_nm, lean_rad)
}
