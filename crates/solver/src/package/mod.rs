//! The package: everything that a person enters, in SI units.
//!
//! Plain data with public fields. Nothing here is computed; [`crate::check`] turns it into answers.

mod arm;
mod at_hand;
mod balancing;
mod chain;
mod change_minutes;
mod lens;
mod logged;
mod movement;
mod part;
mod power;
mod structure;
mod value;

pub use arm::{Arm, Plate, WeightedFor};
pub use at_hand::AtHand;
pub use balancing::{Balancing, Seen, Tried};
pub use chain::{Drive, DriveKind, Element, Head, Joint, Opening, Place, Slide, Turns, Yoke};
pub use change_minutes::ChangeMinutes;
pub use lens::{Lens, Rings};
pub use logged::{LoggedBalance, LoggedBody, LoggedFace, LoggedMark, LoggedOf, TakenOver, Tune, TunedAxis};
pub use movement::{AxisMove, AxisRange, Break, BreakKind, Isolator, Motion, Mounting, Move, PlatformKind, RoadClass};
pub use part::{Anchor, Drag, Part, PartKind, PartMass, Position, Shape};
pub use power::{Cable, Day, Load, Pack, Tap, TapGroup, TapVoltage};
pub use structure::{Material, SensorOn, Structure};
pub use value::{Cg, CgSource, Mass, MassSource};

use serde::{Deserialize, Serialize};

use crate::numbers::numbers;

/// Identity of a part within its package; never reused.
pub type PartId = u32;
/// Identity of a lens within its package; never reused.
pub type LensId = u32;
/// Identity of a move within its package; never reused.
pub type MoveId = u32;

/// The document: head, parts, lenses, moves and day. The package mass, marks and torque all follow from it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Package {
    /// What the crew calls it.
    pub name: String,
    /// Free text.
    #[serde(default)]
    pub note: String,
    /// Whether this is the built-in demonstration, so that no screen mistakes it for the crew's own.
    #[serde(default)]
    pub demo: bool,
    /// The stabilised head.
    pub head: Head,
    /// How the camera sits on the head.
    pub mount: Mount,
    /// Everything on the head with a mass, except lenses.
    #[serde(default)]
    pub parts: Vec<Part>,
    /// The lens set.
    #[serde(default)]
    pub lenses: Vec<Lens>,
    /// The lens that is on, if any.
    #[serde(default)]
    pub active_lens: Option<LensId>,
    /// The ways in which the head is used today.
    #[serde(default)]
    pub moves: Vec<Move>,
    /// Call time and length of the day.
    #[serde(default)]
    pub day: Day,
    /// What the person wants kept in hand.
    #[serde(default)]
    pub reserve: Reserve,
    /// The build for which the head was last tuned, if anyone has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tune: Option<Tune>,
    /// The counterweighted arm that carries the head, if the grip has stated it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arm: Option<Arm>,
    /// What is at hand to mend a balance, where the person has told; the usual kit otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_hand: Option<AtHand>,
    /// Balances that were found.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub logs: Vec<LoggedBalance>,
    /// The balance that is being found, if one is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub balancing: Option<Balancing>,
    /// What is known of its stiffness beyond the outlines of the parts.
    #[serde(default, skip_serializing_if = "Structure::is_empty")]
    pub structure: Structure,
    /// How long the steps of a lens change take this crew.
    #[serde(default, skip_serializing_if = "ChangeMinutes::is_empty")]
    pub change_minutes: ChangeMinutes,
}

numbers!(Package {
    own {}
    nested {
        head, mount, parts, lenses, moves, day, reserve, tune, arm, at_hand, logs, balancing, structure,
        change_minutes,
    }
});

/// How the camera sits on the innermost stage of the head.
///
/// The camera datum is the centre of the lens-mount flange. Its height follows from the stack of plates and the body;
/// its place fore and aft is the hole that the body is screwed to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Mount {
    /// Flange ahead of the origin of the head's camera place, m; negative when behind it.
    pub flange_ahead_m: f64,
    /// Flange to camera left of the origin of the camera place, m.
    #[serde(default)]
    pub flange_left_m: f64,
}

numbers!(Mount { own { flange_ahead_m: OFFSET_M, flange_left_m: OFFSET_M } nested {} });

/// What a person wants in hand, and how the pan axis is tested.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Reserve {
    /// Torque headroom below which an axis is a watch, 0.3 by default.
    pub torque_headroom: f64,
    /// Angle by which the base is tipped to test an upright axis, rad; 15° by default.
    pub tip_rad: f64,
    /// Distance from the axis at which a finger may be caught, m; 0.2 by default.
    #[serde(default = "finger_reach_m")]
    pub finger_reach_m: f64,
    /// Force on a finger above which the cautions say so, N; 140 by default: the quasi-static limit for hand and
    /// fingers of ISO/TS 15066:2016, table A.2 (value from memory).
    #[serde(default = "finger_limit_n")]
    pub finger_limit_n: f64,
}

fn finger_reach_m() -> f64 {
    0.2
}

fn finger_limit_n() -> f64 {
    140.0
}

impl Default for Reserve {
    fn default() -> Self {
        Self {
            torque_headroom: 0.3,
            tip_rad: 0.261_799,
            finger_reach_m: finger_reach_m(),
            finger_limit_n: finger_limit_n(),
        }
    }
}

numbers!(Reserve {
    own { torque_headroom: SHARE, tip_rad: TIP_RAD, finger_reach_m: REACH_M, finger_limit_n: FORCE_N }
    nested {}
});

fn rides_with(lens: Option<&Lens>, part: &Part) -> bool {
    match lens {
        Some(lens) if lens.leaves_off.contains(&part.id) => false,
        Some(lens) if lens.brings.contains(&part.id) => true,
        _ => part.on,
    }
}

impl Package {
    /// The lens that is on.
    pub fn lens(&self) -> Option<&Lens> {
        self.active_lens.and_then(|id| self.lenses.iter().find(|lens| lens.id == id))
    }

    /// Whether a part rides now: its own switch, then what the lens that is on brings along or leaves off.
    pub fn rides(&self, part: &Part) -> bool {
        rides_with(self.lens(), part)
    }

    /// The parts that ride now, in the order of the list.
    pub fn riding(&self) -> impl Iterator<Item = &Part> {
        let lens = self.lens();
        self.parts.iter().filter(move |part| rides_with(lens, part))
    }

    /// Every number rounded to its storage step, as an editor does when a person commits an edit.
    #[must_use]
    pub fn quantised(&self) -> Self {
        use crate::numbers::Numbers;
        let mut rounded = self.clone();
        rounded.change_numbers(&mut crate::path::FieldPath::root(), &mut |_, value, bounds| {
            *value = bounds.quantise(*value);
        });
        rounded
    }
}
