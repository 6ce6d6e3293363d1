//! A straight Euler–Bernoulli beam with consistent mass, and the sections it is made of.

use nalgebra::{Matrix3, Matrix6};

use crate::float::sqrt;

/// A straight beam of one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beam {
    /// Modulus times area, N.
    pub ea_n: f64,
    /// Modulus times second moment of area, N·m².
    pub ei_n_m2: f64,
    /// Mass for each metre, kg/m.
    pub kg_m: f64,
}

/// Area and second moment of area of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Area, m².
    pub area_m2: f64,
    /// Second moment of area, m⁴.
    pub second_m4: f64,
}

impl Section {
    /// A round tube: A = π(D² − d²)/4, I = π(D⁴ − d⁴)/64. A wall of half the diameter or more is a solid rod.
    ///
    /// # Source
    /// Gere and Timoshenko, Mechanics of Materials, appendix on plane areas (from memory).
    pub fn tube(outer_m: f64, wall_m: f64) -> Self {
        let inner_m = (outer_m - 2.0 * wall_m).max(0.0);
        let (outer, inner) = (outer_m * outer_m, inner_m * inner_m);
        let pi = core::f64::consts::PI;
        Self { area_m2: pi * (outer - inner) / 4.0, second_m4: pi * (outer * outer - inner * inner) / 64.0 }
    }

    /// A flat bar that bends across its thickness: A = b·t, I = b·t³/12.
    pub fn bar(width_m: f64, thickness_m: f64) -> Self {
        let area_m2 = width_m * thickness_m;
        Self { area_m2, second_m4: area_m2 * thickness_m * thickness_m / 12.0 }
    }

    /// Several of them side by side that slide along each other: areas and second moments add.
    #[must_use]
    pub fn times(self, count: f64) -> Self {
        Self { area_m2: count * self.area_m2, second_m4: count * self.second_m4 }
    }

    /// A beam of this section.
    pub fn beam(self, modulus_pa: f64, kg_m: f64) -> Beam {
        Beam { ea_n: modulus_pa * self.area_m2, ei_n_m2: modulus_pa * self.second_m4, kg_m }
    }
}

impl Beam {
    /// Stiffness between the shifts and turns of both ends, in the framework's axes.
    ///
    /// # Source
    /// Gere and Timoshenko, stiffness of a prismatic bar in a plane (from memory): EA/L along; 12EI/L³, 6EI/L², 4EI/L and
    /// 2EI/L across.
    pub(super) fn stiffness(&self, ends_m: &[[f64; 2]; 2]) -> Matrix6<f64> {
        let (length_m, turned) = along(ends_m);
        let a = self.ea_n / length_m;
        let d = 2.0 * self.ei_n_m2 / length_m;
        let c = 3.0 * d / length_m;
        let b = 2.0 * c / length_m;
        #[rustfmt::skip]
        let own = Matrix6::new(
             a, 0.0, 0.0,     -a, 0.0, 0.0,
           0.0,   b,   c,    0.0,  -b,   c,
           0.0,   c, 2.0*d,  0.0,  -c,   d,
            -a, 0.0, 0.0,      a, 0.0, 0.0,
           0.0,  -b,  -c,    0.0,   b,  -c,
           0.0,   c,   d,    0.0,  -c, 2.0*d,
        );
        turned.transpose() * own * turned
    }

    /// Consistent mass between the same: from the shapes that the beam takes under its end forces, so that frequencies come
    /// out from above.
    ///
    /// # Source
    /// The usual cubic shape functions, ρAL/420·[156, 22L, 54, −13L …]; along, ρAL/6·[2, 1] (from memory).
    pub(super) fn mass(&self, ends_m: &[[f64; 2]; 2]) -> Matrix6<f64> {
        let (l, turned) = along(ends_m);
        let m = self.kg_m * l / 420.0;
        #[rustfmt::skip]
        let own = Matrix6::new(
            140.0,      0.0,        0.0,  70.0,      0.0,        0.0,
              0.0,    156.0,     22.0*l,   0.0,     54.0,    -13.0*l,
              0.0,   22.0*l,    4.0*l*l,   0.0,   13.0*l,   -3.0*l*l,
             70.0,      0.0,        0.0, 140.0,      0.0,        0.0,
              0.0,     54.0,     13.0*l,   0.0,    156.0,    -22.0*l,
              0.0,  -13.0*l,   -3.0*l*l,   0.0,  -22.0*l,    4.0*l*l,
        ) * m;
        turned.transpose() * own * turned
    }
}

/// Length, and from the framework's axes to those of the beam at both ends.
fn along(ends_m: &[[f64; 2]; 2]) -> (f64, Matrix6<f64>) {
    let [[ax, az], [bx, bz]] = *ends_m;
    let length_m = sqrt((bx - ax) * (bx - ax) + (bz - az) * (bz - az));
    let (cos, sin) = ((bx - ax) / length_m, (bz - az) / length_m);
    let turn = Matrix3::new(cos, sin, 0.0, -sin, cos, 0.0, 0.0, 0.0, 1.0);
    let mut turned = Matrix6::zeros();
    turned.fixed_view_mut::<3, 3>(0, 0).copy_from(&turn);
    turned.fixed_view_mut::<3, 3>(3, 3).copy_from(&turn);
    (length_m, turned)
}
