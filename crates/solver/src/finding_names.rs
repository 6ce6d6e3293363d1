//! Whether two findings are of the same matter: of one kind, and of the same axis, move, slide or tap.

use crate::finding::{Finding, Matter};

impl Finding {
    /// Whether this is the same matter with the same things, and no less grave than `other`; by how much, and for what
    /// cause, does not count.
    pub(crate) fn is_as_grave(&self, other: &Self) -> bool {
        self.severity <= other.severity && covers(&self.matter, &other.matter)
    }
}

/// Whether a matter is of the same kind as another and names all that it names.
fn covers(matter: &Matter, other: &Matter) -> bool {
    let named = names(matter);
    core::mem::discriminant(matter) == core::mem::discriminant(other)
        && names(other).iter().all(|name| named.contains(name))
}

/// The names of what a matter is about.
fn names(matter: &Matter) -> Vec<&str> {
    match matter {
        Matter::TooHeavy { .. }
        | Matter::MaybeTooHeavy { .. }
        | Matter::TooLight { .. }
        | Matter::LogsVoid { .. }
        | Matter::PacksCollapse { .. }
        | Matter::UnlikePacks
        | Matter::PacksJustLast { .. }
        | Matter::PackChange { .. }
        | Matter::TypicalHead
        | Matter::MostlyGuessed { .. } => Vec::new(),
        Matter::OutOfTravel { slide, word, .. } => vec![slide, word],
        Matter::NearEnd { slide, .. } => vec![slide],
        Matter::NotNeutral { axis, .. } | Matter::GearedAxis { axis, .. } | Matter::FingerForce { axis, .. } => {
            vec![axis]
        }
        // To tune again is more than to check.
        Matter::Tune { axis, again, .. } => vec![axis, if *again { "again" } else { "check" }],
        Matter::LeansFurther { axis, move_name, .. }
        | Matter::PlatformTooFast { axis, move_name, .. }
        | Matter::TorqueOver { axis, move_name, .. }
        | Matter::TorqueTight { axis, move_name, .. }
        | Matter::TooFast { axis, move_name, .. }
        | Matter::VoltageTight { axis, move_name, .. }
        | Matter::RangeBeyondLimits { axis, move_name } => vec![axis, move_name],
        Matter::IsolatorOver { move_name, .. }
        | Matter::AirTooFast { move_name }
        | Matter::SeaTooSteep { move_name, .. }
        | Matter::NearGimbalLock { move_name } => vec![move_name],
        Matter::DragCrisis { move_name, part } => vec![move_name, part],
        Matter::TapOver { tap, .. } => vec![tap],
        Matter::GroupOver { group, .. } => vec![group],
        Matter::VoltageOutside { part, tap, .. } | Matter::CableTooThin { part, tap, .. } => vec![part, tap],
        Matter::MarksOff { axes: many }
        | Matter::LogsDisagree { suspects: many, .. }
        | Matter::NotWired { parts: many } => many.iter().map(String::as_str).collect(),
        Matter::Other { text } => vec![text],
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
        assert!(covers(&tight("tilt", "chase", 1.1), &tight("tilt", "chase", 1.4)));
        assert!(!covers(&tight("tilt", "chase", 1.1), &tight("roll", "chase", 1.1)));
        assert!(!covers(&tight("tilt", "chase", 1.1), &tight("tilt", "crane", 1.1)));
    }

    #[test]
    fn a_list_covers_what_it_names() {
        let off = |axes: &[&str]| Matter::MarksOff { axes: axes.iter().map(|axis| (*axis).to_owned()).collect() };
        assert!(covers(&off(&["tilt", "pan"]), &off(&["pan"])));
        assert!(!covers(&off(&["tilt"]), &off(&["tilt", "pan"])));
    }
}
