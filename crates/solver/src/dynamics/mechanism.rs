//! A linkage made ready for inverse dynamics: axes of every link's own, and no number that no torque shows.

use nalgebra::{Matrix3, Vector3};

use super::MAX_JOINTS;
use super::matrices::{both_ways, second_kg_m2};
use crate::float;
use crate::linkage::Linkage;

/// A linkage made ready for inverse dynamics.
///
/// Every link is held in axes of its own: z along the axis of its joint, x square to that and to the axis of the next
/// joint inwards. From one link to the next is then a fixed turn about x and the joint's turn about z, whatever the
/// directions of the axes (the axes of Denavit and Hartenberg, as modified by Craig; from memory).
///
/// What lies on the axis of a joint moves with the link outside just as well as with its own. So each link hands outwards
/// its mass and what it has along its axis, as if all of that lay on the axis, and keeps the rest: five second moments and
/// two first ones. Every drive has the same torque, and only the base would feel otherwise, which is not asked (the base
/// inertial parameters of Gautier and Khalil, *IEEE Transactions on Robotics and Automation* 6 (1990) 368; from memory).
#[derive(Debug, Clone)]
pub struct Mechanism {
    pub(super) links: [MechanismLink; MAX_JOINTS],
    pub(super) count: usize,
    /// Axes of the base in which the first link is reached by a turn about z alone.
    pub(super) entry: Matrix3<f64>,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct MechanismLink {
    /// The fixed turn about the outside link's x that lays its z along this joint's axis.
    pub(super) twist: Plane,
    /// What is turned further about z at joint angle 0 to lay x along this link's own.
    pub(super) offset: Plane,
    /// Origin of the joint in the axes of the link outside, m; of the first in those of the entry.
    pub(super) origin_m: Vector3<f64>,
    pub(super) remainder: Remainder,
}

/// What a link keeps for itself: first and second moments about the origin of its joint, in its own axes. There is no mass
/// in it, and nothing along the axis alone.
#[derive(Debug, Clone, Copy)]
pub(super) struct Remainder {
    /// First moments Σ m x and Σ m y, kg·m.
    pub(super) x_kg_m: f64,
    pub(super) y_kg_m: f64,
    /// Second moments Σ m x², Σ m x y and so on, kg·m².
    pub(super) xx_kg_m2: f64,
    pub(super) xy_kg_m2: f64,
    pub(super) xz_kg_m2: f64,
    pub(super) yy_kg_m2: f64,
    pub(super) yz_kg_m2: f64,
}

/// Everything that a link moves: mass, first and second moment about the origin of its joint, in its own axes.
#[derive(Debug, Clone, Copy)]
struct Moments {
    mass_kg: f64,
    first_kg_m: Vector3<f64>,
    second_kg_m2: Matrix3<f64>,
}

/// A rotation in a plane.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plane {
    pub(super) sin: f64,
    pub(super) cos: f64,
}

impl Mechanism {
    /// Prepares a linkage; joints beyond [`MAX_JOINTS`] (validation refuses them) are left off.
    pub fn new(linkage: &Linkage) -> Self {
        let mut links = [MechanismLink::NONE; MAX_JOINTS];
        let mut entry = Matrix3::identity();
        let mut outside = entry;
        let mut bodies = Vec::with_capacity(MAX_JOINTS);
        for (joint, (ready, link)) in links.iter_mut().zip(&linkage.links).enumerate() {
            let own = axes_of(&link.axis, linkage.links.get(joint + 1).map(|next| &next.axis));
            if joint == 0 {
                entry = own;
                outside = own;
            }
            let turn = outside.tr_mul(&own);
            ready.twist = Plane { sin: -turn.m23, cos: turn.m33 };
            ready.offset = Plane { sin: -turn.m12, cos: turn.m11 };
            ready.origin_m = outside.tr_mul(&link.origin_m);
            let body = link.body.turned(&own.transpose());
            bodies.push(Moments {
                mass_kg: body.mass_kg,
                first_kg_m: body.moment_kg_m,
                second_kg_m2: second_kg_m2(&body),
            });
            outside = own;
        }
        let count = bodies.len();
        let mut inside: Option<(Moments, MechanismLink)> = None;
        for (ready, mut body) in links.iter_mut().zip(bodies).take(count).rev() {
            if let Some((inner, joint)) = &inside {
                body.take_over(inner, joint);
            }
            ready.remainder = Remainder::of(&body);
            inside = Some((body, *ready));
        }
        Self { links, count, entry }
    }

    /// Number of joints.
    pub fn joints(&self) -> usize {
        self.count
    }
}

impl MechanismLink {
    /// A joint that is not there.
    const NONE: Self = Self {
        twist: Plane::NONE,
        offset: Plane::NONE,
        origin_m: Vector3::new(0.0, 0.0, 0.0),
        remainder: Remainder::NONE,
    };
}

impl Remainder {
    const NONE: Self =
        Self { x_kg_m: 0.0, y_kg_m: 0.0, xx_kg_m2: 0.0, xy_kg_m2: 0.0, xz_kg_m2: 0.0, yy_kg_m2: 0.0, yz_kg_m2: 0.0 };

    fn of(Moments { first_kg_m: first, second_kg_m2: second, .. }: &Moments) -> Self {
        Self {
            x_kg_m: first.x,
            y_kg_m: first.y,
            xx_kg_m2: second.m11,
            xy_kg_m2: second.m12,
            xz_kg_m2: second.m13,
            yy_kg_m2: second.m22,
            yz_kg_m2: second.m23,
        }
    }
}

impl Moments {
    /// Takes over what `inner`, the moments of the next link inwards, has on the axis of its joint: a line of mass along
    /// that axis, in the axes of this link.
    fn take_over(&mut self, inner: &Self, joint: &MechanismLink) {
        let (mass_kg, first_kg_m, second_kg_m2) = (inner.mass_kg, inner.first_kg_m.z, inner.second_kg_m2.m33);
        let axis = Vector3::new(0.0, -joint.twist.sin, joint.twist.cos);
        let origin_m = &joint.origin_m;
        self.mass_kg += mass_kg;
        self.first_kg_m += origin_m * mass_kg + axis * first_kg_m;
        self.second_kg_m2 += both_ways(origin_m, &(origin_m * (0.5 * mass_kg) + axis * first_kg_m));
        self.second_kg_m2 += both_ways(&axis, &(axis * (0.5 * second_kg_m2)));
    }
}

impl Plane {
    const NONE: Self = Self { sin: 0.0, cos: 1.0 };

    /// This turn and another in the same plane.
    #[inline]
    pub(super) fn and(self, other: Self) -> Self {
        Self { sin: self.sin * other.cos + self.cos * other.sin, cos: self.cos * other.cos - self.sin * other.sin }
    }

    pub(super) fn times(self, factor: f64) -> Self {
        Self { sin: factor * self.sin, cos: factor * self.cos }
    }

    /// A vector in axes that are turned about z.
    #[inline]
    pub(super) fn turned(self, v: Vector3<f64>) -> Vector3<f64> {
        Vector3::new(self.cos * v.x + self.sin * v.y, self.cos * v.y - self.sin * v.x, v.z)
    }
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
