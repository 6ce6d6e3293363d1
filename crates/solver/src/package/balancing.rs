//! A balance that is being found, step by step: what has been tried so far.

use serde::{Deserialize, Serialize};

use super::logged::LoggedMark;
use super::{LensId, PartId};
use crate::bounds;
use crate::numbers::{Change, Numbers, See, numbers};
use crate::path::{FieldPath, Segment};

/// A balance that is being found. Nothing but what a person has said: every next step follows from it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Balancing {
    /// Lens that was on when it began.
    #[serde(default)]
    pub lens: Option<LensId>,
    /// Parts that rode when it began.
    #[serde(default)]
    pub parts: Vec<PartId>,
    /// What has been ticked on the list of what comes before: ids of [`crate::balance::procedure::READY`].
    #[serde(default)]
    pub ready: Vec<String>,
    /// For upright axes: the other of the two ways in which the lens can lie on the slope.
    #[serde(default)]
    pub other_way: bool,
    /// Every setting that was tried and what was seen, in the order of the work.
    #[serde(default)]
    pub tried: Vec<Tried>,
    /// The log that came of it, if it has been logged.
    #[serde(default)]
    pub log: Option<u32>,
}

numbers!(Balancing { own {} nested { tried } });

/// One setting that was tried on an axis, or one look at whether it stays put.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Tried {
    /// Id of the joint.
    pub joint: String,
    /// The mark that was set; absent where no slide is set and the axis is only looked at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<LoggedMark>,
    /// What was seen.
    pub seen: Seen,
}

numbers!(Tried { own {} nested { at, seen } });

/// What the head did at a mark that was tried.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Seen {
    /// It stays put.
    Stays,
    /// It turns as if the true mark were at a larger reading.
    WantsMore,
    /// It turns as if the true mark were at a smaller reading.
    WantsLess,
    /// A gauge read both ways puts the true mark at this reading, m.
    Gauge {
        /// The reading that the gauge points to, m.
        mark_m: f64,
        /// Its standard uncertainty, m.
        u_m: f64,
    },
    /// It turns, and no slide cures that.
    Turns,
    /// Nobody looked, or the travel had an end: the work goes on without it.
    LeftOut,
    /// It stays put between two readings at which it just begins to turn, and stands in their middle.
    Ends {
        /// The lower reading, m.
        low_m: f64,
        /// The higher reading, m.
        high_m: f64,
    },
}

impl Seen {
    /// Its numbers: the name of the answer, and of each number with its bounds.
    fn numbers(&mut self) -> Option<(&'static str, [SeenNumber<'_>; 2])> {
        match self {
            Self::Gauge { mark_m, u_m } => {
                Some(("gauge", [("mark_m", mark_m, &bounds::MARK_M), ("u_m", u_m, &bounds::OFFSET_U_M)]))
            }
            Self::Ends { low_m, high_m } => {
                Some(("ends", [("low_m", low_m, &bounds::MARK_M), ("high_m", high_m, &bounds::MARK_M)]))
            }
            Self::Stays | Self::WantsMore | Self::WantsLess | Self::Turns | Self::LeftOut => None,
        }
    }
}

/// Name, number and bounds.
type SeenNumber<'a> = (&'static str, &'a mut f64, &'static bounds::Bounds);

impl Numbers for Seen {
    fn see_numbers(&self, at: &mut FieldPath, see: &mut See<'_>) {
        let mut seen = *self;
        seen.change_numbers(at, &mut |at, number, bounds| see(at, *number, bounds));
    }

    fn change_numbers(&mut self, at: &mut FieldPath, change: &mut Change<'_>) {
        let Some((name, numbers)) = self.numbers() else { return };
        at.push(Segment::Field(name));
        for (field, number, bounds) in numbers {
            at.push(Segment::Field(field));
            change(at, number, bounds);
            at.pop();
        }
        at.pop();
    }
}
