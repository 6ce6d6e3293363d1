//! One thing on the head with a mass.

use serde::{Deserialize, Serialize};

use super::PartId;
use super::power::{Load, Pack};
use super::value::{Cg, Mass};
use crate::numbers::{Change, Numbers, See, numbers};
use crate::path::{FieldPath, Segment};

/// One thing on the head with a mass.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Identity within the package.
    pub id: PartId,
    /// What the crew calls it.
    pub name: String,
    /// What kind of thing it is.
    pub kind: PartKind,
    /// Whether it rides (a lens can bring it along or leave it off all the same).
    #[serde(default = "on")]
    pub on: bool,
    /// Its mass, or the share of the package that it stands for.
    pub mass: PartMass,
    /// Length, width, height of its outline, m.
    pub size_m: [f64; 3],
    /// Its outline.
    #[serde(default)]
    pub shape: Shape,
    /// Its centre of gravity, from the centre of the outline.
    pub cg: Cg,
    /// Where it is.
    pub at: Position,
    /// How the wind takes it.
    #[serde(default)]
    pub drag: Drag,
    /// Optical axis above the underside, for a body, m: what sets the height of the camera datum.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub optical_axis_up_m: Option<f64>,
    /// What it draws, if anything.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load: Option<Load>,
    /// What it feeds, if it is a pack.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pack: Option<Pack>,
}

fn on() -> bool {
    true
}

numbers!(Part {
    own { size_m: SIZE_M, optical_axis_up_m: SIZE_M }
    nested { mass, cg, at, drag, load, pack }
});

/// What kind of thing a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PartKind {
    /// Camera body.
    Body,
    /// Plate, riser or rail.
    Plate,
    /// Rods.
    Rods,
    /// Lens support or rod tie.
    Support,
    /// Lens motor, receiver or rangefinder.
    Control,
    /// Video transmitter or monitor.
    Picture,
    /// Matte box, filter or close-up lens.
    Front,
    /// Battery pack.
    Pack,
    /// Trim weight.
    Weight,
    /// Cables, clamps, screws and anything else.
    Other,
}

/// The mass of a part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PartMass {
    /// Its own mass.
    Own(Mass),
    /// A share of everything else on the camera side, known to half of itself: cables, clamps and screws.
    Share {
        /// Share of the sum of the other parts and the lens, 0.05 for cables.
        fraction: f64,
    },
}

impl Numbers for PartMass {
    fn see_numbers(&self, at: &mut FieldPath, see: &mut See<'_>) {
        match self {
            Self::Own(mass) => mass.see_numbers(at, see),
            Self::Share { fraction } => {
                at.push(Segment::Field("fraction"));
                see(at, *fraction, &crate::bounds::SHARE);
                at.pop();
            }
        }
    }
    fn change_numbers(&mut self, at: &mut FieldPath, change: &mut Change<'_>) {
        match self {
            Self::Own(mass) => mass.change_numbers(at, change),
            Self::Share { fraction } => {
                at.push(Segment::Field("fraction"));
                change(at, fraction, &crate::bounds::SHARE);
                at.pop();
            }
        }
    }
}

/// The outline of a part, for inertia, drag and drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// A box.
    #[default]
    Box,
    /// A solid cylinder along x, its diameter the width.
    Cylinder,
    /// Two tubes along x at the left and right edge of the width, their diameter the height.
    RodPair,
}

/// Where a part is: the centre of its outline, from something that a crew can measure from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Position {
    /// Id of the place in the head's chain that it rides on.
    pub place: String,
    /// What the offset is measured from.
    pub from: Anchor,
    /// Centre of the outline from there: forward, left, up, m. A stacked part takes its height from the stack.
    #[serde(default)]
    pub offset_m: [f64; 3],
}

numbers!(Position { own { offset_m: OFFSET_M } nested {} });

/// What a position is measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Anchor {
    /// The origin of the place itself.
    Place,
    /// The camera datum: the centre of the lens-mount flange.
    Flange,
    /// In the stack between the camera place and the body, in the order of the list; the height follows.
    Stack,
    /// The centre of the front of the lens that is on; the flange when none is.
    LensFront,
    /// The focus ring of the lens that is on, on the optical axis.
    FocusRing,
    /// The iris ring of the lens that is on, on the optical axis.
    IrisRing,
    /// The zoom ring of the lens that is on, on the optical axis.
    ZoomRing,
    /// The middle of the top of the body.
    BodyTop,
    /// The middle of the rear of the body.
    BodyRear,
    /// The front end of the first pair of rods, midway between the two; the flange when there are none.
    RodsFront,
    /// The middle of the front edge of the topmost plate under the body, on its upper side; the place itself when the
    /// body stands on no plate.
    PlateFront,
}

impl Anchor {
    /// Whether it is a gear ring of the lens.
    pub(crate) fn is_ring(self) -> bool {
        matches!(self, Self::FocusRing | Self::IrisRing | Self::ZoomRing)
    }
}

/// How the wind takes a part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Drag {
    /// Drag coefficient on its projected area.
    pub coefficient: f64,
    /// Whether something else shelters it.
    #[serde(default)]
    pub sheltered: bool,
}

impl Default for Drag {
    fn default() -> Self {
        Self { coefficient: 1.1, sheltered: false }
    }
}

numbers!(Drag { own { coefficient: DRAG_COEFFICIENT } nested {} });
