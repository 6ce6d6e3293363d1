//! A head of one's own: describing a built-in head from nothing, with what can be read off or measured, gives its marks.

use codec::library;
use solver::Package;
use solver::own_head::{AxisKind, add_slide, begin, carrier, move_slide};
use solver::package::{Element, Head, Joint};
use solver::report::{Hold, Report};

/// The head, described by somebody who sees only what is on the outside: axes and their order, distances, scales, what
/// holds and drives each axis, the place for packs. Masses of its yokes stay typical.
fn described(real: &Head) -> Head {
    let order: Vec<AxisKind> =
        real.joints().filter_map(|joint| AxisKind::ALL.into_iter().find(|kind| kind.id() == joint.id)).collect();
    let mut head = begin("My head", &order, real.payload_kg);
    for element in &mut head.chain {
        match element {
            Element::Joint(joint) => {
                let seen = real.joints().find(|each| each.id == joint.id).expect("the same axes");
                read_off(joint, seen);
            }
            Element::Place(place) => {
                let seen = real.places().find(|each| each.camera == place.camera).expect("the same places");
                (place.origin_m, place.id) = (seen.origin_m, seen.id.clone());
            }
            Element::Slide(_) | Element::Yoke(_) => {}
        }
    }
    head.chain.retain(|element| match element {
        Element::Slide(slide) => real.slides().any(|each| each.id == slide.id),
        _ => true,
    });
    for slide in head.slides_mut() {
        let scale = real.slides().find(|each| each.id == slide.id).expect("kept because it is there");
        (slide.range_m, slide.zero_m, slide.mark_m) = (scale.range_m, scale.zero_m, scale.mark_m);
    }
    head.opening.clone_from(&real.opening);
    head
}

fn read_off(joint: &mut Joint, seen: &Joint) {
    joint.position_m = seen.position_m;
    joint.limits_rad = seen.limits_rad;
    joint.drive.kind = seen.drive.kind;
    joint.drive.friction_nm = seen.drive.friction_nm;
    joint.drive.peak_nm = seen.drive.peak_nm;
    joint.drive.continuous_nm = seen.drive.continuous_nm;
    joint.drive.max_rate_rad_s = seen.drive.max_rate_rad_s;
}

/// The demo's camera on a head, as light as the head can carry.
fn on(head: &Head) -> Package {
    let mut package = library::demo();
    package.head = head.clone();
    for part in &mut package.parts {
        if let Some(load) = &mut part.load {
            load.tap = None;
        }
        if !package.head.places().any(|place| place.id == part.at.place) {
            let other = package.head.places().find(|place| !place.camera).expect("a place for packs");
            part.at.place.clone_from(&other.id);
        }
    }
    package.moves.clear();
    package.logs.clear();
    package.tune = None;
    package
}

fn check(package: &Package) -> Report {
    solver::check(package).unwrap_or_else(|faults| panic!("{}: {faults:?}", package.head.name))
}

#[test]
fn a_built_in_head_described_from_nothing_has_its_marks() {
    for real in library::heads() {
        let (real, own) = (check(&on(real)), check(&on(&described(real))));
        for slide in &real.slides {
            let same = own.slides.iter().find(|each| each.slide == slide.slide).expect("the same slides");
            assert!(
                (same.target_m.value - slide.target_m.value).abs() < 1e-9,
                "{}: {same:?} against {slide:?}",
                slide.name
            );
        }
        for (axis, same) in real.axes.iter().zip(&own.axes) {
            let holds = |hold: &Hold| matches!(hold, Hold::Holds { .. });
            assert_eq!(holds(&axis.hold), holds(&same.hold), "{}", axis.name);
        }
    }
}

#[test]
fn what_was_not_measured_shows_in_the_marks() {
    // The same, with one distance left typical: the check above is no empty one.
    let real = library::heads().iter().find(|head| head.name.contains("medium")).expect("a medium head");
    let mut own = described(real);
    for element in &mut own.chain {
        if let Element::Place(place) = element
            && place.camera
        {
            place.origin_m[2] += 0.01;
        }
    }
    let height = |head: &Head| {
        let report = check(&on(head));
        report.slides.iter().find(|slide| slide.slide == "height").map_or(f64::NAN, |slide| slide.target_m.value)
    };
    assert!((height(&own) - height(real) + 0.01).abs() < 1e-9);
}

#[test]
fn every_order_of_axes_makes_a_valid_head() {
    use AxisKind::{Pan, Roll, Tilt};
    for order in [
        &[Pan, Roll, Tilt][..],
        &[Pan, Tilt, Roll],
        &[Roll, Pan, Tilt],
        &[Tilt, Pan, Roll],
        &[Pan, Tilt],
        &[Tilt],
        &[Roll, Roll, Tilt],
        &[],
    ] {
        for payload_kg in [[1.0, 5.0], [6.0, 18.0], [15.0, 40.0]] {
            let head = begin("My head", order, payload_kg);
            let mut package = library::demo();
            package.head = head;
            (package.parts, package.lenses, package.active_lens) = (Vec::new(), Vec::new(), None);
            package.moves.clear();
            package.tune = None;
            let report = check(&package);
            assert_eq!(report.axes.len(), package.head.joints().count(), "{order:?}");
            assert_eq!(package.clone().quantised(), package, "{order:?}: entered numbers are whole storage steps");
        }
    }
}

#[test]
fn a_slide_goes_where_it_is_told() {
    let mut head = begin("My head", &AxisKind::ALL, [6.0, 18.0]);
    let before = head.slides().count();
    add_slide(&mut head, "roll");
    assert_eq!(head.slides().count(), before + 1);
    let added = head.slides().map(|slide| slide.id.clone()).find(|id| id.starts_with("slide_")).expect("it was added");
    assert_eq!(carrier(&head, &added), Some("roll"));
    move_slide(&mut head, &added, "tilt");
    assert_eq!(carrier(&head, &added), Some("tilt"));
    assert_eq!(carrier(&head, "pan_slide"), Some("pan"));
    assert_eq!(head.slides().count(), before + 1);
    // What carries the camera stays innermost.
    assert!(matches!(head.chain.last(), Some(Element::Place(place)) if place.camera));
}

/// Whatever the order of its axes, the head to begin with can hold a camera still, its slides long enough: a person is not
/// to look for a fault that the typical figures brought in.
#[test]
fn a_head_to_begin_with_hangs_in_every_order() {
    let mut orders: Vec<Vec<AxisKind>> = AxisKind::ALL.map(|kind| vec![kind]).to_vec();
    for length in 1..3 {
        let longer = orders.iter().filter(|order| order.len() == length);
        let longer = longer.flat_map(|order| {
            AxisKind::ALL
                .into_iter()
                .filter(|kind| !order.contains(kind))
                .map(|kind| [order.as_slice(), &[kind]].concat())
        });
        let longer: Vec<Vec<AxisKind>> = longer.collect();
        orders.extend(longer);
    }
    assert_eq!(orders.len(), 15);
    for order in orders {
        for payload_kg in [[1.0, 6.0], [6.0, 18.0], [15.0, 40.0]] {
            let mut head = begin("Mine", &order, payload_kg);
            for slide in head.slides_mut() {
                (slide.range_m, slide.zero_m, slide.mark_m) = ([0.0, 1.0], 0.5, 0.5);
            }
            let mut package = library::demo();
            let camera = |head: &Head| head.places().find(|place| place.camera).expect("a camera's place").id.clone();
            let theirs = camera(&package.head);
            package.parts.retain(|part| part.at.place == theirs);
            package.parts.iter_mut().for_each(|part| part.at.place = camera(&head));
            package.head = head;
            for part in &mut package.parts {
                if let Some(load) = &mut part.load {
                    load.tap = None;
                }
            }
            package.moves.clear();
            package.logs.clear();
            package.tune = None;
            for axis in check(&package).axes {
                assert!(matches!(axis.hold, Hold::Holds { .. }), "{order:?}: {} {:?}", axis.joint, axis.residual_kg_m);
            }
        }
    }
}
