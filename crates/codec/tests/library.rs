//! The built-in library: valid, typical, on storage steps, and with the sanity figures of a head that hangs.

use codec::library;
use solver::finding::Matter;
use solver::numbers::Numbers;
use solver::package::{Day, Head, Mass, MassSource, Mount, Package, PartMass, Reserve};
use solver::report::Hold;
use solver::{FieldPath, validate};

fn package_on(head: &Head) -> Package {
    Package {
        name: "All of the library".to_owned(),
        note: String::new(),
        demo: false,
        head: head.clone(),
        mount: Mount { flange_ahead_m: 0.0, flange_left_m: 0.0 },
        parts: library::parts().to_vec(),
        lenses: library::lenses().to_vec(),
        active_lens: None,
        moves: library::moves().iter().map(|each| library::move_for(each, head)).collect(),
        day: Day::default(),
        reserve: Reserve::default(),
        tune: None,
        arm: None,
        at_hand: None,
        logs: Vec::new(),
        balancing: None,
        structure: solver::package::Structure::default(),
        change_minutes: solver::package::ChangeMinutes::default(),
    }
}

#[test]
fn every_head_takes_every_library_item() {
    assert_eq!(library::heads().len(), 4);
    for head in library::heads() {
        let package = package_on(head);
        assert_eq!(validate(&package), Ok(()), "{}", head.name);
        assert!(head.typical, "{}", head.name);
    }
}

#[test]
fn the_demo_needs_none_of_what_the_page_loads_later() {
    // The page solves the demo before it can look for faults and before it can read logged balances.
    let demo = library::demo();
    assert_eq!(validate(&demo), Ok(()));
    assert!(demo.logs.is_empty());
    assert_eq!(solver::check(&demo), Ok(solver::check_sound(&demo)));
}

#[test]
fn library_numbers_are_whole_storage_steps() {
    for head in library::heads() {
        package_on(head).see_numbers(&mut FieldPath::root(), &mut |path, value, bounds| {
            assert!((bounds.quantise(value) - value).abs() < f64::EPSILON, "{path} {value}");
        });
    }
}

#[test]
fn everything_in_the_library_is_labelled_typical() {
    for part in library::parts() {
        if let PartMass::Own(mass) = &part.mass {
            assert_eq!(mass.from, MassSource::Typical, "{}", part.name);
        }
    }
    assert!(library::lenses().iter().all(|lens| lens.mass.from == MassSource::Typical));
}

#[test]
fn ids_are_unique() {
    let mut ids: Vec<u32> = library::parts().iter().map(|part| part.id).collect();
    ids.dedup();
    assert_eq!(ids.len(), library::parts().len());
}

#[test]
fn a_move_leaves_out_axes_that_the_head_has_not() {
    let two_axis = library::heads().iter().find(|head| head.joints().count() == 2).expect("the two-axis head");
    for template in library::moves() {
        let suited = library::move_for(template, two_axis);
        assert!(suited.operator.iter().all(|axis| axis.joint != "roll"));
        assert_eq!(suited.operator.len(), 2);
    }
}

fn camera(parts: &[&str], lens: &str, flange_ahead_m: f64, head: &Head) -> Package {
    let mut package = package_on(head);
    package.mount.flange_ahead_m = flange_ahead_m;
    package.parts.retain(|part| parts.contains(&part.name.as_str()));
    package.active_lens = package.lenses.iter().find(|each| each.name == lens).map(|lens| lens.id);
    package
}

/// Every head hangs a camera of its size with travel to spare: nothing is built into it that its slides cannot take.
#[test]
fn every_head_hangs_a_camera_of_its_size() {
    let heads = library::heads();
    let large =
        ["Large-format body", "Sliding plate", "Bridge plate", "Rods 19 mm, 450 long", "Rod matte box", "Pack 302 Wh"];
    for (head, parts, lens, flange_ahead_m) in [
        (&heads[0], &["Compact body", "Sliding plate", "Pack 98 Wh"][..], "Light prime", 0.03),
        (
            &heads[1],
            &["Standard body", "Sliding plate", "Bridge plate", "Rod tie", "Clip-on matte box", "Pack 173 Wh"][..],
            "Prime",
            0.0,
        ),
        (&heads[2], &large[..], "Long zoom", -0.05),
        (&heads[3], &large[..5], "Long zoom", -0.05),
    ] {
        let mut package = camera(parts, lens, flange_ahead_m, head);
        if lens == "Long zoom" {
            // Two bricks under the rods bring it to the payload that the larger heads are made for.
            let mut brick = library::parts().iter().find(|part| part.name == "Rod tie").expect("a part").clone();
            brick.id = 900;
            brick.mass = PartMass::Own(Mass { kg: 3.0, from: MassSource::Estimate, u_kg: None });
            package.parts.push(brick);
        }
        let report = solver::check(&package).expect("a valid package");
        for slide in &report.slides {
            assert!(slide.left_m > 0.005, "{}: {} has {} m left", head.name, slide.name, slide.left_m);
        }
        for axis in &report.axes {
            assert!(
                !matches!(axis.hold, Hold::Turns { .. }),
                "{}: {} turns, {:?}",
                head.name,
                axis.name,
                axis.residual_kg_m
            );
        }
    }
}

/// A head whose roll axis lies 20 mm off its tilt axis cannot be balanced by its slides, and says so.
#[test]
fn a_design_residual_is_found() {
    let text = include_str!("../../../tests/packages/heads/roll_axis_off.json");
    let head: Head = serde_json::from_str(text).expect("a head");
    let parts = ["Large-format body", "Bridge plate", "Rod matte box"];
    let report = solver::check(&camera(&parts, "Long zoom", -0.05, &head)).expect("a valid package");
    let turning: Vec<&str> = report
        .axes
        .iter()
        .filter(|axis| matches!(axis.hold, Hold::Turns { .. }))
        .map(|axis| axis.joint.as_str())
        .collect();
    // Rolled over, what hangs off the roll axis hangs off the pan axis too.
    assert_eq!(turning, ["roll", "pan"]);
    assert!(report.findings.iter().any(|finding| matches!(finding.matter, Matter::NotNeutral { .. })));
}

/// The chain hangs: with the demonstration's long zoom every slide reaches its mark, and the pan slide stands where
/// the moments of yokes and packs put it (computed by hand: (4.8·60 + 3.6·30 + 2·1.15·180)/(15.6 + 2.6 + 3.6) = 37 mm
/// ahead of its middle for 15.6 kg).
#[test]
fn the_demonstration_hangs() {
    let package = library::demo();
    let report = solver::check(&package).expect("the demonstration is valid");
    let camera_kg = report.mass.camera_kg.value;
    assert!((15.3..15.9).contains(&camera_kg), "{camera_kg}");
    let slide = |id: &str| report.slides.iter().find(|slide| slide.slide == id).expect("a slide");
    let moment = 4.8 * 0.060 + 3.6 * 0.030 + 2.0 * 1.15 * 0.180;
    let ahead_m = moment / (camera_kg + 2.6 + 3.6);
    assert!((slide("pan_slide").target_m.value - 0.070 - ahead_m).abs() < 1e-4);
    assert!((0.036..0.039).contains(&ahead_m), "{ahead_m}");
    for slide in &report.slides {
        assert!(slide.beyond_m.is_none() && slide.left_m > 0.010, "{}: {} left", slide.name, slide.left_m);
    }
}

#[test]
fn the_demonstration_fits_its_head_with_every_lens() {
    let mut package = library::demo();
    for lens in package.lenses.clone() {
        package.active_lens = Some(lens.id);
        let report = solver::fit(&package).expect("valid");
        let grave: Vec<_> =
            report.findings.iter().filter(|finding| finding.severity == solver::finding::Severity::NoGo).collect();
        assert!(grave.is_empty(), "{}: {grave:?}", lens.name);
    }
}
