//! What comes of the search for a wiring, how it is put on the package, and its words.

use serde::Serialize;

use super::{Conductor, gauge_mm2};
use crate::package::{Package, PartId};

/// How the loads are best wired.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WiringReport {
    /// What was found.
    pub verdict: WiringVerdict,
    /// What to change, in the order of the parts; empty when everything stays.
    pub changes: Vec<Rewire>,
    /// The tightest tap with these changes; absent when there is no wiring, or nothing draws.
    pub tightest: Option<TightestTap>,
    /// Loads that no tap can feed even alone.
    pub unfeedable: Vec<Unfeedable>,
    /// Where all loads together are too much: each that could be left off, and the others can be fed.
    pub without: Vec<PartId>,
    /// The thinnest standard conductor for every cable.
    pub cables: Vec<CableAdvice>,
}

/// What the search for a wiring came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WiringVerdict {
    /// Nothing that rides draws power, or the head has no taps.
    Nothing,
    /// As it is wired, everything is kept.
    Keep,
    /// With the fewest changes, and of those the most current to spare on the tightest tap.
    Change,
    /// With these changes everything is kept; there were too many ways to know that none is better.
    ChangePerhapsMore,
    /// No wiring keeps everything.
    NoneExists,
    /// There were too many ways to try, and none was found.
    NotFound,
}

/// One load that goes to another tap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rewire {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Name of the tap that it is on; absent when nobody has said.
    pub from: Option<String>,
    /// Id of the tap that it goes to.
    pub to: String,
    /// Name of that tap.
    pub to_name: String,
}

/// The tap with the least to spare.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TightestTap {
    /// Its name.
    pub name: String,
    /// Peak current on it, A.
    pub peak_a: f64,
    /// Its limit, A.
    pub limit_a: f64,
}

/// A load that no tap can feed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unfeedable {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Why not, tap by tap.
    pub refused: Vec<Refusal>,
}

/// Why one tap cannot feed a load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Refusal {
    /// Name of the tap.
    pub tap: String,
    /// Why.
    pub why: Why,
}

/// A limit that is not kept.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// It follows the packs, and none rides.
    NoPack,
    /// Too little voltage arrives: what arrives, and what is needed, V.
    TooLow {
        /// At the load's peak on empty packs, V.
        arrives_v: f64,
        /// Lowest that it accepts, V.
        needs_v: f64,
    },
    /// Too much voltage arrives: what arrives, and what is accepted, V.
    TooHigh {
        /// From full packs, nothing drawn, V.
        arrives_v: f64,
        /// Highest that it accepts, V.
        accepts_v: f64,
    },
    /// It draws more than its cable passes at any voltage: both W.
    CableTooThin {
        /// At its peak, W.
        peak_w: f64,
        /// The most that the cable passes from the lowest voltage of the tap, W.
        passes_w: f64,
    },
    /// It draws more than the tap gives: both A.
    TooMuch {
        /// At its peak, A.
        peak_a: f64,
        /// Limit of the tap, A.
        limit_a: f64,
    },
    /// It draws more than the taps of the group give together: both W.
    TooMuchForGroup {
        /// At its peak, W.
        peak_w: f64,
        /// Sum limit of the group, W.
        limit_w: f64,
    },
}

/// A cable and what it should be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CableAdvice {
    /// The part that it feeds.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Length from tap to part, m.
    pub length_m: f64,
    /// Cross-section of one conductor now, mm².
    pub now_mm2: f64,
    /// Cross-section that leaves the load its lowest voltage at its peak on empty packs, in use as in
    /// [`IN_USE`](super::IN_USE), and carries what the tap lets through at [`AMPERES_MM2`](super::AMPERES_MM2), mm²;
    /// absent when the tap itself stands too low.
    pub needed_mm2: Option<f64>,
    /// The thinnest standard sizes above that.
    pub thinnest: Option<Conductor>,
    /// Whether the present one leaves too little at 20 °C, or cannot pass the power at all.
    pub too_thin: bool,
    /// Whether the present one is thinner than its tap's current limit asks for.
    pub hot: bool,
}

impl WiringReport {
    /// The package with the loads on the taps of these changes.
    pub fn applied(&self, package: &Package) -> Package {
        let mut package = package.clone();
        for change in &self.changes {
            let load = package.parts.iter_mut().find(|part| part.id == change.part).and_then(|part| part.load.as_mut());
            if let Some(load) = load {
                load.tap = Some(change.to.clone());
            }
        }
        package
    }
}

impl CableAdvice {
    /// The package with the thinnest standard conductor that keeps the voltage: metric where there is one.
    pub fn applied(&self, package: &Package) -> Package {
        let mut package = package.clone();
        let size = self.thinnest.and_then(|thinnest| thinnest.metric_mm2.or(thinnest.gauge.map(gauge_mm2)));
        let load = package.parts.iter_mut().find(|part| part.id == self.part).and_then(|part| part.load.as_mut());
        if let (Some(mm2), Some(cable)) = (size, load.and_then(|load| load.cable.as_mut())) {
            cable.conductor_mm2 = mm2;
        }
        package
    }
}

impl Why {
    /// The reason in words, after the name of the tap.
    pub fn words(&self) -> String {
        match self {
            Self::NoPack => "follows the packs, and none rides".to_owned(),
            Self::TooLow { arrives_v, needs_v } => {
                format!("{arrives_v:.1} V arrive at its peak on empty packs, it needs {needs_v:.1} V")
            }
            Self::TooHigh { arrives_v, accepts_v } => {
                format!("{arrives_v:.1} V arrive from full packs, it accepts {accepts_v:.1} V")
            }
            Self::CableTooThin { peak_w, passes_w } => {
                format!("it peaks at {peak_w:.0} W, its cable passes {passes_w:.0} W from there")
            }
            Self::TooMuch { peak_a, limit_a } => format!("it peaks at {peak_a:.1} A, the tap gives {limit_a:.1} A"),
            Self::TooMuchForGroup { peak_w, limit_w } => {
                format!("it peaks at {peak_w:.0} W, its group gives {limit_w:.0} W")
            }
        }
    }
}
