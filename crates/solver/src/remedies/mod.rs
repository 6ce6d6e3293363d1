//! Remedies: what makes a package hang that does not, ranked by added mass, then inertia, then number of changes.
//!
//! A package does not hang when a slide runs out of travel, an axis does not hold, or the camera side is over the head's
//! limit. Every remedy is solved like the package itself before it is offered: applying it makes the package hang. What
//! would no longer fit the head with it is told, and such a remedy stands after those that fit.

mod candidates;
mod change;
mod hang;
mod kit;
mod search;

pub use candidates::candidates;
pub use change::{Change, Side, WeightPlace};
pub use kit::Kit;

use serde::{Deserialize, Serialize};

use crate::error::InputError;
use crate::finding::Severity;
use crate::fit::{FitFinding, fit};
use crate::package::Package;
use crate::validate::validate;

/// One way to make the package hang.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Remedy {
    /// What is changed: one thing, or two.
    pub changes: Vec<Change>,
    /// The same in words.
    pub words: String,
    /// Mass that it adds, kg; negative when something is taken off.
    pub added_kg: f64,
    /// Sum over the axes of the inertia about each with this remedy, at its own marks, kg·m².
    pub inertia_kg_m2: f64,
    /// What no longer fits with it and fits without it, gravest first.
    #[serde(skip_deserializing)]
    pub unfit: Vec<FitFinding>,
}

impl Remedy {
    /// The package with this remedy applied. Parts that it speaks of and that are gone are passed over.
    #[must_use]
    pub fn apply(&self, package: &Package) -> Package {
        self.changes.iter().fold(package.clone(), |package, change| change.apply(&package))
    }

    /// Whether the camera still goes on and turns clear as far as it did without it.
    pub fn fits(&self) -> bool {
        self.unfit.iter().all(|finding| finding.severity != Severity::NoGo)
    }
}

/// The remedies from what is at hand, best first; empty when the package hangs, or when nothing in the kit helps.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn remedies(package: &Package) -> Result<Vec<Remedy>, Vec<InputError>> {
    remedies_with(package, &Kit::of(package))
}

/// The remedies from a kit of one's own.
///
/// The search is exact over every single change of [`candidates`], and over every pair of changes of different kinds, of
/// two trim weights at different places, and of two parts taken off. A pair in which one change alone does it is left
/// out, and of each way (the same part moved along the same line, weights at the same place) only the best is told.
/// Those with which something no longer fits come last.
///
/// # Errors
/// Every fault of the package, as for [`crate::check`], and of the kit.
pub fn remedies_with(package: &Package, kit: &Kit) -> Result<Vec<Remedy>, Vec<InputError>> {
    validate(package)?;
    kit.validate()?;
    let mut found = search::search(package, kit);
    if found.is_empty() {
        return Ok(found);
    }
    let before = fit(package)?.findings;
    for remedy in &mut found {
        // What is offered has been solved already, so it is valid.
        let after = fit(&remedy.apply(package)).map(|report| report.findings).unwrap_or_default();
        remedy.unfit = after.into_iter().filter(|finding| !before.iter().any(|was| was.is_as_grave(finding))).collect();
    }
    let (fitting, other): (Vec<Remedy>, Vec<Remedy>) = found.into_iter().partition(Remedy::fits);
    Ok(fitting.into_iter().chain(other).collect())
}
