//! What hangs on the arm: mass, lever, counterweights, side wind.

use serde::{Deserialize, Serialize};

use crate::answer::Estimate;
use crate::bounds::{self, Bounds};
use crate::check::check;
use crate::constants::GRAVITY_M_S2;
use crate::error::{InputError, Problem};
use crate::explain::Term;
use crate::layout::Layout;
use crate::package::Package;
use crate::path::FieldPath;

/// What the package puts on the platform's mount.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Load {
    /// Head and everything on it, kg.
    pub all_up_kg: Estimate,
    /// Its centre of gravity from the head's base: forward, left, up, m; absent without mass.
    pub cg_m: Option<[f64; 3]>,
    /// Area that the wind from the side sees, m²: the sum over the parts, none hiding behind another, so an upper bound.
    pub side_area_m2: f64,
    /// The same weighted with drag coefficients, m²: force = ½ρv² × this.
    pub side_drag_area_m2: f64,
}

/// The load of a package.
///
/// # Errors
/// Every fault of the package, as for [`crate::check`].
pub fn load(package: &Package) -> Result<Load, Vec<InputError>> {
    let report = check(package)?;
    let exposed = Layout::new(package).bodies.into_iter().filter(|body| body.drag_coefficient > 0.0);
    let (side_area_m2, side_drag_area_m2) = exposed.fold((0.0, 0.0), |(area, drag), body| {
        let side_m2 = body.size_m[0] * body.size_m[2];
        (area + side_m2, drag + body.drag_coefficient * side_m2)
    });
    Ok(Load { all_up_kg: report.mass.all_up_kg, cg_m: report.mass.all_up_cg_m, side_area_m2, side_drag_area_m2 })
}

/// A counterweighted arm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Arm {
    /// From the pivot to the head's mount, m.
    pub head_length_m: f64,
    /// From the pivot to the counterweights, m.
    pub weight_length_m: f64,
    /// Counterweight with which the empty arm balances, head and all taken off, kg.
    pub empty_kg: f64,
    /// Plates on the cart.
    pub plates: Vec<Plate>,
}

/// Plates of one mass on the cart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Plate {
    /// Mass of one, kg.
    pub kg: f64,
    /// How many there are.
    pub count: u32,
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
    /// Counterweight against the package before, kg: positive to add; absent without one.
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

const LENGTH_M: Bounds = Bounds { min: 0.05, max: 40.0, steps_per_unit: 1e3, unit: "m" };
const EMPTY_KG: Bounds = Bounds { min: 0.0, max: 2_000.0, steps_per_unit: 1e2, unit: "kg" };
const PLATE_KG: Bounds = Bounds { min: 0.1, max: 100.0, steps_per_unit: 1e2, unit: "kg" };
/// Most plates of one mass, and most kinds of plates.
const MOST_PLATES: u32 = 100;
const MOST_KINDS: usize = 12;

/// The arm with a package on it, and what changed against the package before.
///
/// Only the package is weighed: the arm itself balances empty with `empty_kg`. The counterweight is m·a/b for arms of
/// a and b; the arm is taken as level, where the lever is longest.
///
/// # Errors
/// Every fault of the package and of the arm, each with its field.
///
/// # Source
/// Law of the lever; ± by JCGM 100:2008, equation (10), lengths taken as exact.
pub fn arm(package: &Package, before: Option<&Package>, arm: &Arm) -> Result<ArmReport, Vec<InputError>> {
    validate(arm)?;
    let on_it = load(package)?.all_up_kg;
    let was = before.map(load).transpose()?.map(|load| load.all_up_kg.value);
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
    Ok(ArmReport {
        moment_nm,
        exact_kg,
        weights: counterweights(&arm.plates, exact_kg.value),
        change_kg: was.map(|was| (on_it.value - was) * lever),
        term,
    })
}

fn validate(arm: &Arm) -> Result<(), Vec<InputError>> {
    let mut faults = Vec::new();
    let root = FieldPath::root();
    let mut number = |path: FieldPath, value: f64, bounds: &Bounds| {
        if !bounds.contains(value) {
            let problem = if value.is_finite() {
                Problem::OutOfRange { value, min: bounds.min, max: bounds.max, unit: bounds.unit }
            } else {
                Problem::NotFinite
            };
            faults.push(InputError { field: path, problem });
        }
    };
    number(root.field("head_length_m"), arm.head_length_m, &LENGTH_M);
    number(root.field("weight_length_m"), arm.weight_length_m, &LENGTH_M);
    number(root.field("empty_kg"), arm.empty_kg, &EMPTY_KG);
    let kinds = bounds::Bounds { min: 0.0, max: MOST_KINDS as f64, steps_per_unit: 1.0, unit: "" };
    number(root.field("plates"), arm.plates.len() as f64, &kinds);
    let counts = bounds::Bounds { max: f64::from(MOST_PLATES), ..kinds };
    for (index, plate) in arm.plates.iter().enumerate() {
        let at = root.field("plates").index(index);
        number(at.field("kg"), plate.kg, &PLATE_KG);
        number(at.field("count"), f64::from(plate.count), &counts);
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// The choice of plates that comes nearest to a mass, with the fewest plates where several do: exact, by working out
/// every sum that the cart can make, in steps of 10 g.
pub fn counterweights(plates: &[Plate], wanted_kg: f64) -> Counterweight {
    // Fewest plates for every sum, and the counts that make it.
    let mut sums: std::collections::BTreeMap<u64, (u32, Vec<u32>)> = std::collections::BTreeMap::new();
    sums.insert(0, (0, vec![0; plates.len()]));
    // A sum beyond this overshoots by more than leaving one plate away would.
    let largest_kg = plates.iter().map(|plate| plate.kg).fold(0.0, f64::max);
    let most = steps(wanted_kg.max(0.0) + largest_kg);
    for (kind, plate) in plates.iter().enumerate() {
        let each = steps(plate.kg);
        let before: Vec<(u64, (u32, Vec<u32>))> = sums.iter().map(|(sum, way)| (*sum, way.clone())).collect();
        for (sum, (pieces, counts)) in before {
            for count in 1..=plate.count.min(MOST_PLATES) {
                let total = sum + u64::from(count) * each;
                if total > most {
                    break;
                }
                if sums.get(&total).is_none_or(|(fewest, _)| *fewest > pieces + count) {
                    let mut counts = counts.clone();
                    counts[kind] = count;
                    sums.insert(total, (pieces + count, counts));
                }
            }
        }
    }
    let off = |sum: &u64| (wanted_kg - kilograms(*sum)).abs();
    let best = sums.iter().min_by(|a, b| off(a.0).total_cmp(&off(b.0)).then(a.1.0.cmp(&b.1.0)));
    best.map_or_else(
        || Counterweight { counts: vec![0; plates.len()], kg: 0.0, short_kg: wanted_kg, pieces: 0 },
        |(sum, (pieces, counts))| Counterweight {
            counts: counts.clone(),
            kg: kilograms(*sum),
            short_kg: wanted_kg - kilograms(*sum),
            pieces: *pieces,
        },
    )
}

fn steps(kg: f64) -> u64 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "masses are small and not negative")]
    let steps = libm::round(kg.clamp(0.0, 1e6) * 100.0) as u64;
    steps
}

fn kilograms(steps: u64) -> f64 {
    steps as f64 / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const CART: [Plate; 3] = [Plate { kg: 12.5, count: 3 }, Plate { kg: 5.0, count: 2 }, Plate { kg: 1.25, count: 3 }];

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

    #[test]
    fn an_empty_cart_leaves_all_of_it() {
        let chosen = counterweights(&[], 20.0);
        assert_eq!((chosen.kg, chosen.short_kg, chosen.pieces), (0.0, 20.0, 0));
    }
}
