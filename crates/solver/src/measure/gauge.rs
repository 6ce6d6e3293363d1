//! Spring gauge, both ways: unbalance and friction of an axis at once.

use serde::{Deserialize, Serialize};

use super::{PROPAGATION, Readings, read, together};
use crate::answer::Estimate;
use crate::bounds::{self, Bounds};
use crate::constants::{DEGREE_RAD, GRAVITY_M_S2};
use crate::error::{InputError, Problem};
use crate::explain::Term;
use crate::float;
use crate::path::FieldPath;

/// A pull of a hand-held gauge; negative where the heavy side must be pushed down to move.
pub const PULL_N: Bounds = Bounds { min: -1_000.0, max: 1_000.0, steps_per_unit: 100.0, unit: "N" };

/// How well the tip of a base is set and read, rad: one degree. Common practice, no source.
pub const TIP_U_RAD: f64 = DEGREE_RAD;

/// The heavy side of one axis raised slowly by a spring gauge, then let down slowly by it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Gauge {
    /// Pull at which it slowly rises, N.
    pub raising_n: Estimate,
    /// Pull at which it slowly sinks, N; negative when it must be pushed down.
    pub lowering_n: Estimate,
    /// Distance of the pull from the axis, square to it, m.
    pub lever_m: Estimate,
    /// Angle between the axis and the vertical, rad: a right angle for an axis that lies level, the tip angle for pan.
    /// Its ± hardly counts near a right angle, and much at a slight tip: one degree at 15 is 6.5 % of the unbalance.
    pub lean_rad: Estimate,
}

/// What a spring gauge tells.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GaugeResult {
    /// Unbalance about the axis at that pose, kg·m: the heavy side is the one that was pulled up.
    pub unbalance_kg_m: Estimate,
    /// Friction of bearing and drive, N·m.
    pub friction_nm: Estimate,
    /// The arithmetic of both.
    pub term: Term,
}

/// Unbalance u = (F₁ + F₂)L/(2 g sin β) and friction τ = (F₁ − F₂)L/2. One reading alone would carry the friction as bias.
///
/// # Errors
/// Every reading that is out of range, by its field; a pull for lowering that is larger than the one for raising.
///
/// # Source
/// Moments about the axis at the two limits of friction: F₁L = gu sin β + τ, F₂L = gu sin β − τ.
pub fn gauge(input: &Gauge) -> Result<GaugeResult, Vec<InputError>> {
    let mut readings = Readings::default();
    let root = FieldPath::root();
    pulls(&mut readings, &root, input.raising_n, input.lowering_n);
    readings.reading(&root.field("lever_m"), input.lever_m, &bounds::REACH_M);
    readings.reading(&root.field("lean_rad"), input.lean_rad, &bounds::TIP_RAD);
    readings.done()?;
    let sum_n = input.raising_n.value + input.lowering_n.value;
    let difference_n = input.raising_n.value - input.lowering_n.value;
    let pulls_u_n = together(&[input.raising_n.u, input.lowering_n.u]);
    let lever = input.lever_m;
    let half_weight = 2.0 * GRAVITY_M_S2 * float::sin(input.lean_rad.value);
    let sum_nm = sum_n * lever.value;
    let by_lean_nm = sum_nm * relative_u_of_sine(input.lean_rad);
    let unbalance_kg_m = Estimate::new(
        sum_nm / half_weight,
        together(&[pulls_u_n * lever.value, sum_n * lever.u, by_lean_nm]) / half_weight,
    );
    let friction_nm = Estimate::new(
        0.5 * difference_n * lever.value,
        0.5 * together(&[pulls_u_n * lever.value, difference_n * lever.u]),
    );
    let inputs = vec![
        read("F₁, raising", input.raising_n, "N"),
        read("F₂, lowering", input.lowering_n, "N"),
        read("L, lever", lever, "m"),
        read("β, axis from the vertical", input.lean_rad, "rad"),
    ];
    let term = Term::heading(
        "Spring gauge both ways",
        vec![
            read("Unbalance", unbalance_kg_m, "kg·m")
                .formula("u = (F₁ + F₂)L / (2 g sin β)")
                .source(PROPAGATION)
                .of(inputs),
            read("Friction", friction_nm, "N·m").formula("τ = (F₁ − F₂)L / 2").source(PROPAGATION),
        ],
    );
    Ok(GaugeResult { unbalance_kg_m, friction_nm, term })
}

/// Relative standard uncertainty of sin β: u(β)/tan β; nothing to first order at a right angle.
pub(super) fn relative_u_of_sine(lean_rad: Estimate) -> f64 {
    let (sin, cos) = float::sin_cos(lean_rad.value);
    (lean_rad.u * cos / sin).abs()
}

/// Checks the two pulls of one place: friction can only make raising the harder one.
pub(super) fn pulls(readings: &mut Readings, at: &FieldPath, raising_n: Estimate, lowering_n: Estimate) {
    readings.reading(&at.field("raising_n"), raising_n, &PULL_N);
    readings.reading(&at.field("lowering_n"), lowering_n, &PULL_N);
    if lowering_n.value > raising_n.value {
        let problem = Problem::RangeReversed { low: lowering_n.value, high: raising_n.value, unit: "N" };
        readings.fault(&at.field("lowering_n"), problem);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use core::f64::consts::FRAC_PI_2;

    fn exact(value: f64) -> Estimate {
        Estimate::new(value, 0.0)
    }

    #[test]
    fn both_ways_separate_weight_and_friction() {
        // 0.05 kg·m and 0.25 N·m on a lever of 0.3 m: the pulls follow from the moments.
        let (weight, friction, lever) = (0.05 * GRAVITY_M_S2, 0.25, 0.3);
        let found = gauge(&Gauge {
            raising_n: exact((weight + friction) / lever),
            lowering_n: exact((weight - friction) / lever),
            lever_m: exact(lever),
            lean_rad: exact(FRAC_PI_2),
        })
        .expect("readings in range");
        assert!((found.unbalance_kg_m.value - 0.05).abs() < 1e-12);
        assert!((found.friction_nm.value - 0.25).abs() < 1e-12);
    }

    #[test]
    fn a_slight_tip_shows_less_of_it() {
        let lean_rad = 0.261_799;
        let at = |lean_rad| {
            let lean_rad = exact(lean_rad);
            let input = Gauge { raising_n: exact(3.0), lowering_n: exact(1.0), lever_m: exact(0.2), lean_rad };
            gauge(&input).expect("readings in range").unbalance_kg_m.value
        };
        assert!((at(lean_rad) * float::sin(lean_rad) - at(FRAC_PI_2)).abs() < 1e-12);
    }

    #[test]
    fn propagation_agrees_with_small_changes() {
        let input = Gauge {
            raising_n: Estimate::new(3.0, 0.05),
            lowering_n: Estimate::new(1.0, 0.08),
            lever_m: Estimate::new(0.25, 0.002),
            lean_rad: Estimate::new(0.3, 0.004),
        };
        let value = |change: &dyn Fn(&mut Gauge)| {
            let mut changed = input;
            change(&mut changed);
            gauge(&changed).expect("readings in range").unbalance_kg_m.value
        };
        let centre = value(&|_| {});
        let shifts = [
            value(&|g| g.raising_n.value += 0.05) - centre,
            value(&|g| g.lowering_n.value += 0.08) - centre,
            value(&|g| g.lever_m.value += 0.002) - centre,
            // Not a straight line: the mean of both ways.
            0.5 * (value(&|g| g.lean_rad.value += 0.004) - value(&|g| g.lean_rad.value -= 0.004)),
        ];
        let found = gauge(&input).expect("readings in range").unbalance_kg_m.u;
        assert!((found / together(&shifts) - 1.0).abs() < 1e-4, "{found}");
    }

    /// By hand: 1°/tan 15° = 0.017453/0.267949 = 6.51 %; a right angle is missed by 1 − cos 1°, which is no matter.
    #[test]
    fn a_degree_of_tip_counts_where_the_tip_is_slight() {
        let share = |lean_rad: f64| {
            let lean_rad = Estimate::new(lean_rad, TIP_U_RAD);
            let input = Gauge { raising_n: exact(3.0), lowering_n: exact(1.0), lever_m: exact(0.2), lean_rad };
            let found = gauge(&input).expect("readings in range");
            assert!(found.friction_nm.u < 1e-12, "friction needs no tip");
            found.unbalance_kg_m.u / found.unbalance_kg_m.value
        };
        assert!((share(15.0 * DEGREE_RAD) - 0.0651).abs() < 5e-5);
        assert!(share(FRAC_PI_2) < 1e-12);
    }

    #[test]
    fn pulls_the_wrong_way_round_are_a_fault() {
        let input =
            Gauge { raising_n: exact(1.0), lowering_n: exact(3.0), lever_m: exact(0.2), lean_rad: exact(FRAC_PI_2) };
        assert_eq!(gauge(&input).expect_err("reversed")[0].field.to_string(), "lowering_n");
    }
}
