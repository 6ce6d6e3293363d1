//! Both ends of the hold zone: where an axis just begins to turn one way and the other.
//!
//! A mark at which an axis stays put may lie anywhere in the hold zone. Whoever moves the slide on until the axis just
//! begins to turn, both ways, knows the middle as well as the ends are read, and half the width between them is the friction.

use super::procedure::{Pose, ProcedureStep, Progress};
use crate::answer::Estimate;
use crate::bounds;
use crate::constants::GRAVITY_M_S2;
use crate::float;
use crate::package::Seen;

/// How well an end is found and read off a scale in millimetres, m. Common practice, no source.
pub const END_READ_TO_M: f64 = 0.000_5;
/// How far friction differs from one sense to the other, as a standard uncertainty of the middle over half the width.
/// Common practice, no source.
pub const SENSES_DIFFER: f64 = 0.05;

/// What the two ends say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// The mark in the middle and its standard uncertainty, m.
    pub middle_m: Estimate,
    /// Friction of the axis that the width between them means, N·m. The mass that the slide moves counts as known.
    pub friction_nm: Estimate,
}

/// What the two ends of a step say; `None` unless both lie on the scale and the second is the larger one.
pub fn ends(step: &ProcedureStep, low_m: f64, high_m: f64) -> Option<Ends> {
    let on_scale = [low_m, high_m].iter().all(|mark_m| bounds::MARK_M.contains(*mark_m));
    if !on_scale || low_m >= high_m || step.across_kg <= 0.0 {
        return None;
    }
    let bears = match step.pose {
        Pose::Tipped { tip_rad, .. } => float::sin(tip_rad),
        Pose::Level | Pose::Turned { .. } => 1.0,
    };
    let nm_per_m = GRAVITY_M_S2 * bears * step.share * step.across_kg;
    let half_m = Estimate::new(0.5 * (high_m - low_m), END_READ_TO_M * core::f64::consts::FRAC_1_SQRT_2);
    Some(Ends {
        middle_m: Estimate::new(0.5 * (low_m + high_m), middle_u_m(low_m, high_m)),
        friction_nm: Estimate::new(nm_per_m * half_m.value, nm_per_m * half_m.u),
    })
}

/// The answer that both ends stand for, and the mark in their middle at which the slide is set, m.
pub fn ends_seen(low_m: f64, high_m: f64) -> (f64, Seen) {
    let [low_m, high_m] = [low_m, high_m].map(|mark_m| bounds::MARK_M.quantise(mark_m));
    (bounds::MARK_M.quantise(0.5 * (low_m + high_m)), Seen::Ends { low_m, high_m })
}

/// How well the middle between two ends is known, m. The law of propagation, JCGM 100:2008, equation (10).
pub fn middle_u_m(low_m: f64, high_m: f64) -> f64 {
    let differ_m = SENSES_DIFFER * 0.5 * (high_m - low_m);
    float::sqrt(0.5 * END_READ_TO_M * END_READ_TO_M + differ_m * differ_m)
}

/// How well the mark is known that a slide was found at in these steps of it, m: `None` where it merely stayed put.
pub(super) fn found_to_m<'a>(steps: impl DoubleEndedIterator<Item = &'a ProcedureStep> + Clone) -> Option<f64> {
    let found_m = steps.clone().rev().find_map(|step| match step.progress {
        Progress::Found { mark_m } => Some(mark_m),
        _ => None,
    })?;
    let mut trials = steps.flat_map(|step| &step.trials).filter(|trial| (trial.mark_m - found_m).abs() < 1e-9);
    trials.find_map(|trial| match trial.seen {
        Seen::Ends { low_m, high_m } => Some(middle_u_m(low_m, high_m)),
        _ => None,
    })
}
