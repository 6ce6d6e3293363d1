//! The search: every single change and every pair, lightest first, solved one by one.

use std::collections::{BTreeMap, BTreeSet};

use nalgebra::Vector3;

use super::Remedy;
use super::candidates::candidates;
use super::change::{Change, Side, WeightPlace};
use super::hang::Needs;
use super::kit::Kit;
use crate::balance::{Moments, solve_marks};
use crate::bounds;
use crate::check::Solved;
use crate::finding_words::Metric;
use crate::layout::{Layout, Of};
use crate::linkage::Linkage;
use crate::order::sort_short;
use crate::package::{Package, PartId, PartKind};

/// The best remedies of a valid package, best first.
pub(super) fn search(package: &Package, kit: &Kit) -> Vec<Remedy> {
    let needs = Needs::of(package);
    let solved = Solved::new(package);
    if needs.hangs(package, &solved) {
        return Vec::new();
    }
    let over_limit = needs.too_heavy(&solved.layout);
    let (moves, firm): (Vec<Change>, Vec<Change>) =
        candidates(package, kit, over_limit).into_iter().partition(|change| matches!(change, Change::Move { .. }));
    let mut search = Search {
        package,
        kit,
        needs,
        reflected_kg_m2: package.head.joints().map(|joint| joint.drive.reflected_inertia_kg_m2).sum(),
        alone: BTreeMap::new(),
        ways: BTreeSet::new(),
        found: Vec::new(),
    };
    for class in classes(&firm) {
        search.class(&firm, &class, &moves);
        if search.found.len() >= kit.most {
            break;
        }
    }
    search.found.truncate(kit.most);
    search.found
}

/// Sets of firm changes (none, one or two, by index), in groups of the same mass changed, lightest first.
fn classes(firm: &[Change]) -> Vec<Vec<Vec<usize>>> {
    let mut by_mass: BTreeMap<i64, Vec<Vec<usize>>> = BTreeMap::new();
    let mut put = |set: Vec<usize>| {
        let changed_kg = set.iter().map(|index| firm[*index].added_kg()).sum::<f64>().abs();
        by_mass.entry(bounds::MASS_KG.to_steps(changed_kg).unwrap_or(i64::MAX)).or_default().push(set);
    };
    put(Vec::new());
    for first in 0..firm.len() {
        put(vec![first]);
        for second in first + 1..firm.len() {
            if go_together(&firm[first], &firm[second]) {
                put(vec![first, second]);
            }
        }
    }
    by_mass.into_values().collect()
}

/// Two changes make a pair when they are of different kinds, or two weights at different places, or two parts taken off.
fn go_together(first: &Change, second: &Change) -> bool {
    match (first, second) {
        (Change::Weight { at: one, .. }, Change::Weight { at: other, .. }) => one != other,
        (Change::TakeOff { .. }, Change::TakeOff { .. }) => true,
        // What is taken off to save mass is not replaced by other mass.
        (Change::TakeOff { .. }, Change::Weight { .. }) | (Change::Weight { .. }, Change::TakeOff { .. }) => false,
        _ => core::mem::discriminant(first) != core::mem::discriminant(second),
    }
}

/// A way of mending, whatever its size.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Way {
    Hole,
    Riser,
    Rods(PartId),
    Move(PartId, Side),
    Weight(WeightPlace),
    TakeOff(PartId),
}

fn way(change: &Change) -> Way {
    match change {
        Change::Hole { .. } => Way::Hole,
        Change::Riser { .. } => Way::Riser,
        Change::Rods { part, .. } => Way::Rods(*part),
        Change::Move { part, side, .. } => Way::Move(*part, *side),
        Change::Weight { at, .. } => Way::Weight(at.clone()),
        Change::TakeOff { part, .. } => Way::TakeOff(*part),
    }
}

/// Changes that passed the cheap test.
struct Promising {
    changes: Vec<Change>,
    inertia_kg_m2: f64,
}

struct Search<'a> {
    package: &'a Package,
    kit: &'a Kit,
    needs: Needs,
    reflected_kg_m2: f64,
    /// Whether a single change, by its words, does it alone.
    alone: BTreeMap<String, bool>,
    /// The ways already told.
    ways: BTreeSet<Vec<Way>>,
    found: Vec<Remedy>,
}

impl Search<'_> {
    /// Everything that changes the same mass, ranked among itself and added to what was found.
    fn class(&mut self, firm: &[Change], class: &[Vec<usize>], moves: &[Change]) {
        let mut promising = Vec::new();
        for set in class {
            let changes: Vec<Change> = set.iter().map(|index| firm[*index].clone()).collect();
            self.try_set(&changes, moves, &mut promising);
        }
        promising
            .sort_by(|a, b| a.inertia_kg_m2.total_cmp(&b.inertia_kg_m2).then(a.changes.len().cmp(&b.changes.len())));
        for each in promising {
            if self.found.len() >= self.kit.most {
                return;
            }
            self.tell(each);
        }
    }

    /// A set of firm changes by itself, and with every move of a part on top.
    fn try_set(&self, changes: &[Change], moves: &[Change], promising: &mut Vec<Promising>) {
        let changed = apply(self.package, changes);
        let solved = Solved::new(&changed);
        if self.needs.too_heavy(&solved.layout) {
            return;
        }
        if !changes.is_empty() && self.needs.may_hang(&solved.layout, &solved.marks) {
            let inertia_kg_m2 = self.inertia_kg_m2(&solved.layout, &solved.marks.targets_m);
            promising.push(Promising { changes: changes.to_vec(), inertia_kg_m2 });
        }
        if changes.len() > 1 {
            return;
        }
        for each in moves {
            let Some((layout, moments)) = moved(&changed, &solved, each) else { continue };
            let marks = solve_marks(&layout, &moments);
            if self.needs.may_hang(&layout, &marks) {
                let inertia_kg_m2 = self.inertia_kg_m2(&layout, &marks.targets_m);
                let changes = changes.iter().chain([each]).cloned().collect();
                promising.push(Promising { changes, inertia_kg_m2 });
            }
        }
    }

    fn inertia_kg_m2(&self, layout: &Layout, targets_m: &[f64]) -> f64 {
        let inboard = Linkage::new(layout, targets_m).inboard();
        let own: f64 =
            inboard.iter().zip(&layout.joints).map(|(inboard, joint)| inboard.about_axis_kg_m2(&joint.axis)).sum();
        own + self.reflected_kg_m2
    }

    /// Adds a remedy if it is a new way, needed as a whole, and passes the whole test.
    fn tell(&mut self, promising: Promising) {
        let Promising { changes, inertia_kg_m2 } = promising;
        let mut ways: Vec<Way> = changes.iter().map(way).collect();
        sort_short(&mut ways, |a, b| a < b);
        if self.ways.contains(&ways) {
            return;
        }
        if changes.len() > 1 && changes.iter().any(|change| self.does_it_alone(change)) {
            return;
        }
        let changed = apply(self.package, &changes);
        if !self.needs.hangs(&changed, &Solved::new(&changed)) {
            return;
        }
        self.ways.insert(ways);
        let words = changes.iter().map(|change| change.words(&Metric)).collect::<Vec<_>>().join("; ");
        let added_kg = changes.iter().map(Change::added_kg).sum();
        self.found.push(Remedy { changes, words, added_kg, inertia_kg_m2, unfit: Vec::new() });
    }

    fn does_it_alone(&mut self, change: &Change) -> bool {
        // A move is told apart by its part as well: two parts may share a name.
        let key = format!("{:?} {}", way(change), change.words(&Metric));
        if let Some(known) = self.alone.get(&key) {
            return *known;
        }
        let changed = change.apply(self.package);
        let hangs = self.needs.hangs(&changed, &Solved::new(&changed));
        self.alone.insert(key, hangs);
        hangs
    }
}

fn apply(package: &Package, changes: &[Change]) -> Package {
    changes.iter().fold(package.clone(), |package, change| change.apply(&package))
}

/// The layout and moments with one part moved: but for rods nothing else depends on where it is, so its moment is all that
/// changes.
fn moved(package: &Package, solved: &Solved, change: &Change) -> Option<(Layout, Vec<Moments>)> {
    let Change::Move { part, side, by_m, .. } = change else { return None };
    // What is measured from the end of the rods goes along with them.
    if package.parts.iter().any(|each| each.id == *part && each.kind == PartKind::Rods) {
        let solved = Solved::new(&change.apply(package));
        return Some((solved.layout, solved.moments));
    }
    let mut layout = solved.layout.clone();
    let body =
        layout.bodies.iter_mut().find(|body| matches!(body.of, Of::Part(index) if package.parts[index].id == *part))?;
    let mut by = Vector3::zeros();
    by[side.axis()] = *by_m;
    body.cg_m += by;
    body.centre_m += by;
    let (link, moment_kg_m) = (body.link, by * body.mass_kg);
    let mut moments = solved.moments.clone();
    for moment in &mut moments[..link] {
        moment.at_zero_kg_m += moment_kg_m;
    }
    Some((layout, moments))
}
