//! For the grip: what hangs on the arm, how many counterweights, side wind, lifting by hand, the tether, the wrap.

mod arm;
mod lifting;
mod tether;
mod wrap;

pub use arm::{ArmReport, Counterweight, Load, arm, counterweights, load};
pub use lifting::{Coupling, Duration, Lift, LiftReport, LiftingPerson, NOT_COVERED, lifting, reference_mass_kg};
pub use tether::{Tether, tether_force_n};
pub use wrap::{LIFT_CAUTIONS, TETHER_CAUTIONS, WRAP_ORDER};
