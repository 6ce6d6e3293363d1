//! Every single change that a kit allows on a package.

use super::change::{Change, Side, WeightPlace};
use super::kit::Kit;
use crate::bounds;
use crate::fit::{RodFit, fit};
use crate::package::{Anchor, Package, Part, PartKind, PartMass};

/// Every single change: other holes, risers, rods, moved parts, trim weights; parts to take off only where the camera side is
/// over the head's limit.
pub fn candidates(package: &Package, kit: &Kit, over_limit: bool) -> Vec<Change> {
    let mut found = Vec::new();
    let both_ways = |count: u32| (1..=count).flat_map(|step| [(step, 1.0), (step, -1.0)]);
    for (holes, sign) in both_ways(kit.holes_each_way) {
        found.push(Change::Hole { ahead_m: sign * f64::from(holes) * kit.hole_spacing_m, holes });
    }
    for height_m in &kit.risers_m {
        let kg = bounds::MASS_KG.quantise(kit.riser_kg_m * height_m);
        found.push(Change::Riser { height_m: *height_m, kg });
    }
    // Only a package with faults has no fit, and such a package is not searched.
    let fits = fit(package).map(|report| report.rods).unwrap_or_default();
    found.extend(other_rods(package, kit, &fits));
    for at in weight_places(package) {
        found.extend(kit.totals_kg().into_iter().map(|kg| Change::Weight { kg, at: at.clone() }));
    }
    for part in package.riding() {
        for side in ways_to_move(part, kit) {
            for (step, sign) in both_ways(kit.move_steps) {
                let by_m = sign * f64::from(step) * kit.move_step_m;
                if still_reach(part, &fits, by_m) {
                    found.push(Change::Move { part: part.id, name: part.name.clone(), side: *side, by_m });
                }
            }
        }
    }
    if over_limit {
        found.extend(package.riding().filter_map(|part| taken_off(package, part)));
    }
    found
}

/// Whether rods that slide so far still reach what clamps on them; other parts clamp nothing.
fn still_reach(part: &Part, fits: &[RodFit], by_m: f64) -> bool {
    let rods = fits.iter().find(|rods| rods.part == part.id);
    rods.and_then(|rods| rods.needed_m.map(|needed_m| rods.front_m + by_m >= needed_m)).unwrap_or(true)
}

/// Rods of other lengths, as long as everything that clamps on them still does.
fn other_rods(package: &Package, kit: &Kit, fits: &[RodFit]) -> Vec<Change> {
    let mut found = Vec::new();
    for rods in fits {
        let Some(part) = package.parts.iter().find(|part| part.id == rods.part) else { continue };
        let (PartMass::Own(mass), true) = (&part.mass, part.size_m[0] > 0.0) else { continue };
        for length_m in &kit.rods_m {
            let longer = length_m / part.size_m[0] - 1.0;
            if longer.abs() > 1e-9 && rods.length_needed_m.is_none_or(|needed_m| *length_m >= needed_m) {
                let added_kg = bounds::MASS_KG.quantise(mass.kg * longer);
                found.push(Change::Rods { part: part.id, name: part.name.clone(), length_m: *length_m, added_kg });
            }
        }
    }
    found
}

fn weight_places(package: &Package) -> Vec<WeightPlace> {
    use WeightPlace::{BehindBody, Head, Left, Right, RodFront, Top, Under};
    let mut places = vec![BehindBody, RodFront, Left, Right, Top, Under];
    for place in package.head.places().filter(|place| !place.camera) {
        let at = |ahead| Head { place: place.id.clone(), name: place.name.clone(), ahead };
        places.extend([at(true), at(false)]);
    }
    places
}

/// A part that hangs on the lens, or is the camera's own structure, stays where it is; rods only slide.
fn ways_to_move(part: &Part, kit: &Kit) -> &'static [Side] {
    let PartMass::Own(mass) = &part.mass else { return &[] };
    let loose = matches!(
        part.at.from,
        Anchor::Place | Anchor::PlateFront | Anchor::Flange | Anchor::BodyTop | Anchor::BodyRear
    );
    if !loose || mass.kg < kit.least_moved_kg {
        return &[];
    }
    match part.kind {
        PartKind::Body | PartKind::Plate | PartKind::Support | PartKind::Front => &[],
        PartKind::Rods => &[Side::ForeAft],
        PartKind::Control | PartKind::Picture | PartKind::Pack | PartKind::Weight | PartKind::Other => {
            &[Side::ForeAft, Side::Sideways]
        }
    }
}

/// Anything on the camera side but the body and the plates under it, where its own mass is known.
fn taken_off(package: &Package, part: &Part) -> Option<Change> {
    let PartMass::Own(mass) = &part.mass else { return None };
    let on_camera = package.head.places().any(|place| place.camera && place.id == part.at.place);
    (on_camera && part.kind != PartKind::Body && part.at.from != Anchor::Stack).then(|| Change::TakeOff {
        part: part.id,
        name: part.name.clone(),
        kg: mass.kg,
    })
}
