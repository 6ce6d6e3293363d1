//! For the grip: what hangs on the arm, how many counterweights, side wind, lifting by hand, the tether, the wrap.

mod arm;
mod lifting;
mod tether;
mod wrap;

pub use arm::{ArmReport, Counterweight, Load, SideWind, arm, counterweights, load};
pub use lifting::{
    Coupling, Duration, LIFT_REACH_M, LIFTS_PER_MIN, Lift, LiftReport, LiftingPerson, NOT_COVERED, TWIST_RAD, lifting,
    reference_mass_kg,
};
pub use tether::{SLACK_M, STIFFNESS_N_M, Tether, tether_force_n};
pub use wrap::{LIFT_CAUTIONS, TETHER_CAUTIONS, WRAP_ORDER};
