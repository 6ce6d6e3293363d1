//! Torque in hand: what every move of the day asks of every axis, what the drives can give, and how far one can go.
//!
//! **Demand.** About a pose the torque is linear in the motion of the base, so the terms are found one by one: unbalance
//! under gravity at the worst direction of the lean (a bound for a camera held in space as for one that follows),
//! the platform's accelerations, the operator's moves at the worst instant and combination of senses, wind at the worst
//! heading, friction, and cables. A peak is their plain sum, g_D·σ for what is random; a continuous demand is
//! √(mean² + σ² + operator² + friction²). Coulomb friction is not linear: it counts in full in both.
//!
//! **Marks are never exact.** A crew moves a slide until the axis stays put, so unbalance counts as the larger of what
//! the marks leave and what friction hides in that test.
//!
//! **Gears.** Limits are the motor's, referred to the axis; what the gears lose is added to the demand.

mod demand;
mod gravity;
mod limits;
mod one_move;
mod operator;
mod power;
mod reach;
mod report;
mod scan;
mod spread;
mod state;
mod study;
mod table;
mod tightest;
mod wind_on_axis;
mod wind_remedies;

pub use gravity::{gravity_any_nm, gravity_in_use_nm};
pub use limits::{continuous_limit_nm, peak_limit_nm, voltage_share};
pub use report::torque_report;
pub use tightest::{tightest_of_all, tightest_of_moves};
pub(crate) use wind_on_axis::wind_on_joint;
pub use wind_on_axis::{WindOnAxis, WindShare, WindShareOf, wind_on_axis};
pub use wind_remedies::{Side, WindHelp, WindRemedy, wind_help, wind_help_of};
