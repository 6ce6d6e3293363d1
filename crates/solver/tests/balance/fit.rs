//! Fit: closed forms against turning the outlines a little at a time.

use nalgebra::Vector3;
use solver::Package;
use solver::finding::Severity;
use solver::finding_words::Metric;
use solver::fit;
use solver::fit::{FitReport, Obstacle, Sweep};
use solver::float;
use solver::package::{Anchor, Element, Opening, PartKind};
use solver::remedies::{Change, WeightPlace};

use crate::rigs;

fn fits(package: &Package) -> FitReport {
    fit(package).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn tilt(package: &Package) -> Sweep {
    fits(package).sweeps.into_iter().find(|sweep| sweep.joint == "tilt").expect("the head tilts")
}

/// One plain part in place of everything: its middle from the camera place, and its size.
fn alone(offset_m: [f64; 3], size_m: [f64; 3]) -> Package {
    let mut package = rigs::medium();
    package.active_lens = None;
    let mut part = package.parts.iter().find(|part| part.name == "Top handle").expect("there is a handle").clone();
    (part.at.from, part.at.offset_m, part.size_m) = (Anchor::Place, offset_m, size_m);
    part.name = "Thing".into();
    package.parts = vec![part];
    for element in &mut package.head.chain {
        match element {
            // Its own marks keep still, so that it stays where it was put.
            Element::Slide(slide) => slide.range_m = [slide.zero_m, slide.zero_m],
            Element::Place(place) if place.camera => place.origin_m = [0.0; 3],
            Element::Joint(joint) => joint.limits_rad = None,
            _ => {}
        }
    }
    package
}

#[test]
fn a_small_camera_turns_all_the_way_round() {
    let sweep = tilt(&alone([0.05, 0.0, 0.0], [0.2, 0.1, 0.1]));
    assert!(sweep.stops.iter().all(Option::is_none), "{sweep:?}");
    let corner_m = libm::hypot(0.15, 0.05);
    assert!((sweep.reach_m - corner_m).abs() < 1e-12, "{sweep:?}");
}

/// The first angle either way at which a fine net of points on the outline touches, turning 0.1° at a time.
fn by_turning(offset_m: [f64; 3], size_m: [f64; 3], clear_m: f64) -> [f64; 2] {
    let touches = |angle_deg: f64| {
        let (sin, cos) = float::sin_cos(angle_deg.to_radians());
        let steps = 80_u32;
        (0..=steps).any(|i| {
            (0..=steps).any(|j| {
                let along =
                    |step: u32, middle: f64, size: f64| middle + size * (f64::from(step) / f64::from(steps) - 0.5);
                let (x, z) = (along(i, offset_m[0], size_m[0]), along(j, offset_m[2], size_m[2]));
                // A right-handed turn about y: z goes to x.
                let turned = Vector3::new(x * cos + z * sin, 0.0, z * cos - x * sin);
                let from_base_deg = float::atan2(turned.x, turned.z).to_degrees();
                // The base is above, the roll yoke behind: the arms stand between, 10° wider on either side.
                let in_arms = (-100.0..=10.0).contains(&from_base_deg);
                (turned.norm() > clear_m && in_arms) || turned.z > 0.36
            })
        })
    };
    let first = |sign: f64| {
        (0..1_800)
            .map(|step| sign * 0.1 * f64::from(step))
            .find(|angle_deg| touches(*angle_deg))
            .unwrap_or(sign * 180.0)
    };
    [first(-1.0).to_radians(), first(1.0).to_radians()]
}

#[test]
fn closed_form_agrees_with_turning_a_little_at_a_time() {
    for (offset_m, size_m) in [
        ([0.2, 0.0, 0.0], [0.5, 0.1, 0.12]),
        ([0.15, 0.0, -0.1], [0.6, 0.1, 0.05]),
        ([0.1, 0.0, -0.25], [0.2, 0.1, 0.3]),
        ([0.3, 0.0, 0.05], [0.9, 0.1, 0.1]),
    ] {
        let found = tilt(&alone(offset_m, size_m));
        let turned = by_turning(offset_m, size_m, 0.33);
        for end in 0..2 {
            let off_deg = (found.free_rad[end] - turned[end]).to_degrees().abs();
            assert!(off_deg < 1.0, "{offset_m:?} {size_m:?}: {found:?} against {turned:?}");
        }
        assert!(found.stops.iter().all(Option::is_some), "{found:?}");
    }
}

#[test]
fn what_touches_at_rest_leaves_nothing() {
    let package = alone([-0.3, 0.0, 0.0], [0.3, 0.1, 0.1]);
    let sweep = tilt(&package);
    assert_eq!(sweep.stops[0].as_ref().map(|stop| stop.against), Some(Obstacle::Arm));
    assert!(sweep.free_rad.iter().all(|free_rad| free_rad.abs() < 1e-12));
    let report = fits(&package);
    assert!(report.findings.iter().any(|each| each.severity == Severity::NoGo && each.part == "Thing"));
}

#[test]
fn without_an_opening_only_the_platform_stops_it() {
    let mut package = alone([0.3, 0.0, 0.0], [0.3, 0.1, 0.1]);
    package.head.opening = None;
    let sweep = tilt(&package);
    assert!(sweep.stops.iter().flatten().all(|stop| stop.against == Obstacle::Platform), "{sweep:?}");
    // The far upper corner first reaches 0.36 m above the axis on the way up: nose up is a negative turn about y.
    let corner_m: f64 = libm::hypot(0.45, 0.05);
    let up_rad = 0.5 * core::f64::consts::PI - float::acos(0.36 / corner_m) - float::atan2(0.05, 0.45);
    assert!((sweep.free_rad[0] + up_rad).abs() < 1e-9, "{sweep:?}, {up_rad}");
}

#[test]
fn rods_end_ten_millimetres_beyond_the_last_clamp() {
    let mut package = rigs::medium();
    let support = package.parts.iter().position(|part| part.name == "Receiver").expect("there is a receiver");
    let part = &mut package.parts[support];
    (part.kind, part.name) = (PartKind::Support, "Lens support".into());
    (part.at.from, part.at.offset_m, part.size_m) = (Anchor::Flange, [0.35, 0.0, -0.07], [0.04, 0.11, 0.08]);
    let report = fits(&package);
    let rods = report.rods.first().expect("there are rods");
    // Middle 0.09 m ahead and 0.45 m long: they end at 0.315 m. Clamp at 0.35, half its width, and 10 mm.
    assert!((rods.front_m - 0.315).abs() < 1e-12);
    assert!((rods.needed_m.expect("something clamps") - 0.38).abs() < 1e-12, "{rods:?}");
    assert!((rods.length_needed_m.expect("something clamps") - 0.515).abs() < 1e-12);
    assert_eq!(rods.furthest.as_deref(), Some("Lens support"));
    assert!(
        report
            .findings
            .iter()
            .any(|each| each.severity == Severity::NoGo && each.words(&Metric).contains("65 mm short"))
    );
}

/// A short pair on a top rail: what stands on the lower rods does not make it too short, what hangs from it does.
#[test]
fn a_support_clamps_on_the_pair_that_it_reaches() {
    let mut package = rigs::medium();
    let mut top = package.parts.iter().find(|part| part.kind == PartKind::Rods).expect("there are rods").clone();
    (top.id, top.name, top.size_m[0]) = (50, "Top rods".into(), 0.15);
    (top.at.from, top.at.offset_m) = (Anchor::Flange, [0.0, 0.0, 0.13]);
    package.parts.push(top);
    let support = package.parts.iter_mut().find(|part| part.name == "Receiver").expect("there is a receiver");
    (support.kind, support.name) = (PartKind::Support, "Lens support".into());
    (support.at.from, support.at.offset_m, support.size_m) = (Anchor::Flange, [0.35, 0.0, -0.07], [0.04, 0.11, 0.08]);
    let furthest = |package: &Package| {
        let rods = fits(package).rods;
        ["Rods", "Top rods"].map(|name| rods.iter().find(|row| row.name == name).expect("a pair").furthest.clone())
    };
    let is = |name: &str| Some(name.to_owned());
    assert_eq!(furthest(&package), [is("Lens support"), None]);
    // Between the two and touching neither, it stands on the nearer.
    for (up_m, expected) in [(-0.03, [is("Lens support"), None]), (0.07, [is("Iris motor"), is("Lens support")])] {
        let support = package.parts.iter_mut().find(|part| part.name == "Lens support").expect("it is there");
        (support.at.offset_m[2], support.size_m[2]) = (up_m, 0.05);
        assert_eq!(furthest(&package), expected, "{up_m} m");
    }
    let short = |part: &str| fits(&package).findings.iter().any(|each| each.part == part);
    assert!(short("Top rods") && !short("Rods"));
}

#[test]
fn a_matte_box_clamps_at_its_rear() {
    let mut package = rigs::medium();
    let matte_box = package.parts.iter_mut().find(|part| part.name == "Matte box").expect("there is a matte box");
    matte_box.size_m[2] = 0.2;
    let rods = fits(&package).rods.remove(0);
    // Its middle 25 mm ahead of the front of a lens of 190 mm, 90 mm long: its rear at 170 mm; 25 mm of bracket, 10 mm.
    assert_eq!(rods.furthest.as_deref(), Some("Matte box"));
    assert!((rods.needed_m.expect("it clamps") - 0.205).abs() < 1e-12, "{rods:?}");
}

#[test]
fn what_is_drawn_is_what_was_swept() {
    let report = fits(&rigs::medium());
    for sweep in &report.sweeps {
        let far_m = |outline: &solver::fit::Outline| {
            let across_m = outline.low_m[0].abs().max(outline.high_m[0].abs());
            libm::hypot(across_m, outline.low_m[1].abs().max(outline.high_m[1].abs()))
        };
        let furthest = sweep.outlines.iter().find(|outline| outline.part == sweep.furthest).expect("it is drawn");
        // A cylinder seen from its end is round: its box reaches further.
        assert!(far_m(furthest) >= sweep.reach_m - 1e-12, "{}", sweep.name);
        assert!((sweep.base_m[1] - 0.36).abs() < 1e-12, "{}: {:?}", sweep.name, sweep.base_m);
    }
    let turning = report.rods[0].turning.as_ref().expect("tilt lies across the lens");
    assert_eq!((turning.joint.as_str(), turning.outlines.len()), ("tilt", 1));
}

#[test]
fn a_fat_lens_comes_too_near_to_the_rods() {
    let mut package = rigs::medium();
    // Rods 90 mm under the axis, 19 mm thick: 80.5 mm to their top.
    let air_m = |package: &Package| fits(package).rods[0].lens_air_m.expect("a lens above rods");
    assert!((air_m(&package) - (0.0805 - 0.057)).abs() < 1e-9, "{}", air_m(&package));
    for lens in &mut package.lenses {
        lens.diameter_m = 0.155;
    }
    assert!((air_m(&package) - 0.003).abs() < 1e-9);
    assert!(
        fits(&package)
            .findings
            .iter()
            .any(|each| each.severity == Severity::Watch && each.words(&Metric).contains("3 mm of air"))
    );
}

#[test]
fn body_and_plates_need_room_in_the_opening() {
    let mut package = rigs::medium();
    let roomy = fits(&package).opening.expect("there is an opening");
    assert!((roomy.height_needed_m - (0.015 + 0.03 + 0.17)).abs() < 1e-12);
    package.head.opening = Some(Opening { width_m: 0.15, height_m: [0.1, 0.2], clear_radius_m: 0.33 });
    let report = fits(&package);
    let no_go = |words: &str| {
        report
            .findings
            .iter()
            .any(|each| each.severity == Severity::NoGo && each.part == "Body" && each.words(&Metric).contains(words))
    };
    assert!(no_go("too wide") && no_go("15 mm too high"), "{:?}", report.findings);
}

/// A weight hung beside the body goes between the arms too; one on top of it does not.
#[test]
fn what_hangs_beside_the_body_needs_room_in_the_opening() {
    let mut package = rigs::medium();
    package.head.opening = Some(Opening { width_m: 0.2, height_m: [0.1, 0.3], clear_radius_m: 0.33 });
    let widest = |at: WeightPlace| fits(&Change::Weight { kg: 0.1, at }.apply(&package)).opening.expect("an opening");
    let (bare, top, right) =
        (fits(&package).opening.expect("one"), widest(WeightPlace::Top), widest(WeightPlace::Right));
    assert_eq!((bare.widest.as_str(), top.widest.as_str()), ("Body", "Body"));
    assert_eq!(right.widest, "Trim weight 0.1 kg");
    // 40 mm of weight on one side, twice, less what the side slide moves for it.
    assert!((0.06..0.081).contains(&(right.width_needed_m - bare.width_needed_m)), "{right:?} {bare:?}");
    let report = fits(&Change::Weight { kg: 0.1, at: WeightPlace::Right }.apply(&package));
    assert!(report.findings.iter().any(|each| each.severity == Severity::NoGo && each.part == "Trim weight 0.1 kg"));
}

/// An axis whose limits leave it no turn is held, and meets nothing.
#[test]
fn a_locked_axis_meets_nothing() {
    let mut package = rigs::medium();
    let before = fits(&package).findings.len();
    for element in &mut package.head.chain {
        if let Element::Joint(joint) = element {
            joint.limits_rad = Some([0.0, 0.0]);
        }
    }
    let report = fits(&package);
    assert!(report.sweeps.iter().all(|sweep| sweep.free_rad == [0.0, 0.0]), "{:?}", report.sweeps);
    let nameless: Vec<_> = report.findings.iter().filter(|finding| finding.part.is_empty()).collect();
    assert!(nameless.is_empty() && report.findings.len() <= before, "{nameless:?}");
}
