//! The lightest weights with which a lens matches: every mass on every place, and every two places.

use super::Trim;
use super::bearing::Found;
use super::nearest::{Nearest, nearest};
use super::target::{Sums, Target};
use super::words::hang_words;
use crate::bounds::MASS_KG;
use crate::check::Solved;
use crate::finding_words::Metric;
use crate::lens_set::change::Fitted;
use crate::order::sort_short;
use crate::remedies::{Change, Kit, WeightPlace, candidates};

/// One mass on one place, and what it adds.
pub(super) struct Single {
    pub(super) change: Change,
    added: Sums,
}

/// Weights on one place or two: their places in the list of singles.
pub(super) type Set = Vec<usize>;

/// The lens with its weights to choose from.
pub(super) struct Choice<'a> {
    pub(super) target: &'a Target<'a>,
    pub(super) fitted: &'a Fitted,
    pub(super) singles: Vec<Single>,
    own: Sums,
}

/// What matches, best first, or else what comes nearest.
pub(super) fn search(target: &Target<'_>, fitted: &Fitted) -> (Vec<Trim>, Option<Nearest>) {
    let own = target.sums(&fitted.package, &fitted.solved);
    if let Some(inertias_kg_m2) = target.matches(&fitted.package) {
        let choice = Choice { target, fitted, singles: Vec::new(), own };
        return (vec![choice.trim(Vec::new(), &inertias_kg_m2)], None);
    }
    let choice = Choice { target, fitted, singles: singles(target, fitted, &own), own };
    let trims = choice.lightest();
    let nearest = trims.is_empty().then(|| nearest(&choice));
    (trims, nearest)
}

impl Choice<'_> {
    /// Every set of one place or two.
    pub(super) fn sets(&self) -> impl Iterator<Item = Set> + '_ {
        let places: Vec<Option<&WeightPlace>> = self.singles.iter().map(|single| place(&single.change)).collect();
        (0..self.singles.len()).flat_map(move |first| {
            let others: Vec<usize> =
                (first + 1..places.len()).filter(|second| places[first] != places[*second]).collect();
            core::iter::once(vec![first]).chain(others.into_iter().map(move |second| vec![first, second]))
        })
    }

    /// What the lens comes to with a set, as far as it adds up.
    pub(super) fn sums(&self, set: &[usize]) -> Sums {
        let own = &self.own;
        let mut sums =
            Sums { unbalances_kg_m: own.unbalances_kg_m.clone(), inertias_kg_m2: own.inertias_kg_m2.clone() };
        for added in set.iter().map(|index| &self.singles[*index].added) {
            for (sum, more) in sums.unbalances_kg_m.iter_mut().zip(&added.unbalances_kg_m) {
                *sum += more;
            }
            for (sum, more) in sums.inertias_kg_m2.iter_mut().zip(&added.inertias_kg_m2) {
                *sum += more;
            }
        }
        sums
    }

    pub(super) fn weights(&self, set: &[usize]) -> Vec<Change> {
        set.iter().map(|index| self.singles[*index].change.clone()).collect()
    }

    pub(super) fn with(&self, weights: &[Change]) -> crate::package::Package {
        weights.iter().fold(self.fitted.package.clone(), |package, weight| weight.apply(&package))
    }

    /// The lightest set that matches and fits, then a lighter one that only matches, where there is one. Of those equally
    /// heavy the one with the least inertia.
    fn lightest(&self) -> Vec<Trim> {
        let kg = |set: &Set| set.iter().map(|index| self.singles[*index].change.added_kg()).sum::<f64>();
        let mut promising: Vec<(i64, Set)> = self
            .sets()
            .filter(|set| self.target.may_match(&self.sums(set)))
            .map(|set| (MASS_KG.to_steps(kg(&set)).unwrap_or(i64::MAX), set))
            .collect();
        sort_short(&mut promising, |a, b| a.0 < b.0);
        let mut lighter: Option<Trim> = None;
        let mut before: Option<Found> = None;
        // All of a mass are tried before the next.
        for class in promising.chunk_by(|one, next| one.0 == next.0) {
            let mut found: Vec<Trim> = class
                .iter()
                .filter_map(|(_, set)| {
                    let weights = self.weights(set);
                    let inertias_kg_m2 = self.target.matches(&self.with(&weights))?;
                    Some(self.trim(weights, &inertias_kg_m2))
                })
                .collect();
            sort_short(&mut found, |a, b| a.added_kg_m2 < b.added_kg_m2);
            for mut trim in found {
                let marks_m = self.target.marks_m;
                let before = before.get_or_insert_with(|| Found::at(&self.fitted.package, marks_m));
                trim.unfit = Found::at(&self.with(&trim.weights), marks_m).beyond(before);
                if trim.fits() {
                    return core::iter::once(trim).chain(lighter).collect();
                }
                lighter.get_or_insert(trim);
            }
        }
        lighter.into_iter().collect()
    }

    fn trim(&self, weights: Vec<Change>, inertias_kg_m2: &[f64]) -> Trim {
        let with = Fitted::new(&self.with(&weights), self.fitted.lens);
        Trim {
            words: hang_words(&weights, &Metric),
            added_kg: weights.iter().map(Change::added_kg).sum(),
            added_kg_m2: inertias_kg_m2.iter().sum::<f64>() - self.own.inertias_kg_m2.iter().sum::<f64>(),
            inertia_change: self.target.worst_change(inertias_kg_m2),
            tightest: with.tightest_at(self.target.marks_m),
            unfit: Vec::new(),
            weights,
        }
    }
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

fn place(change: &Change) -> Option<&WeightPlace> {
    match change {
        Change::Weight { at, .. } => Some(at),
        _ => None,
    }
}
