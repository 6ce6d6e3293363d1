//! One remedy with what it costs.

use solver::Package;
use solver::remedies::{Remedy, remedies};
use solver::report::Report;

use crate::show::{Kind, Style};

/// A remedy, and the package with it beside the package without.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Offer {
    pub(super) remedy: Remedy,
    /// Camera side with it, and the most that the head takes, kg.
    camera_kg: [f64; 2],
    /// Inertia about all axes together ÷ that at the marks of now − 1.
    inertia_change: f64,
    /// Tightest torque in hand without it and with it; absent without a move.
    in_hand: Option<[f64; 2]>,
    /// Where every mark goes with it, in balancing order.
    pub(super) marks: Vec<OfferMark>,
}

/// Where one mark goes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct OfferMark {
    pub(super) slide: String,
    pub(super) name: String,
    pub(super) target_m: f64,
}

/// The remedies of a package, best first, each with what it costs.
pub(super) fn offers(package: &Package, now: &Report) -> Vec<Offer> {
    let found = remedies(package).unwrap_or_default();
    found.into_iter().filter_map(|remedy| offer(package, now, remedy)).collect()
}

fn offer(package: &Package, now: &Report, remedy: Remedy) -> Option<Offer> {
    // What is offered has been solved already: a report there always is.
    let then = solver::check(&remedy.apply(package)).ok()?;
    let inertia = |report: &Report| report.axes.iter().map(|axis| axis.inertia_kg_m2).sum::<f64>();
    let in_hand = |report: &Report| Some(report.torque.known()?.tightest.as_ref()?.headroom.value);
    let mark = |slide: &solver::report::SlideReport| OfferMark {
        slide: slide.slide.clone(),
        name: slide.name.clone(),
        target_m: slide.target_m.value,
    };
    let was = inertia(now);
    Some(Offer {
        camera_kg: [then.mass.camera_kg.value, package.head.payload_kg[1]],
        inertia_change: if was > 0.0 { inertia(&then) / was - 1.0 } else { 0.0 },
        in_hand: in_hand(now).zip(in_hand(&then)).map(|(was, is)| [was, is]),
        marks: then.slides.iter().map(mark).collect(),
        remedy,
    })
}

impl Offer {
    /// What to do.
    pub(super) fn words(&self, style: Style) -> String {
        let mut words = self.remedy.changes.iter().map(|change| change.words(&style));
        let first = words.next().unwrap_or_default();
        words.fold(first, |before, next| {
            // Every change begins with a plain word of our own: one letter of it is small inside a sentence.
            let (letter, rest) = next.split_at(next.chars().next().map_or(0, char::len_utf8));
            format!("{before}, and {}{rest}", letter.to_lowercase())
        })
    }

    /// What no longer fits with it, each in a sentence.
    pub(super) fn unfit(&self, style: Style) -> Vec<String> {
        self.remedy.unfit.iter().map(|finding| format!("But then: {}", finding.words(&style))).collect()
    }

    /// What it costs, line by line.
    pub(super) fn costs(&self, style: Style) -> Vec<(&'static str, String)> {
        let [camera_kg, limit_kg] = self.camera_kg;
        let of = format!("{} of {}", style.bare(Kind::Mass, camera_kg), style.show(Kind::Mass, limit_kg));
        let added = self.remedy.added_kg;
        let mass = match added {
            added if added.abs() < 5e-5 => format!("none added: {of}"),
            added if added < 0.0 => format!("{} less: {of}", style.fine(Kind::Mass, -added, 2)),
            added => format!("{} more: {of}", style.fine(Kind::Mass, added, 2)),
        };
        let mut lines = vec![("Mass", mass), ("Inertia", change_words(style, self.inertia_change))];
        if let Some([was, is]) = self.in_hand {
            let [was, is] = [was, is].map(|share| style.show(Kind::Share, share));
            let words = if was == is { format!("{is}, as now") } else { format!("{is}, now {was}") };
            lines.push(("Torque in hand", words));
        }
        lines
    }
}

/// A relative change, to the per cent.
fn change_words(style: Style, change: f64) -> String {
    let share = style.show(Kind::Share, change.abs());
    match change {
        change if change.abs() < 0.005 => "as now".to_owned(),
        change if change < 0.0 => format!("{share} less"),
        _ => format!("{share} more"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_offer_for_a_camera_too_far_ahead_hangs() {
        let mut package = codec::library::demo();
        package.mount.flange_ahead_m = 0.12;
        let now = solver::check(&package).expect("valid");
        let found = offers(&package, &now);
        assert!(!found.is_empty());
        for offer in &found {
            assert!(offer.camera_kg[0] <= offer.camera_kg[1], "{offer:?}");
            assert_eq!(offer.marks.len(), now.slides.len());
        }
    }
}
