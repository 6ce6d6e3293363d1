//! Trim weights that make lighter lenses match the heaviest: with them on, a lens change touches neither slides nor tune.
//!
//! A set matches when friction holds every axis, geared ones too, at the marks of the heaviest and no axis has another
//! inertia by more than the tune allows. What would no longer fit with it, or no longer be carried, is told (`bearing`), and such a set stands after one
//! that fits. Where no set matches, the nearest is told, and what it leaves (`nearest`).

mod bearing;
mod nearest;
mod search;
mod target;
mod words;

pub use bearing::Unfit;
pub use nearest::{Nearest, OffInertia, Turning};
pub use words::signed;

use serde::Serialize;

use super::change::Fitted;
use crate::error::InputError;
use crate::package::{LensId, Package};
use crate::remedies::Change;
use crate::report::Tightest;
use crate::validate::validate;
use target::{Target, camera_kg};

/// Change of inertia above which the tune would have to be looked at, where nobody has said. Common practice, no source.
pub const TUNE_SHARE: f64 = 0.15;

/// Shown with every answer about trim weights.
pub const NOT_CHECKED: [&str; 2] = [
    "What a rod, a plate or a clamp may carry: no part of a package says it. Its maker does.",
    "Wind on the weights' own faces, and which thread or clamp takes them.",
];

/// What would make every lighter lens match the heaviest.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrimReport {
    /// The lens with which the camera side is heaviest.
    pub heaviest: LensId,
    /// Its name.
    pub name: String,
    /// Change of inertia about any axis above which the tune would have to be looked at.
    pub tune_share: f64,
    /// Every other chosen lens, in the order of the set.
    pub lenses: Vec<LensTrim>,
    /// What this leaves unchecked: shown with it.
    pub not_checked: [&'static str; 2],
}

/// One lighter lens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LensTrim {
    /// The lens.
    pub lens: LensId,
    /// Its name.
    pub name: String,
    /// By how much the camera side is lighter with it than with the heaviest, kg.
    pub lighter_kg: f64,
    /// Largest change of inertia about any axis at the marks of the heaviest, without weights: inertia ÷ that with the
    /// heaviest − 1.
    pub inertia_change: f64,
    /// The weights that it must bring along, best first: the lightest with which it fits and is carried; after it a
    /// lighter one with which it does not, where there is one. One without weights where the lens matches as it is. Empty
    /// when no weights of the kit on one place or two do it.
    pub trims: Vec<Trim>,
    /// Where none does it: what comes nearest.
    pub nearest: Option<Nearest>,
}

/// Weights that make a lens match.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trim {
    /// What is hung where, one entry a place.
    pub weights: Vec<Change>,
    /// The same in words.
    pub words: String,
    /// Mass that they add, kg.
    pub added_kg: f64,
    /// Inertia that they add, summed over the axes, kg·m².
    pub added_kg_m2: f64,
    /// Largest change of inertia about any axis that is left: inertia ÷ that with the heaviest − 1.
    pub inertia_change: f64,
    /// Where torque is tightest with them, at the marks of the heaviest; absent without moves.
    pub tightest: Option<Tightest>,
    /// What no longer fits or is no longer carried with them, and is without them.
    pub unfit: Vec<Unfit>,
}

impl Trim {
    /// Whether the camera still goes on, turns clear and is carried as without the weights.
    pub fn fits(&self) -> bool {
        !self.unfit.iter().any(Unfit::forbids)
    }
}

impl LensTrim {
    /// Whether the lens matches without weights.
    pub fn matches(&self) -> bool {
        self.trims.first().is_some_and(|trim| trim.weights.is_empty())
    }

    /// The package in which this lens brings the weights of `trim` along: they are on with it and with no other.
    #[must_use]
    pub fn apply(&self, trim: &Trim, package: &Package) -> Package {
        let mut changed = package.clone();
        for weight in &trim.weights {
            // Where a weight hangs depends on what rides with this lens.
            changed.active_lens = Some(self.lens);
            changed = weight.apply(&changed);
            let Some(added) = changed.parts.last_mut() else { continue };
            added.on = false;
            let id = added.id;
            if let Some(lens) = changed.lenses.iter_mut().find(|lens| lens.id == self.lens) {
                lens.brings.push(id);
            }
        }
        changed.active_lens = package.active_lens;
        changed
    }
}

/// For every lens but the heaviest of these, the lightest trim weights of the kit at hand with which friction holds every
/// axis at the marks of the heaviest and no axis has another inertia by more than the tune allows: exact over every mass on every
/// place and every two places, then by the least inertia added. `None` when none of these is in the set.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn trim_weights(package: &Package, lenses: &[LensId]) -> Result<Option<TrimReport>, Vec<InputError>> {
    validate(package)?;
    let chosen = package.lenses.iter().filter(|lens| lenses.contains(&lens.id));
    let fitted: Vec<(LensId, &str, Fitted)> =
        chosen.map(|lens| (lens.id, lens.name.as_str(), Fitted::new(package, Some(lens.id)))).collect();
    // The first of equally heavy ones.
    let Some(heaviest) = fitted.iter().rev().max_by(|a, b| camera_kg(&a.2.solved).total_cmp(&camera_kg(&b.2.solved)))
    else {
        return Ok(None);
    };
    let target = Target::new(package, &heaviest.2);
    let others = fitted.iter().filter(|(lens, ..)| *lens != heaviest.0);
    Ok(Some(TrimReport {
        heaviest: heaviest.0,
        name: heaviest.1.to_owned(),
        tune_share: target.tune_share,
        lenses: others.map(|(lens, name, fitted)| one(&target, *lens, name, fitted)).collect(),
        not_checked: NOT_CHECKED,
    }))
}

/// The same for the whole set; `None` where a set has no two lenses.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn trim_of_set(package: &Package) -> Result<Option<TrimReport>, Vec<InputError>> {
    let all: Vec<LensId> = package.lenses.iter().map(|lens| lens.id).collect();
    Ok(trim_weights(package, &all)?.filter(|report| !report.lenses.is_empty()))
}

fn one(target: &Target<'_>, lens: LensId, name: &str, fitted: &Fitted) -> LensTrim {
    let (trims, nearest) = search::search(target, fitted);
    LensTrim {
        lens,
        name: name.to_owned(),
        lighter_kg: target.camera_kg - camera_kg(&fitted.solved),
        inertia_change: target.worst_change(&target.inertias(&fitted.package, &fitted.solved)),
        trims,
        nearest,
    }
}
