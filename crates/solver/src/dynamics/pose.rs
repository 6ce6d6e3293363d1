//! The chain in one pose: the maps from motion to torque, from which every move can be put together.

use core::cmp::Ordering;

use nalgebra::{Matrix3, Vector3};

use super::MAX_JOINTS;
use crate::float;
use crate::linkage::{Link, Linkage};

/// The chain in one pose, everything in the axes of the outermost link and from the origin of its joint.
///
/// In these axes nothing depends on the angle of the outermost joint, which for most heads is the pan axis. Entries
/// beyond [`Pose::joints`] mean nothing.
#[derive(Debug, Clone)]
pub struct Pose {
    joints: usize,
    /// Unit axes of the joints.
    pub axes: [Vector3<f64>; MAX_JOINTS],
    /// Origins of the joints, m.
    pub origins_m: [Vector3<f64>; MAX_JOINTS],
    /// Axes of every link, as columns.
    pub rotations: [Matrix3<f64>; MAX_JOINTS],
    /// Torque about each axis per unit of felt acceleration of the base, kg·m: **a** × **h** for the first moment **h**
    /// of everything inboard. Its length is the unbalance.
    pub push_kg_m: [Vector3<f64>; MAX_JOINTS],
    /// Torque about each axis per unit of angular acceleration of the base about the outermost joint's origin, the
    /// joints locked, kg·m².
    pub turn_kg_m2: [Vector3<f64>; MAX_JOINTS],
    /// Torque about the first axis per unit of angular acceleration of the second, kg·m²; symmetric.
    pub inertia_kg_m2: [[f64; MAX_JOINTS]; MAX_JOINTS],
    /// **a** × **o** of every axis through its origin: what a force at the outermost origin lacks of a torque about it, m.
    levers_m: [Vector3<f64>; MAX_JOINTS],
    /// What turns two joints at once, the outer one first, takes: see [`Pose::rate_kg_m2`].
    swirls: [[Swirl; MAX_JOINTS]; MAX_JOINTS],
    /// First moment of everything inboard of each joint, from that joint's origin, kg·m.
    moments_kg_m: [Vector3<f64>; MAX_JOINTS],
    /// Second moment of the same, kg·m².
    seconds_kg_m2: [Matrix3<f64>; MAX_JOINTS],
}

/// Force per product of two joints' rates, kg·m, and its moment about the outermost origin, kg·m².
#[derive(Debug, Clone, Copy)]
struct Swirl {
    force_kg_m: Vector3<f64>,
    moment_kg_m2: Vector3<f64>,
}

impl Pose {
    /// Room for the poses of one linkage; [`Pose::set`] fills it.
    pub fn new(linkage: &Linkage) -> Self {
        Self {
            joints: linkage.links.len().min(MAX_JOINTS),
            axes: [Vector3::zeros(); MAX_JOINTS],
            origins_m: [Vector3::zeros(); MAX_JOINTS],
            rotations: [Matrix3::identity(); MAX_JOINTS],
            push_kg_m: [Vector3::zeros(); MAX_JOINTS],
            turn_kg_m2: [Vector3::zeros(); MAX_JOINTS],
            inertia_kg_m2: [[0.0; MAX_JOINTS]; MAX_JOINTS],
            levers_m: [Vector3::zeros(); MAX_JOINTS],
            swirls: [[Swirl { force_kg_m: Vector3::zeros(), moment_kg_m2: Vector3::zeros() }; MAX_JOINTS]; MAX_JOINTS],
            moments_kg_m: [Vector3::zeros(); MAX_JOINTS],
            seconds_kg_m2: [Matrix3::zeros(); MAX_JOINTS],
        }
    }

    /// Number of joints.
    pub fn joints(&self) -> usize {
        self.joints
    }

    /// Turns the chain to the given angles, platform first, rad; the outermost has no effect.
    pub fn set(&mut self, linkage: &Linkage, q_rad: &[f64]) {
        self.place(linkage, q_rad);
        self.gather(linkage);
        for joint in 0..self.joints {
            let (axis, moment, second) = (self.axes[joint], self.moments_kg_m[joint], self.seconds_kg_m2[joint]);
            let push = axis.cross(&moment);
            self.push_kg_m[joint] = push;
            self.levers_m[joint] = axis.cross(&self.origins_m[joint]);
            // Angular momentum per unit rate about the joint's origin: I·a with I = tr(S)·E − S.
            let spin = axis * second.trace() - second * axis;
            self.turn_kg_m2[joint] = spin + self.origins_m[joint].cross(&push);
            for outer in 0..=joint {
                let turned = self.axes[outer];
                let force_kg_m = turned.cross(&push);
                let moment_kg_m2 = (second * turned).cross(&axis) + self.origins_m[joint].cross(&force_kg_m);
                self.swirls[outer][joint] = Swirl { force_kg_m, moment_kg_m2 };
                let value = turned.dot(&self.turn_kg_m2[joint]) - self.levers_m[outer].dot(&push);
                self.inertia_kg_m2[outer][joint] = value;
                self.inertia_kg_m2[joint][outer] = value;
            }
        }
    }

    /// The same for [`Pose::push_kg_m`] alone; what else a pose holds beyond axes, origins and rotations is stale.
    pub fn set_pushes(&mut self, linkage: &Linkage, q_rad: &[f64]) {
        self.place(linkage, q_rad);
        let (mut moment, mut mass_kg) = (Vector3::zeros(), 0.0);
        for joint in (0..self.joints).rev() {
            let body = &linkage.links[joint].body;
            if joint + 1 < self.joints {
                moment += (self.origins_m[joint + 1] - self.origins_m[joint]) * mass_kg;
            }
            moment += self.rotations[joint] * body.moment_kg_m;
            mass_kg += body.mass_kg;
            self.push_kg_m[joint] = self.axes[joint].cross(&moment);
        }
    }

    fn place(&mut self, linkage: &Linkage, q_rad: &[f64]) {
        let (mut rotation, mut origin_m) = (Matrix3::identity(), Vector3::zeros());
        for (joint, link) in linkage.links.iter().take(self.joints).enumerate() {
            if joint == 0 {
                self.axes[0] = link.axis;
            } else {
                origin_m += rotation * link.origin_m;
                self.axes[joint] = rotation * link.axis;
                rotation = turned_about(&rotation, link, q_rad[joint]);
            }
            self.origins_m[joint] = origin_m;
            self.rotations[joint] = rotation;
        }
    }

    /// First and second moments of everything inboard of each joint, from the innermost out.
    fn gather(&mut self, linkage: &Linkage) {
        let mut mass_kg = 0.0;
        for joint in (0..self.joints).rev() {
            let body = &linkage.links[joint].body;
            let rotation = &self.rotations[joint];
            let own = Matrix3::identity() * (0.5 * body.inertia_kg_m2.trace()) - body.inertia_kg_m2;
            // In the axes of the outermost link its own body needs no turning.
            let (mut moment, mut second) = if joint == 0 {
                (body.moment_kg_m, own)
            } else {
                (rotation * body.moment_kg_m, rotation * own * rotation.transpose())
            };
            if joint + 1 < self.joints {
                let arm_m = self.origins_m[joint + 1] - self.origins_m[joint];
                let inner = self.moments_kg_m[joint + 1];
                let cross = inner * arm_m.transpose();
                second +=
                    self.seconds_kg_m2[joint + 1] + cross + cross.transpose() + arm_m * arm_m.transpose() * mass_kg;
                moment += inner + arm_m * mass_kg;
            }
            mass_kg += body.mass_kg;
            self.moments_kg_m[joint] = moment;
            self.seconds_kg_m2[joint] = second;
        }
    }

    /// Torque about `joint` per product of the rates of joints `first` ≤ `second`, kg·m²: centrifugal where they are
    /// the same, Coriolis where they differ.
    ///
    /// These are the Christoffel symbols of the mass matrix, which no joint outside both of an entry's changes: so an
    /// innermost joint feels nothing of its own rate, and what two joints do to a third inside them is what it does to
    /// one of them with the other, turned over. What is left has its innermost joint among the rates. With everything
    /// inboard of that one at **r** from its origin: Σ m **r** × (**a** × (**b** × **r**)) = (S**a**) × **b**, and the
    /// force **a** × (**b** × **h**) at that origin adds its moment about the torque's own joint.
    pub fn rate_kg_m2(&self, joint: usize, first: usize, second: usize) -> f64 {
        let value = match joint.cmp(&second) {
            Ordering::Less => self.christoffel_kg_m2(joint, first, second),
            Ordering::Equal => 0.0,
            Ordering::Greater => -self.christoffel_kg_m2(second, first, joint),
        };
        if first == second { value } else { 2.0 * value }
    }

    /// For a joint outside `innermost`, which is the inner of the two that turn.
    fn christoffel_kg_m2(&self, joint: usize, other: usize, innermost: usize) -> f64 {
        let swirl = &self.swirls[other][innermost];
        self.axes[joint].dot(&swirl.moment_kg_m2) - self.levers_m[joint].dot(&swirl.force_kg_m)
    }

    /// Joint accelerations that hold the camera's attitude while the base turns, per unit of its angular acceleration:
    /// row *k* dotted with **α** is the acceleration of joint *k*. With fewer than three axes as much as they can; near
    /// gimbal lock the rows stay bounded.
    pub fn holding(&self) -> [Vector3<f64>; MAX_JOINTS] {
        const DAMPING: f64 = 1e-9;
        let axes = &self.axes[..self.joints];
        // What lies across every axis is nobody's: filled in, it changes no row and keeps the digits of the others.
        let mut gram = match axes {
            [only] => Matrix3::identity() - only * only.transpose(),
            [first, second] => {
                let across = first.cross(second);
                across * across.transpose() + Matrix3::identity() * DAMPING
            }
            _ => Matrix3::identity() * DAMPING,
        };
        for axis in axes {
            gram += axis * axis.transpose();
        }
        let mut rows = [Vector3::zeros(); MAX_JOINTS];
        // Factored and not inverted: where axes are parallel, an inverse would divide rounding by the damping squared.
        if let Some(factored) = gram.cholesky() {
            for (row, axis) in rows.iter_mut().zip(axes) {
                *row = -factored.solve(axis);
            }
        }
        rows
    }

    /// Sine of the angle from gimbal lock: 1 where three axes are square to each other, 0 where they lie in a plane.
    /// 1 with fewer than three joints.
    pub fn from_gimbal_lock(&self) -> f64 {
        match self.joints {
            0..3 => 1.0,
            3 => {
                let [outer, middle, inner] = [self.axes[0], self.axes[1], self.axes[2]];
                let (first, last) = (outer.cross(&middle), middle.cross(&inner));
                let most = float::sqrt(first.norm_squared()) * float::sqrt(last.norm_squared());
                if most > 1e-9 { (outer.dot(&last) / most).abs() } else { 0.0 }
            }
            _ => {
                let gram: Matrix3<f64> = self.axes[..self.joints].iter().map(|axis| axis * axis.transpose()).sum();
                float::sqrt(gram.determinant().clamp(0.0, 1.0))
            }
        }
    }
}

/// `rotation` times the rotation of a link by `angle_rad` about its joint's axis (Rodrigues).
fn turned_about(rotation: &Matrix3<f64>, link: &Link, angle_rad: f64) -> Matrix3<f64> {
    let (sin, cos) = float::sin_cos(angle_rad);
    let [x, y, z] = link.axis.into();
    let rest = 1.0 - cos;
    rotation
        * Matrix3::new(
            cos + rest * x * x,
            rest * x * y - sin * z,
            rest * x * z + sin * y,
            rest * x * y + sin * z,
            cos + rest * y * y,
            rest * y * z - sin * x,
            rest * x * z - sin * y,
            rest * y * z + sin * x,
            cos + rest * z * z,
        )
}

#[cfg(test)]
mod tests {
    use super::super::{BaseMotion, Mechanism};
    use super::*;
    use crate::mass::MassProperties;

    fn chain(joints: usize) -> Linkage {
        let mut random = 0.123_456_7;
        let mut next = move || {
            // A chaotic map is random enough to leave no symmetry.
            random = 3.99 * random * (1.0 - random);
            2.0 * random - 1.0
        };
        let links = (0..joints)
            .map(|_| {
                let mut vector = |scale: f64| Vector3::new(next(), next(), next()) * scale;
                let axis = vector(1.0).normalize();
                let origin_m = vector(0.3);
                let cg_m = vector(0.1);
                let spread = Matrix3::from_columns(&[vector(0.2), vector(0.2), vector(0.2)]);
                let second = spread * spread.transpose();
                let inertia = Matrix3::identity() * second.trace() - second;
                Link { axis, origin_m, body: MassProperties::new(4.0, cg_m, inertia) }
            })
            .collect();
        Linkage { base: MassProperties::zero(), links }
    }

    fn close(here: f64, there: f64, what: &str) {
        assert!((here - there).abs() < 1e-12 * (1.0 + there.abs()), "{what}: {here} {there}");
    }

    /// Every map is what inverse dynamics says for a unit of the motion that it maps.
    #[test]
    fn maps_agree_with_inverse_dynamics() {
        for joints in 1..=5 {
            let mut linkage = chain(joints);
            // The maps are about the outermost joint's origin, so let that be the base's.
            linkage.links[0].origin_m = Vector3::zeros();
            let mechanism = Mechanism::new(&linkage);
            let q = [0.0, 0.7, -1.1, 0.4, 2.0];
            let mut pose = Pose::new(&linkage);
            pose.set(&linkage, &q[..joints]);
            let still = BaseMotion {
                omega_rad_s: Vector3::zeros(),
                alpha_rad_s2: Vector3::zeros(),
                felt_m_s2: Vector3::zeros(),
            };
            let unit = |at: usize| {
                let mut list = [0.0; 5];
                list[at] = 1.0;
                list
            };
            let none = [0.0; 5];
            for axis in 0..3 {
                let mut base = still;
                base.felt_m_s2[axis] = 1.0;
                let pushed = mechanism.torques_nm(&q, &none, &none, &base);
                base = still;
                base.alpha_rad_s2[axis] = 1.0;
                let twisted = mechanism.torques_nm(&q, &none, &none, &base);
                for joint in 0..joints {
                    close(pose.push_kg_m[joint][axis], pushed[joint], "push");
                    close(pose.turn_kg_m2[joint][axis], twisted[joint], "turn");
                }
            }
            for first in 0..joints {
                let driven = mechanism.torques_nm(&q, &none, &unit(first), &still);
                let alone = mechanism.torques_nm(&q, &unit(first), &none, &still);
                for joint in 0..joints {
                    close(pose.inertia_kg_m2[joint][first], driven[joint], "inertia");
                    close(pose.rate_kg_m2(joint, first, first), alone[joint], "centrifugal");
                }
                for second in first + 1..joints {
                    let other = mechanism.torques_nm(&q, &unit(second), &none, &still);
                    let mut rates = unit(first);
                    rates[second] = 1.0;
                    let both = mechanism.torques_nm(&q, &rates, &none, &still);
                    for joint in 0..joints {
                        let cross = both[joint] - alone[joint] - other[joint];
                        close(pose.rate_kg_m2(joint, first, second), cross, "Coriolis");
                    }
                }
            }
        }
    }

    /// Held in space: what is left of the camera's angular acceleration, base and joints together, lies across every axis;
    /// with three axes it is nil.
    #[test]
    fn holding_cancels_the_base() {
        for joints in 1..=5 {
            let linkage = chain(joints);
            let mut pose = Pose::new(&linkage);
            pose.set(&linkage, &[0.0, 0.3, -0.5, 0.8, 1.1]);
            let rows = pose.holding();
            let alpha = Vector3::new(0.3, -1.0, 2.0);
            let axes = &pose.axes[..joints];
            let camera = alpha + axes.iter().zip(&rows).map(|(axis, row)| axis * row.dot(&alpha)).sum::<Vector3<f64>>();
            let left = if joints < 3 {
                axes.iter().map(|axis| axis.dot(&camera).abs()).fold(0.0, f64::max)
            } else {
                camera.norm()
            };
            let tolerance = if joints < 3 { 1e-7 } else { 1e-4 };
            assert!(left < tolerance * alpha.norm(), "{joints} joints: {camera}");
        }
    }

    /// One axis, and two that have fallen into line, answer as exactly as any: the first to the last digits.
    #[test]
    fn holding_with_axes_in_line_keeps_its_digits() {
        let axis = Vector3::new(0.36, 0.48, 0.8);
        for (joints, tolerance) in [(1, 1e-15), (2, 1e-6), (4, 1e-6)] {
            let link = Link { axis, origin_m: Vector3::zeros(), body: MassProperties::zero() };
            let linkage = Linkage { base: MassProperties::zero(), links: vec![link; joints] };
            let mut pose = Pose::new(&linkage);
            pose.set(&linkage, &[0.0, 0.4, -0.7, 1.9][..joints]);
            for row in &pose.holding()[..joints] {
                let off = (row + axis / joints as f64).norm();
                assert!(off < tolerance, "{joints} joints: off by {off}");
            }
        }
    }

    #[test]
    fn square_axes_lock_at_a_right_angle() {
        let axis = [Vector3::z(), Vector3::y(), Vector3::x()];
        let links = axis.map(|axis| Link { axis, origin_m: Vector3::zeros(), body: MassProperties::zero() });
        let linkage = Linkage { base: MassProperties::zero(), links: links.to_vec() };
        let mut pose = Pose::new(&linkage);
        for (tilt_rad, sine) in [(0.0, 1.0), (core::f64::consts::FRAC_PI_2, 0.0), (1.0, float::cos(1.0))] {
            pose.set(&linkage, &[0.5, tilt_rad, 0.3]);
            assert!((pose.from_gimbal_lock() - sine).abs() < 1e-12);
        }
    }
}
