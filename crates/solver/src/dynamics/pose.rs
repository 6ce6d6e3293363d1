//! The chain in one pose: the maps from motion to torque, from which every move can be put together.

use core::cmp::Ordering;

use nalgebra::{Matrix3, Vector3};

use super::MAX_JOINTS;
use super::matrices::{both_ways, second_kg_m2, turn_about, turned};
use crate::float;
use crate::linkage::{Link, Linkage};

/// The chain in one pose, everything in the axes of the outermost link and from the origin of its joint.
///
/// In these axes nothing depends on the angle of the outermost joint, which for most heads is the pan axis. Entries
/// beyond [`Pose::joints`] mean nothing.
#[derive(Debug, Clone)]
pub struct Pose {
    links: Vec<Link>,
    /// Angles that the chain stands at, rad: no numbers before it was turned for the first time.
    q_rad: [f64; MAX_JOINTS],
    known: Known,
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
    /// Torque per product of the rates of an inner joint, first, and one not inside it, second, about a joint outside the
    /// inner one, third, kg·m²: see [`Pose::rate_kg_m2`].
    swirls_kg_m2: [[[f64; MAX_JOINTS]; MAX_JOINTS]; MAX_JOINTS],
    /// First moment of everything inboard of each joint, from that joint's origin, kg·m.
    moments_kg_m: [Vector3<f64>; MAX_JOINTS],
    /// Second moment of the same, kg·m².
    seconds_kg_m2: [Matrix3<f64>; MAX_JOINTS],
    /// First and second moment of what each link carries itself, from its own joint's origin, kg·m and kg·m².
    carried: [(Vector3<f64>, Matrix3<f64>); MAX_JOINTS],
}

/// What belongs to the angles that a chain stands at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Known {
    Nothing,
    Pushes,
    Everything,
}

impl Pose {
    /// Room for the poses of one linkage; [`Pose::set`] fills it.
    pub fn new(linkage: &Linkage) -> Self {
        let mut pose = Self {
            links: linkage.links.iter().take(MAX_JOINTS).cloned().collect(),
            q_rad: [f64::NAN; MAX_JOINTS],
            known: Known::Nothing,
            axes: [Vector3::zeros(); MAX_JOINTS],
            origins_m: [Vector3::zeros(); MAX_JOINTS],
            rotations: [Matrix3::identity(); MAX_JOINTS],
            push_kg_m: [Vector3::zeros(); MAX_JOINTS],
            turn_kg_m2: [Vector3::zeros(); MAX_JOINTS],
            inertia_kg_m2: [[0.0; MAX_JOINTS]; MAX_JOINTS],
            swirls_kg_m2: [[[0.0; MAX_JOINTS]; MAX_JOINTS]; MAX_JOINTS],
            moments_kg_m: [Vector3::zeros(); MAX_JOINTS],
            seconds_kg_m2: [Matrix3::zeros(); MAX_JOINTS],
            carried: [(Vector3::zeros(), Matrix3::zeros()); MAX_JOINTS],
        };
        // Where no angle is before them, links stand as they are described.
        if let Some(outermost) = pose.links.first() {
            pose.axes[0] = outermost.axis;
            pose.carried[0] = (outermost.body.moment_kg_m, second_kg_m2(&outermost.body));
        }
        if let Some(next) = pose.links.get(1) {
            (pose.axes[1], pose.origins_m[1]) = (next.axis, next.origin_m);
        }
        pose
    }

    /// Number of joints.
    pub fn joints(&self) -> usize {
        self.links.len()
    }

    /// Turns the chain to the given angles, platform first, rad; the outermost has no effect. What no angle moves stays
    /// as it is, so poses that follow each other cost least when their innermost angles differ.
    pub fn set(&mut self, q_rad: &[f64]) {
        self.place(q_rad);
        if self.known == Known::Everything {
            return;
        }
        self.gather();
        for joint in 0..self.joints() {
            self.map(joint);
        }
        self.known = Known::Everything;
    }

    /// The maps to one joint from everything inboard of it.
    fn map(&mut self, joint: usize) {
        let (axis, origin_m) = (self.axes[joint], self.origins_m[joint]);
        let second = &self.seconds_kg_m2[joint];
        let push = axis.cross(&self.moments_kg_m[joint]);
        self.push_kg_m[joint] = push;
        let stretched = second * axis;
        // Angular momentum per unit rate about the joint's origin: I·a with I = tr(S)·E − S.
        let spin = axis * second.trace() - stretched;
        self.turn_kg_m2[joint] = spin + origin_m.cross(&push);
        self.inertia_kg_m2[joint][joint] = axis.dot(&spin);
        let (mut crossed, mut levers_m) = ([Vector3::zeros(); MAX_JOINTS], [Vector3::zeros(); MAX_JOINTS]);
        for outer in 0..joint {
            let about = self.axes[outer];
            crossed[outer] = axis.cross(&about);
            levers_m[outer] = about.cross(&(origin_m - self.origins_m[outer]));
            let value = about.dot(&spin) + levers_m[outer].dot(&push);
            self.inertia_kg_m2[outer][joint] = value;
            self.inertia_kg_m2[joint][outer] = value;
        }
        for other in 0..=joint {
            let (stretched, force) = if other == joint {
                (stretched, axis.cross(&push))
            } else {
                (second * self.axes[other], self.axes[other].cross(&push))
            };
            for outer in 0..joint {
                self.swirls_kg_m2[joint][other][outer] = stretched.dot(&crossed[outer]) + force.dot(&levers_m[outer]);
            }
        }
    }

    /// The same for [`Pose::push_kg_m`] alone; what else a pose holds beyond axes, origins and rotations is stale.
    pub fn set_pushes(&mut self, q_rad: &[f64]) {
        self.place(q_rad);
        if self.known != Known::Nothing {
            return;
        }
        self.known = Known::Pushes;
        let (mut moment, mut mass_kg) = (Vector3::zeros(), 0.0);
        for joint in (0..self.joints()).rev() {
            if joint + 1 < self.joints() {
                moment += (self.origins_m[joint + 1] - self.origins_m[joint]) * mass_kg;
            }
            moment += self.carried[joint].0;
            mass_kg += self.links[joint].body.mass_kg;
            self.push_kg_m[joint] = self.axes[joint].cross(&moment);
        }
    }

    /// Turns the links from the outermost one on whose angle differs.
    fn place(&mut self, q_rad: &[f64]) {
        let turned_on = |joint: &usize| q_rad[*joint].to_bits() != self.q_rad[*joint].to_bits();
        let Some(first) = (1..self.joints()).find(turned_on) else { return };
        self.known = Known::Nothing;
        for (joint, angle_rad) in q_rad.iter().enumerate().take(self.joints()).skip(first) {
            let (link, outer) = (&self.links[joint], &self.rotations[joint - 1]);
            if joint > first {
                self.origins_m[joint] = self.origins_m[joint - 1] + outer * link.origin_m;
                self.axes[joint] = outer * link.axis;
            }
            let own = turn_about(&link.axis, *angle_rad);
            let rotation = if joint == 1 { own } else { outer * own };
            self.carried[joint] = (rotation * link.body.moment_kg_m, turned(&second_kg_m2(&link.body), &rotation));
            self.rotations[joint] = rotation;
            self.q_rad[joint] = *angle_rad;
        }
    }

    /// First and second moments of everything inboard of each joint, from the innermost out.
    fn gather(&mut self) {
        let (mut moment, mut second, mut mass_kg) = (Vector3::zeros(), Matrix3::zeros(), 0.0);
        for joint in (0..self.joints()).rev() {
            if joint + 1 < self.joints() {
                let arm_m = self.origins_m[joint + 1] - self.origins_m[joint];
                second += both_ways(&arm_m, &(moment + arm_m * (0.5 * mass_kg)));
                moment += arm_m * mass_kg;
            }
            moment += self.carried[joint].0;
            second += self.carried[joint].1;
            mass_kg += self.links[joint].body.mass_kg;
            self.moments_kg_m[joint] = moment;
            self.seconds_kg_m2[joint] = second;
        }
    }

    /// Torque about `joint` per product of the rates of joints `first` ≤ `second`, kg·m²: centrifugal where they are
    /// the same, Coriolis where they differ.
    ///
    /// These are the Christoffel symbols of the mass matrix, which no joint outside both of an entry's changes: so an
    /// innermost joint feels nothing of its own rate, and what two joints do to a third inside them is what it does to
    /// one of them with the other, turned over. What is left has its innermost joint **a** among the rates. With
    /// everything inboard of that one at **r** from its origin, the other rate about **b** and the torque about **c**,
    /// which **d** leads from to that origin: Σ m **c**·(**r** × (**b** × (**a** × **r**))) = (S**b**)·(**a** × **c**), and the
    /// force **b** × (**a** × **h**) adds its moment (**c** × **d**)·(**b** × (**a** × **h**)).
    pub fn rate_kg_m2(&self, joint: usize, first: usize, second: usize) -> f64 {
        let value = match joint.cmp(&second) {
            Ordering::Less => self.swirls_kg_m2[second][first][joint],
            Ordering::Equal => 0.0,
            Ordering::Greater => -self.swirls_kg_m2[joint][first][second],
        };
        if first == second { value } else { 2.0 * value }
    }

    /// Joint accelerations that hold the camera's attitude while the base turns, per unit of its angular acceleration:
    /// row *k* dotted with **α** is the acceleration of joint *k*. With fewer than three axes as much as they can; near
    /// gimbal lock the rows stay bounded.
    pub fn holding(&self) -> [Vector3<f64>; MAX_JOINTS] {
        const DAMPING: f64 = 1e-9;
        let axes = &self.axes[..self.joints()];
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
        match self.joints() {
            0..3 => 1.0,
            3 => {
                let [outer, middle, inner] = [self.axes[0], self.axes[1], self.axes[2]];
                let (first, last) = (outer.cross(&middle), middle.cross(&inner));
                let most = float::sqrt(first.norm_squared()) * float::sqrt(last.norm_squared());
                if most > 1e-9 { (outer.dot(&last) / most).abs() } else { 0.0 }
            }
            _ => {
                let gram: Matrix3<f64> = self.axes[..self.joints()].iter().map(|axis| axis * axis.transpose()).sum();
                float::sqrt(gram.determinant().clamp(0.0, 1.0))
            }
        }
    }
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
            pose.set(&q[..joints]);
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

    /// A pose does not depend on those before it, whichever angles stayed and whatever was worked out for them.
    #[test]
    fn poses_that_follow_each_other_are_as_good_as_new() {
        for joints in 1..=5 {
            let linkage = chain(joints);
            let mut pose = Pose::new(&linkage);
            let angles = [0.3, -0.7, 1.9];
            for step in 0..200_usize {
                let q: Vec<f64> = (0..joints).map(|joint| angles[(step * (joint + 3) / (joint + 1)) % 3]).collect();
                let mut fresh = Pose::new(&linkage);
                if step % 3 == 1 {
                    pose.set_pushes(&q);
                    fresh.set_pushes(&q);
                    assert_eq!(pose.push_kg_m, fresh.push_kg_m, "{joints} joints, step {step}");
                } else {
                    pose.set(&q);
                    fresh.set(&q);
                    assert_eq!(pose.rotations, fresh.rotations, "{joints} joints, step {step}");
                    assert_eq!(pose.turn_kg_m2, fresh.turn_kg_m2, "{joints} joints, step {step}");
                    assert_eq!(pose.inertia_kg_m2, fresh.inertia_kg_m2, "{joints} joints, step {step}");
                    assert_eq!(pose.swirls_kg_m2, fresh.swirls_kg_m2, "{joints} joints, step {step}");
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
            pose.set(&[0.0, 0.3, -0.5, 0.8, 1.1]);
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
            pose.set(&[0.0, 0.4, -0.7, 1.9][..joints]);
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
            pose.set(&[0.5, tilt_rad, 0.3]);
            assert!((pose.from_gimbal_lock() - sine).abs() < 1e-12);
        }
    }
}
