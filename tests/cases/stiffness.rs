//! Stiffness of packages through its public door: closed forms, small changes, and changes put on and solved again.

use checks::build;
use serde_json::json;
use solver::Package;
use solver::answer::Answer;
use solver::constants::GRAVITY_M_S2;
use solver::explain::{AnswerId, explain};
use solver::finding::Severity;
use solver::finding_words::Metric;
use solver::package::{Part, PartMass, SensorOn};
use solver::stiffness::{
    DrawnWhat, Plane, StiffnessChange, StiffnessFinding, StiffnessMatter, StiffnessReport, StiffnessVerdict, stiffness,
};

fn known(package: &Package) -> StiffnessReport {
    match stiffness(package).expect("a sound package") {
        Answer::Known(report) => report,
        Answer::Needs(paths) => panic!("it needs {paths:?}"),
    }
}

fn hz(package: &Package) -> f64 {
    known(package).first_hz.value
}

/// A part of a kind at a distance from the flange, its size and mass exactly known.
fn part(id: u32, kind: &str, kg: f64, from: &str, offset_m: [f64; 3], size_m: [f64; 3]) -> Part {
    build::typed(json!({
        "id": id, "name": kind, "kind": kind, "mass": { "own": { "kg": kg, "from": "bench_scale", "u_kg": 0.0 } },
        "size_m": size_m, "cg": { "offset_m": [0.0, 0.0, 0.0], "from": "measured", "u_m": 0.0 },
        "at": { "place": "camera", "from": from, "offset_m": offset_m },
        "optical_axis_up_m": if kind == "body" { json!(0.07) } else { json!(null) },
    }))
}

/// A body alone, screwed to the head under its middle.
fn body_alone() -> Package {
    let mut package = build::package(vec![build::camera_place()]);
    package.parts = vec![part(1, "body", 3.0, "stack", [-0.1, 0.0, 0.0], [0.2, 0.14, 0.14])];
    package
}

/// Plate, body, rods with a support, lens, matte box.
fn whole() -> Package {
    let mut package = body_alone();
    package.parts.insert(0, part(2, "plate", 0.6, "stack", [-0.09, 0.0, 0.0], [0.16, 0.1, 0.02]));
    package.parts.push(part(3, "plate", 0.3, "stack", [-0.09, 0.0, 0.0], [0.12, 0.09, 0.02]));
    package.parts.push(part(4, "rods", 0.15, "flange", [0.1, 0.0, -0.085], [0.45, 0.123, 0.019]));
    package.parts.push(part(5, "support", 0.3, "flange", [0.2, 0.0, -0.07], [0.04, 0.11, 0.06]));
    package.parts.push(part(6, "front", 0.45, "lens_front", [0.045, 0.0, 0.0], [0.09, 0.15, 0.12]));
    package.lenses = vec![build::lens(1, 3.4, 0.12, 0.28, 0.114)];
    package.lenses[0].focal_length_m = Some([0.05, 0.25]);
    package.active_lens = Some(1);
    package
}

/// Makes one figure so many times as large.
type Change = fn(&mut Package, f64);

fn share(report: &StiffnessReport, name: &str) -> f64 {
    let plane = report.planes.iter().find(|plane| plane.plane == report.plane).expect("the first plane");
    plane.bends.iter().filter(|share| share.name.contains(name)).map(|share| share.share).sum()
}

#[test]
fn a_body_alone_rocks_on_its_fastening() {
    let mut package = body_alone();
    package.structure.fastening_nm_rad = Some(10_000.0);
    // Rocking by k about its foot, which also gives way by k/r² along, 30 mm half the distance of the screws.
    let (kg, up_m, k) = (3.0, 0.07, 10_000.0);
    let inertia = kg * (0.2_f64 * 0.2 + 0.14 * 0.14) / 12.0;
    let along = k / (0.03 * 0.03);
    // Two freedoms, shift s of the foot and turn θ: M = [m, −m·h; −m·h, m·h² + J], K = [k/r², 0; 0, k].
    let (a, b) =
        (kg * (kg * up_m * up_m + inertia) - kg * up_m * kg * up_m, -(kg * k + (kg * up_m * up_m + inertia) * along));
    let omega2 = (-b - (b * b - 4.0 * a * along * k).sqrt()) / (2.0 * a);
    let expected = omega2.sqrt() / core::f64::consts::TAU;
    let found = known(&package);
    let upright = found.planes.iter().find(|plane| plane.plane == Plane::Upright).expect("both planes");
    assert!((upright.hz.value / expected - 1.0).abs() < 1e-9, "{} against {expected}", upright.hz.value);
    // Level to lens up: the moment about the foot goes from −m·g·0 to m·g·h, for its middle stands over the foot.
    let turn = kg * GRAVITY_M_S2 * up_m / k;
    assert!((found.sag.body_rad.value / turn - 1.0).abs() < 1e-9, "{:?} against {turn}", found.sag.body_rad);
    assert!((found.sag.body_rad.u / turn - 0.15).abs() < 1e-9, "a stated figure is as good as an estimate");
}

/// A heavy lens on a weak mount and a body that hardly gives: f = √(k/(m·r² + J))/2π.
#[test]
fn a_long_lens_nods_on_its_mount() {
    let mut package = body_alone();
    package.lenses = vec![build::lens(1, 4.0, 0.5, 0.8, 0.1)];
    package.active_lens = Some(1);
    (package.structure.fastening_nm_rad, package.structure.lens_mount_nm_rad) = (Some(1e7), Some(2_000.0));
    let inertia = 4.0 * (3.0 * 0.05 * 0.05 + 0.8 * 0.8) / 12.0;
    let expected = (2_000.0_f64 / (4.0 * 0.25 + inertia)).sqrt() / core::f64::consts::TAU;
    let found = known(&package);
    // A mount of 27 mm radius gives way by k/r² as well: 27²/500² of it.
    assert!((found.first_hz.value / expected - 1.0).abs() < 3e-3, "{} against {expected}", found.first_hz.value);
    assert!(share(&found, "lens mount") > 0.99);
    assert_eq!(found.verdict, StiffnessVerdict::WillRing);
}

/// By hand: with a first mode of f ± u the rule's 4 and 2.5 are surely met where the crossover lies below (f − u)/4, and
/// surely not where it lies above (f + u)/2.5.
#[test]
fn a_limit_within_the_uncertainty_is_a_watch() {
    let mut package = whole();
    let hz = known(&package).first_hz;
    assert!(hz.u > 0.05 * hz.value, "typical joints leave a wide ±: {hz:?}");
    let [good_hz, ring_hz] = [(hz.value - hz.u) / 4.0, (hz.value + hz.u) / 2.5];
    for (crossover_hz, expected, words) in [
        (0.999 * good_hz, StiffnessVerdict::Good, ""),
        (1.001 * good_hz, StiffnessVerdict::Watch, "within its ± it may be too near"),
        (hz.value / 3.2, StiffnessVerdict::Watch, "The package may ring"),
        (0.999 * ring_hz, StiffnessVerdict::Watch, "The package will probably ring"),
        (1.001 * ring_hz, StiffnessVerdict::WillRing, "The package will ring"),
    ] {
        package.head.crossover_hz = crossover_hz;
        let report = known(&package);
        assert_eq!(report.verdict, expected, "{crossover_hz} Hz: {:?}", report.ratio);
        let mode = |finding: &&StiffnessFinding| !matches!(finding.matter, StiffnessMatter::IdleSupport { .. });
        let told = report.findings.iter().find(mode).map(|finding| finding.words(&Metric)).unwrap_or_default();
        assert!(told.contains(words) && told.is_empty() == words.is_empty(), "{crossover_hz} Hz: {told}");
    }
}

/// A support that hangs from a second pair above the lens holds nothing by the rods under it.
#[test]
fn a_support_on_another_pair_of_rods_carries_no_lens() {
    let mut package = whole();
    package.parts.push(part(7, "rods", 0.1, "flange", [0.1, 0.0, 0.12], [0.3, 0.123, 0.019]));
    assert!(share(&known(&package), "support") > 1e-3);
    let support = package.parts.iter_mut().find(|part| part.name == "support").expect("a support");
    support.at.offset_m[2] = 0.1;
    assert!(share(&known(&package), "support") < 1e-12);
}

#[test]
fn small_changes_of_every_figure_are_half_of_its_share() {
    let mut package = whole();
    let structure = &mut package.structure;
    (structure.fastening_nm_rad, structure.lens_mount_nm_rad) = (Some(40_000.0), Some(15_000.0));
    structure.support_n_m = Some(500_000.0);
    let report = known(&package);
    let by = |change: Change| {
        let at = |factor| {
            let mut changed = package.clone();
            change(&mut changed, factor);
            hz(&changed)
        };
        (at(1.001) - at(0.999)) / (0.002 * report.first_hz.value)
    };
    let cases: [(&str, Change); 3] = [
        ("fastening", |package, factor| package.structure.fastening_nm_rad = Some(40_000.0 * factor)),
        ("lens mount", |package, factor| package.structure.lens_mount_nm_rad = Some(15_000.0 * factor)),
        ("support", |package, factor| package.structure.support_n_m = Some(500_000.0 * factor)),
    ];
    for (name, change) in cases {
        let (slope, half) = (by(change), 0.5 * share(&report, name));
        assert!((slope - half).abs() < 1e-5 && half > 0.0, "{name}: {slope} against {half}");
    }
    // A mass that moves: half of its own share of the kinetic energy, as the arithmetic tells it.
    let slope = by(|package, factor| package.lenses[0].mass.kg *= factor);
    let term = explain(&package, &AnswerId::Stiffness).expect("sound").expect("known");
    let (all, lens) = (&term.of[1], term.of[1].of.iter().find(|row| row.label == "lens 1").expect("the lens swings"));
    let half = -0.5 * lens.value.expect("a number") / all.value.expect("a number");
    assert!((slope - half).abs() < 1e-5, "the lens: {slope} against {half}");
}

#[test]
fn the_arithmetic_gives_the_mode() {
    let term = explain(&whole(), &AnswerId::Stiffness).expect("sound").expect("known");
    let value = |index: usize| term.of[index].value.expect("a number");
    let quotient = (value(0) / value(1)).sqrt() / core::f64::consts::TAU;
    assert!((quotient / term.value.expect("a number") - 1.0).abs() < 1e-9);
    assert_eq!(term.value, Some(hz(&whole())));
}

#[test]
fn four_times_the_mass_is_half_the_frequency() {
    let (before, mut package) = (hz(&whole()), whole());
    for part in &mut package.parts {
        if let PartMass::Own(mass) = &mut part.mass {
            mass.kg *= 4.0;
        }
    }
    package.lenses[0].mass.kg *= 4.0;
    assert!((2.0 * hz(&package) / before - 1.0).abs() < 1e-9);
}

#[test]
fn stating_what_is_typical_changes_the_doubt_alone() {
    let (before, mut package) = (known(&whole()), whole());
    package.structure.fastening_nm_rad = Some(40_000.0);
    package.structure.lens_mount_nm_rad = Some(15_000.0);
    package.structure.support_n_m = Some(500_000.0);
    let after = known(&package);
    assert!((after.first_hz.value / before.first_hz.value - 1.0).abs() < 1e-12);
    assert!(after.first_hz.u < 0.7 * before.first_hz.u, "{:?} {:?}", after.first_hz, before.first_hz);
}

#[test]
fn neither_the_order_of_the_list_nor_the_side_matters() {
    let before = known(&whole());
    let mut package = whole();
    package.parts[3..].reverse();
    assert!((hz(&package) / before.first_hz.value - 1.0).abs() < 1e-9);
    package = whole();
    package.parts.push(part(7, "control", 0.4, "flange", [0.05, 0.08, 0.0], [0.1, 0.04, 0.06]));
    let left = known(&package);
    package.parts[6].at.offset_m[1] = -0.08;
    let right = known(&package);
    for (left, right) in left.planes.iter().zip(&right.planes) {
        assert!((left.hz.value / right.hz.value - 1.0).abs() < 1e-9, "{:?}", left.plane);
    }
}

#[test]
fn mass_lowers_and_stiffness_lifts() {
    let before = hz(&whole());
    let mut package = whole();
    package.parts.push(part(7, "front", 0.6, "lens_front", [0.02, 0.0, 0.0], [0.02, 0.1, 0.1]));
    assert!(hz(&package) < before);
    for stiffer in [
        |package: &mut Package| package.structure.fastening_nm_rad = Some(50_000.0),
        |package: &mut Package| package.structure.lens_mount_nm_rad = Some(20_000.0),
        |package: &mut Package| package.structure.support_n_m = Some(900_000.0),
        |package: &mut Package| package.structure.rod_wall_m = Some(0.004),
        |package: &mut Package| package.structure.rod_material = Some(solver::package::Material::Steel),
        |package: &mut Package| package.structure.plate_material = Some(solver::package::Material::Steel),
    ] {
        let mut package = whole();
        stiffer(&mut package);
        assert!(hz(&package) > before, "{:?}", package.structure);
    }
}

/// A support that stands beyond the lens, or on no rods, holds nothing, and that is said.
#[test]
fn a_support_holds_only_under_the_lens() {
    let holds = |ahead_m: f64| {
        let mut package = whole();
        package.parts[4].at.offset_m[0] = ahead_m;
        let idle = StiffnessMatter::IdleSupport { support: "support".to_owned() };
        !known(&package).findings.iter().any(|StiffnessFinding { matter, .. }| *matter == idle)
    };
    assert!(holds(0.2) && holds(0.27) && !holds(0.3) && !holds(-0.05));
    let mut package = whole();
    package.parts.retain(|part| part.id != 5);
    assert!(hz(&package) < hz(&whole()));
}

/// Every change that is told, put on the package and asked again, gives what was told.
#[test]
fn changes_do_what_they_promise() {
    let mut told = 0;
    for package in [whole(), body_alone(), codec::library::demo()] {
        let now = hz(&package);
        let report = known(&package);
        assert!(report.changes.windows(2).all(|pair| pair[0].first_hz >= pair[1].first_hz));
        for each in report.changes {
            assert!(each.first_hz > now && (each.gain - (each.first_hz / now - 1.0)).abs() < 1e-12);
            if each.change != StiffnessChange::BodyScrews {
                let then = hz(&each.change.applied(&package));
                assert!((then / each.first_hz - 1.0).abs() < 1e-9, "{:?}: {then} for {}", each.change, each.first_hz);
                told += 1;
            }
        }
    }
    assert!(told > 5, "only {told} changes were told");
}

/// As many plates and motors as a package may hold: an answer all the same, and no minutes of waiting for it.
#[test]
fn a_package_that_is_full_is_answered() {
    let mut package = whole();
    for id in 10..200 {
        package.parts.insert(0, part(id, "plate", 0.1, "stack", [-0.09, 0.0, 0.0], [0.1, 0.1, 0.001]));
    }
    for id in 200..390 {
        let ahead_m = 0.3 * f64::from(id - 200) / 190.0;
        package.parts.push(part(id, "support", 0.01, "flange", [ahead_m, 0.0, -0.08], [0.002, 0.1, 0.05]));
    }
    let report = known(&package);
    assert!(report.first_hz.value > 0.0 && report.first_hz.value < hz(&whole()));
}

/// What bends before the sensor is seen and corrected.
#[test]
fn a_sensor_on_the_body_sees_the_body_turn() {
    let sag = |sensor| {
        let mut package = whole();
        package.structure.sensor_on = sensor;
        known(&package).sag
    };
    let [head, plate, body] = [SensorOn::Head, SensorOn::Plate, SensorOn::Body].map(sag);
    assert_eq!(body.body_rad.value, 0.0);
    assert!(head.body_rad.value > plate.body_rad.value && plate.body_rad.value > 0.0);
    // The lens turns on its mount all the same: (f − flange depth)·θ of it is left, 50 mm where nobody has said.
    let left_m = (0.25 - 0.05) * body.lens_rad.value;
    let picture = |sag: &solver::stiffness::SagReport| sag.picture_m.known().expect("a focal length").value;
    assert!((picture(&body) - left_m).abs() < 1e-12, "{} against {left_m}", picture(&body));
    let all_m = 0.25 * head.body_rad.value + left_m;
    assert!((picture(&head) - all_m).abs() < 1e-12, "{} against {all_m}", picture(&head));
}

/// What a person reads names the frequency, what bends, and what would help.
#[test]
fn words_name_what_bends_and_what_helps() {
    let mut package = whole();
    (package.structure.lens_mount_nm_rad, package.head.crossover_hz) = (Some(1_500.0), 10.0);
    package.parts.retain(|part| part.id != 5);
    let report = known(&package);
    let words = report.findings[0].words(&Metric);
    assert_eq!(report.findings[0].severity, Severity::Watch);
    let (hz, best) = (report.first_hz.value, &report.changes[0]);
    for said in [
        "will ring".to_owned(),
        format!("{hz:.0} ± "),
        "What bends most: The lens mount.".to_owned(),
        format!("Put one more lens support on, 260 mm ahead of the flange: {:.0} Hz.", best.first_hz),
    ] {
        assert!(words.contains(&said), "\"{said}\" is not in: {words}");
    }
}

/// The drawing of a mode: nothing goes further than one, something does, and the front of the lens goes up or left.
#[test]
fn a_mode_is_drawn_to_one() {
    for package in [whole(), codec::library::demo()] {
        for plane in known(&package).planes {
            let size = |[u, w]: &[f64; 2]| (u * u + w * w).sqrt();
            let all: Vec<f64> = plane.lines.iter().flat_map(|line| line.moved.iter().map(size)).collect();
            assert!((all.iter().fold(0.0_f64, |largest, size| largest.max(*size)) - 1.0).abs() < 1e-12);
            let lens = plane.lines.iter().find(|line| line.what == DrawnWhat::Lens).expect("a lens is on");
            let front_m = lens.rest_m.iter().fold(f64::MIN, |front, [x, _]| front.max(*x));
            for (rest, moved) in lens.rest_m.iter().zip(&lens.moved) {
                assert!(rest[0] < front_m || moved[1] > 0.2, "{:?}: {rest:?} goes by {moved:?}", plane.plane);
            }
            let ends: Vec<_> = plane.lines.iter().filter(|line| line.what == DrawnWhat::Rods).collect();
            for pair in ends.windows(2) {
                let (last, next) = (pair[0].moved.last().expect("an end"), pair[1].moved[0]);
                assert!((last[1] - next[1]).abs() < 1e-9, "the rods are one line");
            }
        }
    }
}

#[test]
fn what_is_missing_is_named() {
    let mut package = whole();
    package.lenses[0].focal_length_m = None;
    let needs = |answer: &Answer<solver::answer::Estimate>| match answer {
        Answer::Needs(paths) => paths[0].to_string(),
        Answer::Known(known) => format!("{known:?}"),
    };
    assert_eq!(needs(&known(&package).sag.picture_m), "lenses[0].focal_length_m");
    assert_eq!(needs(&known(&whole()).sag.of_height), "structure.picture_height_m");
    package = whole();
    package.structure.picture_height_m = Some(0.02);
    let sag = known(&package).sag;
    let (shift, share) = (sag.picture_m.known().expect("known"), sag.of_height.known().expect("known"));
    assert!((share.value - 50.0 * shift.value).abs() < 1e-12);
    package.parts.retain(|part| part.id != 1);
    match stiffness(&package).expect("sound") {
        Answer::Needs(paths) => assert_eq!(paths[0].to_string(), "parts"),
        Answer::Known(report) => panic!("{report:?}"),
    }
}
