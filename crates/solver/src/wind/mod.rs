//! The force of the wind on the parts, and what it twists.
//!
//! A box takes q·C_d·(|w_x|·bc + |w_y|·ac + |w_z|·ab) along the wind **w**; a cylinder along x takes its end |w_x|·πd²/4
//! and its side √(w_y² + w_z²)·L·d; a pair of rods is two cylinders. The force acts at the centre of the outline. Parts
//! ticked as sheltered take none, and no part shelters another by itself. Coefficients hold below the drag crisis.

mod exposure;
mod headings;

pub use exposure::{Exposure, Standing};
pub use headings::{Tried, level_directions};

use nalgebra::{Matrix3x4, Vector3, Vector4};

use crate::float;
use crate::layout::{Body, Layout};
use crate::package::Shape;

/// What the wind finds on one rigid link: drag areas facing the link's x, y and z, and the round ones.
///
/// Everything that the link carries is in these sixteen numbers, so a hundred parts cost no more than one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sail {
    /// Σ C_d × area, m².
    pub area_m2: Vector4<f64>,
    /// Σ C_d × area × centre, from the link's origin, m³.
    pub moment_m3: Matrix3x4<f64>,
}

impl Sail {
    /// Nothing in the wind.
    pub fn none() -> Self {
        Self { area_m2: Vector4::zeros(), moment_m3: Matrix3x4::zeros() }
    }

    /// The sails of the base and of every link at the given marks: index 0 is the base, *j* + 1 what joint *j* turns.
    pub fn all(layout: &Layout, marks_m: &[f64]) -> Vec<Self> {
        let mut sails = vec![Self::none(); layout.joints.len() + 1];
        for body in layout.bodies.iter().filter(|body| body.drag_coefficient > 0.0) {
            let centre_m = body.centre_m + layout.displacement_m(body.link, body.slides, marks_m);
            sails[body.link].add(body, &centre_m);
        }
        sails
    }

    /// The sail of one body whose outline is centred at `centre_m` in its link's axes.
    pub fn of(body: &Body, centre_m: &Vector3<f64>) -> Self {
        let mut sail = Self::none();
        sail.add(body, centre_m);
        sail
    }

    fn add(&mut self, body: &Body, centre_m: &Vector3<f64>) {
        let area_m2 = drag_areas_m2(body);
        self.area_m2 += area_m2;
        self.moment_m3 += centre_m * area_m2.transpose();
    }

    /// Drag area across a wind along the unit vector `wind` in the link's axes, m².
    pub fn across_m2(&self, wind: &Vector3<f64>) -> f64 {
        self.area_m2.dot(&facing(wind))
    }
}

/// C_d × area of a body facing its x, y and z, and of its round sides, m².
pub fn drag_areas_m2(body: &Body) -> Vector4<f64> {
    let [a, b, c] = body.size_m;
    let disc = |diameter: f64| 0.25 * core::f64::consts::PI * diameter * diameter;
    let areas = match body.shape {
        Shape::Box => Vector4::new(b * c, a * c, a * b, 0.0),
        Shape::Cylinder => Vector4::new(disc(b), 0.0, 0.0, a * b),
        Shape::RodPair => Vector4::new(2.0 * disc(c), 0.0, 0.0, 2.0 * a * c),
    };
    areas * body.drag_coefficient
}

/// How much of each of the four areas a wind along the unit vector sees.
#[inline]
pub(crate) fn facing(wind: &Vector3<f64>) -> Vector4<f64> {
    Vector4::new(wind.x.abs(), wind.y.abs(), wind.z.abs(), float::sqrt(wind.y * wind.y + wind.z * wind.z))
}

#[cfg(test)]
mod tests {
    use nalgebra::Matrix3;

    use super::*;
    use crate::air::dynamic_pressure_pa;
    use crate::layout::Of;

    fn body(shape: Shape, size_m: [f64; 3], centre_m: Vector3<f64>, drag_coefficient: f64) -> Body {
        Body {
            of: Of::Part(0),
            link: 1,
            slides: 0,
            camera_side: true,
            mass_kg: 1.0,
            mass_u_kg: 0.0,
            cg_m: centre_m,
            cg_u_m: 0.0,
            inertia_kg_m2: Vector3::zeros(),
            centre_m,
            size_m,
            shape,
            drag_coefficient,
        }
    }

    fn sail(body: &Body) -> Sail {
        Sail::of(body, &body.centre_m)
    }

    /// A square plate across the wind: C_d 1.17 on 0.05 m² at 44.7 m/s.
    ///
    /// # Source
    /// Matthews, *Aeronautical Engineer's Data Book*, figure 5.13: C_d 1.17 (seen in text); force computed from ½ρV².
    #[test]
    fn plate_across_the_wind() {
        let side = float::sqrt(0.05);
        let plate = sail(&body(Shape::Box, [0.0, side, side], Vector3::zeros(), 1.17));
        let force = dynamic_pressure_pa(1.225, 44.7) * plate.across_m2(&Vector3::x());
        // The reference is 1.17 × 0.05 × ½ × 1.225 × 44.7², printed to a hundredth.
        assert!((force - 71.59).abs() < 0.01, "{force}");
        assert!(plate.across_m2(&Vector3::y()).abs() < 1e-15);
    }

    #[test]
    fn faces_of_a_box_and_sides_of_a_cylinder() {
        let brick = sail(&body(Shape::Box, [0.3, 0.2, 0.1], Vector3::zeros(), 1.0));
        let oblique = Vector3::new(0.6, -0.8, 0.0);
        assert!((brick.across_m2(&oblique) - (0.6 * 0.02 + 0.8 * 0.03)).abs() < 1e-15);
        let tube = sail(&body(Shape::Cylinder, [0.4, 0.1, 0.1], Vector3::zeros(), 1.0));
        let rolled = Vector3::new(0.0, 0.6, 0.8);
        assert!((tube.across_m2(&rolled) - 0.04).abs() < 1e-15);
        assert!((tube.across_m2(&Vector3::x()) - 0.25 * core::f64::consts::PI * 0.01).abs() < 1e-15);
    }

    /// A sail ahead of an upright axis twists it most when the wind blows across: force × lever.
    #[test]
    fn lever_about_an_upright_axis() {
        let flag = sail(&body(Shape::Box, [0.5, 0.0, 0.2], Vector3::new(0.4, 0.0, 0.1), 1.2));
        let links = [Standing {
            sail: &flag,
            rotation: &Matrix3::identity(),
            axis: &Vector3::z(),
            origin_m: &Vector3::new(0.1, 0.0, 0.0),
        }];
        let mut exposure = Exposure::new();
        exposure.set(&links, &Vector3::z(), 0);
        let (largest, heading) = exposure.worst_m3(0, &exposure.tried(0));
        // The outline stands 0.4 m ahead of the link's own origin, wherever that is.
        assert!((largest - 1.2 * 0.5 * 0.2 * 0.4).abs() < 1e-12, "{largest}");
        assert!(heading.y.abs() > 0.999);
    }

    /// Two links: the outer joint sees both, each with its own lever.
    #[test]
    fn inner_links_twist_the_outer_axis() {
        let flag = sail(&body(Shape::Box, [0.5, 0.0, 0.2], Vector3::new(0.4, 0.0, 0.0), 1.0));
        let still = Matrix3::identity();
        let (up, outer_m, inner_m) = (Vector3::z(), Vector3::zeros(), Vector3::new(0.3, 0.0, 0.0));
        let links = [
            Standing { sail: &Sail::none(), rotation: &still, axis: &up, origin_m: &outer_m },
            Standing { sail: &flag, rotation: &still, axis: &up, origin_m: &inner_m },
        ];
        let mut exposure = Exposure::new();
        exposure.set(&links, &Vector3::z(), 0);
        assert!((exposure.worst_m3(1, &exposure.tried(1)).0 - 0.1 * 0.4).abs() < 1e-12);
        assert!((exposure.worst_m3(0, &exposure.tried(0)).0 - 0.1 * 0.7).abs() < 1e-12);
        let mut largest = [0.0; 2];
        exposure.largest_m3(&mut largest);
        assert!((largest[0] / 0.07 - 1.0).abs() < 0.01 && (largest[1] / 0.04 - 1.0).abs() < 0.01);
    }
}
