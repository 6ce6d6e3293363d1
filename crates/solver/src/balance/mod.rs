//! Balance: unbalance of every joint, where the marks go, how sure that is, and whether friction holds.

pub mod guided;
mod learn;
mod least_squares;
mod marks;
mod moments;
mod worst;

pub use learn::{Agreement, Learned, Lesson, log_balance, logged_of};
pub use least_squares::{Unknown, solve as bounded_least_squares};
pub use marks::{Marks, SlideMark, solve_marks};
pub(crate) use moments::arm_m;
pub use moments::{Moments, across};
pub use worst::worst_unbalance_kg_m;

use nalgebra::Vector3;

use crate::constants::GRAVITY_M_S2;
use crate::float;

/// Lean at which the balance of a joint is tested, rad: 90° where the axis lies level, the tip angle where it stands
/// upright (nearer to upright than to level).
pub fn tested_lean_rad(axis: &Vector3<f64>, tip_rad: f64) -> f64 {
    if axis.z.abs() > core::f64::consts::FRAC_1_SQRT_2 { tip_rad } else { core::f64::consts::FRAC_PI_2 }
}

/// Unbalance that friction still holds, kg·m: τ / (g sin β). Infinite when the lean of the test is nil.
pub fn held_unbalance_kg_m(friction_nm: f64, tested_lean_rad: f64) -> f64 {
    friction_nm / (GRAVITY_M_S2 * float::sin(tested_lean_rad))
}
