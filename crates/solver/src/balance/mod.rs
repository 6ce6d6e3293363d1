//! Balance: unbalance of every joint, where the marks go, how sure that is, and whether friction holds.

mod chi_squared;
pub mod ends;
pub mod guided;
mod learn;
mod least_squares;
mod left_open;
mod lessons;
mod marks;
mod moments;
pub mod procedure;
mod snapshot;
mod taken_over;
mod work_order;
mod worst;

pub use learn::{Agreement, Learned};
pub use least_squares::{Unknown, solve as bounded_least_squares};
pub(crate) use left_open::{chance_within, left_open, normal_between};
pub use lessons::{AxisLesson, Lesson};
pub use marks::{Marks, SlideMark, solve_marks};
pub(crate) use marks::{holes_near, plane};
pub(crate) use moments::arm_m;
pub use moments::{Moments, across};
pub use snapshot::{log_balance, logged_of};
pub use taken_over::{as_entered, is_taken_over, take_over};
pub use worst::worst_unbalance_kg_m;

use nalgebra::Vector3;

use crate::constants::GRAVITY_M_S2;
use crate::float;
use crate::package::Joint;

/// Lean at which the balance of a joint is tested, rad: 90° where the axis lies level, the tip angle where it stands
/// upright (nearer to upright than to level).
pub fn tested_lean_rad(axis: &Vector3<f64>, tip_rad: f64) -> f64 {
    if axis.z.abs() > core::f64::consts::FRAC_1_SQRT_2 { tip_rad } else { core::f64::consts::FRAC_PI_2 }
}

/// Unbalance that friction still holds, kg·m: τ / (g sin β). Infinite when the lean of the test is nil.
pub fn held_unbalance_kg_m(friction_nm: f64, tested_lean_rad: f64) -> f64 {
    friction_nm / (GRAVITY_M_S2 * float::sin(tested_lean_rad))
}

/// How far a joint that lies level is turned to test its balance upright, rad: a quarter turn if it gets so far, and in
/// which sense about its axis. The sense that the screen shows as positive is preferred.
pub fn upright_test_rad(joint: &Joint) -> f64 {
    const QUARTER: f64 = core::f64::consts::FRAC_PI_2;
    let [low_rad, high_rad] = joint.limits_rad.unwrap_or([-QUARTER, QUARTER]);
    let (plus_rad, minus_rad) = (high_rad.clamp(0.0, QUARTER), (-low_rad).clamp(0.0, QUARTER));
    let (shown_rad, other_rad) = if joint.turns.shown_reversed { (minus_rad, plus_rad) } else { (plus_rad, minus_rad) };
    let shown = shown_rad >= other_rad - 1e-3;
    if shown == joint.turns.shown_reversed { -shown_rad.max(other_rad) } else { shown_rad.max(other_rad) }
}

/// Share of the unbalance along `direction` that a test of the joint brings to bear: all of it, unless it stands upright
/// on a level axis that does not turn a quarter.
fn tested_share(joint: &Joint, axis: &Vector3<f64>, direction: &Vector3<f64>) -> f64 {
    const HALF: f64 = core::f64::consts::FRAC_1_SQRT_2;
    if axis.z.abs() > HALF || direction.z.abs() <= HALF {
        return 1.0;
    }
    float::sin(upright_test_rad(joint).abs()).max(0.05)
}
