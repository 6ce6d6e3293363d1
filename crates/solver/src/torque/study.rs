//! One package at given marks, made ready for every move: the chain, what the wind finds, and what balance leaves open.

use nalgebra::{Rotation3, Unit, Vector3};

use crate::balance::{held_unbalance_kg_m, tested_lean_rad};
use crate::dynamics::{MAX_JOINTS, Pose};
use crate::float;
use crate::layout::Layout;
use crate::linkage::Linkage;
use crate::package::{DriveKind, Joint, Motion, Package};
use crate::wind::{Exposure, Sail, Standing, Tried, facing};

/// Most pairs of joints, each with itself included.
pub(super) const MAX_PAIRS: usize = MAX_JOINTS * (MAX_JOINTS + 1) / 2;

/// Sine of the angle from gimbal lock within which poses are left out: 10°. Common practice, no source.
const SINE_OF_LOCK: f64 = 0.173_648_177_666_930_35;

/// Room to work out poses on, so that a pose costs no memory.
pub(super) struct Desk {
    pub(super) pose: Pose,
    exposure: Exposure,
    /// The last pose that was settled for each joint: many a move has its worst in the same corner.
    settled: [Option<Settled>; MAX_JOINTS],
}

/// Whether two poses are the very same numbers.
pub(super) fn same_pose(a: &[f64; MAX_JOINTS], b: &[f64; MAX_JOINTS]) -> bool {
    a.iter().zip(b).all(|(a, b)| a.to_bits() == b.to_bits())
}

/// A pose worked out for one joint with the wind's worst heading.
#[derive(Debug, Clone, Copy)]
struct Settled {
    q_rad: [f64; MAX_JOINTS],
    up_in_base: Vector3<f64>,
    at: AtJoint,
}

impl Desk {
    pub(super) fn new(study: &Study<'_>) -> Self {
        Self { pose: Pose::new(&study.linkage), exposure: Exposure::new(), settled: [None; MAX_JOINTS] }
    }
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

    /// Raises every number to that of another pose, without sign, where that one is larger; of so many joints and pairs.
    pub(super) fn raise(&mut self, other: &Self, joints: usize, pairs: usize) {
        fn raise(here: &mut f64, there: f64) {
            if there.abs() > *here {
                *here = there.abs();
            }
        }
        raise(&mut self.up_kg_m, other.up_kg_m);
        raise(&mut self.level_kg_m, other.level_kg_m);
        raise(&mut self.upright, other.upright);
        raise(&mut self.aslant, other.aslant);
        raise(&mut self.turn_kg_m2, other.turn_kg_m2);
        raise(&mut self.shift_kg_m, other.shift_kg_m);
        raise(&mut self.wind_m3, other.wind_m3);
        for (here, there) in self.inertia_kg_m2.iter_mut().zip(&other.inertia_kg_m2).take(joints) {
            raise(here, *there);
        }
        for (here, there) in self.rates_kg_m2.iter_mut().zip(&other.rates_kg_m2).take(pairs) {
            raise(here, *there);
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
        let turning = package.moves.iter().any(|each| match each.motion {
            Motion::Own { turn_rms_rad_s, turn_peak_rad_s, .. } => turn_rms_rad_s > 0.0 || turn_peak_rad_s > 0.0,
            Motion::Road { .. } | Motion::Sea { .. } => true,
        });
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
        desk.pose.set(q_rad);
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
        desk.pose.set(q_rad);
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

    /// The same with the wind's worst heading found between the tried ones; `just` where [`Self::one`] has worked the pose
    /// out last of all.
    pub(super) fn settle(
        &self,
        desk: &mut Desk,
        q_rad: &[f64; MAX_JOINTS],
        up_in_base: &Vector3<f64>,
        joint: usize,
        just: Option<&(AtJoint, Tried)>,
    ) -> Option<AtJoint> {
        if let Some(settled) = &desk.settled[joint]
            && same_pose(&settled.q_rad, q_rad)
            && settled.up_in_base == *up_in_base
        {
            let at = settled.at;
            desk.pose.set(q_rad);
            return Some(at);
        }
        let (mut at, tried) = match just {
            Some(just) => *just,
            None => self.one(desk, q_rad, up_in_base, joint)?,
        };
        at.wind_m3 = desk.exposure.worst_m3(joint, &tried).0;
        desk.settled[joint] = Some(Settled { q_rad: *q_rad, up_in_base: *up_in_base, at });
        Some(at)
    }

    fn holding(&self, pose: &Pose) -> [Vector3<f64>; MAX_JOINTS] {
        if self.turning { pose.holding() } else { [Vector3::zeros(); MAX_JOINTS] }
    }

    /// The vertical in the axes of the outermost link.
    pub(super) fn up(&self, q_rad: &[f64; MAX_JOINTS], up_in_base: &Vector3<f64>) -> Vector3<f64> {
        match self.linkage.links.first() {
            // Most heads pan about the vertical and stand at 0 here: nothing turns.
            Some(outermost) if q_rad[0].abs() > 0.0 => {
                Rotation3::from_axis_angle(&Unit::new_unchecked(outermost.axis), -q_rad[0]) * up_in_base
            }
            _ => *up_in_base,
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
        at.level_kg_m = float::sqrt((push - up * along).norm_squared());
        at.upright = f64::min(axis.dot(up).abs(), 1.0);
        at.aslant = float::sqrt(1.0 - at.upright * at.upright);
        at.inertia_kg_m2 = pose.inertia_kg_m2[joint];
        for (rate, (first, second)) in at.rates_kg_m2.iter_mut().zip(&self.pairs) {
            *rate = pose.rate_kg_m2(joint, *first, *second);
        }
        if self.turning {
            let turn = self.turn_held(pose, holding, joint);
            at.turn_kg_m2 = float::sqrt((turn - up * turn.dot(up)).norm_squared());
        }
        at.shift_kg_m = match self.lens_shift {
            Some((shift_kg_m, link)) if joint <= link => {
                shift_kg_m * float::sqrt(axis.cross(&pose.rotations[link].column(0)).norm_squared())
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

    /// Torque about `axis` through a joint's origin of a wind along the unit vector `blows` on everything that the joint
    /// turns, per pascal, with its sign, m³. All in the axes of the outermost link.
    pub(super) fn wind_along_m3(&self, pose: &Pose, joint: usize, blows: &Vector3<f64>, axis: &Vector3<f64>) -> f64 {
        let lever = blows.cross(axis);
        let of_link = |link: usize| {
            let (sail, rotation) = (&self.sails[link + 1], &pose.rotations[link]);
            let seen = facing(&rotation.tr_mul(blows));
            let arm_m = pose.origins_m[link] - pose.origins_m[joint];
            (rotation * (sail.moment_m3 * seen) + arm_m * sail.area_m2.dot(&seen)).dot(&lever)
        };
        (joint..self.joints.len()).map(of_link).sum()
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
