//! What there is to say about stiffness.

use serde::Serialize;

use super::StiffnessChange;
use super::model::Plane;
use crate::answer::{Answer, Estimate};
use crate::finding::Severity;
use crate::finding_words::Units;

/// How stiff the package is between the head's stage and the front of the lens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StiffnessReport {
    /// The plane of the first mode.
    pub plane: Plane,
    /// Frequency of the first mode, Hz.
    pub first_hz: Estimate,
    /// Crossover of the head's loops, Hz.
    pub crossover_hz: f64,
    /// First mode over crossover.
    pub ratio: Estimate,
    /// What the rule says of that.
    pub verdict: StiffnessVerdict,
    /// Both planes: up and down, and side to side.
    pub planes: Vec<PlaneReport>,
    /// What changes when the lens is turned from level to straight up.
    pub sag: SagReport,
    /// Single changes that lift the first mode, each solved, the one that helps most first.
    pub changes: Vec<ChangeReport>,
    /// What to mind, gravest first.
    pub findings: Vec<StiffnessFinding>,
    /// What this takes for granted: shown with it.
    pub assumed: [&'static str; 4],
}

/// What the rule says of the first mode: common practice, no source. Where a limit lies within the ± of the ratio, it may
/// be either.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StiffnessVerdict {
    /// Surely at least [`GOOD_RATIO`] times the crossover.
    Good,
    /// Between [`RING_RATIO`] and [`GOOD_RATIO`], or nearer to either than its ±.
    Watch,
    /// Surely below [`RING_RATIO`]: the loop will find the mode before it is stiff.
    WillRing,
}

/// From this ratio on the loops do not notice the mode. Common practice, no source.
pub const GOOD_RATIO: f64 = 4.0;
/// Below this ratio the package rings. Common practice, no source.
pub const RING_RATIO: f64 = 2.5;

impl StiffnessVerdict {
    pub(super) fn of(ratio: Estimate) -> Self {
        if ratio.value - ratio.u >= GOOD_RATIO {
            Self::Good
        } else if ratio.value + ratio.u >= RING_RATIO {
            Self::Watch
        } else {
            Self::WillRing
        }
    }

    /// The verdict in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Good => "stiff enough",
            Self::Watch => "watch",
            Self::WillRing => "will ring",
        }
    }
}

/// One plane of the package.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlaneReport {
    /// Which.
    pub plane: Plane,
    /// Frequency of its first mode, Hz.
    pub hz: Estimate,
    /// Frequency of its second, Hz.
    pub second_hz: Option<f64>,
    /// What bends in the first mode: shares of the strain energy, the largest first; they sum to one.
    pub bends: Vec<Share>,
    /// The first mode, for a drawing.
    pub lines: Vec<DrawnLine>,
}

/// The share of something named.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Share {
    /// What.
    pub name: String,
    /// Its share.
    pub share: f64,
}

/// One outline or line of a drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrawnLine {
    /// What it is.
    pub what: DrawnWhat,
    /// Its points at rest from the camera datum: ahead, and up or left, m.
    pub rest_m: Vec<[f64; 2]>,
    /// How the mode moves them; the largest shift of all is 1.
    pub moved: Vec<[f64; 2]>,
}

/// What a line of a drawing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum DrawnWhat {
    /// A plate's outline.
    Plate,
    /// The body's outline.
    Body,
    /// The lens's outline.
    Lens,
    /// The outline of something at the front.
    Front,
    /// A piece of the rods, from end to end.
    Rods,
    /// A support, from the rods to the lens.
    Support,
}

/// How the package sags otherwise with the lens up than with it level. What sags all the time is not seen.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SagReport {
    /// How far the front of the lens goes, or the body without one, across the lens, m.
    pub front_m: Estimate,
    /// How far the body turns, of which the motion sensor sees nothing, rad; positive is nose up.
    pub body_rad: Estimate,
    /// How far the lens turns on its mount, rad.
    pub lens_rad: Estimate,
    /// How far that moves the picture on the imager at the longest focal length, m: f·θ of the body and (f − flange
    /// depth)·θ of the lens.
    pub picture_m: Answer<Estimate>,
    /// The same as a share of the height of the picture.
    pub of_height: Answer<Estimate>,
}

/// One change and what it does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChangeReport {
    /// What is changed.
    pub change: StiffnessChange,
    /// First mode with it, Hz.
    pub first_hz: f64,
    /// That over the crossover.
    pub ratio: f64,
    /// By which share it lifts the first mode.
    pub gain: f64,
}

/// One thing to mind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StiffnessFinding {
    /// How grave it is.
    pub severity: Severity,
    /// What is the matter, as data.
    pub matter: StiffnessMatter,
}

/// What is the matter with stiffness.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum StiffnessMatter {
    /// The first mode is too near to the crossover.
    WillRing {
        /// First mode, Hz.
        hz: Estimate,
        /// First mode over crossover.
        ratio: Estimate,
        /// What bends most.
        bends: String,
        /// The change that helps most, if one does.
        helps: Option<ChangeReport>,
    },
    /// The first mode is near to the crossover, or may be.
    Near {
        /// First mode, Hz.
        hz: Estimate,
        /// First mode over crossover.
        ratio: Estimate,
        /// What bends most.
        bends: String,
        /// The change that helps most, if one does.
        helps: Option<ChangeReport>,
    },
    /// A support that holds nothing.
    IdleSupport {
        /// Its name.
        support: String,
    },
}

impl StiffnessFinding {
    /// The sentence or two that a person reads.
    pub fn words(&self, units: &dyn Units) -> String {
        match &self.matter {
            StiffnessMatter::WillRing { hz, ratio, bends, helps } => format!(
                "The package will ring: its first mode, {}, is only {} × the loop crossover. What bends most: {bends}.{}",
                hz_words(*hz, units),
                ratio_words(*ratio, units),
                helped(helps.as_ref(), units)
            ),
            StiffnessMatter::Near { hz, ratio, bends, helps } => format!(
                "The package {} ring: its first mode, {}, is {} × the loop crossover{}. What bends most: {bends}.{}",
                if ratio.value < RING_RATIO { "will probably" } else { "may" },
                hz_words(*hz, units),
                ratio_words(*ratio, units),
                if ratio.value >= GOOD_RATIO { ", and within its ± it may be too near" } else { "" },
                helped(helps.as_ref(), units)
            ),
            StiffnessMatter::IdleSupport { support } => {
                format!("\"{support}\" holds nothing: it stands under no lens, or on no rods.")
            }
        }
    }
}

fn helped(helps: Option<&ChangeReport>, units: &dyn Units) -> String {
    helps.map_or_else(String::new, |best| format!(" {}: {:.0} Hz.", best.change.words(units), best.first_hz))
}

/// A ratio to the crossover with its ±, to a tenth.
pub fn ratio_words(ratio: Estimate, units: &dyn Units) -> String {
    format!("{} ± {}", units.plain(ratio.value, 1), units.plain(ratio.u.max(0.1), 1))
}

/// A frequency with the digits that its ± leaves.
pub fn hz_words(hz: Estimate, units: &dyn Units) -> String {
    let decimals = usize::from(hz.u < 1.0);
    format!("{} ± {} Hz", units.plain(hz.value, decimals), units.plain(hz.u, decimals))
}
