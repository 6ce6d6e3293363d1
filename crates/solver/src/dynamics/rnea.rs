//! Inverse dynamics of the chain on a moving base: motion in, torque of every drive out.

use nalgebra::{Matrix3, Vector3};

use super::MAX_JOINTS;
use super::mechanism::{Mechanism, Plane, Remainder};
use crate::constants::GRAVITY_M_S2;
use crate::float;

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
    /// Torque that each drive applies about its +axis on the link inside it, N·m, platform first; zero beyond the
    /// joints of the chain. Before friction, wind, cable and reflected inertia. Missing rates and accelerations are 0.
    ///
    /// # Source
    /// Recursive Newton–Euler: Featherstone, *Rigid Body Dynamics Algorithms* (2008), chapter 5 (from memory), written
    /// for first and second moments about the joint origin: a point at **r** accelerates by **a** + K**r** with
    /// K = \[**α**\]× + \[**ω**\]×², so the force is m**a** + K**h** and the moment **h** × **a** + vex(KS). What a
    /// link keeps for itself has no mass.
    #[inline]
    pub fn torques_nm(
        &self,
        q_rad: &[f64],
        qd_rad_s: &[f64],
        qdd_rad_s2: &[f64],
        base: &BaseMotion,
    ) -> [f64; MAX_JOINTS] {
        // Nearly every head has three joints: with their number known the sweep is one run without loops. Joints that a
        // head lacks hold nothing.
        if self.count <= 3 {
            self.sweep::<3>(q_rad, qd_rad_s, qdd_rad_s2, base)
        } else {
            self.sweep::<MAX_JOINTS>(q_rad, qd_rad_s, qdd_rad_s2, base)
        }
    }

    /// [`Self::torques_nm`] of the first `N` joints.
    #[inline]
    fn sweep<const N: usize>(
        &self,
        q_rad: &[f64],
        qd_rad_s: &[f64],
        qdd_rad_s2: &[f64],
        base: &BaseMotion,
    ) -> [f64; MAX_JOINTS] {
        let (q_rad, qd_rad_s, qdd_rad_s2) = (first::<N>(q_rad), first::<N>(qd_rad_s), first::<N>(qdd_rad_s2));
        let standings: [Standing; N] = std::array::from_fn(|joint| {
            let (sin, cos) = float::sin_cos(q_rad[joint]);
            Standing::new(self.links[joint].twist, Plane { sin, cos }.and(self.links[joint].offset))
        });
        let [mut omega, mut alpha, mut felt] =
            [base.omega_rad_s, base.alpha_rad_s2, base.felt_m_s2].map(|vector| self.entry.tr_mul(&vector));
        let mut field = acceleration_field(&omega, &alpha);
        let mut forces = [Vector3::zeros(); N];
        let mut moments = [Vector3::zeros(); N];
        for joint in 0..N {
            let (link, standing) = (&self.links[joint], &standings[joint]);
            let inwards = |vector: Vector3<f64>| match joint {
                0 => standing.joint.turned(vector),
                _ => standing.inwards(vector),
            };
            felt = inwards(felt + field * link.origin_m);
            omega = inwards(omega);
            alpha = inwards(alpha);
            let rate = qd_rad_s[joint];
            alpha.x += omega.y * rate;
            alpha.y -= omega.x * rate;
            alpha.z += qdd_rad_s2[joint];
            omega.z += rate;
            field = acceleration_field(&omega, &alpha);
            forces[joint] = link.remainder.force(&field);
            moments[joint] = link.remainder.moment(&felt, &field);
        }
        let mut torques_nm = [0.0; MAX_JOINTS];
        for joint in (0..N).rev() {
            torques_nm[joint] = moments[joint].z;
            // The base is never asked what it feels: the sweep ends at the outermost axis.
            if joint > 0 {
                let (link, standing) = (&self.links[joint], &standings[joint]);
                let force = standing.outwards(forces[joint]);
                moments[joint - 1] += standing.outwards(moments[joint]) + link.origin_m.cross(&force);
                forces[joint - 1] += force;
            }
        }
        torques_nm
    }
}

/// The first `N` of a list, and 0 where it is shorter.
#[inline]
fn first<const N: usize>(values: &[f64]) -> [f64; N] {
    std::array::from_fn(|index| values.get(index).copied().unwrap_or(0.0))
}

impl Remainder {
    /// Force that K asks for: K**h**, N.
    #[inline]
    fn force(&self, field: &Matrix3<f64>) -> Vector3<f64> {
        field.column(0) * self.x_kg_m + field.column(1) * self.y_kg_m
    }

    /// Moment about the joint's origin, N·m: **h** × **a** + vex(KS), without what is zero.
    #[inline]
    fn moment(&self, felt: &Vector3<f64>, field: &Matrix3<f64>) -> Vector3<f64> {
        let Self { x_kg_m: x, y_kg_m: y, xx_kg_m2: xx, xy_kg_m2: xy, xz_kg_m2: xz, yy_kg_m2: yy, yz_kg_m2: yz } = *self;
        let k = field;
        Vector3::new(
            y * felt.z + (yy * k.m32 + xy * k.m31) + (yz * (k.m33 - k.m22) - xz * k.m21),
            (yz * k.m12 + xz * (k.m11 - k.m33)) - (xx * k.m31 + xy * k.m32) - x * felt.z,
            (x * felt.y - y * felt.x) + (xx * k.m21 - yy * k.m12) + xy * (k.m22 - k.m11) + (xz * k.m23 - yz * k.m13),
        )
    }
}

impl Standing {
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

#[cfg(test)]
mod tests;
