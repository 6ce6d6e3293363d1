//! Mass, centre of gravity and inertia of bodies, and how they add up.

use nalgebra::{Matrix3, Vector3};

use crate::package::Shape;

/// Mass, first moment and inertia of a rigid body about one named origin, in axes parallel to that origin's frame.
///
/// Held as moments rather than as a centre of gravity, so that adding two bodies is adding nine numbers and a body
/// without mass needs no special case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassProperties {
    /// Mass, kg.
    pub mass_kg: f64,
    /// First moment Σ m·**r**, kg·m.
    pub moment_kg_m: Vector3<f64>,
    /// Inertia about the origin, kg·m²: diagonal Σ m(y² + z²), off-diagonal −Σ m·x·y.
    pub inertia_kg_m2: Matrix3<f64>,
}

impl MassProperties {
    /// Nothing at all.
    pub fn zero() -> Self {
        Self { mass_kg: 0.0, moment_kg_m: Vector3::zeros(), inertia_kg_m2: Matrix3::zeros() }
    }

    /// A body of `mass_kg` whose centre of gravity is at `cg_m`, with its inertia about that centre.
    ///
    /// I_O = I_G + m(|d|²E − ddᵀ).
    ///
    /// # Source
    /// Parallel-axis theorem: Meriam and Kraige, *Dynamics*, appendix B (value from memory).
    pub fn new(mass_kg: f64, cg_m: Vector3<f64>, inertia_about_cg_kg_m2: Matrix3<f64>) -> Self {
        Self { mass_kg, moment_kg_m: cg_m * mass_kg, inertia_kg_m2: inertia_about_cg_kg_m2 + steiner(mass_kg, &cg_m) }
    }

    /// Centre of gravity, m; `None` without mass.
    pub fn cg_m(&self) -> Option<Vector3<f64>> {
        (self.mass_kg > 0.0).then(|| self.moment_kg_m / self.mass_kg)
    }

    /// Inertia about the centre of gravity, kg·m²; zero without mass.
    pub fn inertia_about_cg_kg_m2(&self) -> Matrix3<f64> {
        match self.cg_m() {
            Some(cg_m) => self.inertia_kg_m2 - steiner(self.mass_kg, &cg_m),
            None => Matrix3::zeros(),
        }
    }

    /// The same body seen from an origin from which the old origin stands at `by_m`.
    #[must_use]
    pub fn shifted(&self, by_m: &Vector3<f64>) -> Self {
        let cross = self.moment_kg_m * by_m.transpose();
        let both = self.moment_kg_m.dot(by_m);
        Self {
            mass_kg: self.mass_kg,
            moment_kg_m: self.moment_kg_m + by_m * self.mass_kg,
            inertia_kg_m2: self.inertia_kg_m2 + steiner(self.mass_kg, by_m) + Matrix3::identity() * (2.0 * both)
                - cross
                - cross.transpose(),
        }
    }

    /// The same body turned by `rotation` about the origin.
    #[must_use]
    pub fn turned(&self, rotation: &Matrix3<f64>) -> Self {
        Self {
            mass_kg: self.mass_kg,
            moment_kg_m: rotation * self.moment_kg_m,
            inertia_kg_m2: rotation * self.inertia_kg_m2 * rotation.transpose(),
        }
    }

    /// Moment of inertia about an axis through the origin along the unit vector `axis`, kg·m².
    pub fn about_axis_kg_m2(&self, axis: &Vector3<f64>) -> f64 {
        axis.dot(&(self.inertia_kg_m2 * axis))
    }
}

impl core::ops::AddAssign for MassProperties {
    fn add_assign(&mut self, other: Self) {
        self.mass_kg += other.mass_kg;
        self.moment_kg_m += other.moment_kg_m;
        self.inertia_kg_m2 += other.inertia_kg_m2;
    }
}

fn steiner(mass_kg: f64, d_m: &Vector3<f64>) -> Matrix3<f64> {
    (Matrix3::identity() * d_m.norm_squared() - d_m * d_m.transpose()) * mass_kg
}

/// Principal moments of a homogeneous outline of unit mass about its own centre, m².
///
/// Box (a, b, c): (b² + c²)/12 and so on. Solid cylinder of radius r and length L along x: r²/2 and (3r² + L²)/12.
/// Rod pair: two thin tubes of diameter c a distance (b − c) apart.
///
/// # Source
/// Meriam and Kraige, *Dynamics*, table D/4 (formulas from memory).
pub fn outline_inertia_per_kg_m2(shape: Shape, size_m: [f64; 3]) -> Vector3<f64> {
    let [a, b, c] = size_m;
    match shape {
        Shape::Box => Vector3::new(b * b + c * c, a * a + c * c, a * a + b * b) / 12.0,
        Shape::Cylinder => {
            let radius_squared = 0.25 * b * b;
            let across = (3.0 * radius_squared + a * a) / 12.0;
            Vector3::new(0.5 * radius_squared, across, across)
        }
        Shape::RodPair => {
            // Thin tubes: all mass at the outer radius. The half spacing carries each to its side.
            let radius_squared = 0.25 * c * c;
            let half_spacing = 0.5 * (b - c).max(0.0);
            let aside = half_spacing * half_spacing;
            let across = 0.5 * radius_squared + a * a / 12.0;
            Vector3::new(radius_squared + aside, across, across + aside)
        }
    }
}
