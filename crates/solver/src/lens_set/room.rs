//! Room for every lens: another plate hole, a riser or other rods with which no lens comes near the end of a slide.

use serde::Serialize;

use crate::balance::Marks;
use crate::check::Solved;
use crate::error::InputError;
use crate::finding::Severity;
use crate::fit::{FitFinding, fit_sound};
use crate::layout::Layout;
use crate::order::sort_short;
use crate::package::{LensId, Package};
use crate::remedies::{Change, Kit, candidates};
use crate::validate::validate;

/// Travel that every lens is to keep to the end of every slide, m. Common practice, no source.
pub const WANTED_M: f64 = 0.015;

/// Room of every lens as the package is, and with what helps.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RoomReport {
    /// Travel that is wanted, m.
    pub wanted_m: f64,
    /// As the package is; `None` without lenses, or when no slide balances anything.
    pub now: Option<Room>,
    /// The least change of plate hole, riser and rods with which every lens has it, or, where none has, the change that
    /// gives the tightest lens most; absent when every lens has it already, or nothing gives more.
    pub best: Option<RoomChange>,
}

/// Room of every lens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Room {
    /// Travel left where it is least, m; negative by how much the free mark lies beyond the end.
    pub least_m: f64,
    /// Every lens, in the order of the set, where it has least.
    pub lenses: Vec<LensRoom>,
}

/// One lens where it has least room.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LensRoom {
    /// The lens.
    pub lens: LensId,
    /// Its name.
    pub name: String,
    /// Name of the slide.
    pub slide: String,
    /// Travel left there, m; negative by how much the free mark lies beyond the end.
    pub left_m: f64,
}

/// A change, and the room that it gives.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RoomChange {
    /// What is changed, one thing of a kind.
    pub changes: Vec<Change>,
    /// Mass that it adds, kg.
    pub added_kg: f64,
    /// Whether every lens then has the travel that is wanted.
    pub enough: bool,
    /// The room with it.
    pub room: Room,
}

impl RoomChange {
    /// The package with this change.
    #[must_use]
    pub fn apply(&self, package: &Package) -> Package {
        self.changes.iter().fold(package.clone(), |package, change| change.apply(&package))
    }
}

/// The least change with which every lens keeps [`WANTED_M`] to the end of every slide: exact over every plate hole,
/// riser and pair of rods at hand and all their combinations. Rods that are too short for any lens are passed over, and so
/// is what would make a lens fit the head no longer, or too heavy for it.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn room(package: &Package) -> Result<RoomReport, Vec<InputError>> {
    validate(package)?;
    let now = room_of(package);
    let enough = now.as_ref().is_none_or(|now| now.least_m >= WANTED_M);
    let best = if enough { None } else { now.as_ref().and_then(|now| search(package, now.least_m)) };
    Ok(RoomReport { wanted_m: WANTED_M, now, best })
}

fn search(package: &Package, now_m: f64) -> Option<RoomChange> {
    let mut combinations = combinations(package);
    // The fewest things first, then the lightest, then the fewest holes: the first with enough is the least.
    sort_short(&mut combinations, |a, b| effort(a) < effort(b));
    let before: Vec<Before> = package.lenses.iter().map(|lens| Before::of(package, lens.id)).collect();
    let mut most: Option<RoomChange> = None;
    for changes in combinations {
        let changed = changes.iter().fold(package.clone(), |package, change| change.apply(&package));
        if validate(&changed).is_err() {
            continue;
        }
        let Some(room) = room_of(&changed) else { continue };
        let enough = room.least_m >= WANTED_M;
        let more = enough || room.least_m > most.as_ref().map_or(now_m, |most| most.room.least_m) + 1e-9;
        if more && before.iter().all(|before| before.still_stands(&changed)) {
            let added_kg = changes.iter().map(Change::added_kg).sum();
            most = Some(RoomChange { changes, added_kg, enough, room });
        }
        if most.as_ref().is_some_and(|most| most.enough) {
            break;
        }
    }
    most
}

/// What is the matter with one lens on the head as the package is.
struct Before {
    lens: LensId,
    unfit: Vec<FitFinding>,
    too_heavy: bool,
}

impl Before {
    fn of(package: &Package, lens: LensId) -> Self {
        let one = Package { active_lens: Some(lens), ..package.clone() };
        let layout = Layout::new(&one);
        let camera_kg: f64 = layout.bodies.iter().filter(|body| body.camera_side).map(|body| body.mass_kg).sum();
        Self { lens, unfit: fit_sound(&one).findings, too_heavy: camera_kg > package.head.payload_kg[1] }
    }

    /// Whether nothing keeps it off a changed head that did not before.
    fn still_stands(&self, changed: &Package) -> bool {
        let after = Self::of(changed, self.lens);
        let known = |finding: &FitFinding| self.unfit.iter().any(|before| before.is_as_grave(finding));
        let fresh = after.unfit.iter().any(|finding| finding.severity == Severity::NoGo && !known(finding));
        !fresh && (self.too_heavy || !after.too_heavy)
    }
}

/// How much trouble some changes are: how many, grams added, and holes.
fn effort(changes: &[Change]) -> (usize, i64, u32) {
    let kg = changes.iter().map(Change::added_kg).sum::<f64>().abs();
    let holes = changes.iter().map(|change| if let Change::Hole { holes, .. } = change { *holes } else { 0 }).sum();
    (changes.len(), crate::bounds::MASS_KG.to_steps(kg).unwrap_or(i64::MAX), holes)
}

/// Every combination of at most one hole, one riser and one change of rods; the empty one left out.
fn combinations(package: &Package) -> Vec<Vec<Change>> {
    let kit = Kit::of(package);
    let mut one = package.clone();
    // What is allowed for every lens: rods differ in that by what clamps on them.
    let mut allowed: Option<Vec<Change>> = None;
    for lens in &package.lenses {
        one.active_lens = Some(lens.id);
        let these: Vec<Change> = candidates(&one, &kit, false)
            .into_iter()
            .filter(|change| matches!(change, Change::Hole { .. } | Change::Riser { .. } | Change::Rods { .. }))
            .collect();
        allowed = Some(match allowed {
            Some(before) => before.into_iter().filter(|change| these.contains(change)).collect(),
            None => these,
        });
    }
    let allowed = allowed.unwrap_or_default();
    let of = |wanted: fn(&Change) -> bool| {
        let these = allowed.iter().filter(move |change| wanted(change)).cloned().map(Some);
        std::iter::once(None).chain(these).collect::<Vec<Option<Change>>>()
    };
    let (holes, risers) =
        (of(|change| matches!(change, Change::Hole { .. })), of(|change| matches!(change, Change::Riser { .. })));
    let rods = of(|change| matches!(change, Change::Rods { .. }));
    let mut all = Vec::new();
    for hole in &holes {
        for riser in &risers {
            for rod in &rods {
                let set: Vec<Change> = [hole, riser, rod].into_iter().flatten().cloned().collect();
                if !set.is_empty() {
                    all.push(set);
                }
            }
        }
    }
    all
}

/// The room of every lens of a valid package.
fn room_of(package: &Package) -> Option<Room> {
    let names: Vec<&str> = package.head.slides().map(|slide| slide.name.as_str()).collect();
    let mut one = package.clone();
    let mut lenses = Vec::new();
    for lens in &package.lenses {
        one.active_lens = Some(lens.id);
        let solved = Solved::new(&one);
        let (slide, left_m) = least(&solved.layout, &solved.marks)?;
        lenses.push(LensRoom { lens: lens.id, name: lens.name.clone(), slide: names[slide].to_owned(), left_m });
    }
    let least_m = lenses.iter().map(|lens| lens.left_m).reduce(f64::min)?;
    Some(Room { least_m, lenses })
}

/// The slide with least room, of those that balance an axis, and that room, m.
fn least(layout: &Layout, marks: &Marks) -> Option<(usize, f64)> {
    marks
        .slides
        .iter()
        .zip(&layout.slides)
        .enumerate()
        .filter(|(_, (mark, _))| mark.joint.is_some())
        .map(|(index, (mark, slide))| {
            let [low_m, high_m] = slide.range_m;
            (index, (mark.free_m - low_m).min(high_m - mark.free_m))
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
}
