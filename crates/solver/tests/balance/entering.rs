//! Entering: parts know their place, rods know their length, and what has been weighed is at hand again.

use solver::Package;
use solver::entering::{OwnKit, cut_rods, free_id, put_lens, put_part, rod_length};
use solver::layout::{Layout, Of};
use solver::package::{Anchor, MassSource, Part, PartId, PartKind, PartMass};

use crate::rigs;

fn named<'a>(package: &'a Package, name: &str) -> &'a Part {
    package.parts.iter().find(|part| part.name == name).unwrap_or_else(|| panic!("there is no {name}"))
}

/// Middle of a part ahead of the lens mount, in it and above it, m.
fn from_mount_m(package: &Package, id: PartId) -> [f64; 3] {
    let layout = Layout::new(package);
    let index = package.parts.iter().position(|part| part.id == id).expect("it is on the list");
    let body = layout.bodies.iter().find(|body| body.of == Of::Part(index)).expect("it rides");
    (body.centre_m - layout.flange_m).into()
}

#[test]
fn a_new_id_is_no_known_one() {
    assert_eq!(free_id([].into_iter()), 1);
    assert_eq!(free_id([3, 7, 5].into_iter()), 8);
    assert_eq!(free_id([1, u32::MAX, 2].into_iter()), 3);
}

#[test]
fn motors_and_matte_box_follow_the_lens() {
    let mut package = rigs::medium();
    let (motor, box_) = (named(&package, "Focus motor").clone(), named(&package, "Matte box").clone());
    let (motor, box_) = (put_part(&mut package, &motor), put_part(&mut package, &box_));
    for lens in package.lenses.clone() {
        package.active_lens = Some(lens.id);
        let ring_m = lens.rings.focus_m.expect("every lens here has a focus ring");
        assert!((from_mount_m(&package, motor)[0] - ring_m).abs() < 1e-12);
        assert!((from_mount_m(&package, box_)[0] - lens.length_m - 0.025).abs() < 1e-12);
    }
}

#[test]
fn what_is_measured_from_the_end_of_the_rods_goes_with_it() {
    let mut package = rigs::medium();
    let mut tie = named(&package, "Top handle").clone();
    (tie.kind, tie.at.from, tie.at.offset_m) = (PartKind::Support, Anchor::RodsFront, [-0.03, 0.0, 0.0]);
    let tie = put_part(&mut package, &tie);
    // The rods are 450 mm long and their middle is 90 mm ahead of the mount and 90 mm under it.
    let [ahead_m, _, up_m] = from_mount_m(&package, tie);
    assert!((ahead_m - (0.09 + 0.225 - 0.03)).abs() < 1e-12 && (up_m + 0.09).abs() < 1e-12);
    let rods = named(&package, "Rods").id;
    cut_rods(&mut package, rods, 0.5);
    assert!((from_mount_m(&package, tie)[0] - (0.09 + 0.225 + 0.05 - 0.03)).abs() < 1e-12);
    assert!(named(&package, "Rods").at.from == Anchor::Flange);
}

#[test]
fn what_is_measured_from_the_plate_goes_with_it() {
    let mut package = rigs::medium();
    let mut bracket = named(&package, "Top handle").clone();
    (bracket.at.from, bracket.at.offset_m) = (Anchor::PlateFront, [0.02, 0.0, 0.01]);
    let bracket = put_part(&mut package, &bracket);
    // The bridge plate, uppermost, is 200 mm long with its middle 80 mm behind the mount; the axis is 80 mm above it.
    let [ahead_m, _, up_m] = from_mount_m(&package, bracket);
    assert!((ahead_m - (-0.08 + 0.1 + 0.02)).abs() < 1e-12, "{ahead_m}");
    assert!((up_m - (-0.08 + 0.01)).abs() < 1e-12, "{up_m}");
}

#[test]
fn a_second_pane_and_a_second_pack_find_room() {
    let mut package = rigs::medium();
    let filter = named(&package, "Filter").clone();
    let mut pack = named(&package, "Pack left").clone();
    package.parts.retain(|part| part.kind != PartKind::Pack);
    pack.at.offset_m[1] = 0.0;
    let second = put_part(&mut package, &filter);
    let third = put_part(&mut package, &filter);
    let ahead_m: Vec<f64> = [filter.id, second, third].map(|id| from_mount_m(&package, id)[0]).into();
    assert!(ahead_m[1] - ahead_m[0] >= 0.004 && ahead_m[2] - ahead_m[1] >= 0.004, "{ahead_m:?}");
    let (one, other) = (put_part(&mut package, &pack), put_part(&mut package, &pack));
    let sideways_m = [one, other].map(|id| from_mount_m(&package, id)[1]);
    assert!((sideways_m[0] + sideways_m[1]).abs() < 1e-12, "{sideways_m:?}");
    assert!(sideways_m[0] - sideways_m[1] >= pack.size_m[1], "{sideways_m:?}");
    assert_eq!(package.parts.iter().filter(|part| part.name.starts_with("Filter")).count(), 3);
    assert_eq!(named(&package, "Filter 3").id, third);
    assert!(solver::check(&package.quantised()).is_ok());
}

#[test]
fn rods_know_the_length_that_they_need() {
    let mut package = rigs::medium();
    let rods = named(&package, "Rods").id;
    let mut support = named(&package, "Top handle").clone();
    (support.kind, support.at.from, support.at.offset_m) = (PartKind::Support, Anchor::Flange, [0.4, 0.0, -0.08]);
    support.size_m = [0.04, 0.1, 0.08];
    put_part(&mut package, &support);
    let length = rod_length(&package, rods).expect("a support clamps on them");
    // Tail 135 mm behind the mount; the support ends 420 mm ahead of it, and rods stand out 10 mm: 565, cut at 570.
    assert!((length.needed_m - 0.57).abs() < 1e-9, "{length:?}");
    assert!(length.short() && length.furthest.starts_with("Top handle"), "{length:?}");
    let PartMass::Own(before) = named(&package, "Rods").mass.clone() else { panic!("rods have a mass") };
    cut_rods(&mut package, rods, length.needed_m);
    let after = rod_length(&package, rods).expect("a support clamps on them");
    assert!(!after.short() && (after.needed_m - after.length_m).abs() < 1e-9, "{after:?}");
    let PartMass::Own(mass) = &named(&package, "Rods").mass else { panic!("rods have a mass") };
    assert!((mass.kg / before.kg - 0.57 / 0.45).abs() < 1e-9, "a typical mass goes with the length");
}

#[test]
fn the_first_lens_goes_on_and_every_lens_gets_a_name_of_its_own() {
    let mut package = rigs::medium();
    let lens = package.lenses[0].clone();
    package.lenses.clear();
    package.active_lens = None;
    let first = put_lens(&mut package, &lens);
    let second = put_lens(&mut package, &lens);
    assert_eq!(package.active_lens, Some(first));
    assert_ne!(first, second);
    assert_eq!(package.lenses[1].name, format!("{} 2", lens.name));
}

#[test]
fn what_has_been_weighed_is_in_the_kit_and_the_newest_counts() {
    let weighed = |package: &mut Package, name: &str, kg: f64| {
        let part = package.parts.iter_mut().find(|part| part.name == name).expect("it is on the list");
        if let PartMass::Own(mass) = &mut part.mass {
            (mass.kg, mass.from) = (kg, MassSource::LuggageScale);
        }
    };
    let invented = rigs::medium();
    let (mut newer, mut older) = (rigs::medium(), rigs::medium());
    weighed(&mut newer, "Monitor", 0.475);
    weighed(&mut older, "Monitor", 0.5);
    weighed(&mut older, "Receiver", 0.233);
    let kit = OwnKit::gather([&newer, &older].into_iter(), &invented);
    let kg = |name: &str| {
        let part = kit.parts.iter().find(|part| part.name == name)?;
        if let PartMass::Own(mass) = &part.mass { Some(mass.kg) } else { None }
    };
    assert_eq!((kg("Monitor"), kg("Receiver")), (Some(0.475), Some(0.233)));
    // The body's mass is weighed in the demonstration itself: nobody's own.
    assert_eq!(kit.parts.len(), 2, "{:?}", kit.parts);
    assert!(kit.lenses.is_empty());
}
