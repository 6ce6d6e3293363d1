//! The solver's benches for a browser: the page calls them and reads its clock.

#[path = "../../builds.rs"]
mod builds;

use nalgebra::Vector3;
use solver::Package;
use solver::balance::{Moments, solve_marks};
use solver::dynamics::{BaseMotion, Mechanism};
use solver::layout::Layout;
use solver::linkage::Linkage;
use solver::torque::tightest_of_moves;
use wasm_bindgen::prelude::wasm_bindgen;

/// Everything that is set up before the clock runs.
#[wasm_bindgen]
pub struct Bench {
    demo: Package,
    mechanism: Mechanism,
    lenses: Vec<(Package, Layout, Vec<f64>)>,
    one_range: Vec<(Package, Layout, Vec<f64>)>,
}

#[wasm_bindgen]
impl Bench {
    /// Sets up.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Self {
        let demo = codec::library::demo();
        let layout = Layout::new(&demo);
        let mechanism = Mechanism::new(&Linkage::new(&layout, &layout.present_marks_m()));
        let many = builds::demo_with(40, 12, 6);
        Self { lenses: each_lens(&many), one_range: each_lens(&builds::of_one_range(many)), demo, mechanism }
    }

    /// So many steps of inverse dynamics, each of another state. What comes back depends on all of them.
    pub fn inverse_dynamics(&self, steps: u32) -> f64 {
        let base = BaseMotion {
            omega_rad_s: Vector3::new(0.1, -0.2, 0.3),
            alpha_rad_s2: Vector3::new(-0.5, 0.4, 0.2),
            felt_m_s2: Vector3::new(0.3, -1.0, 9.6),
        };
        let mut sum = 0.0;
        for step in 0..steps {
            let q = 1e-6 * f64::from(step);
            let torques = self.mechanism.torques_nm(&[0.3 + q, -0.4, 0.7], &[1.0, -0.5, 0.8], &[2.0, 3.0, -1.0], &base);
            sum += torques[0] + torques[1] + torques[2];
        }
        sum
    }

    /// Torque in hand of 12 lenses in 6 moves over all poses.
    pub fn lenses_12_moves_6(&self) -> f64 {
        least_in_hand(&self.lenses)
    }

    /// The same where all moves have one working range.
    pub fn lenses_12_moves_6_one_range(&self) -> f64 {
        least_in_hand(&self.one_range)
    }

    /// The whole first screen of the demonstration.
    pub fn check_demo(&self) -> f64 {
        solver::check(&self.demo).map_or(f64::NAN, |report| report.mass.camera_kg.value)
    }
}

/// The package with each of its lenses, its layout and its target marks.
fn each_lens(package: &Package) -> Vec<(Package, Layout, Vec<f64>)> {
    let each = package.lenses.iter().map(|lens| {
        let mut with = package.clone();
        with.active_lens = Some(lens.id);
        let layout = Layout::new(&with);
        let marks_m = solve_marks(&layout, &Moments::all(&layout)).targets_m;
        (with, layout, marks_m)
    });
    each.collect()
}

/// Sum of the torque in hand of every lens in every move.
fn least_in_hand(lenses: &[(Package, Layout, Vec<f64>)]) -> f64 {
    let each = lenses.iter().flat_map(|(package, layout, marks_m)| tightest_of_moves(package, layout, marks_m));
    each.flatten().map(|tightest| tightest.headroom.value).sum()
}

impl Default for Bench {
    fn default() -> Self {
        Self::new()
    }
}
