//! Remedies: what is offered makes the package hang, and nothing better was overlooked.

use crate::random::Random;
use crate::rigs;
use solver::Package;
use solver::finding::{Matter, Severity};
use solver::fit::fit;
use solver::package::{Anchor, Element, Mass, MassSource, Opening, PartKind, PartMass};
use solver::remedies::{Change, Kit, Remedy, candidates, remedies, remedies_with};
use solver::report::Report;

/// Whether the first screen finds nothing that keeps the package from hanging.
fn hangs(package: &Package) -> bool {
    let report = check(package);
    !report.findings.iter().any(|finding| {
        matches!(finding.matter, Matter::TooHeavy { .. } | Matter::OutOfTravel { .. } | Matter::NotNeutral { .. })
    })
}

fn check(package: &Package) -> Report {
    solver::check(package).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// The medium build, spoilt: heavy or light things at odd places, a flange off its hole, tight travel, a tired axis.
fn broken(seed: u64) -> Package {
    let mut random = Random::new(seed);
    let mut package = rigs::medium();
    package.active_lens = Some(rigs::LENSES[if random.unit() < 0.4 { 3 } else { 2 }].0);
    package.mount.flange_ahead_m += 0.01 * (random.between(-9.0, 9.0)).round();
    for part in &mut package.parts {
        if random.unit() < 0.12 {
            part.at.offset_m[0] += random.between(-0.1, 0.1);
            part.at.offset_m[1] += random.between(-0.08, 0.08);
        }
        if let PartMass::Own(mass) = &mut part.mass
            && random.unit() < 0.06
        {
            mass.kg *= random.between(0.5, 2.0);
        }
    }
    for element in &mut package.head.chain {
        if let Element::Slide(slide) = element
            && random.unit() < 0.5
        {
            let [low, high] = slide.range_m;
            let shorter = random.between(0.3, 0.9) * 0.5 * (high - low);
            slide.range_m = [slide.zero_m - shorter, slide.zero_m + shorter];
        }
    }
    package.head.payload_kg[1] = if random.unit() < 0.2 { random.between(12.0, 15.0) } else { 20.0 };
    package.quantised()
}

#[test]
fn a_package_that_hangs_needs_no_remedy() {
    assert!(hangs(&rigs::medium()));
    assert_eq!(remedies(&rigs::medium()).expect("valid"), []);
}

#[test]
fn applying_a_remedy_makes_it_hang() {
    let (mut mended, mut beyond_help) = (0, 0);
    for seed in 0..40 {
        let package = broken(seed);
        let found = remedies(&package).expect("valid");
        assert!(!hangs(&package) || found.is_empty(), "seed {seed} hangs already: {found:?}");
        for remedy in &found {
            assert!(hangs(&remedy.apply(&package)), "seed {seed}: {}", remedy.words);
        }
        for pair in found.windows(2) {
            assert!(place(&pair[0]) <= place(&pair[1]), "seed {seed}: {} before {}", pair[0].words, pair[1].words);
        }
        match (hangs(&package), found.is_empty()) {
            (false, false) => mended += 1,
            (false, true) => beyond_help += 1,
            _ => {}
        }
    }
    assert!(mended >= 10, "{mended} mended, {beyond_help} beyond help");
}

/// What is clamped to the end of the rods goes along when they slide: by itself the pair of rods moves the mark by 4 mm at
/// most, with the light on them by 14.
#[test]
fn rods_move_with_what_is_measured_from_their_end() {
    let mut package = rigs::medium();
    let rods = package.parts.iter_mut().find(|part| part.kind == PartKind::Rods).expect("rods");
    if let PartMass::Own(mass) = &mut rods.mass {
        mass.kg = 0.4;
    }
    let (id, mut light) = (rods.id, rods.clone());
    (light.id, light.name, light.kind, light.size_m) = (199, "Light".into(), PartKind::Other, [0.05, 0.05, 0.05]);
    (light.mass, light.at.from) =
        (PartMass::Own(Mass { kg: 1.0, from: MassSource::BenchScale, u_kg: None }), Anchor::RodsFront);
    package.parts.push(light);
    let target_m = |package: &Package| {
        check(package).slides.iter().find(|slide| slide.slide == "plate").expect("a plate").target_m.value
    };
    let high_m = target_m(&package) - 0.008;
    let plate = package.head.slides_mut().find(|slide| slide.id == "plate").expect("a plate");
    (plate.range_m, plate.mark_m) = ([0.0, high_m], high_m);
    let package = package.quantised();
    let kit = Kit { holes_each_way: 0, risers_m: vec![], rods_m: vec![], weights_kg: vec![], ..Kit::default() };
    let found = remedies_with(&package, &kit).expect("valid");
    let is_of_rods = |change: &Change| matches!(change, Change::Move { part, .. } if *part == id);
    let told = found.iter().any(|remedy| remedy.changes.len() == 1 && is_of_rods(&remedy.changes[0]));
    assert!(told, "{:?}", found.iter().map(|remedy| &remedy.words).collect::<Vec<_>>());
}

/// A remedy tells what no longer fits with it, whatever did not fit before is nothing new, and what fits comes first.
#[test]
fn a_remedy_tells_what_no_longer_fits() {
    let grave = |package: &Package| -> Vec<String> {
        let report = fit(package).unwrap_or_else(|faults| panic!("{faults:?}"));
        report.findings.iter().filter(|one| one.severity == Severity::NoGo).map(|one| one.part.clone()).collect()
    };
    let (mut fitting, mut other) = (0, 0);
    for seed in 0..40 {
        let mut package = broken(seed);
        // The narrowest opening in which it just turns clear, so that what is moved about has something to meet.
        let opening = |clear_radius_m: f64| Some(Opening { width_m: 0.5, height_m: [0.05, 0.5], clear_radius_m });
        let (mut narrow, mut wide) = (0.1, 1.0);
        for _ in 0..12 {
            let middle = 0.5 * (narrow + wide);
            package.head.opening = opening(middle);
            if grave(&package).is_empty() { wide = middle } else { narrow = middle }
        }
        package.head.opening = opening(wide);
        let before = grave(&package);
        let found = remedies_with(&package, &small_kit()).expect("valid");
        for remedy in &found {
            let after = grave(&remedy.apply(&package));
            let fresh = after.iter().any(|part| !before.contains(part));
            if fresh {
                assert!(!remedy.fits(), "seed {seed}: {}: {after:?}", remedy.words);
            }
            if after.is_empty() {
                assert!(remedy.fits(), "seed {seed}: {}: {:?}", remedy.words, remedy.unfit);
            }
            if remedy.fits() { fitting += 1 } else { other += 1 }
        }
        assert!(found.is_sorted_by_key(|remedy| !remedy.fits()), "seed {seed}: what fits comes first");
    }
    assert!(fitting > 10 && other >= 3, "{fitting} fit and {other} do not: the test says little");
}

/// What fits before what does not, then by rank.
fn place(remedy: &Remedy) -> (bool, (f64, f64, f64)) {
    (!remedy.fits(), rank(remedy))
}

/// Mass changed in storage steps, inertia, number of changes.
fn rank(remedy: &Remedy) -> (f64, f64, f64) {
    ((remedy.added_kg.abs() * 1e4).round(), remedy.inertia_kg_m2, remedy.changes.len() as f64)
}

/// A kit small enough to try everything.
fn small_kit() -> Kit {
    Kit {
        holes_each_way: 3,
        risers_m: vec![0.01, 0.02],
        rods_m: vec![0.3, 0.6],
        weights_kg: vec![0.25, 0.5],
        pieces: 1,
        move_step_m: 0.05,
        move_steps: 2,
        least_moved_kg: 0.35,
        ..Kit::default()
    }
}

/// Whether two different changes may stand in one remedy, written out once more.
fn pair(first: &Change, second: &Change) -> bool {
    use Change::{Hole, Move, Riser, Rods, TakeOff, Weight};
    match (first, second) {
        (Weight { at: one, .. }, Weight { at: other, .. }) => one != other,
        (TakeOff { part: one, .. }, TakeOff { part: other, .. }) => one != other,
        (Weight { .. }, TakeOff { .. })
        | (TakeOff { .. }, Weight { .. })
        | (Hole { .. }, Hole { .. })
        | (Riser { .. }, Riser { .. })
        | (Rods { .. }, Rods { .. })
        | (Move { .. }, Move { .. }) => false,
        _ => true,
    }
}

/// The best single change or pair, by trying every one of them through the first screen.
fn best_by_trying(package: &Package, kit: &Kit) -> Option<(f64, f64, f64)> {
    let over = check(package).mass.camera_kg.value > package.head.payload_kg[1];
    let singles = candidates(package, kit, over);
    let mut works = Vec::new();
    let mut best: Option<(f64, f64, f64)> = None;
    let mut consider = |changes: &[&Change]| {
        let changed = changes.iter().fold(package.clone(), |package, change| change.apply(&package));
        let report = check(&changed);
        let does_it = !report.findings.iter().any(|finding| {
            matches!(finding.matter, Matter::TooHeavy { .. } | Matter::OutOfTravel { .. } | Matter::NotNeutral { .. })
        });
        if does_it {
            let added_kg: f64 = changes.iter().map(|change| change.added_kg()).sum();
            let inertia = report.axes.iter().map(|axis| axis.inertia_kg_m2).sum();
            let rank = ((added_kg.abs() * 1e4).round(), inertia, changes.len() as f64);
            best = Some(best.map_or(rank, |best| if rank < best { rank } else { best }));
        }
        does_it
    };
    for single in &singles {
        works.push(consider(&[single]));
    }
    for (first, one) in singles.iter().enumerate() {
        for (second, other) in singles.iter().enumerate().skip(first + 1) {
            if pair(one, other) && !works[first] && !works[second] {
                consider(&[one, other]);
            }
        }
    }
    best
}

#[test]
fn nothing_better_was_overlooked() {
    let kit = small_kit();
    let mut compared = 0;
    for seed in 100..124 {
        let package = broken(seed);
        if hangs(&package) {
            continue;
        }
        let found = remedies_with(&package, &kit).expect("valid");
        match (found.first().map(rank), best_by_trying(&package, &kit)) {
            (Some(found), Some(tried)) => {
                assert_eq!((found.0, found.2), (tried.0, tried.2), "seed {seed}");
                assert!((found.1 - tried.1).abs() < 1e-9, "seed {seed}: {found:?} against {tried:?}");
                compared += 1;
            }
            (None, None) => {}
            other => panic!("seed {seed}: found and tried {other:?}"),
        }
    }
    assert!(compared >= 3, "only {compared} packages had a remedy");
}

#[test]
fn a_far_lens_is_mended_by_the_next_holes_back() {
    let mut package = rigs::medium();
    package.active_lens = Some(rigs::LONG_ZOOM);
    package.mount.flange_ahead_m = 0.12;
    assert!(!hangs(&package));
    let found = remedies(&package).expect("valid");
    let first = found.first().expect("a remedy");
    assert!(first.added_kg.abs() < 1e-12, "{}", first.words);
    assert!(found.iter().any(|remedy| matches!(remedy.changes[..], [Change::Hole { ahead_m, .. }] if ahead_m < 0.0)));
}
