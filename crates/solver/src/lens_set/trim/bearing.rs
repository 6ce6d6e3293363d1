//! Whether a package with weights still goes on, turns clear and is carried, at marks that are kept.

use serde::Serialize;

use crate::check::check_sound;
use crate::finding::{Finding, Severity};
use crate::finding_words::Units;
use crate::fit::{FitFinding, fit_sound};
use crate::package::Package;
use crate::stiffness::{StiffnessFinding, StiffnessMatter, findings_sound};

/// One thing that weights spoil.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Unfit {
    /// Of what fits: opening, rods, clearance through tilt and roll.
    Fit(FitFinding),
    /// Of what bends: plates, fastenings, rods.
    Stiffness(StiffnessFinding),
    /// Of payload, vibration isolator, torque and all else that the first screen finds.
    Check(Finding),
}

impl Unfit {
    /// Whether the weights may not hang there: a no-go, or a package that will ring.
    pub fn forbids(&self) -> bool {
        match self {
            Self::Fit(finding) => finding.severity == Severity::NoGo,
            Self::Stiffness(finding) => matches!(finding.matter, StiffnessMatter::WillRing { .. }),
            Self::Check(finding) => finding.severity == Severity::NoGo,
        }
    }

    /// The sentence or two that a person reads.
    pub fn words(&self, units: &dyn Units) -> String {
        match self {
            Self::Fit(finding) => finding.words(units),
            Self::Stiffness(finding) => finding.words(units),
            Self::Check(finding) => finding.words(units),
        }
    }
}

/// What is found of a package at marks that are kept.
pub(super) struct Found {
    fit: Vec<FitFinding>,
    stiffness: Vec<StiffnessFinding>,
    check: Vec<Finding>,
}

impl Found {
    /// Looks at a package whose slides stay at these marks.
    pub(super) fn at(package: &Package, marks_m: &[f64]) -> Self {
        let fixed = fixed(package, marks_m);
        Self { fit: fit_sound(&fixed).findings, stiffness: findings_sound(&fixed), check: check_sound(&fixed).findings }
    }

    /// What is found here and was not before, or was less grave.
    pub(super) fn beyond(self, before: &Self) -> Vec<Unfit> {
        let fit = self.fit.into_iter().filter(|found| !before.fit.iter().any(|was| was.is_as_grave(found)));
        let stiffness = self.stiffness.into_iter().filter(|found| {
            let same = |was: &StiffnessFinding| match (&was.matter, &found.matter) {
                (StiffnessMatter::IdleSupport { support: was }, StiffnessMatter::IdleSupport { support }) => {
                    was == support
                }
                (_, StiffnessMatter::IdleSupport { .. }) => false,
                (StiffnessMatter::WillRing { .. }, _) => true,
                (was, found) => core::mem::discriminant(was) == core::mem::discriminant(found),
            };
            !before.stiffness.iter().any(same)
        });
        let check = self.check.into_iter().filter(|found| {
            let same = |was: &Finding| was.is_as_grave(found);
            !before.check.iter().any(same)
        });
        fit.map(Unfit::Fit).chain(stiffness.map(Unfit::Stiffness)).chain(check.map(Unfit::Check)).collect()
    }
}

/// The package whose slides move nowhere else.
fn fixed(package: &Package, marks_m: &[f64]) -> Package {
    let mut fixed = package.clone();
    for (slide, mark_m) in fixed.head.slides_mut().zip(marks_m) {
        slide.hole_spacing_m = None;
        slide.mark_m = *mark_m;
        slide.range_m = [*mark_m; 2];
    }
    fixed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Matter;
    use crate::fit::{FitMatter, Obstacle};

    /// What is found of one axis, one support and one part that meets an arm.
    fn of(axis: &str, support: &str) -> Found {
        let matter = FitMatter::MeetsAtRest { against: Obstacle::Platform, axis: axis.to_owned() };
        let tight = Matter::TooFast { axis: axis.to_owned(), move_name: "Chase".into(), rate_use: 1.2 };
        let idle = StiffnessMatter::IdleSupport { support: support.to_owned() };
        Found {
            fit: vec![FitFinding { severity: Severity::NoGo, part: "Body".into(), matter }],
            stiffness: vec![StiffnessFinding { severity: Severity::Note, matter: idle }],
            check: vec![Finding { severity: Severity::NoGo, matter: tight }],
        }
    }

    fn both(mut one: Found, other: Found) -> Found {
        one.fit.extend(other.fit);
        one.stiffness.extend(other.stiffness);
        one.check.extend(other.check);
        one
    }

    /// One more axis, or one more support, of a kind that is there already is not there already.
    #[test]
    fn one_more_of_a_kind_is_seen() {
        let before = of("tilt", "Front support");
        assert_eq!(of("tilt", "Front support").beyond(&before), []);
        let with = both(of("tilt", "Front support"), of("roll", "Rear support"));
        let Found { fit, stiffness, check } = of("roll", "Rear support");
        let expected = fit.into_iter().map(Unfit::Fit).chain(stiffness.into_iter().map(Unfit::Stiffness));
        let expected: Vec<Unfit> = expected.chain(check.into_iter().map(Unfit::Check)).collect();
        assert_eq!(with.beyond(&before), expected);
    }
}
