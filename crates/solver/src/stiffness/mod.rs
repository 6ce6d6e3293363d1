//! Stiffness: at what frequency the package swings between the head's stage and the front of the lens, how far that is
//! from the crossover of the head's loops, what bends, what of it reaches the picture, and what would help most.
//!
//! # The model
//! Two plane models, one that nods (forward and up) and one that swings from side to side (forward and left), of the same
//! load path:
//!
//! ```text
//!                       body ====|mount|==== lens ----------- front things
//!                        |                    |
//!                  (fastening)             (support)
//!                        |                    |
//!   rods, tail ===== top plate ============ rods ============ front end (matte box, motors)
//!                        |
//!                  (fastening)
//!                        |
//!               lowest plate, held over its middle half
//!   ////////////////////////////////////////////////////////  the head's innermost stage, held still
//! ```
//!
//! - The head's stage and its clamp are held still. With the stage free to turn the modes lie higher: this is on the safe side.
//! - Plates are beams from where they are held to where they carry; their thickness is that of the part. A riser is a thick
//!   plate: it hardly bends, but it is one more fastening, and it lifts everything that stands on it.
//! - A fastening (plate on plate, body on plate) is a spring against rocking that also gives way along and across; so is
//!   the lens mount, whose figure holds what the body's front and the lens barrel give.
//! - Body and lens are rigid, with all that rides on them.
//! - The rods are two tubes that leave the plate at its front edge, or the body where there is no plate. What clamps on them
//!   is a rigid mass at its own place. A support is a spring between rods and lens; one that stands under no lens is a mass.
//! - A rod that is tied to its neighbour at both ends is stiffer from side to side than two rods: that is left out.
//!
//! Torsion about the lens's axis (the body rocking from side to side on its fastening) is left out, and is said to be.
//!
//! Frequencies come from K**φ** = ω²M**φ** ([`Framework::modes`]). Their ± follows from Rayleigh's quotient: df/f is half of dk/k
//! times the share of the strain energy that k holds, less half of dm/m times the share of the kinetic energy of m.
//! One figure stands for all pieces of its kind and is wrong for all of them at once; kinds are independent.
//!
//! The rule for the ratio takes the first mode of the whole, wherever the motion sensor sits: what bends between motor and
//! sensor is inside the loop and rings as well. Where the sensor sits counts for what reaches the picture.
//!
//! # Source
//! Gere and Timoshenko, Mechanics of Materials; Blevins, Formulas for Natural Frequency and Mode Shape, 1979 (both from
//! memory). The rule of four times the crossover is common practice, no source.

mod answers;
mod beam;
mod change;
mod figures;
mod framework;
mod model;
mod report;
mod swings;
mod things;

pub use answers::FLANGE_DEPTH_M;
pub use beam::{Beam, Section};
pub use change::{StiffnessChange, carrying_rods};
pub use figures::{FASTENING_NM_RAD, LENS_MOUNT_NM_RAD, SUPPORT_N_M};
pub use framework::{Element, End, Framework, Link, Mass, Mode, Shape, Spring};
pub use model::Plane;
pub use report::{
    ChangeReport, DrawnLine, DrawnWhat, GOOD_RATIO, PlaneReport, RING_RATIO, SagReport, Share, StiffnessFinding,
    StiffnessMatter, StiffnessReport, StiffnessVerdict, hz_words, ratio_words,
};

pub(crate) use answers::Swings;

use crate::answer::Answer;
use crate::error::InputError;
use crate::package::{Package, PartKind};
use crate::path::FieldPath;
use crate::validate::validate;

/// What [`crate::check`] leaves to this: among what it did not check, in these words.
pub const LEFT_TO_STIFFNESS: &str = "Stiffness from plate to lens front";

/// What stays unchecked when this has looked, in as many words: one line takes the place of the other on a phone.
pub const LEFT_BY_STIFFNESS: &str = "Stiffness in twist, and of the head";

/// Shown with every answer about stiffness.
pub(crate) const ASSUMED: [&str; 4] = [
    "The head's stage and its clamp do not give; with the stage free to turn, the modes lie higher.",
    "Body and lens are rigid. What the lens barrel and the body's front give is in the figure of the lens mount.",
    "Twisting about the lens axis, and rods that are tied at both ends, are left out.",
    "Stiffness figures are typical until you enter your own: tap the lens front and watch the picture to see what it does.",
];

/// How stiff the package is. `Needs` when it has no body, or nothing with a mass.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn stiffness(package: &Package) -> Result<Answer<StiffnessReport>, Vec<InputError>> {
    validate(package)?;
    Ok(answers::report(package).map_or_else(|| Answer::Needs(vec![missing(package)]), Answer::Known))
}

/// What is to be minded of a package that is known to be sound.
pub(crate) fn findings_sound(package: &Package) -> Vec<StiffnessFinding> {
    answers::report(package).map(|report| report.findings).unwrap_or_default()
}

/// The field without which there is no answer.
fn missing(package: &Package) -> FieldPath {
    let parts = FieldPath::root().field("parts");
    match package.parts.iter().position(|part| part.kind == PartKind::Body && package.rides(part)) {
        Some(index) => parts.index(index).field("mass"),
        None => parts,
    }
}
