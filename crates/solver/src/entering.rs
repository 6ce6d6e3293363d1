//! Entering: a part or a lens that comes from a library, or from a person's own kit, goes where it belongs.

use std::collections::BTreeSet;

use crate::bounds::SIZE_M;
use crate::fit;
use crate::package::{Anchor, Lens, LensId, Package, Part, PartId, PartKind, PartMass, Shape, TapVoltage};
use crate::power::tap_uses;

/// Air between two parts that are put side by side or one before the other, m.
const AIR_M: f64 = 0.002;
/// Two parts nearer than this, measured from the same point, cannot both be there, m.
const SAME_M: f64 = 0.001;
/// What lies flat in a filter stage is no thicker than this, m.
const PANE_M: f64 = 0.012;
/// Rods are cut to steps of this, m. Common practice, no source.
const ROD_STEP_M: f64 = 0.01;

/// Adds a part like `typical` to the package and gives its id.
///
/// It rides where the head has a place of that name, at the camera otherwise; what is measured from the lens follows the
/// lens that is on. A second pane stands before the first, a second pack beside the first. It takes the first tap with
/// room for its peak that its voltage window accepts, and a number after its name where there is one like it already.
pub fn put_part(package: &mut Package, typical: &Part) -> PartId {
    let mut part = typical.clone();
    part.id = free_id(package.parts.iter().map(|known| known.id));
    part.on = true;
    part.name = free_name(&part.name, &package.parts.iter().map(|known| known.name.as_str()));
    let head = &package.head;
    if !head.places().any(|place| place.id == part.at.place) {
        let wanted = head.places().find(|place| place.camera == part.pack.is_none()).or_else(|| head.places().next());
        part.at.place = wanted.map(|place| place.id.clone()).unwrap_or_default();
    }
    make_room(package, &mut part);
    wire(package, &mut part);
    let id = part.id;
    package.parts.push(part);
    id
}

/// Adds a lens like `typical` to the set and gives its id. The first of a set goes on. What it brings or leaves off in
/// another package names parts of that package, and is forgotten.
pub fn put_lens(package: &mut Package, typical: &Lens) -> LensId {
    let mut lens = typical.clone();
    lens.id = free_id(package.lenses.iter().map(|known| known.id));
    lens.name = free_name(&lens.name, &package.lenses.iter().map(|known| known.name.as_str()));
    lens.brings.clear();
    lens.leaves_off.clear();
    let id = lens.id;
    if package.lenses.is_empty() {
        package.active_lens = Some(id);
    }
    package.lenses.push(lens);
    id
}

/// An id that none of `ids` is: one more than the largest, so that what has been removed is not mistaken for it.
pub fn free_id(ids: impl Iterator<Item = u32>) -> u32 {
    let known: BTreeSet<u32> = ids.collect();
    let next = known.last().map_or(Some(1), |largest| largest.checked_add(1));
    next.unwrap_or_else(|| (1..u32::MAX).find(|id| !known.contains(id)).unwrap_or(0))
}

/// The name, or the name and the lowest number from 2 that makes it one of its own.
fn free_name<'a>(name: &str, known: &(impl Iterator<Item = &'a str> + Clone)) -> String {
    let taken = |name: &str| known.clone().any(|each| each == name);
    if !taken(name) {
        return name.to_owned();
    }
    let numbered = (2..1_000_u32).map(|number| format!("{name} {number}"));
    let mut free = numbered.filter(|name| !taken(name) && name.len() <= crate::bounds::MAX_NAME_BYTES);
    free.next().unwrap_or_else(|| name.to_owned())
}

/// Moves the new part, or it and the one that is there, where both have room.
fn make_room(package: &mut Package, part: &mut Part) {
    let is_pane = |part: &Part| part.kind == PartKind::Front && part.size_m[0] <= PANE_M;
    while is_pane(part)
        && let Some(other) = package.parts.iter().find(|other| is_pane(other) && same_spot(other, part))
    {
        part.at.offset_m[0] += 0.5 * (other.size_m[0] + part.size_m[0]) + AIR_M;
    }
    if part.kind == PartKind::Pack
        && let Some(other) = package.parts.iter_mut().find(|other| same_spot(other, part))
    {
        let apart_m = 0.5 * (other.size_m[1] + part.size_m[1]) + AIR_M;
        other.at.offset_m[1] += 0.5 * apart_m;
        part.at.offset_m[1] -= 0.5 * apart_m;
    }
}

fn same_spot(one: &Part, other: &Part) -> bool {
    let near = |axis: usize| (one.at.offset_m[axis] - other.at.offset_m[axis]).abs() < SAME_M;
    one.at.place == other.at.place && one.at.from == other.at.from && (0..3).all(near)
}

/// The first tap with room for the part's peak that its voltage window accepts.
fn wire(package: &Package, part: &mut Part) {
    let Some(load) = &mut part.load else { return };
    let fits = tap_uses(package).into_iter().find(|used| {
        let row = &used.report;
        let tap = package.head.taps.iter().find(|tap| tap.id == row.tap);
        let Some(TapVoltage::Regulated { volts }) = tap.map(|tap| &tap.voltage) else { return false };
        load.window_v.is_none_or(|[low, high]| (low..=high).contains(volts))
            && row.peak_a + load.peak_w / volts <= row.limit_a
    });
    load.tap = fits.map(|used| used.report.tap);
}

/// How far a pair of rods reaches beside how far it must.
#[derive(Debug, Clone, PartialEq)]
pub struct RodLength {
    /// How long they are, m.
    pub length_m: f64,
    /// How long they would have to be with their tail where it is, up to the next step that rods are cut to, m.
    pub needed_m: f64,
    /// What needs it.
    pub furthest: String,
}

impl RodLength {
    /// Whether they are too short.
    pub fn short(&self) -> bool {
        self.length_m < self.needed_m - 1e-9
    }
}

/// The length that a pair of rods needs, if anything clamps on it.
pub fn rod_length(package: &Package, rods: PartId) -> Option<RodLength> {
    let length_m = package.parts.iter().find(|part| part.id == rods)?.size_m[0];
    let row = fit(package).ok()?.rods.into_iter().find(|row| row.part == rods)?;
    // Just short of a step is that step, not the next.
    let needed_m = ((row.length_needed_m? / ROD_STEP_M - 1e-6).ceil() * ROD_STEP_M).max(SIZE_M.min);
    Some(RodLength { length_m, needed_m, furthest: row.furthest? })
}

/// Makes a pair of rods as long as asked for, its tail where it is. A mass that nobody has weighed goes with the length.
pub fn cut_rods(package: &mut Package, rods: PartId, length_m: f64) {
    let Some(part) = package.parts.iter_mut().find(|part| part.id == rods && part.shape == Shape::RodPair) else {
        return;
    };
    let before_m = part.size_m[0];
    part.size_m[0] = length_m;
    part.at.offset_m[0] += match part.at.from {
        // Measured from their own end, they grow backwards.
        Anchor::RodsFront => 0.0,
        _ => 0.5 * (length_m - before_m),
    };
    if let PartMass::Own(mass) = &mut part.mass
        && !mass.from.is_weighed()
        && before_m > 0.0
    {
        mass.kg *= length_m / before_m;
    }
}

/// A person's own kit: what they have weighed, in whatever package that was.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OwnKit {
    /// Parts with a weighed mass, each name once.
    pub parts: Vec<Part>,
    /// Lenses with a weighed mass, each name once.
    pub lenses: Vec<Lens>,
}

impl OwnKit {
    /// Gathers the kit from packages, the newest first: of two things with one name the newer counts. What stands
    /// unchanged in `invented`, the demonstration, is nobody's own.
    pub fn gather<'a>(packages: impl Iterator<Item = &'a Package>, invented: &Package) -> Self {
        let mut kit = Self::default();
        for package in packages {
            for part in &package.parts {
                let weighed = matches!(&part.mass, PartMass::Own(mass) if mass.from.is_weighed());
                let given = invented.parts.iter().any(|known| known.name == part.name && known.mass == part.mass);
                if weighed && !given && !kit.parts.iter().any(|known| known.name == part.name) {
                    kit.parts.push(part.clone());
                }
            }
            for lens in &package.lenses {
                let given = invented.lenses.iter().any(|known| known.name == lens.name && known.mass == lens.mass);
                if lens.mass.from.is_weighed() && !given && !kit.lenses.iter().any(|known| known.name == lens.name) {
                    kit.lenses.push(lens.clone());
                }
            }
        }
        kit
    }
}
