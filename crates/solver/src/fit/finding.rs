//! What does not fit, with the part named, and its words.

use serde::Serialize;

use super::Obstacle;
use crate::constants::DEGREE_RAD;
use crate::finding::Severity;
use crate::finding_words::Units;

/// One thing that does not fit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FitFinding {
    /// How grave it is.
    pub severity: Severity,
    /// Name of the part that is in the way.
    pub part: String,
    /// What is the matter, as data.
    pub matter: FitMatter,
}

/// What is the matter with a part that does not fit.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum FitMatter {
    /// Too wide for the opening.
    TooWide {
        /// By how much, m.
        over_m: f64,
    },
    /// Too high for the opening, with its plates.
    TooHigh {
        /// By how much, m.
        over_m: f64,
    },
    /// Rods that end before the furthest clamp.
    RodsShort {
        /// What clamps there.
        furthest: String,
        /// By how much, m.
        short_m: f64,
    },
    /// A lens that comes too near to the rods under it.
    LensNearRods {
        /// The rods.
        rods: String,
        /// Air between them, m; negative when they cross.
        air_m: f64,
        /// By how much the lens must come up, m.
        raise_m: f64,
    },
    /// A part that meets something before an axis has turned at all.
    MeetsAtRest {
        /// What it meets.
        against: Obstacle,
        /// Name of the axis.
        axis: String,
    },
    /// A part that meets something when an axis turns.
    Meets {
        /// What it meets.
        against: Obstacle,
        /// Name of the axis.
        axis: String,
        /// What is seen when it turns that way.
        sense: String,
        /// How far from rest, rad.
        at_rad: f64,
    },
}

impl FitFinding {
    /// Whether this is the same matter with the same part and axis, and no less grave than `other`; by how much does not
    /// count.
    pub(crate) fn is_as_grave(&self, other: &Self) -> bool {
        self.part == other.part
            && self.severity <= other.severity
            && core::mem::discriminant(&self.matter) == core::mem::discriminant(&other.matter)
            && self.axis() == other.axis()
    }

    fn axis(&self) -> Option<&str> {
        match &self.matter {
            FitMatter::Meets { axis, .. } | FitMatter::MeetsAtRest { axis, .. } => Some(axis),
            _ => None,
        }
    }

    /// The sentence that a person reads.
    pub fn words(&self, units: &dyn Units) -> String {
        let (part, mm) = (&self.part, |m: f64| units.length(m));
        match &self.matter {
            FitMatter::TooWide { over_m } => {
                format!("{part} is {} too wide for the opening at these marks.", mm(*over_m))
            }
            FitMatter::TooHigh { over_m } => {
                format!("{part} with its plates is {} too high for the opening.", mm(*over_m))
            }
            FitMatter::RodsShort { furthest, short_m } => {
                format!("{part} end {} short of what \"{furthest}\" needs.", mm(*short_m))
            }
            FitMatter::LensNearRods { rods, air_m, raise_m } if *air_m < 0.0 => format!(
                "{part} reaches {} into {rods}: raise it on a riser, or lower the rods, by {}.",
                mm(-air_m),
                mm(*raise_m)
            ),
            FitMatter::LensNearRods { rods, air_m, raise_m } => format!(
                "{part} has {} of air to {rods}: raise it on a riser, or lower the rods, by {}.",
                mm(*air_m),
                mm(*raise_m)
            ),
            FitMatter::MeetsAtRest { against, axis } => {
                format!("\"{part}\" meets {} before {axis} turns at all.", against.words())
            }
            FitMatter::Meets { against, axis, sense, at_rad } => {
                let at_deg = at_rad.abs() / DEGREE_RAD;
                format!("\"{part}\" meets {} at {at_deg:.0}° of {axis} ({sense}).", against.words())
            }
        }
    }
}
