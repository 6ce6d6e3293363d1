//! Inverse dynamics of the chain on a moving base: motion in, torque of every drive out.

use nalgebra::{Matrix3, Vector3};

use super::MAX_JOINTS;
use crate::constants::GRAVITY_M_S2;
use crate::float;
use crate::linkage::Linkage;

/// How the base moves, in its own axes, with gravity already in the acceleration.
///
/// The base's own velocity never matters; how fast it turns does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BaseMotion {
    /// Rate of turn, rad/s.
    pub omega_rad_s: Vector3<f64>,
    /// Rate of change of that, rad/s².
    pub alpha_rad_s2: Vector3<f64>,
    /// Classical acceleration of the base origin less gravity, m/s²: what an accelerometer there would read.
    pub felt_m_s2: Vector3<f64>,
}

impl BaseMotion {
    /// At rest and upright: only gravity is felt.
    pub fn at_rest() -> Self {
        Self {
            omega_rad_s: Vector3::zeros(),
            alpha_rad_s2: Vector3::zeros(),
            felt_m_s2: Vector3::new(0.0, 0.0, GRAVITY_M_S2),
        }
    }

    /// From vectors in the world (z up): `world_from_base` turns base axes into world axes, and the acceleration of
    /// the base origin comes without gravity.
    pub fn in_world(
        world_from_base: &Matrix3<f64>,
        omega_rad_s: &Vector3<f64>,
        alpha_rad_s2: &Vector3<f64>,
        acceleration_m_s2: &Vector3<f64>,
    ) -> Self {
        let up = Vector3::new(0.0, 0.0, GRAVITY_M_S2);
        Self {
            omega_rad_s: world_from_base.tr_mul(omega_rad_s),
            alpha_rad_s2: world_from_base.tr_mul(alpha_rad_s2),
            felt_m_s2: world_from_base.tr_mul(&(acceleration_m_s2 + up)),
        }
    }
}

/// A linkage made ready for inverse dynamics.
///
/// Every link is held in axes of its own: z along the axis of its joint, x square to that and to the axis of the next
/// joint inwards. From one link to the next is then a fixed turn about x and the joint's turn about z, whatever the
/// directions of the axes (the axes of Denavit and Hartenberg, as modified by Craig; from memory). Links hold mass, first
/// moment and second moment about the joint's origin: no centre of gravity has to be accelerated.
#[derive(Debug, Clone)]
pub struct Mechanism {
    links: [MechanismLink; MAX_JOINTS],
    count: usize,
    /// Axes of the base in which the first link is reached by a turn about z alone.
    entry: Matrix3<f64>,
}

#[derive(Debug, Clone, Copy)]
struct MechanismLink {
    /// The fixed turn about the outside link's x that lays its z along this joint's axis.
    twist: Plane,
    /// What is turned further about z at joint angle 0 to lay x along this link's own.
    offset: Plane,
    /// Origin of the joint in the axes of the link outside, m; of the first in those of the entry.
    origin_m: Vector3<f64>,
    mass_kg: f64,
    moment_kg_m: Vector3<f64>,
    /// Second moment Σ m **r**ᵀ**r**, kg·m².
    second_kg_m2: Matrix3<f64>,
}

/// A rotation in a plane.
#[derive(Debug, Clone, Copy)]
struct Plane {
    sin: f64,
    cos: f64,
}

/// A turn about x and then one about the z that it leads to, multiplied out: turning twice was no faster.
#[derive(Debug, Clone, Copy)]
struct Standing {
    twist: Plane,
    joint: Plane,
    /// Cosine of the twist times sine and cosine of the joint.
    level: Plane,
    /// Sine of the twist times the same.
    steep: Plane,
}

impl Mechanism {
    /// Prepares a linkage; joints beyond [`MAX_JOINTS`] (validation refuses them) are left off.
    pub fn new(linkage: &Linkage) -> Self {
        let empty = MechanismLink {
            twist: Plane::NONE,
            offset: Plane::NONE,
            origin_m: Vector3::zeros(),
            mass_kg: 0.0,
            moment_kg_m: Vector3::zeros(),
            second_kg_m2: Matrix3::zeros(),
        };
        let mut links = [empty; MAX_JOINTS];
        let mut entry = Matrix3::identity();
        let mut outside = entry;
        let mut count = 0;
        for (ready, link) in links.iter_mut().zip(&linkage.links) {
            let own = axes_of(&link.axis, linkage.links.get(count + 1).map(|next| &next.axis));
            if count == 0 {
                entry = own;
                outside = own;
            }
            let turn = outside.tr_mul(&own);
            let body = link.body.turned(&own.transpose());
            *ready = MechanismLink {
                twist: Plane { sin: -turn.m23, cos: turn.m33 },
                offset: Plane { sin: -turn.m12, cos: turn.m11 },
                origin_m: outside.tr_mul(&link.origin_m),
                mass_kg: body.mass_kg,
                moment_kg_m: body.moment_kg_m,
                second_kg_m2: Matrix3::identity() * (0.5 * body.inertia_kg_m2.trace()) - body.inertia_kg_m2,
            };
            outside = own;
            count += 1;
        }
        Self { links, count, entry }
    }

    /// Number of joints.
    pub fn joints(&self) -> usize {
        self.count
    }

    /// Torque that each drive applies about its +axis on the link inside it, N·m, platform first; zero beyond the
    /// joints of the chain. Before friction, wind, cable and reflected inertia. Missing rates and accelerations are 0.
    ///
    /// # Source
    /// Recursive Newton–Euler: Featherstone, *Rigid Body Dynamics Algorithms* (2008), chapter 5 (from memory), written
    /// for first and second moments about the joint origin: a point at **r** accelerates by **a** + K**r** with
    /// K = \[**α**\]× + \[**ω**\]×², so the force is m**a** + K**h** and the moment **h** × **a** + vex(KS).
    #[inline]
    pub fn torques_nm(
        &self,
        q_rad: &[f64],
        qd_rad_s: &[f64],
        qdd_rad_s2: &[f64],
        base: &BaseMotion,
    ) -> [f64; MAX_JOINTS] {
        // Nearly every head has three joints: with their number known the sweep is one run without loops.
        if self.count == 3 {
            self.sweep(3, q_rad, qd_rad_s, qdd_rad_s2, base)
        } else {
            self.sweep(self.count, q_rad, qd_rad_s, qdd_rad_s2, base)
        }
    }

    /// [`Self::torques_nm`] of the first `count` joints.
    #[expect(clippy::inline_always, reason = "with the number of joints known: 88 ns where loops take 120")]
    #[inline(always)]
    fn sweep(
        &self,
        count: usize,
        q_rad: &[f64],
        qd_rad_s: &[f64],
        qdd_rad_s2: &[f64],
        base: &BaseMotion,
    ) -> [f64; MAX_JOINTS] {
        let links = &self.links[..count.min(MAX_JOINTS)];
        let mut standings = [Standing::STRAIGHT; MAX_JOINTS];
        for (joint, (standing, link)) in standings.iter_mut().zip(links).enumerate() {
            let (sin, cos) = float::sin_cos(q_rad.get(joint).copied().unwrap_or(0.0));
            *standing = Standing::new(link.twist, Plane { sin, cos }.and(link.offset));
        }
        let mut forces = [Vector3::zeros(); MAX_JOINTS];
        let mut moments = [Vector3::zeros(); MAX_JOINTS];
        let [mut omega, mut alpha, mut felt] =
            [base.omega_rad_s, base.alpha_rad_s2, base.felt_m_s2].map(|vector| self.entry.tr_mul(&vector));
        let mut field = acceleration_field(&omega, &alpha);
        for (joint, (link, standing)) in links.iter().zip(&standings).enumerate() {
            let rate = qd_rad_s.get(joint).copied().unwrap_or(0.0);
            felt = standing.inwards(felt + field * link.origin_m);
            omega = standing.inwards(omega);
            alpha = standing.inwards(alpha);
            alpha.x += omega.y * rate;
            alpha.y -= omega.x * rate;
            alpha.z += qdd_rad_s2.get(joint).copied().unwrap_or(0.0);
            omega.z += rate;
            field = acceleration_field(&omega, &alpha);
            forces[joint] = felt * link.mass_kg + field * link.moment_kg_m;
            moments[joint] = link.moment_kg_m.cross(&felt) + moment_of_field(&field, &link.second_kg_m2);
        }
        let mut torques_nm = [0.0; MAX_JOINTS];
        for (joint, (link, standing)) in links.iter().zip(&standings).enumerate().rev() {
            torques_nm[joint] = moments[joint].z;
            // The base is never asked what it feels: the sweep ends at the outermost axis.
            if joint > 0 {
                let force = standing.outwards(forces[joint]);
                moments[joint - 1] += standing.outwards(moments[joint]) + link.origin_m.cross(&force);
                forces[joint - 1] += force;
            }
        }
        torques_nm
    }
}

impl Plane {
    const NONE: Self = Self { sin: 0.0, cos: 1.0 };

    /// This turn and another in the same plane.
    #[inline]
    fn and(self, other: Self) -> Self {
        Self { sin: self.sin * other.cos + self.cos * other.sin, cos: self.cos * other.cos - self.sin * other.sin }
    }

    fn times(self, factor: f64) -> Self {
        Self { sin: factor * self.sin, cos: factor * self.cos }
    }
}

impl Standing {
    const STRAIGHT: Self =
        Self { twist: Plane::NONE, joint: Plane::NONE, level: Plane::NONE, steep: Plane { sin: 0.0, cos: 0.0 } };

    #[inline]
    fn new(twist: Plane, joint: Plane) -> Self {
        Self { twist, joint, level: joint.times(twist.cos), steep: joint.times(twist.sin) }
    }

    /// A vector in the axes of the link, from those of the link outside.
    #[inline]
    fn inwards(&self, v: Vector3<f64>) -> Vector3<f64> {
        Vector3::new(
            self.joint.cos * v.x + (self.level.sin * v.y + self.steep.sin * v.z),
            self.level.cos * v.y + self.steep.cos * v.z - self.joint.sin * v.x,
            self.twist.cos * v.z - self.twist.sin * v.y,
        )
    }

    /// Back from them.
    #[inline]
    fn outwards(&self, v: Vector3<f64>) -> Vector3<f64> {
        Vector3::new(
            self.joint.cos * v.x - self.joint.sin * v.y,
            self.level.sin * v.x + self.level.cos * v.y - self.twist.sin * v.z,
            self.steep.sin * v.x + self.steep.cos * v.y + self.twist.cos * v.z,
        )
    }
}

/// K = \[**α**\]× + \[**ω**\]×², so that a point at **r** from the origin accelerates by K**r** more than the origin.
#[inline]
fn acceleration_field(omega: &Vector3<f64>, alpha: &Vector3<f64>) -> Matrix3<f64> {
    let (xx, yy, zz) = (omega.x * omega.x, omega.y * omega.y, omega.z * omega.z);
    let (xy, xz, yz) = (omega.x * omega.y, omega.x * omega.z, omega.y * omega.z);
    Matrix3::new(
        -(yy + zz),
        xy - alpha.z,
        xz + alpha.y,
        xy + alpha.z,
        -(xx + zz),
        yz - alpha.x,
        xz - alpha.y,
        yz + alpha.x,
        -(xx + yy),
    )
}

/// Σ m **r** × K**r** = vex(KS) with the second moment S.
#[inline]
fn moment_of_field(field: &Matrix3<f64>, second: &Matrix3<f64>) -> Vector3<f64> {
    let entry = |row: usize, column: usize| {
        field[(row, 0)] * second[(0, column)]
            + field[(row, 1)] * second[(1, column)]
            + field[(row, 2)] * second[(2, column)]
    };
    Vector3::new(entry(2, 1) - entry(1, 2), entry(0, 2) - entry(2, 0), entry(1, 0) - entry(0, 1))
}

/// A right-handed set of axes, as columns: z along `axis`, and x square to it and to the axis of the next joint.
fn axes_of(axis: &Vector3<f64>, next: Option<&Vector3<f64>>) -> Matrix3<f64> {
    let across = next.map_or_else(Vector3::zeros, |next| axis.cross(next));
    let square = float::sqrt(across.norm_squared());
    let first = if square > IN_LINE {
        // Square to `axis` to the last digit also where the two are nearly in line.
        let across = across / square;
        (across - axis * axis.dot(&across)).normalize()
    } else {
        // The base vector furthest from the axis gives the best-conditioned first column.
        let mut aside = Vector3::zeros();
        aside[axis.iamin()] = 1.0;
        (aside - axis * axis[axis.iamin()]).normalize()
    };
    Matrix3::from_columns(&[first, axis.cross(&first), *axis])
}

/// Sine of the angle between two axes below which they count as one direction: from there up the normal is as exact as it
/// has to be, since what it is off is multiplied by that angle.
const IN_LINE: f64 = 1e-14;

#[cfg(test)]
mod tests;
