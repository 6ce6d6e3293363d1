//! What comes nearest to a match where nothing matches.

use serde::Serialize;

use super::search::{Choice, Set};
use super::words::hang_words;
use crate::check::Solved;
use crate::finding_words::Metric;
use crate::remedies::Change;

/// The weights with which the worst of unbalance ÷ what friction holds and change of inertia ÷ what the tune allows is
/// least, over all axes: exact over every mass on every place and every two places that the head's limit allows.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Nearest {
    /// What is hung where; empty when no weight brings it nearer.
    pub weights: Vec<Change>,
    /// The same in words; empty likewise.
    pub words: String,
    /// Mass that they add, kg.
    pub added_kg: f64,
    /// The most that the weights at hand come to on two places, kg.
    pub most_kg: f64,
    /// That worst share: more than 1.
    pub use_of_allowed: f64,
    /// Axes of which friction alone does not hold the unbalance.
    pub turning: Vec<Turning>,
    /// Axes whose inertia is off by more than the tune allows.
    pub off: Vec<OffInertia>,
}

/// An axis that would not stay put, or that only its gears would hold.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Turning {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub axis: String,
    /// Its unbalance at the marks of the heaviest, kg·m.
    pub unbalance_kg_m: f64,
    /// What its friction holds, kg·m.
    pub held_kg_m: f64,
}

/// An axis with another inertia.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OffInertia {
    /// Id of the joint.
    pub joint: String,
    /// Its name.
    pub axis: String,
    /// Inertia ÷ that with the heaviest − 1.
    pub inertia_change: f64,
}

/// Sums pass over what cannot be nearest; the rest is solved.
pub(super) fn nearest(choice: &Choice<'_>) -> Nearest {
    let target = choice.target;
    let use_of = |set: &Set| {
        let changed = choice.with(&choice.weights(set));
        let solved = Solved::new(&changed);
        target.carries(&solved).then(|| target.standing(&changed, &solved).use_of_allowed)
    };
    // Without weights first, so that it stands where nothing does better.
    let bare = target.standing(&choice.fitted.package, &choice.fitted.solved).use_of_allowed;
    let mut best: (f64, Set) = (bare, Vec::new());
    let mut try_set = |set: Set| {
        if let Some(used) = use_of(&set)
            && used < best.0
        {
            best = (used, set);
        }
        best.0
    };
    let bounded: Vec<(f64, Set)> = choice.sets().map(|set| (target.least_use(&choice.sums(&set)), set)).collect();
    // The most promising first: with it most others need no solving.
    let first = bounded.iter().min_by(|a, b| a.0.total_cmp(&b.0));
    let mut reached = first.map_or(bare, |(_, set)| try_set(set.clone()));
    for (least, set) in bounded {
        if least < reached {
            reached = try_set(set);
        }
    }
    told(choice, &best.1)
}

fn told(choice: &Choice<'_>, set: &Set) -> Nearest {
    let (weights, target) = (choice.weights(set), choice.target);
    let changed = choice.with(&weights);
    let standing = target.standing(&changed, &Solved::new(&changed));
    let joints = || changed.head.joints();
    let turning = joints().zip(&standing.unbalances_kg_m).filter_map(|(joint, unbalance)| {
        let [unbalance_kg_m, held_kg_m] = *unbalance;
        (unbalance_kg_m > held_kg_m).then(|| Turning {
            joint: joint.id.clone(),
            axis: joint.name.clone(),
            unbalance_kg_m,
            held_kg_m,
        })
    });
    let off = joints().zip(&standing.inertia_changes).filter(|(_, change)| change.abs() > target.tune_share);
    let off = off.map(|(joint, change)| OffInertia {
        joint: joint.id.clone(),
        axis: joint.name.clone(),
        inertia_change: *change,
    });
    let heaviest_kg = choice.singles.iter().map(|single| single.change.added_kg()).fold(0.0, f64::max);
    Nearest {
        words: hang_words(&weights, &Metric),
        added_kg: weights.iter().map(Change::added_kg).sum(),
        most_kg: 2.0 * heaviest_kg,
        use_of_allowed: standing.use_of_allowed,
        turning: turning.collect(),
        off: off.collect(),
        weights,
    }
}
