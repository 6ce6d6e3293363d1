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
/// Every link is held in axes of its own whose z is the axis of its joint, so that a joint costs a plane rotation
/// whatever the direction of its axis. Links hold mass, first moment and second moment about the joint's origin: no
/// centre of gravity has to be accelerated.
#[derive(Debug, Clone)]
pub struct Mechanism {
    links: [MechanismLink; MAX_JOINTS],
    count: usize,
}

#[derive(Debug, Clone, Copy)]
struct MechanismLink {
    /// The link's axes at joint angle 0 in the axes of the link outside.
    still: Matrix3<f64>,
    /// Origin of the joint in the axes of the link outside, m.
    origin_m: Vector3<f64>,
    mass_kg: f64,
    moment_kg_m: Vector3<f64>,
    /// Second moment Σ m **r**ᵀ**r**, kg·m².
    second_kg_m2: Matrix3<f64>,
}

/// The chain turned to one set of joint angles: several motions can be evaluated at it.
#[derive(Debug, Clone, Copy)]
pub struct Turned {
    /// Link axes in the axes of the link outside.
    rotations: [Matrix3<f64>; MAX_JOINTS],
}

impl Mechanism {
    /// Prepares a linkage; joints beyond [`MAX_JOINTS`] (validation refuses them) are left off.
    pub fn new(linkage: &Linkage) -> Self {
        let empty = MechanismLink {
            still: Matrix3::identity(),
            origin_m: Vector3::zeros(),
            mass_kg: 0.0,
            moment_kg_m: Vector3::zeros(),
            second_kg_m2: Matrix3::zeros(),
        };
        let mut links = [empty; MAX_JOINTS];
        let mut outside = Matrix3::identity();
        let mut count = 0;
        for (ready, link) in links.iter_mut().zip(&linkage.links) {
            let own = axes_with_z_along(&link.axis);
            let body = link.body.turned(&own.transpose());
            *ready = MechanismLink {
                still: outside.tr_mul(&own),
                origin_m: outside.tr_mul(&link.origin_m),
                mass_kg: body.mass_kg,
                moment_kg_m: body.moment_kg_m,
                second_kg_m2: Matrix3::identity() * (0.5 * body.inertia_kg_m2.trace()) - body.inertia_kg_m2,
            };
            outside = own;
            count += 1;
        }
        Self { links, count }
    }

    /// Number of joints.
    pub fn joints(&self) -> usize {
        self.count
    }

    /// Turns the joints to `q_rad`, platform first; a missing angle is 0.
    pub fn turned(&self, q_rad: &[f64]) -> Turned {
        let mut turned = Turned { rotations: [Matrix3::identity(); MAX_JOINTS] };
        for joint in 0..self.count {
            let (sin, cos) = float::sin_cos(q_rad.get(joint).copied().unwrap_or(0.0));
            let still = &self.links[joint].still;
            turned.rotations[joint] = Matrix3::new(
                still.m11 * cos + still.m12 * sin,
                still.m12 * cos - still.m11 * sin,
                still.m13,
                still.m21 * cos + still.m22 * sin,
                still.m22 * cos - still.m21 * sin,
                still.m23,
                still.m31 * cos + still.m32 * sin,
                still.m32 * cos - still.m31 * sin,
                still.m33,
            );
        }
        turned
    }

    /// Torque that each drive applies about its +axis on the link inside it, N·m, platform first; zero beyond the
    /// joints of the chain. Before friction, wind, cable and reflected inertia. Missing rates and accelerations are 0.
    ///
    /// # Source
    /// Recursive Newton–Euler: Featherstone, *Rigid Body Dynamics Algorithms* (2008), chapter 5 (from memory), written
    /// for first and second moments about the joint origin: a point at **r** accelerates by **a** + K**r** with
    /// K = \[**α**\]× + \[**ω**\]×², so the force is m**a** + K**h** and the moment **h** × **a** + vex(KS).
    pub fn torques_nm(
        &self,
        q_rad: &[f64],
        qd_rad_s: &[f64],
        qdd_rad_s2: &[f64],
        base: &BaseMotion,
    ) -> [f64; MAX_JOINTS] {
        self.torques_turned_nm(&self.turned(q_rad), qd_rad_s, qdd_rad_s2, base)
    }

    /// The same at a chain that has been turned already.
    pub fn torques_turned_nm(
        &self,
        turned: &Turned,
        qd_rad_s: &[f64],
        qdd_rad_s2: &[f64],
        base: &BaseMotion,
    ) -> [f64; MAX_JOINTS] {
        let mut forces = [Vector3::zeros(); MAX_JOINTS];
        let mut moments = [Vector3::zeros(); MAX_JOINTS];
        let (mut omega, mut alpha, mut felt) = (base.omega_rad_s, base.alpha_rad_s2, base.felt_m_s2);
        let mut field = acceleration_field(&omega, &alpha);
        for joint in 0..self.count {
            let link = &self.links[joint];
            let rotation = &turned.rotations[joint];
            let rate = qd_rad_s.get(joint).copied().unwrap_or(0.0);
            felt = rotation.tr_mul(&(felt + field * link.origin_m));
            omega = rotation.tr_mul(&omega);
            alpha = rotation.tr_mul(&alpha);
            alpha.x += omega.y * rate;
            alpha.y -= omega.x * rate;
            alpha.z += qdd_rad_s2.get(joint).copied().unwrap_or(0.0);
            omega.z += rate;
            field = acceleration_field(&omega, &alpha);
            forces[joint] = felt * link.mass_kg + field * link.moment_kg_m;
            moments[joint] = link.moment_kg_m.cross(&felt) + moment_of_field(&field, &link.second_kg_m2);
        }
        let mut torques_nm = [0.0; MAX_JOINTS];
        for joint in (0..self.count).rev() {
            torques_nm[joint] = moments[joint].z;
            // The base is never asked what it feels: the sweep ends at the outermost axis.
            if joint > 0 {
                let rotation = &turned.rotations[joint];
                let force = rotation * forces[joint];
                moments[joint - 1] += rotation * moments[joint] + self.links[joint].origin_m.cross(&force);
                forces[joint - 1] += force;
            }
        }
        torques_nm
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

/// A right-handed set of axes, as columns, whose third is `axis`.
fn axes_with_z_along(axis: &Vector3<f64>) -> Matrix3<f64> {
    // The base vector furthest from the axis gives the best-conditioned first column.
    let least = axis.iamin();
    let mut aside = Vector3::zeros();
    aside[least] = 1.0;
    let first = (aside - axis * axis[least]).normalize();
    Matrix3::from_columns(&[first, axis.cross(&first), *axis])
}

#[cfg(test)]
mod tests;
