//! Whether a finding says something that another has not said already.

use crate::finding::Matter;

impl Matter {
    /// Whether this is of the same kind as `other` and names all that it names: axes, slides, moves, parts or taps. By how
    /// much does not count.
    pub(super) fn covers(&self, other: &Self) -> bool {
        let named = self.named();
        core::mem::discriminant(self) == core::mem::discriminant(other)
            && other.named().iter().all(|name| named.contains(name))
    }

    /// What it is about, by name; nothing where it is about the package as a whole.
    fn named(&self) -> Vec<&str> {
        match self {
            Self::OutOfTravel { slide, .. } | Self::NearEnd { slide, .. } => vec![slide],
            Self::NotNeutral { axis, .. } | Self::GearedAxis { axis, .. } | Self::Tune { axis, .. } => vec![axis],
            Self::LeansFurther { axis, move_name, .. }
            | Self::PlatformTooFast { axis, move_name, .. }
            | Self::TorqueOver { axis, move_name, .. }
            | Self::TorqueTight { axis, move_name, .. }
            | Self::TooFast { axis, move_name, .. }
            | Self::VoltageTight { axis, move_name, .. }
            | Self::RangeBeyondLimits { axis, move_name } => vec![axis, move_name],
            Self::IsolatorOver { move_name, .. }
            | Self::DragCrisis { move_name, .. }
            | Self::AirTooFast { move_name }
            | Self::SeaTooSteep { move_name, .. }
            | Self::NearGimbalLock { move_name } => vec![move_name],
            Self::VoltageOutside { part, tap, .. } | Self::CableTooThin { part, tap, .. } => vec![part, tap],
            Self::TapOver { tap, .. } => vec![tap],
            Self::GroupOver { group, .. } => vec![group],
            Self::MarksOff { axes } => axes.iter().map(String::as_str).collect(),
            Self::NotWired { parts } => parts.iter().map(String::as_str).collect(),
            Self::TooHeavy { .. }
            | Self::MaybeTooHeavy { .. }
            | Self::TooLight { .. }
            | Self::FingerForce { .. }
            | Self::LogsDisagree { .. }
            | Self::LogsVoid { .. }
            | Self::PacksCollapse { .. }
            | Self::UnlikePacks
            | Self::PacksJustLast { .. }
            | Self::PackChange { .. }
            | Self::TypicalHead
            | Self::MostlyGuessed { .. }
            | Self::Other { .. } => Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tight(axis: &str, move_name: &str, headroom: f64) -> Matter {
        Matter::TooFast { axis: axis.into(), move_name: move_name.into(), rate_use: headroom }
    }

    #[test]
    fn another_axis_or_move_is_another_matter_and_another_amount_is_not() {
        assert!(tight("tilt", "chase", 1.1).covers(&tight("tilt", "chase", 1.4)));
        assert!(!tight("tilt", "chase", 1.1).covers(&tight("roll", "chase", 1.1)));
        assert!(!tight("tilt", "chase", 1.1).covers(&tight("tilt", "crane", 1.1)));
    }

    #[test]
    fn a_list_covers_what_it_names() {
        let off = |axes: &[&str]| Matter::MarksOff { axes: axes.iter().map(|axis| (*axis).to_owned()).collect() };
        assert!(off(&["tilt", "pan"]).covers(&off(&["pan"])));
        assert!(!off(&["tilt"]).covers(&off(&["tilt", "pan"])));
    }
}
