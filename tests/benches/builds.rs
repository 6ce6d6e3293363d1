//! Packages of known size, cut from the demonstration or grown from it.

use solver::Package;
use solver::package::{LensId, Mounting, MoveId, PartId};

/// The demonstration with so many parts riding, lenses and moves. Added parts are copies that hang elsewhere; added moves
/// differ in mounting and working ranges, so that no work for one serves another.
pub(crate) fn demo_with(parts: usize, lenses: usize, moves: usize) -> Package {
    let mut package = codec::library::demo();
    let lens_ids: Vec<PartId> =
        package.lenses.iter().flat_map(|lens| lens.brings.iter().chain(&lens.leaves_off).copied()).collect();
    for part in &mut package.parts {
        part.on = true;
    }
    for lens in &mut package.lenses {
        lens.brings.clear();
        lens.leaves_off.clear();
    }
    package.parts.sort_by_key(|part| lens_ids.contains(&part.id));
    let patterns = package.parts.clone();
    for (id, pattern) in (1_000..).zip(patterns.iter().cycle()).take(parts.saturating_sub(patterns.len())) {
        let mut copy = pattern.clone();
        copy.id = id;
        copy.pack = None;
        copy.cg.offset_m[1] += 0.01;
        package.parts.push(copy);
    }
    package.parts.truncate(parts);
    grow_lenses(&mut package, lenses);
    grow_moves(&mut package, moves);
    package
}

/// The same with the working ranges of the first move for all.
pub(crate) fn of_one_range(mut package: Package) -> Package {
    let ranges = package.moves.first().map(|each| each.ranges.clone()).unwrap_or_default();
    for each in &mut package.moves {
        each.ranges.clone_from(&ranges);
    }
    package
}

fn grow_lenses(package: &mut Package, count: usize) {
    let patterns = package.lenses.clone();
    package.lenses = (1..)
        .zip(patterns.iter().cycle())
        .take(count)
        .map(|(id, pattern): (LensId, _)| {
            let mut lens = pattern.clone();
            lens.id = id;
            lens.mass.kg += 0.05 * f64::from(id);
            lens
        })
        .collect();
    package.active_lens = package.lenses.first().map(|lens| lens.id);
}

fn grow_moves(package: &mut Package, count: usize) {
    let patterns = package.moves.clone();
    package.moves = (1..)
        .zip(patterns.iter().cycle())
        .take(count)
        .map(|(id, pattern): (MoveId, _)| {
            let mut each = pattern.clone();
            each.id = id;
            each.mounting = if id % 2 == 0 { Mounting::Hung } else { Mounting::Stood };
            for range in &mut each.ranges {
                let shrunk = 1.0 - 0.02 * f64::from(id);
                range.range_rad = range.range_rad.map(|end| end * shrunk);
            }
            each
        })
        .collect();
}
