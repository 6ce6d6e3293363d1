//! Swing: time a few free swings of an unbalanced axis.

use serde::{Deserialize, Serialize};

use super::{PROPAGATION, Readings, read, together};
use crate::answer::Estimate;
use crate::bounds::{self, Bounds};
use crate::constants::GRAVITY_M_S2;
use crate::error::InputError;
use crate::explain::Term;
use crate::float;
use crate::path::FieldPath;

/// Free swings of one level axis, its drive unplugged: shorted windings brake the swing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Swing {
    /// Time of all the swings, there and back, s.
    pub time_s: Estimate,
    /// How many swings, there and back, were timed.
    pub swings: f64,
    /// Largest angle from the middle, rad; above some 20° the period is noticeably longer.
    pub amplitude_rad: f64,
    /// What is known already.
    pub known: SwingKnown,
}

/// What is known already of an axis that swings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SwingKnown {
    /// Inertia about the axis, kg·m²: the swing tells the unbalance.
    InertiaKgM2(Estimate),
    /// Unbalance about the axis, kg·m: the swing tells the inertia.
    UnbalanceKgM(Estimate),
}

/// What a swing tells.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwingResult {
    /// Period of one swing there and back, s.
    pub period_s: Estimate,
    /// What the period would be for a tiny swing, s.
    pub small_period_s: f64,
    /// Unbalance about the axis, kg·m.
    pub unbalance_kg_m: Estimate,
    /// Inertia about the axis, kg·m².
    pub inertia_kg_m2: Estimate,
    /// The arithmetic.
    pub term: Term,
}

/// How many swings are timed; halves count.
pub const SWINGS: Bounds = Bounds { min: 1.0, max: 1_000.0, steps_per_unit: 2.0, unit: "" };
/// How far an axis swings from its middle.
pub const AMPLITUDE_RAD: Bounds = Bounds { min: 0.0, max: 2.8, steps_per_unit: 1e6, unit: "rad" };
/// Inertia of something that swings.
pub const INERTIA_KG_M2: Bounds = Bounds { min: 1e-6, ..bounds::INERTIA_KG_M2 };
const UNBALANCE_KG_M: Bounds = Bounds { min: 1e-6, max: 200.0, steps_per_unit: 1e6, unit: "kg·m" };

/// Unbalance from the inertia, or inertia from the unbalance: T = 2π√(I/(g·u)) for small swings.
///
/// A swing of finite amplitude θ takes longer by (2/π)·K(sin(θ/2)); that is taken out. Friction damps the swing but hardly
/// changes its period; an axis that does not swing freely cannot be measured like this.
///
/// # Errors
/// Every reading that is out of range, by its field.
///
/// # Source
/// Compound pendulum: Halliday, Resnick and Walker, *Fundamentals of Physics*, chapter 15 (from memory). The complete
/// elliptic integral by the arithmetic-geometric mean: Abramowitz and Stegun, 17.6.
pub fn swing(input: &Swing) -> Result<SwingResult, Vec<InputError>> {
    let mut readings = Readings::default();
    let root = FieldPath::root();
    readings.reading(&root.field("time_s"), input.time_s, &bounds::TIME_S);
    readings.number(&root.field("swings"), input.swings, &SWINGS);
    readings.number(&root.field("amplitude_rad"), input.amplitude_rad, &AMPLITUDE_RAD);
    match input.known {
        SwingKnown::InertiaKgM2(inertia) => readings.reading(&root.field("known"), inertia, &INERTIA_KG_M2),
        SwingKnown::UnbalanceKgM(unbalance) => readings.reading(&root.field("known"), unbalance, &UNBALANCE_KG_M),
    }
    readings.done()?;

    let period_s = Estimate::new(input.time_s.value / input.swings, input.time_s.u / input.swings);
    let longer = amplitude_factor(input.amplitude_rad);
    let small_period_s = period_s.value / longer;
    // I/u = g(T₀/2π)².
    let turn = small_period_s / (2.0 * core::f64::consts::PI);
    let ratio = GRAVITY_M_S2 * turn * turn;
    let period_share = 2.0 * period_s.u / period_s.value;
    let scaled = |known: Estimate, factor: f64| {
        let value = known.value * factor;
        Estimate::new(value, value * together(&[known.u / known.value, period_share]))
    };
    let (unbalance_kg_m, inertia_kg_m2) = match input.known {
        SwingKnown::InertiaKgM2(inertia) => (scaled(inertia, 1.0 / ratio), inertia),
        SwingKnown::UnbalanceKgM(unbalance) => (unbalance, scaled(unbalance, ratio)),
    };
    let term = Term::heading(
        "Swing",
        vec![
            read("Unbalance", unbalance_kg_m, "kg·m").formula("u = I / (g (T₀/2π)²)").source(PROPAGATION),
            read("Inertia", inertia_kg_m2, "kg·m²").formula("I = g u (T₀/2π)²").source(PROPAGATION),
            read("Period as timed", period_s, "s"),
            Term::value("T₀, period of a tiny swing", small_period_s, "s")
                .formula("T / ((2/π) K(sin(θ/2)))")
                .source("Compound pendulum at finite amplitude; Abramowitz and Stegun, 17.6"),
        ],
    );
    Ok(SwingResult { period_s, small_period_s, unbalance_kg_m, inertia_kg_m2, term })
}

/// (2/π)·K(sin(θ/2)) = 1 / agm(1, cos(θ/2)): by how much a swing of amplitude θ takes longer than a tiny one.
fn amplitude_factor(amplitude_rad: f64) -> f64 {
    let (mut arithmetic, mut geometric) = (1.0, float::cos(0.5 * amplitude_rad));
    // Converges quadratically; six rounds are more than enough below 2.8 rad.
    for _ in 0..6 {
        (arithmetic, geometric) = (0.5 * (arithmetic + geometric), libm::sqrt(arithmetic * geometric));
    }
    1.0 / arithmetic
}

#[cfg(test)]
mod tests {
    use super::*;

    fn timed(time_s: f64, swings: f64, amplitude_rad: f64, known: SwingKnown) -> SwingResult {
        swing(&Swing { time_s: Estimate::new(time_s, 0.02), swings, amplitude_rad, known }).expect("readings in range")
    }

    #[test]
    fn a_head_that_swings() {
        // Computed: I 0.35 kg·m², 12 kg at 20 mm: T = 2.42297 s.
        let known = SwingKnown::InertiaKgM2(Estimate::new(0.35, 0.0));
        let found = timed(24.2297, 10.0, 0.0, known);
        assert!((found.unbalance_kg_m.value - 0.24).abs() < 2e-6, "{}", found.unbalance_kg_m.value);
        let known = SwingKnown::UnbalanceKgM(Estimate::new(0.24, 0.0));
        assert!((timed(2.422_97, 1.0, 0.0, known).inertia_kg_m2.value - 0.35).abs() < 2e-6);
    }

    #[test]
    fn a_metre_stick_on_its_end() {
        // Halliday, Resnick and Walker, sample problem: T = 1.64 s (value from memory). For 1 kg and 1 m the unbalance is
        // 0.5 kg·m and the inertia a third.
        let found = timed(1.638_2, 1.0, 0.0, SwingKnown::UnbalanceKgM(Estimate::new(0.5, 0.0)));
        assert!((found.inertia_kg_m2.value - 1.0 / 3.0).abs() < 5e-5, "{}", found.inertia_kg_m2.value);
    }

    #[test]
    fn a_wide_swing_takes_longer() {
        // Computed: (2/π)K(sin 15°) = 1.017409 for an amplitude of 30°.
        let factor = amplitude_factor(30.0_f64.to_radians());
        assert!((factor - 1.017_409).abs() < 5e-7, "{factor}");
        let known = SwingKnown::InertiaKgM2(Estimate::new(0.35, 0.0));
        let (tiny, wide) = (timed(2.0, 1.0, 0.0, known), timed(2.0 * factor, 1.0, 30.0_f64.to_radians(), known));
        assert!((tiny.unbalance_kg_m.value - wide.unbalance_kg_m.value).abs() < 1e-12);
    }

    #[test]
    fn timing_counts_twice() {
        let found = timed(20.0, 10.0, 0.0, SwingKnown::InertiaKgM2(Estimate::new(0.35, 0.0)));
        let share = found.unbalance_kg_m.u / found.unbalance_kg_m.value;
        assert!((share - 2.0 * 0.02 / 20.0).abs() < 1e-12);
    }

    #[test]
    fn no_swing_is_a_fault() {
        let known = SwingKnown::InertiaKgM2(Estimate::new(0.0, 0.0));
        let input = Swing { time_s: Estimate::new(0.0, 0.0), swings: 0.0, amplitude_rad: 4.0, known };
        let fields: Vec<String> =
            swing(&input).expect_err("all wrong").iter().map(|fault| fault.field.to_string()).collect();
        assert_eq!(fields, ["time_s.value", "swings", "amplitude_rad", "known.value"]);
    }
}
