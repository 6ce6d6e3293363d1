//! How the wiring of one load, one tap or one group stands: the same thresholds for findings and for a list of loads.

use super::TapUse;
use crate::finding::Severity;
use crate::package::{Package, PartId, TapGroup};

impl TapUse {
    /// How grave it is that the tap carries more than its limit: no-go in ordinary use, watch at peak only. `None`
    /// within the limit.
    pub fn over(&self) -> Option<Severity> {
        let row = &self.report;
        match (row.typical_a > row.limit_a, row.peak_a > row.limit_a) {
            (true, true) => Some(Severity::NoGo),
            (false, true) => Some(Severity::Watch),
            _ => None,
        }
    }
}

/// Power at the taps of a group with everything at its peak, W.
pub fn group_peak_w(uses: &[TapUse], group: &str) -> f64 {
    uses.iter().filter(|tap| tap.group.as_deref() == Some(group)).map(|tap| tap.peak_w).sum()
}

/// How grave it is that the taps of a group carry more together than their sum limit: no-go in ordinary use, for what
/// feeds them all then gives up, watch at peak only. `None` within the limit.
pub fn group_over(uses: &[TapUse], group: &TapGroup) -> Option<Severity> {
    let typical_w: f64 =
        uses.iter().filter(|tap| tap.group.as_deref() == Some(group.id.as_str())).map(|tap| tap.typical_w).sum();
    if typical_w > group.limit_w {
        Some(Severity::NoGo)
    } else {
        (group_peak_w(uses, &group.id) > group.limit_w).then_some(Severity::Watch)
    }
}

/// What is the matter with how a load is fed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadFault {
    /// What arrives is outside the voltages that it accepts.
    Voltage,
    /// Its cable cannot pass what it draws at its peak.
    Cable,
    /// Its tap carries more than its limit, in ordinary use or at peak only.
    Tap(Severity),
    /// The taps of its tap's group carry more together than their sum limit, in ordinary use or at peak only.
    Group(Severity),
    /// It draws power and has no tap.
    NoTap,
}

impl LoadFault {
    /// How grave it is, as the finding that tells of it.
    pub fn severity(self) -> Severity {
        match self {
            Self::Voltage | Self::Cable => Severity::NoGo,
            Self::Tap(severity) | Self::Group(severity) => severity,
            Self::NoTap => Severity::Note,
        }
    }

    /// One sentence; the numbers stand at the tap.
    pub fn words(self) -> &'static str {
        match self {
            Self::Voltage => "What arrives is outside the voltages that it accepts.",
            Self::Cable => "Its cable cannot pass what it draws at its peak.",
            Self::Tap(_) => "Its tap carries more than its limit.",
            Self::Group(_) => "The taps of its group carry more together than their sum limit.",
            Self::NoTap => "It draws power and has no tap.",
        }
    }
}

/// The gravest of what is the matter with how a load is fed. `uses` is what [`super::tap_uses`] says of the same
/// package; `None` where all is within limits, and for a part that draws nothing or does not ride.
pub fn load_fault(package: &Package, uses: &[TapUse], id: PartId) -> Option<LoadFault> {
    let load = package.riding().find(|part| part.id == id)?.load.as_ref()?;
    let Some(tap) = load.tap.as_deref() else {
        return (load.most_w() > 0.0).then_some(LoadFault::NoTap);
    };
    let place = package.head.taps.iter().position(|each| each.id == tap)?;
    let used = uses.get(place)?;
    let voltage = used.outside.iter().any(|(part, ..)| *part == id).then_some(LoadFault::Voltage);
    let cable = used.starved.iter().any(|(part, ..)| *part == id).then_some(LoadFault::Cable);
    let group = used.group.as_ref().and_then(|id| package.head.tap_groups.iter().find(|group| group.id == *id));
    let group = group.and_then(|group| group_over(uses, group)).map(LoadFault::Group);
    // The gravest sorts first.
    [voltage, cable, used.over().map(LoadFault::Tap), group].into_iter().flatten().min_by_key(|fault| fault.severity())
}
