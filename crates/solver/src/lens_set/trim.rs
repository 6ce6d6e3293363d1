//! Trim weights that make lighter lenses match the heaviest: with them on, a lens change touches neither slides nor tune.

use nalgebra::Vector3;
use serde::Serialize;

use super::change::Fitted;
use super::worst_holds;
use crate::balance::{held_unbalance_kg_m, tested_lean_rad};
use crate::bounds::MASS_KG;
use crate::check::Solved;
use crate::error::InputError;
use crate::linkage::Linkage;
use crate::order::sort_short;
use crate::package::{DriveKind, LensId, Package};
use crate::remedies::{Change, Kit, candidates};
use crate::validate::validate;

/// Change of inertia above which the tune would have to be looked at, where nobody has said. Common practice, no source.
pub const TUNE_SHARE: f64 = 0.15;
/// How far from additive the moments and inertias of two weights may be before the cheap test would be wrong: the whole
/// test decides. Weights are points of a few cubic centimetres on rigid places, so that only "cables, clamps, screws",
/// which grow with the camera's mass, are not quite additive.
const SLACK: f64 = 0.03;

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
    /// The weights that it must bring along, one entry a place; empty when it matches as it is. `None` when no weights of
    /// the kit on one place or two do it.
    pub trim: Option<Trim>,
}

/// Weights that make a lens match.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trim {
    /// What is hung where.
    pub weights: Vec<Change>,
    /// Mass that they add, kg.
    pub added_kg: f64,
    /// Inertia that they add, summed over the axes, kg·m².
    pub added_kg_m2: f64,
    /// Largest change of inertia about any axis that is left: inertia ÷ that with the heaviest − 1.
    pub inertia_change: f64,
}

impl LensTrim {
    /// The package in which this lens brings its weights along: they are on with it and with no other.
    #[must_use]
    pub fn apply(&self, package: &Package) -> Package {
        let mut changed = package.clone();
        for weight in self.trim.iter().flat_map(|trim| &trim.weights) {
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

/// For every lens but the heaviest of these, the lightest trim weights of the kit at hand with which every axis holds at
/// the marks of the heaviest and no axis has another inertia by more than the tune allows: exact over every mass on every
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
        lenses: others
            .map(|(lens, name, fitted)| LensTrim {
                lens: *lens,
                name: (*name).to_owned(),
                lighter_kg: target.camera_kg - camera_kg(&fitted.solved),
                inertia_change: target.worst_change(&target.inertias(&fitted.package, &fitted.solved)),
                trim: search(&target, fitted),
            })
            .collect(),
    }))
}

fn camera_kg(solved: &Solved) -> f64 {
    solved.layout.bodies.iter().filter(|body| body.camera_side).map(|body| body.mass_kg).sum()
}

/// What a lens has to match: marks and inertias with the heaviest.
struct Target<'a> {
    marks_m: &'a [f64],
    inertias_kg_m2: Vec<f64>,
    tune_share: f64,
    camera_kg: f64,
    limit_kg: f64,
    /// Unbalance that each joint's friction holds, kg·m; `None` for a geared one.
    held_kg_m: Vec<Option<f64>>,
}

/// Moments and inertias of a package at the marks to be kept, joint by joint: what adds up as weights are added.
struct Sums {
    unbalances_kg_m: Vec<Vector3<f64>>,
    inertias_kg_m2: Vec<f64>,
}

impl<'a> Target<'a> {
    fn new(package: &Package, heaviest: &'a Fitted) -> Self {
        let held = |joint: &crate::package::Joint| {
            let lean_rad = tested_lean_rad(&Vector3::from(joint.axis).normalize(), package.reserve.tip_rad);
            (joint.drive.kind != DriveKind::Geared).then(|| held_unbalance_kg_m(joint.drive.friction_nm, lean_rad))
        };
        let mut target = Self {
            marks_m: &heaviest.solved.marks.targets_m,
            inertias_kg_m2: Vec::new(),
            tune_share: package.tune.as_ref().map_or(TUNE_SHARE, |tune| tune.check_share),
            camera_kg: camera_kg(&heaviest.solved),
            limit_kg: package.head.payload_kg[1],
            held_kg_m: package.head.joints().map(held).collect(),
        };
        target.inertias_kg_m2 = target.inertias(&heaviest.package, &heaviest.solved);
        target
    }

    /// Inertia about every joint at the marks to be kept, the drive's included, kg·m².
    fn inertias(&self, package: &Package, solved: &Solved) -> Vec<f64> {
        let inboard = Linkage::new(&solved.layout, self.marks_m).inboard();
        let about = |(joint, inboard): (&crate::package::Joint, &crate::mass::MassProperties)| {
            inboard.about_axis_kg_m2(&joint.axis.into()) + joint.drive.reflected_inertia_kg_m2
        };
        package.head.joints().zip(&inboard).map(about).collect()
    }

    /// The change of inertia that is largest in size.
    fn worst_change(&self, inertias_kg_m2: &[f64]) -> f64 {
        let changes = inertias_kg_m2.iter().zip(&self.inertias_kg_m2).filter(|(_, then)| **then > 0.0);
        changes.map(|(now, then)| now / then - 1.0).max_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0)
    }

    fn sums(&self, package: &Package, solved: &Solved) -> Sums {
        let unbalance = |moments: &crate::balance::Moments| moments.unbalance_kg_m(&solved.layout, self.marks_m);
        Sums {
            unbalances_kg_m: solved.moments.iter().map(unbalance).collect(),
            inertias_kg_m2: self.inertias(package, solved),
        }
    }

    /// A cheap test that everything which matches passes: at rest every joint nearly holds, and the inertias are nearly
    /// those wanted.
    fn may_match(&self, sums: &Sums) -> bool {
        let holds = sums.unbalances_kg_m.iter().zip(&self.held_kg_m);
        holds.into_iter().all(|(unbalance, held)| held.is_none_or(|held| unbalance.norm() <= held * (1.0 + SLACK)))
            && self.worst_change(&sums.inertias_kg_m2).abs() <= self.tune_share + SLACK
    }

    /// The whole test; gives the inertias where it is passed.
    fn matches(&self, package: &Package) -> Option<Vec<f64>> {
        let solved = Solved::new(package);
        let inertias_kg_m2 = self.inertias(package, &solved);
        let fits = camera_kg(&solved) <= self.limit_kg.max(self.camera_kg)
            && self.worst_change(&inertias_kg_m2).abs() <= self.tune_share
            && worst_holds(package, &solved, self.marks_m);
        fits.then_some(inertias_kg_m2)
    }
}

/// One mass on one place, and what it adds.
struct Single {
    change: Change,
    added: Sums,
}

/// The lightest weights with which the lens matches.
fn search(target: &Target<'_>, fitted: &Fitted) -> Option<Trim> {
    let own = target.sums(&fitted.package, &fitted.solved);
    let trim = |weights: Vec<Change>, inertias_kg_m2: &[f64]| Trim {
        added_kg: weights.iter().map(Change::added_kg).sum(),
        added_kg_m2: inertias_kg_m2.iter().sum::<f64>() - own.inertias_kg_m2.iter().sum::<f64>(),
        inertia_change: target.worst_change(inertias_kg_m2),
        weights,
    };
    if let Some(inertias_kg_m2) = target.matches(&fitted.package) {
        return Some(trim(Vec::new(), &inertias_kg_m2));
    }
    let singles = singles(target, fitted, &own);
    let mut promising: Vec<(i64, Vec<usize>)> = Vec::new();
    let mut consider = |set: Vec<usize>| {
        if target.may_match(&with(&own, set.iter().map(|index| &singles[*index].added))) {
            let kg = set.iter().map(|index| singles[*index].change.added_kg()).sum();
            promising.push((MASS_KG.to_steps(kg).unwrap_or(i64::MAX), set));
        }
    };
    for first in 0..singles.len() {
        consider(vec![first]);
        for second in first + 1..singles.len() {
            if place(&singles[first].change) != place(&singles[second].change) {
                consider(vec![first, second]);
            }
        }
    }
    sort_short(&mut promising, |a, b| a.0 < b.0);
    // Of those equally heavy the one with the least inertia: all of a mass are tried before the next.
    for class in promising.chunk_by(|one, next| one.0 == next.0) {
        let found = class.iter().filter_map(|(_, set)| {
            let weights: Vec<Change> = set.iter().map(|index| singles[*index].change.clone()).collect();
            let changed = weights.iter().fold(fitted.package.clone(), |package, weight| weight.apply(&package));
            target.matches(&changed).map(|inertias_kg_m2| trim(weights, &inertias_kg_m2))
        });
        let least = found.min_by(|a, b| a.added_kg_m2.total_cmp(&b.added_kg_m2));
        if least.is_some() {
            return least;
        }
    }
    None
}

/// Every mass that weights of the kit make on every place.
fn singles(target: &Target<'_>, fitted: &Fitted, own: &Sums) -> Vec<Single> {
    let single = |change: Change| {
        let changed = change.apply(&fitted.package);
        let with = target.sums(&changed, &Solved::new(&changed));
        let less = |now: Vec<f64>, before: &[f64]| now.iter().zip(before).map(|(now, before)| now - before).collect();
        let unbalances = with.unbalances_kg_m.iter().zip(&own.unbalances_kg_m).map(|(now, before)| now - before);
        let added = Sums {
            unbalances_kg_m: unbalances.collect(),
            inertias_kg_m2: less(with.inertias_kg_m2, &own.inertias_kg_m2),
        };
        Single { change, added }
    };
    candidates(&fitted.package, &Kit::of(&fitted.package), false)
        .into_iter()
        .filter(|change| matches!(change, Change::Weight { .. }))
        .map(single)
        .collect()
}

fn with<'a>(own: &Sums, added: impl Iterator<Item = &'a Sums>) -> Sums {
    let mut sums = Sums { unbalances_kg_m: own.unbalances_kg_m.clone(), inertias_kg_m2: own.inertias_kg_m2.clone() };
    for each in added {
        for (sum, more) in sums.unbalances_kg_m.iter_mut().zip(&each.unbalances_kg_m) {
            *sum += more;
        }
        for (sum, more) in sums.inertias_kg_m2.iter_mut().zip(&each.inertias_kg_m2) {
            *sum += more;
        }
    }
    sums
}

fn place(change: &Change) -> Option<&crate::remedies::WeightPlace> {
    match change {
        Change::Weight { at, .. } => Some(at),
        _ => None,
    }
}
