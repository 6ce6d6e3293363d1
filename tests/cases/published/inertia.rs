//! Textbook moments of inertia, and the pendulum that they swing.

use checks::build;
use checks::table::{near, run};
use serde::Deserialize;
use solver::Package;
use solver::constants::GRAVITY_M_S2;
use solver::package::Element;
use solver::report::AxisReport;

/// A body on one axis: box, cylinder along x, or rod pair along x, centred at a point from the axis.
#[derive(Deserialize)]
struct Body {
    shape: String,
    mass_kg: f64,
    size_m: [f64; 3],
    centre_m: [f64; 3],
    axis: [f64; 3],
}

impl Body {
    fn axis_report(&self) -> AxisReport {
        let axis = Element::Joint(build::joint("axis", self.axis, [0.0; 3]));
        let mut package = build::package(vec![axis, build::camera_place()]);
        package.parts.push(build::solid(1, "camera", &self.shape, self.mass_kg, self.centre_m, self.size_m));
        only_axis(&package)
    }
}

fn only_axis(package: &Package) -> AxisReport {
    let report = solver::check(package).unwrap_or_else(|faults| panic!("{faults:?}"));
    report.axes.into_iter().next().expect("one joint, one axis")
}

#[derive(Deserialize)]
struct Solid {
    #[serde(flatten)]
    body: Body,
    inertia_kg_m2: f64,
    tolerance: f64,
}

#[test]
fn moments_of_inertia() {
    run("inertia", |row: &Solid| {
        near("inertia", row.body.axis_report().inertia_kg_m2, row.inertia_kg_m2, row.tolerance)
    });
}

#[derive(Deserialize)]
struct Pendulum {
    #[serde(flatten)]
    body: Body,
    period_s: f64,
    /// Largest torque of gravity over its mass and its weight gives the length of the simple pendulum.
    equivalent_length_m: Option<f64>,
    tolerance: f64,
}

/// T = 2π√(I / (m g d)): both from the report, the inertia about the axis and the torque of gravity with the body level.
#[test]
fn pendulums() {
    run("pendulum", |row: &Pendulum| {
        let axis = row.body.axis_report();
        let period_s = std::f64::consts::TAU * (axis.inertia_kg_m2 / axis.gravity_any_nm).sqrt();
        near("period", period_s, row.period_s, row.tolerance)?;
        row.equivalent_length_m.map_or(Ok(()), |length_m| {
            near("length", axis.inertia_kg_m2 * GRAVITY_M_S2 / axis.gravity_any_nm, length_m, 0.0005)
        })
    });
}
