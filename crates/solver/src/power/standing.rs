//! How the wiring of one load, one tap or one group stands: the same thresholds for findings and for a list of loads.

use super::TapUse;
use crate::finding::Severity;
use crate::package::{Package, PartId};

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

/// What is the matter with how a load is fed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadFault {
    /// What arrives is outside the voltages that it accepts.
    Voltage,
    /// Its tap carries more than its limit, in ordinary use or at peak only.
    Tap(Severity),
    /// The taps of its tap's group carry more together than their sum limit.
    Group,
    /// It draws power and has no tap.
    NoTap,
}

impl LoadFault {
    /// How grave it is, as the finding that tells of it.
    pub fn severity(self) -> Severity {
        match self {
            Self::Voltage => Severity::NoGo,
            Self::Tap(severity) => severity,
            Self::Group => Severity::Watch,
            Self::NoTap => Severity::Note,
        }
    }

    /// One sentence; the numbers stand at the tap.
    pub fn words(self) -> &'static str {
        match self {
            Self::Voltage => "What arrives is outside the voltages that it accepts.",
            Self::Tap(_) => "Its tap carries more than its limit.",
            Self::Group => "The taps of its group carry more together than their sum limit.",
            Self::NoTap => "It draws power and has no tap.",
        }
    }
}

/// The gravest of what is the matter with how a load is fed. `uses` is what [`super::tap_uses`] says of the same
/// package; `None` where all is within limits, and for a part that draws nothing or does not ride.
pub fn load_fault(package: &Package, uses: &[TapUse], id: PartId) -> Option<LoadFault> {
    let load = package.riding().find(|part| part.id == id)?.load.as_ref()?;
    let Some(tap) = load.tap.as_deref() else {
        return (load.typical_w > 0.0).then_some(LoadFault::NoTap);
    };
    let place = package.head.taps.iter().position(|each| each.id == tap)?;
    let used = uses.get(place)?;
    let voltage = used.outside.iter().any(|(part, ..)| *part == id).then_some(LoadFault::Voltage);
    let group = used.group.as_ref().and_then(|id| package.head.tap_groups.iter().find(|group| group.id == *id));
    let group = group.filter(|group| group_peak_w(uses, &group.id) > group.limit_w).map(|_| LoadFault::Group);
    // The gravest sorts first.
    [voltage, used.over().map(LoadFault::Tap), group].into_iter().flatten().min_by_key(|fault| fault.severity())
}
