//! The grip's numbers and the ladder of a whole package.

use crate::rigs;
use solver::constants::GRAVITY_M_S2;
use solver::grip::{ArmReport, arm, load};
use solver::package::{Arm, PartKind, Plate, WeightedFor};
use solver::{Package, ladder};

fn jib() -> Arm {
    let plates = vec![Plate { kg: 10.0, count: 8.0 }, Plate { kg: 2.5, count: 4.0 }, Plate { kg: 1.0, count: 4.0 }];
    Arm { head_length_m: 3.0, weight_length_m: 1.2, empty_kg: 14.0, plates, weighted: None }
}

fn on_the_jib(package: &Package) -> Package {
    Package { arm: Some(jib()), ..package.clone() }
}

fn report(package: &Package) -> ArmReport {
    arm(package).expect("valid").expect("an arm is stated")
}

#[test]
fn the_arm_balances_about_its_pivot() {
    let package = on_the_jib(&rigs::medium());
    let found = report(&package);
    let on_it = load(&package).expect("valid").all_up_kg;
    // Moments about the pivot: what the empty arm needs aside, both ends pull alike.
    let weights_nm = (found.exact_kg.value - 14.0) * GRAVITY_M_S2 * 1.2;
    assert!((weights_nm - found.moment_nm.value).abs() < 1e-9);
    assert!((found.exact_kg.u - on_it.u * 2.5).abs() < 1e-12);
    assert!(found.weights.short_kg.abs() <= 0.5 + 1e-9, "{:?}", found.weights);
    assert_eq!(found.change_kg, None);
    assert_eq!(arm(&rigs::medium()).expect("valid"), None);
}

#[test]
fn another_lens_changes_the_counterweight_by_its_lever() {
    let mut package = on_the_jib(&rigs::medium());
    let before_kg = load(&package).expect("valid").all_up_kg.value;
    if let Some(arm) = &mut package.arm {
        arm.weighted = Some(WeightedFor { name: "Anamorphic".into(), all_up_kg: before_kg });
    }
    package.active_lens = Some(rigs::LONG_ZOOM);
    let heavier_kg = load(&package).expect("valid").all_up_kg.value - before_kg;
    // The cables are a twentieth of everything on the camera side.
    assert!((heavier_kg - 1.05 * (5.6 - 2.62)).abs() < 1e-9, "{heavier_kg}");
    assert!((report(&package).change_kg.expect("there was a before") - 2.5 * heavier_kg).abs() < 1e-9);
}

#[test]
fn an_arm_without_sense_is_named() {
    let without_sense = Arm { weight_length_m: 0.0, plates: vec![Plate { kg: -1.0, count: 2.0 }], ..jib() };
    let faults = arm(&Package { arm: Some(without_sense), ..rigs::medium() }).expect_err("two faults");
    let fields: Vec<String> = faults.iter().map(|fault| fault.field.to_string()).collect();
    assert_eq!(fields, ["arm.weight_length_m", "arm.plates[0].kg"]);
}

#[test]
fn side_area_grows_with_the_lens_and_leaves_out_what_is_sheltered() {
    let mut package = rigs::medium();
    let prime = load(&package).expect("valid");
    package.active_lens = Some(rigs::LONG_ZOOM);
    let zoom = load(&package).expect("valid");
    let longer_m2 = (0.38 - 0.19) * 0.114;
    assert!((zoom.side_area_m2 - prime.side_area_m2 - longer_m2).abs() < 1e-9);
    for part in &mut package.parts {
        part.drag.sheltered = true;
    }
    // Only the lens is left: it shelters nowhere.
    assert!((load(&package).expect("valid").side_area_m2 - 0.38 * 0.114).abs() < 1e-12);
    // Of a pair of rods the wind finds both, as the torque counts them.
    let rods = &mut package.parts[0];
    (rods.shape, rods.size_m, rods.drag.sheltered) = (solver::package::Shape::RodPair, [0.5, 0.1, 0.019], false);
    let both_m2 = 2.0 * 0.5 * 0.019;
    assert!((load(&package).expect("valid").side_area_m2 - 0.38 * 0.114 - both_m2).abs() < 1e-12);
}

#[test]
fn a_filter_moves_the_plate_by_its_moment_over_the_mass() {
    let package = rigs::medium();
    let rungs = ladder(&package).expect("valid");
    let filter = rungs.iter().find(|rung| rung.name == "Filter").expect("the build has a filter");
    assert!(filter.rides && (filter.mass_kg - 0.15).abs() < 1e-12);
    // Taken off, the nose is lighter and the plate goes forward.
    let plate = filter.marks.iter().find(|mark| mark.slide == "plate").expect("the head has a plate");
    assert!(plate.change_m > 0.001 && plate.change_m < 0.006, "{}", plate.change_m);
    // The same through the first screen.
    let mut without = package.clone();
    without.parts.iter_mut().filter(|part| part.name == "Filter").for_each(|part| part.on = false);
    let target = |package| {
        let report = solver::check(package).expect("valid");
        report.slides.iter().find(|slide| slide.slide == "plate").map_or(f64::NAN, |slide| slide.target_m.value)
    };
    assert!((target(&without) - target(&package) - plate.change_m).abs() < 1e-9);
    // Body, plates and rods are no rungs, and the longest step comes first.
    let structure = [PartKind::Body, PartKind::Plate, PartKind::Rods];
    let named = |name: &str| package.parts.iter().find(|part| part.name == name).map(|part| part.kind);
    assert!(rungs.iter().all(|rung| named(&rung.name).is_some_and(|kind| !structure.contains(&kind))));
    let largest = |index: usize| rungs[index].marks.iter().map(|mark| mark.change_m.abs()).fold(0.0, f64::max);
    assert!((1..rungs.len()).all(|index| largest(index - 1) >= largest(index)));
}
