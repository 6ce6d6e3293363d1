//! Ladders: how far each mark moves when one thing is added or taken off.

use serde::Serialize;

use crate::check::Solved;
use crate::error::InputError;
use crate::lens_set::stays_put::left;
use crate::order::sort_short;
use crate::package::{Package, PartId, PartKind, PartMass};
use crate::validate::validate;

/// One thing that may come on or go off.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rung {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Whether it rides now: then the changes are those of taking it off.
    pub rides: bool,
    /// Its mass, kg.
    pub mass_kg: f64,
    /// What it does to every mark, in balancing order.
    pub marks: Vec<RungMark>,
    /// Whether the marks may stay where they are: best estimates say that every axis still holds, and it stays put more often
    /// than not, or no better marks are known.
    pub may_stay: bool,
    /// Where best estimates say so: probability that every axis then stays put, as it did before.
    pub stays_put: Option<f64>,
}

/// What one thing does to one mark.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RungMark {
    /// Id of the slide.
    pub slide: String,
    /// Its name.
    pub name: String,
    /// How far the mark moves, m; positive in the slide's `plus` word. Beyond travel too: where it *would* go.
    pub change_m: f64,
    /// The word for the sense of that change.
    pub word: String,
    /// Whether the new mark lies within travel.
    pub within_travel: bool,
}

/// The ladder of a package: every filter, close-up lens, pack and accessory, largest change first. Body, plates, rods and
/// shares are left out.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn ladder(package: &Package) -> Result<Vec<Rung>, Vec<InputError>> {
    validate(package)?;
    let now = Solved::new(package);
    let mut rungs: Vec<Rung> = (0..package.parts.len()).filter_map(|index| rung(package, index, &now)).collect();
    let largest = |rung: &Rung| rung.marks.iter().map(|mark| mark.change_m.abs()).fold(0.0, f64::max);
    sort_short(&mut rungs, |a, b| largest(a) > largest(b));
    Ok(rungs)
}

fn rung(package: &Package, index: usize, now: &Solved) -> Option<Rung> {
    let part = &package.parts[index];
    let PartMass::Own(mass) = &part.mass else { return None };
    if matches!(part.kind, PartKind::Body | PartKind::Plate | PartKind::Rods) {
        return None;
    }
    let rides = package.rides(part);
    let changed = switched(package, index, !rides);
    let solved = Solved::new(&changed);
    let left = left((package, now), (&changed, &solved));
    let marks = solved
        .marks
        .order
        .iter()
        .filter_map(|slide| {
            let data = package.head.slides().nth(*slide)?;
            let (after, before) = (&solved.marks.slides[*slide], &now.marks.slides[*slide]);
            let change_m = after.free_m - before.free_m;
            let [low_m, high_m] = data.range_m;
            Some(RungMark {
                slide: data.id.clone(),
                name: data.name.clone(),
                change_m,
                word: if change_m < 0.0 { data.minus.clone() } else { data.plus.clone() },
                within_travel: (low_m..=high_m).contains(&after.free_m),
            })
        })
        .collect();
    Some(Rung {
        part: part.id,
        name: part.name.clone(),
        rides,
        mass_kg: mass.kg,
        marks,
        may_stay: left.may_stay,
        stays_put: left.stays_put.map(|found| found.chance),
    })
}

/// The package with one part put on or taken off, whatever the lens that is on says about it.
fn switched(package: &Package, index: usize, on: bool) -> Package {
    let mut changed = package.clone();
    let id = changed.parts[index].id;
    changed.parts[index].on = on;
    for lens in changed.lenses.iter_mut().filter(|lens| Some(lens.id) == package.active_lens) {
        lens.brings.retain(|brought| *brought != id);
        lens.leaves_off.retain(|left| *left != id);
    }
    changed
}
