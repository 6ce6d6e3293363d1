//! What the rig has taught: logged balances and the build last tuned.

use serde::{Deserialize, Serialize};

use super::value::{Cg, Mass};
use super::{LensId, PartId, PartMass};
use crate::numbers::numbers;

/// What the rig has said once: axes that stayed put with the slides at these marks, or what the camera weighs as a whole.
///
/// It keeps a snapshot of what was true at the time, so that a later edit of a part's place does not falsify it. Once
/// something that it speaks of is no longer in the package, it teaches nothing: nobody knows what that weighed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LoggedBalance {
    /// Identity within the package; never reused.
    pub id: u32,
    /// Free text.
    #[serde(default)]
    pub note: String,
    /// Ids of the joints that stayed put.
    pub axes: Vec<String>,
    /// Axes of which only one face was found to stay put: what was tested, and no more. Of axes that stayed put as a whole,
    /// the faces whose middle was found.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub faces: Vec<LoggedFace>,
    /// Every slide's mark at the time.
    pub marks: Vec<LoggedMark>,
    /// Everything with mass at the time.
    pub bodies: Vec<LoggedBody>,
    /// Angle by which the base was tipped for upright axes, rad.
    pub tip_rad: f64,
    /// Everything on the camera side, weighed as a whole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weighed: Option<Mass>,
}

numbers!(LoggedBalance { own { tip_rad: TIP_RAD } nested { faces, marks, bodies, weighed } });

/// One face of an axis that was found to stay put: the unbalance in one direction across it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LoggedFace {
    /// Id of the joint.
    pub joint: String,
    /// The direction, across the axis, as a unit vector in the joint's own frame.
    pub direction: [f64; 3],
    /// Where both ends of the hold zone were felt for and the slide stood in their middle: how well the unbalance in this
    /// direction is known to be nil, kg·m. Without it friction may have held anything in the zone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub u_kg_m: Option<f64>,
}

numbers!(LoggedFace { own { direction: DIRECTION, u_kg_m: UNBALANCE_U_KG_M } nested {} });

/// One slide's mark in a logged balance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LoggedMark {
    /// Id of the slide.
    pub slide: String,
    /// Its mark, m.
    pub mark_m: f64,
}

numbers!(LoggedMark { own { mark_m: MARK_M } nested {} });

/// One thing with mass in a logged balance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LoggedBody {
    /// What it was.
    pub of: LoggedOf,
    /// Where its centre of gravity was believed to be, in the frame of its link with every slide at zero
    /// displacement, m.
    pub cg_m: [f64; 3],
    /// Place of the head where it rode, of a part; without it, it is taken to have ridden where it rides now.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Its centre of gravity as it was entered then, from the centre of its outline (of a lens from the flange, of a yoke
    /// from its joint), m: one that is measured later corrects the log as well.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cg_offset_m: Option<[f64; 3]>,
    /// Set once what the logs teach about it has been written into the package.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken_over: Option<TakenOver>,
}

numbers!(LoggedBody { own { cg_m: OFFSET_M, cg_offset_m: OFFSET_M } nested { taken_over } });

/// What was entered of a body before a lesson of the logs replaced it.
///
/// The logs go on from what was entered: starting from their own lesson, they would count twice. It holds only as long
/// as the package still has the values that were taken over.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TakenOver {
    /// The mass as it had been entered.
    pub mass: PartMass,
    /// The centre of gravity as it had been entered; of a lens, ahead of the flange.
    pub cg: Cg,
    /// The mass that replaced it, kg.
    pub then_kg: f64,
    /// The centre of gravity that replaced it, m.
    pub then_cg_m: [f64; 3],
}

numbers!(TakenOver { own { then_kg: MASS_KG, then_cg_m: OFFSET_M } nested { mass, cg } });

/// What a logged body was.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum LoggedOf {
    /// A part of the package.
    Part(PartId),
    /// A lens of the package.
    Lens(LensId),
    /// A yoke of the head, by its place in the chain.
    Yoke(usize),
}

/// The build for which the head was last tuned, and how far it may stray.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Tune {
    /// What the crew calls that build.
    pub name: String,
    /// Inertia about every joint in that build.
    pub axes: Vec<TunedAxis>,
    /// Change of inertia above which the tune is to be checked; 0.15 by default, common practice.
    pub check_share: f64,
    /// Change of inertia above which it is to be tuned again; 0.30 by default, common practice.
    pub again_share: f64,
}

numbers!(Tune { own { check_share: SHARE, again_share: SHARE } nested { axes } });

/// Inertia about one joint in the build last tuned.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TunedAxis {
    /// Id of the joint.
    pub joint: String,
    /// Inertia about it, kg·m².
    pub inertia_kg_m2: f64,
}

numbers!(TunedAxis { own { inertia_kg_m2: INERTIA_KG_M2 } nested {} });
