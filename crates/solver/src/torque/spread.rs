//! How sure a demand is: the uncertainties of masses and centres of gravity, carried to the torque in the worst pose.
//!
//! Torque is linear in the ten numbers of every link (mass, first moment, second moment), so their covariance, summed
//! over the bodies once, gives the ± of any demand as one quadratic form a link.

use nalgebra::{Matrix3, SMatrix, SVector, Vector3};

use crate::layout::{Body, Layout};

type Ten = SVector<f64, 10>;

/// Covariance of the ten numbers of one link, in the order mass, first moment x y z, second moment xx yy zz xy xz yz.
pub(super) struct Spread(SMatrix<f64, 10, 10>);

impl Spread {
    /// The spread of every link, platform first.
    pub(super) fn all(layout: &Layout, marks_m: &[f64]) -> Vec<Self> {
        let mut spreads: Vec<Self> = layout.joints.iter().map(|_| Self(SMatrix::zeros())).collect();
        for body in &layout.bodies {
            let Some(link) = body.link.checked_sub(1) else { continue };
            let at_m = body.cg_m + layout.displacement_m(body.link, body.slides, marks_m);
            spreads[link].add(body, &at_m);
        }
        spreads
    }

    fn add(&mut self, body: &Body, at_m: &Vector3<f64>) {
        // One more gram of a body is one more gram of everything it is made of: its own inertia grows with it.
        let own = if body.mass_kg > 0.0 {
            let [x, y, z] = (body.inertia_kg_m2 / body.mass_kg).into();
            let half = 0.5 * (x + y + z);
            Vector3::new(half - x, half - y, half - z)
        } else {
            Vector3::zeros()
        };
        let [x, y, z] = (*at_m).into();
        let mass = Ten::from([1.0, x, y, z, x * x + own.x, y * y + own.y, z * z + own.z, x * y, x * z, y * z]);
        self.outer(&mass, body.mass_u_kg);
        let m = body.mass_kg;
        // A body that is moved along one axis changes four of the ten.
        for (axis, seconds) in [
            (1, [(4, 2.0 * x), (7, y), (8, z)]),
            (2, [(5, 2.0 * y), (7, x), (9, z)]),
            (3, [(6, 2.0 * z), (8, x), (9, y)]),
        ] {
            let [a, b, c] = seconds.map(|(index, value)| (index, m * value));
            self.outer_of([(axis, m), a, b, c], body.cg_u_m);
        }
    }

    fn outer(&mut self, gradient: &Ten, u: f64) {
        if u > 0.0 {
            self.0.ger(u * u, gradient, gradient, 1.0);
        }
    }

    /// The same for a gradient of which only four entries count.
    fn outer_of(&mut self, gradient: [(usize, f64); 4], u: f64) {
        for (row, one) in gradient {
            for (column, other) in gradient {
                self.0[(row, column)] += u * u * one * other;
            }
        }
    }

    /// Variance of a number with this gradient, after the link's own axes.
    pub(super) fn variance(&self, gradient: &Ten) -> f64 {
        f64::max(0.0, gradient.dot(&(self.0 * gradient)))
    }
}

/// Gradient of the torque about an axis in the ten numbers of a link whose points accelerate by **a** + K**r**, with
/// the joint's `axis` and the arm from it to the link's origin, all in the link's own axes.
pub(super) fn gradient(axis: &Vector3<f64>, arm_m: &Vector3<f64>, a: &Vector3<f64>, field: &Matrix3<f64>) -> Ten {
    let lever = axis.cross(arm_m);
    let moment = field.tr_mul(&lever) + a.cross(axis);
    let second = axis.cross_matrix().tr_mul(field);
    Ten::from([
        lever.dot(a),
        moment.x,
        moment.y,
        moment.z,
        second.m11,
        second.m22,
        second.m33,
        second.m12 + second.m21,
        second.m13 + second.m31,
        second.m23 + second.m32,
    ])
}
