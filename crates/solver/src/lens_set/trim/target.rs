//! What a lens has to match, and how far from it a package is.

use nalgebra::Vector3;

use super::TUNE_SHARE;
use crate::balance::{held_unbalance_kg_m, tested_lean_rad, worst_unbalance_kg_m};
use crate::check::{Solved, friction_holds};
use crate::lens_set::change::Fitted;
use crate::linkage::Linkage;
use crate::package::Package;

/// How far from additive the moments and inertias of two weights may be before the cheap test would be wrong: the whole
/// test decides. Weights are points of a few cubic centimetres on rigid places, so that only "cables, clamps, screws",
/// which grow with the camera's mass, are not quite additive.
const SLACK: f64 = 0.03;
/// Stands for no friction at all where an unbalance is divided by what friction holds, kg·m.
const NOTHING_KG_M: f64 = 1e-9;

pub(super) fn camera_kg(solved: &Solved) -> f64 {
    solved.layout.bodies.iter().filter(|body| body.camera_side).map(|body| body.mass_kg).sum()
}

/// What a lens has to match: marks and inertias with the heaviest.
pub(super) struct Target<'a> {
    pub(super) marks_m: &'a [f64],
    inertias_kg_m2: Vec<f64>,
    pub(super) tune_share: f64,
    pub(super) camera_kg: f64,
    limit_kg: f64,
    /// Unbalance that each joint's friction holds, kg·m. Of gears nobody has said what they hold: as for marks that are
    /// left, friction alone counts.
    held_kg_m: Vec<f64>,
}

/// Moments and inertias of a package at the marks to be kept, joint by joint: what adds up as weights are added.
pub(super) struct Sums {
    pub(super) unbalances_kg_m: Vec<Vector3<f64>>,
    pub(super) inertias_kg_m2: Vec<f64>,
}

/// A package at the marks to be kept.
pub(super) struct Standing {
    /// Per joint: largest unbalance over what the joints inside it turn and what friction holds of it, kg·m.
    pub(super) unbalances_kg_m: Vec<[f64; 2]>,
    /// Per joint: inertia ÷ that with the heaviest − 1.
    pub(super) inertia_changes: Vec<f64>,
    /// The largest of what these are of what is allowed: 1 or less is a match.
    pub(super) use_of_allowed: f64,
}

impl<'a> Target<'a> {
    pub(super) fn new(package: &Package, heaviest: &'a Fitted) -> Self {
        let held = |joint: &crate::package::Joint| {
            let lean_rad = tested_lean_rad(&Vector3::from(joint.axis).normalize(), package.reserve.tip_rad);
            held_unbalance_kg_m(joint.drive.friction_nm, lean_rad)
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
    pub(super) fn inertias(&self, package: &Package, solved: &Solved) -> Vec<f64> {
        let inboard = Linkage::new(&solved.layout, self.marks_m).inboard();
        let about = |(joint, inboard): (&crate::package::Joint, &crate::mass::MassProperties)| {
            inboard.about_axis_kg_m2(&joint.axis.into()) + joint.drive.reflected_inertia_kg_m2
        };
        package.head.joints().zip(&inboard).map(about).collect()
    }

    fn changes(&self, inertias_kg_m2: &[f64]) -> Vec<f64> {
        let change = |(now, then): (&f64, &f64)| if *then > 0.0 { now / then - 1.0 } else { 0.0 };
        inertias_kg_m2.iter().zip(&self.inertias_kg_m2).map(change).collect()
    }

    /// The change of inertia that is largest in size.
    pub(super) fn worst_change(&self, inertias_kg_m2: &[f64]) -> f64 {
        self.changes(inertias_kg_m2).into_iter().max_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0)
    }

    pub(super) fn sums(&self, package: &Package, solved: &Solved) -> Sums {
        let unbalance = |moments: &crate::balance::Moments| moments.unbalance_kg_m(&solved.layout, self.marks_m);
        Sums {
            unbalances_kg_m: solved.moments.iter().map(unbalance).collect(),
            inertias_kg_m2: self.inertias(package, solved),
        }
    }

    /// A cheap test that everything which matches passes: at rest every joint nearly holds, and the inertias are nearly
    /// those wanted.
    pub(super) fn may_match(&self, sums: &Sums) -> bool {
        self.least_use(sums) <= 1.0
    }

    /// What a package with these sums uses of what is allowed, at the least.
    pub(super) fn least_use(&self, sums: &Sums) -> f64 {
        let held = sums.unbalances_kg_m.iter().zip(&self.held_kg_m);
        let unbalances = held.map(|(unbalance, held)| unbalance.norm() / held.max(NOTHING_KG_M) / (1.0 + SLACK));
        let off = (self.worst_change(&sums.inertias_kg_m2).abs() - SLACK) / self.tune_share;
        unbalances.fold(off.max(0.0), f64::max)
    }

    /// Whether a package is one that the head may carry: no heavier than its limit, or than with the heaviest lens.
    pub(super) fn carries(&self, solved: &Solved) -> bool {
        camera_kg(solved) <= self.limit_kg.max(self.camera_kg)
    }

    /// The whole test; gives the inertias where it is passed.
    pub(super) fn matches(&self, package: &Package) -> Option<Vec<f64>> {
        let solved = Solved::new(package);
        let inertias_kg_m2 = self.inertias(package, &solved);
        let fits = self.carries(&solved)
            && self.worst_change(&inertias_kg_m2).abs() <= self.tune_share
            && friction_holds(package, &Linkage::new(&solved.layout, self.marks_m));
        fits.then_some(inertias_kg_m2)
    }

    /// Where a package stands at the marks to be kept.
    pub(super) fn standing(&self, package: &Package, solved: &Solved) -> Standing {
        let limits_rad: Vec<Option<[f64; 2]>> = package.head.joints().map(|joint| joint.limits_rad).collect();
        let worst_kg_m = worst_unbalance_kg_m(&Linkage::new(&solved.layout, self.marks_m), &limits_rad);
        let unbalances_kg_m: Vec<[f64; 2]> =
            worst_kg_m.into_iter().zip(&self.held_kg_m).map(|(worst, held)| [worst, *held]).collect();
        let inertia_changes = self.changes(&self.inertias(package, solved));
        let held = unbalances_kg_m.iter().map(|[worst, held]| worst / held.max(NOTHING_KG_M));
        let off = inertia_changes.iter().map(|change| change.abs() / self.tune_share);
        Standing { use_of_allowed: held.chain(off).fold(0.0, f64::max), unbalances_kg_m, inertia_changes }
    }
}
