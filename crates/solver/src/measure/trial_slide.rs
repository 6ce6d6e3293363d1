//! Trial slide: the gauge read at two marks gives the mark that balances, and needs no mass.

use serde::{Deserialize, Serialize};

use super::gauge::{pulls, relative_u_of_sine};
use super::{PROPAGATION, Readings, read, together};
use crate::answer::Estimate;
use crate::balance::guided::Seen;
use crate::bounds;
use crate::constants::GRAVITY_M_S2;
use crate::error::{InputError, Problem};
use crate::explain::Term;
use crate::float;
use crate::path::FieldPath;

/// One mark of the slide, and the pulls at the same point of the lever there, raising and lowering the same side.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TrialMark {
    /// The mark, m.
    pub mark_m: Estimate,
    /// Pull at which that side slowly rises, N; negative when it must be pushed down.
    pub raising_n: Estimate,
    /// Pull at which it slowly sinks, N.
    pub lowering_n: Estimate,
}

/// Two marks of one slide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TrialSlide {
    /// One mark.
    pub first: TrialMark,
    /// Another, as far away as is safe to hold.
    pub second: TrialMark,
    /// Distance of the pull from the axis, m: only the mass that slides needs it, the mark does not.
    pub lever_m: Estimate,
    /// Angle between the axis and the vertical at both marks, rad, as for [`super::Gauge`]: only the mass needs it.
    pub lean_rad: Estimate,
}

/// What a trial slide tells.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrialSlideResult {
    /// The mark that balances, m.
    pub balanced_mark_m: Estimate,
    /// Mass that the slide moves, kg.
    pub sliding_kg: Estimate,
    /// The arithmetic.
    pub term: Term,
}

impl TrialSlideResult {
    /// The same for guided balancing, as a reading of the gauge.
    pub fn seen(&self) -> Seen {
        Seen::Gauge { mark_m: self.balanced_mark_m.value, u_m: self.balanced_mark_m.u }
    }
}

/// The balanced mark s₀ = (s₁F₂ − s₂F₁)/(F₂ − F₁), with F the mean of both ways; the sliding mass is
/// L(F₂ − F₁)/(g(s₂ − s₁) sin β): on a tipped base only sin β of its weight pulls.
///
/// # Errors
/// Every reading that is out of range, by its field; two marks at the same place, or two pulls too alike to tell.
///
/// # Source
/// The moment of a slide is a straight line in its mark; its zero from two points.
pub fn trial_slide(input: &TrialSlide) -> Result<TrialSlideResult, Vec<InputError>> {
    let mut readings = Readings::default();
    let root = FieldPath::root();
    for (name, trial) in [("first", &input.first), ("second", &input.second)] {
        readings.reading(&root.field(name).field("mark_m"), trial.mark_m, &bounds::MARK_M);
        pulls(&mut readings, &root.field(name), trial.raising_n, trial.lowering_n);
    }
    readings.reading(&root.field("lever_m"), input.lever_m, &bounds::REACH_M);
    readings.reading(&root.field("lean_rad"), input.lean_rad, &bounds::TIP_RAD);
    let (first, second) = (mean_pull_n(&input.first), mean_pull_n(&input.second));
    let (rise_n, run_m) = (second.value - first.value, input.second.mark_m.value - input.first.mark_m.value);
    if run_m == 0.0 {
        let path = root.field("second").field("mark_m");
        readings.fault(&path, Problem::DuplicateId { id: input.second.mark_m.value.to_string() });
    }
    // A difference within its own uncertainty puts the mark anywhere.
    if rise_n.abs() <= together(&[first.u, second.u]) {
        let (value, min) = (rise_n.abs(), together(&[first.u, second.u]));
        let problem = Problem::OutOfRange { value, min, max: 2.0 * super::gauge::PULL_N.max, unit: "N" };
        readings.fault(&root.field("second").field("raising_n"), problem);
    }
    readings.done()?;

    let slope = run_m / rise_n;
    let balanced = input.first.mark_m.value - first.value * slope;
    // How far along the line from the first mark (0) to the second (1) the zero lies.
    let along = -first.value / rise_n;
    let balanced_mark_m = Estimate::new(
        balanced,
        together(&[
            (1.0 - along) * input.first.mark_m.u,
            along * input.second.mark_m.u,
            (1.0 - along) * slope * first.u,
            along * slope * second.u,
        ]),
    );
    let pulling_m_s2 = GRAVITY_M_S2 * float::sin(input.lean_rad.value);
    let sliding = (input.lever_m.value * rise_n / (pulling_m_s2 * run_m)).abs();
    let sliding_u = sliding
        * together(&[
            input.lever_m.u / input.lever_m.value,
            together(&[first.u, second.u]) / rise_n,
            together(&[input.first.mark_m.u, input.second.mark_m.u]) / run_m,
            relative_u_of_sine(input.lean_rad),
        ]);
    let sliding_kg = Estimate::new(sliding, sliding_u);
    let term = read("Balanced mark", balanced_mark_m, "m")
        .formula("s₀ = (s₁F₂ − s₂F₁) / (F₂ − F₁)")
        .source(PROPAGATION)
        .of(vec![
            read("s₁, first mark", input.first.mark_m, "m"),
            read("F₁, mean of both ways there", first, "N"),
            read("s₂, second mark", input.second.mark_m, "m"),
            read("F₂, mean of both ways there", second, "N"),
            read("Mass that slides", sliding_kg, "kg").formula("L(F₂ − F₁) / (g (s₂ − s₁) sin β)").of(vec![
                read("L, lever", input.lever_m, "m"),
                read("β, axis from the vertical", input.lean_rad, "rad"),
            ]),
        ]);
    Ok(TrialSlideResult { balanced_mark_m, sliding_kg, term })
}

fn mean_pull_n(trial: &TrialMark) -> Estimate {
    let mean = 0.5 * (trial.raising_n.value + trial.lowering_n.value);
    Estimate::new(mean, 0.5 * together(&[trial.raising_n.u, trial.lowering_n.u]))
}

#[cfg(test)]
mod tests {
    use core::f64::consts::FRAC_PI_2;

    use super::*;
    use crate::constants::DEGREE_RAD;

    /// The pulls at a mark of a slide that carries `kg` and balances at 0.112 m, on a lever of 0.3 m, its axis at `lean_rad`
    /// from the vertical.
    fn trial(mark_m: f64, kg: f64, lean_rad: f64) -> TrialMark {
        let weight_n = kg * GRAVITY_M_S2 * float::sin(lean_rad);
        let pull = |friction_nm: f64| (weight_n * (mark_m - 0.112) + friction_nm) / 0.3;
        TrialMark {
            mark_m: Estimate::new(mark_m, 0.0),
            raising_n: Estimate::new(pull(0.2), 0.05),
            lowering_n: Estimate::new(pull(-0.2), 0.05),
        }
    }

    /// 12.4 kg read at two marks, the axis leaning so far from the vertical, known to so much.
    fn slid([first_m, second_m]: [f64; 2], lean_rad: f64, u_rad: f64) -> TrialSlide {
        TrialSlide {
            first: trial(first_m, 12.4, lean_rad),
            second: trial(second_m, 12.4, lean_rad),
            lever_m: Estimate::new(0.3, 0.0),
            lean_rad: Estimate::new(lean_rad, u_rad),
        }
    }

    /// On an axis that lies level, and on one that stands upright on a base tipped by 15°.
    #[test]
    fn two_marks_give_the_third_and_the_mass() {
        for lean_rad in [FRAC_PI_2, 15.0 * DEGREE_RAD] {
            let found = trial_slide(&slid([0.150, 0.130], lean_rad, 0.0)).expect("readings in range");
            assert!((found.balanced_mark_m.value - 0.112).abs() < 1e-12);
            assert!((found.sliding_kg.value - 12.4).abs() < 1e-9, "{lean_rad}: {:?}", found.sliding_kg);
            assert!(matches!(found.seen(), Seen::Gauge { mark_m, .. } if (mark_m - 0.112).abs() < 1e-12));
        }
    }

    #[test]
    fn propagation_agrees_with_small_changes() {
        let input = slid([0.150, 0.130], 0.3, 0.02);
        let value = |of: &dyn Fn(&TrialSlideResult) -> Estimate, change: &dyn Fn(&mut TrialSlide)| {
            let mut changed = input;
            change(&mut changed);
            of(&trial_slide(&changed).expect("readings in range")).value
        };
        let reads: [fn(&mut TrialSlide) -> &mut Estimate; 5] = [
            |t| &mut t.first.raising_n,
            |t| &mut t.first.lowering_n,
            |t| &mut t.second.raising_n,
            |t| &mut t.second.lowering_n,
            |t| &mut t.lean_rad,
        ];
        let of: [fn(&TrialSlideResult) -> Estimate; 2] = [|found| found.balanced_mark_m, |found| found.sliding_kg];
        for of in of {
            let step = 1e-4;
            let slopes = reads.map(|read| {
                let rise = value(&of, &|t| read(t).value += step) - value(&of, &|t| read(t).value -= step);
                rise / (2.0 * step) * read(&mut input.clone()).u
            });
            let found = of(&trial_slide(&input).expect("readings in range")).u;
            assert!((found / together(&slopes) - 1.0).abs() < 1e-5, "{found}");
        }
    }

    #[test]
    fn marks_too_alike_are_a_fault() {
        let input = slid([0.150, 0.150], FRAC_PI_2, 0.0);
        let fields: Vec<String> =
            trial_slide(&input).expect_err("nothing to tell").iter().map(|fault| fault.field.to_string()).collect();
        assert_eq!(fields, ["second.mark_m", "second.raising_n"]);
    }
}
