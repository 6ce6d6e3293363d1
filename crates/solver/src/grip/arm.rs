//! What hangs on the arm: mass, lever, counterweights, side wind.

use nalgebra::Vector3;
use serde::Serialize;

use crate::air;
use crate::answer::Estimate;
use crate::check::check;
use crate::constants::GRAVITY_M_S2;
use crate::error::InputError;
use crate::explain::Term;
use crate::layout::Layout;
use crate::package::{Move, Package, Plate};
use crate::wind::Sail;

/// What the package puts on the platform's mount.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Load {
    /// Head and everything on it, kg.
    pub all_up_kg: Estimate,
    /// Its centre of gravity from the head's base: forward, left, up, m; absent without mass.
    pub cg_m: Option<[f64; 3]>,
    /// Area of parts and lens that the wind from the side sees, m²: their sum, none hiding behind another, sheltered ones
    /// left out. The head itself has no outline and is not in it.
    pub side_area_m2: f64,
    /// The same weighted with drag coefficients, m²: force = ½ρv² × this.
    pub side_drag_area_m2: f64,
    /// Force of each move's wind from the side, gusts included, in the order of the package.
    pub side_winds: Vec<SideWind>,
}

/// The wind of one move from the side.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SideWind {
    /// Name of the move.
    pub move_name: String,
    /// Airspeed with its gusts, m/s.
    pub gust_m_s: f64,
    /// Force on parts and lens, N; that on the head itself comes on top.
    pub force_n: f64,
}

/// The load of a package.
///
/// # Errors
/// Every fault of the package, as for [`crate::check`].
pub fn load(package: &Package) -> Result<Load, Vec<InputError>> {
    let report = check(package)?;
    let exposed = Layout::new(package).bodies.into_iter().filter(|body| body.drag_coefficient > 0.0);
    let (side_area_m2, side_drag_area_m2) = exposed.fold((0.0, 0.0), |(area, drag), body| {
        let drag_m2 = Sail::of(&body, &body.centre_m).across_m2(&Vector3::y());
        (area + drag_m2 / body.drag_coefficient, drag + drag_m2)
    });
    let side_wind = |each: &Move| {
        let gust_m_s = each.airspeed_m_s * each.gust_factor;
        let pressure_pa = air::dynamic_pressure_pa(air::density_kg_m3(each.altitude_m, each.air_k), gust_m_s);
        SideWind { move_name: each.name.clone(), gust_m_s, force_n: pressure_pa * side_drag_area_m2 }
    };
    Ok(Load {
        all_up_kg: report.mass.all_up_kg,
        cg_m: report.mass.all_up_cg_m,
        side_area_m2,
        side_drag_area_m2,
        side_winds: package.moves.iter().map(side_wind).collect(),
    })
}

/// The arm with a package on it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArmReport {
    /// Moment of the package about the pivot with the arm level, N·m.
    pub moment_nm: Estimate,
    /// Counterweight that balances exactly, kg.
    pub exact_kg: Estimate,
    /// The nearest that the plates on the cart can do.
    pub weights: Counterweight,
    /// Counterweight against the build that the arm was weighted for, kg: positive to add; absent when nobody has said
    /// which that was.
    pub change_kg: Option<f64>,
    /// The arithmetic.
    pub term: Term,
}

/// A choice of plates.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Counterweight {
    /// How many of each kind, in the order of the cart.
    pub counts: Vec<u32>,
    /// Their mass, kg.
    pub kg: f64,
    /// What remains, as mass at the counterweights, kg: positive when the head's end is heavy.
    pub short_kg: f64,
    /// How many plates.
    pub pieces: u32,
}

/// The arm of a package with the package on it; `None` when no arm has been stated.
///
/// Only the package is weighed: the arm itself balances empty with `empty_kg`. The counterweight is m·a/b for arms of
/// a and b; the arm is taken as level, where the lever is longest.
///
/// # Errors
/// Every fault of the package and its arm, as for [`crate::check`].
///
/// # Source
/// Law of the lever; ± by JCGM 100:2008, equation (10), lengths taken as exact.
pub fn arm(package: &Package) -> Result<Option<ArmReport>, Vec<InputError>> {
    let on_it = load(package)?.all_up_kg;
    let Some(arm) = &package.arm else { return Ok(None) };
    let lever = arm.head_length_m / arm.weight_length_m;
    let weight_nm = GRAVITY_M_S2 * arm.head_length_m;
    let moment_nm = Estimate::new(on_it.value * weight_nm, on_it.u * weight_nm);
    let exact_kg = Estimate::new(arm.empty_kg + on_it.value * lever, on_it.u * lever);
    let term = Term::value("Counterweight", exact_kg.value, "kg")
        .u(exact_kg.u)
        .formula("empty arm + mass × length to the head / length to the weights")
        .source("Law of the lever; ± by JCGM 100:2008, equation (10)")
        .of(vec![
            Term::value("Head and everything on it", on_it.value, "kg").u(on_it.u),
            Term::value("Pivot to the head", arm.head_length_m, "m"),
            Term::value("Pivot to the weights", arm.weight_length_m, "m"),
            Term::value("Counterweight of the empty arm", arm.empty_kg, "kg"),
        ]);
    Ok(Some(ArmReport {
        moment_nm,
        exact_kg,
        weights: counterweights(&arm.plates, exact_kg.value),
        change_kg: arm.weighted.as_ref().map(|was| (on_it.value - was.all_up_kg) * lever),
        term,
    }))
}

/// Plates of one kind that are counted at most.
const MOST_PLATES: u32 = 100;

/// How many plates of a kind there are.
fn count_of(plate: &Plate) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a small whole number")]
    let count = libm::round(plate.count.clamp(0.0, f64::from(MOST_PLATES))) as u32;
    count
}

/// Plates that make some sum.
#[derive(Clone)]
struct Way {
    grams: u64,
    pieces: u32,
    counts: Vec<u32>,
}

/// The choice of plates that comes nearest to a mass, with the fewest plates where several do, by working out every sum
/// that the cart can make. Of sums within the same 10 g the one of the fewest plates stands for all.
pub fn counterweights(plates: &[Plate], wanted_kg: f64) -> Counterweight {
    let mut sums: std::collections::BTreeMap<u64, Way> = std::collections::BTreeMap::new();
    sums.insert(0, Way { grams: 0, pieces: 0, counts: vec![0; plates.len()] });
    // A sum beyond this overshoots by more than leaving one plate away would.
    let largest_kg = plates.iter().map(|plate| plate.kg).fold(0.0, f64::max);
    let most = grams(wanted_kg.max(0.0) + largest_kg);
    for (kind, plate) in plates.iter().enumerate() {
        let each = grams(plate.kg);
        let before: Vec<Way> = sums.values().cloned().collect();
        for Way { grams, pieces, counts } in before {
            for count in 1..=count_of(plate) {
                let total = grams + u64::from(count) * each;
                if total > most {
                    break;
                }
                let place = (total + HALF_G) / STEP_G;
                if sums.get(&place).is_none_or(|way| way.pieces > pieces + count) {
                    let mut counts = counts.clone();
                    counts[kind] = count;
                    sums.insert(place, Way { grams: total, pieces: pieces + count, counts });
                }
            }
        }
    }
    let off = |way: &Way| (wanted_kg - kilograms(way.grams)).abs();
    let best = sums.into_values().min_by(|a, b| off(a).total_cmp(&off(b)).then(a.pieces.cmp(&b.pieces)));
    let best = best.unwrap_or_else(|| Way { grams: 0, pieces: 0, counts: vec![0; plates.len()] });
    let kg = kilograms(best.grams);
    Counterweight { counts: best.counts, kg, short_kg: wanted_kg - kg, pieces: best.pieces }
}

/// Sums that are nearer to each other than this are one, g.
const STEP_G: u64 = 10;
const HALF_G: u64 = STEP_G / 2;

fn grams(kg: f64) -> u64 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "masses are small and not negative")]
    let grams = libm::round(kg.clamp(0.0, 1e6) * 1e3) as u64;
    grams
}

fn kilograms(grams: u64) -> f64 {
    grams as f64 / 1e3
}

#[cfg(test)]
mod tests {
    use super::*;

    const CART: [Plate; 3] =
        [Plate { kg: 12.5, count: 3.0 }, Plate { kg: 5.0, count: 2.0 }, Plate { kg: 1.25, count: 3.0 }];

    /// Every choice of plates, one by one.
    fn nearest_by_trying(wanted_kg: f64) -> (f64, u32) {
        let mut best = (f64::INFINITY, 0);
        for a in 0..=3_u32 {
            for b in 0..=2_u32 {
                for c in 0..=3_u32 {
                    let kg = 12.5 * f64::from(a) + 5.0 * f64::from(b) + 1.25 * f64::from(c);
                    let (off, pieces) = ((kg - wanted_kg).abs(), a + b + c);
                    if off < best.0 - 1e-9 || (off < best.0 + 1e-9 && pieces < best.1) {
                        best = (off, pieces);
                    }
                }
            }
        }
        best
    }

    #[test]
    fn plates_come_as_near_as_trying_every_choice() {
        for tenth in 0..700 {
            let wanted_kg = 0.1 * f64::from(tenth) + 0.03;
            let chosen = counterweights(&CART, wanted_kg);
            let (off, pieces) = nearest_by_trying(wanted_kg);
            assert!((chosen.short_kg.abs() - off).abs() < 1e-9, "{wanted_kg}: {chosen:?}");
            assert_eq!(chosen.pieces, pieces, "{wanted_kg}: {chosen:?}");
            let sum: f64 = CART.iter().zip(&chosen.counts).map(|(plate, count)| plate.kg * f64::from(*count)).sum();
            assert!((sum - chosen.kg).abs() < 1e-9);
        }
    }

    /// Plates of five pounds and one, whose mass is no whole number of ten grams: forty of them make 90.72 kg.
    #[test]
    fn what_is_told_is_what_the_plates_weigh() {
        let cart =
            [Plate { kg: 2.268, count: 40.0 }, Plate { kg: 0.454, count: 5.0 }, Plate { kg: 11.34, count: 10.0 }];
        for tenth in 0..1_500 {
            let wanted_kg = 0.1 * f64::from(tenth);
            let chosen = counterweights(&cart, wanted_kg);
            let sum: f64 = cart.iter().zip(&chosen.counts).map(|(plate, count)| plate.kg * f64::from(*count)).sum();
            assert!((sum - chosen.kg).abs() < 1e-9, "{wanted_kg}: {chosen:?} weigh {sum}");
            assert!((wanted_kg - sum - chosen.short_kg).abs() < 1e-9);
        }
        let alone = counterweights(&cart[..1], 100.0);
        assert!((alone.kg - 90.72).abs() < 1e-9, "{alone:?}");
    }

    #[test]
    fn an_empty_cart_leaves_all_of_it() {
        let chosen = counterweights(&[], 20.0);
        assert_eq!((chosen.kg, chosen.short_kg, chosen.pieces), (0.0, 20.0, 0));
    }
}
