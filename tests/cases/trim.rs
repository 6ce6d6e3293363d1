//! Trim weights that make lighter lenses match the heaviest: tried against every weight and every pair, one after the
//! other, through the first screen's own check.

use solver::Package;
use solver::finding::Severity;
use solver::fit::FitFinding;
use solver::lens_set::trim::{LensTrim, TUNE_SHARE, trim_weights};
use solver::package::{AtHand, DriveKind, Element, LensId};
use solver::remedies::{Change, Kit, WeightPlace, candidates};
use solver::report::Hold;
use solver::stiffness::StiffnessMatter;

/// A package with one lens on, on a head without slides that is built as the head stands at the marks of another.
fn kept(package: &Package, lens: LensId, marks_of: LensId) -> Package {
    let mut at = package.clone();
    at.active_lens = Some(marks_of);
    let marks = solver::check(&at).expect("a valid package").slides;
    at.active_lens = Some(lens);
    // What stands later in the chain rides on what stands before, as far as the next joint.
    let mut shift_m = [0.0; 3];
    at.head.chain.retain_mut(|element| {
        let at_m = match element {
            Element::Slide(slide) => {
                let mark = marks.iter().find(|mark| mark.slide == slide.id).expect("every slide");
                for (shift_m, along) in shift_m.iter_mut().zip(slide.direction) {
                    *shift_m += along * (mark.target_m.value - slide.zero_m);
                }
                return false;
            }
            Element::Joint(joint) => &mut joint.position_m,
            Element::Yoke(yoke) => &mut yoke.cg.offset_m,
            Element::Place(place) => &mut place.origin_m,
        };
        for (at_m, shift_m) in at_m.iter_mut().zip(shift_m) {
            *at_m += shift_m;
        }
        if matches!(element, Element::Joint(_)) {
            shift_m = [0.0; 3];
        }
        true
    });
    at
}

/// What a set of weights comes to at the marks of the heaviest.
struct Tried {
    kg: f64,
    /// Worst of unbalance ÷ what friction holds and change of inertia ÷ what the tune allows.
    used: f64,
    inertia_change: f64,
    carried: bool,
    package: Package,
}

impl Tried {
    fn matches(&self) -> bool {
        self.carried && self.used <= 1.0
    }
}

fn try_all(package: &Package, heaviest: LensId, lens: LensId) -> Vec<Tried> {
    let lone = kept(package, lens, heaviest);
    let then = solver::check_sound(&kept(package, heaviest, heaviest));
    let weights: Vec<Change> = candidates(&lone, &Kit::of(&lone), false)
        .into_iter()
        .filter(|change| matches!(change, Change::Weight { .. }))
        .collect();
    let at = |change: &Change| format!("{:?}", if let Change::Weight { at, .. } = change { Some(at) } else { None });
    let mut sets: Vec<Vec<&Change>> = vec![Vec::new()];
    sets.extend(weights.iter().map(|weight| vec![weight]));
    for (first, one) in weights.iter().enumerate() {
        sets.extend(weights[first + 1..].iter().filter(|other| at(one) != at(other)).map(|other| vec![one, other]));
    }
    sets.sort_by(|one, other| kg(one).total_cmp(&kg(other)));
    sets.into_iter()
        .map(|set| {
            let with = set.iter().fold(lone.clone(), |package, weight| weight.apply(&package));
            let report = solver::check_sound(&with);
            let share = |axis: &solver::report::AxisReport| match axis.hold {
                Hold::Holds { spare_nm } => 1.0 - spare_nm / axis.friction_nm,
                Hold::Turns { over_nm } => 1.0 + over_nm / axis.friction_nm,
                Hold::Geared => 0.0,
            };
            let off = |(now, then): (&solver::report::AxisReport, &solver::report::AxisReport)| {
                now.inertia_kg_m2 / then.inertia_kg_m2 - 1.0
            };
            let changes = report.axes.iter().zip(&then.axes).map(off);
            let inertia_change =
                changes.fold(0.0, |worst: f64, off: f64| if off.abs() > worst.abs() { off } else { worst });
            let limit_kg = package.head.payload_kg[1].max(then.mass.camera_kg.value);
            Tried {
                kg: kg(&set),
                used: report.axes.iter().map(share).fold(inertia_change.abs() / TUNE_SHARE, f64::max),
                inertia_change,
                carried: report.mass.camera_kg.value <= limit_kg,
                package: with,
            }
        })
        .collect()
}

fn kg(set: &[&Change]) -> f64 {
    set.iter().map(|change| change.added_kg()).sum()
}

/// Whether with the weights nothing meets an arm, is too wide or rings that does not without them.
fn fits(bare: &Package, with: &Package) -> bool {
    let kind = |finding: &FitFinding| (finding.part.clone(), core::mem::discriminant(&finding.matter));
    let no_gos = |package: &Package| -> Vec<FitFinding> {
        let found = solver::fit(package).expect("valid").findings.into_iter();
        found.filter(|finding| finding.severity == Severity::NoGo).collect()
    };
    let before: Vec<_> = no_gos(bare).iter().map(kind).collect();
    let rings = |package: &Package| {
        let report = solver::stiffness(package).expect("valid");
        report.known().is_some_and(|report| {
            report.findings.iter().any(|finding| matches!(finding.matter, StiffnessMatter::WillRing { .. }))
        })
    };
    let stopped = |package: &Package| {
        let found = solver::check_sound(package).findings.into_iter();
        found.filter(|finding| finding.severity == Severity::NoGo).count()
    };
    no_gos(with).iter().all(|finding| before.contains(&kind(finding)))
        && (rings(bare) || !rings(with))
        && stopped(with) <= stopped(bare)
}

fn small_kit(package: &mut Package) {
    package.at_hand = Some(AtHand { weights_kg: vec![0.1, 0.35], pieces: 2.0, ..AtHand::default() });
}

/// The one lighter lens of two.
fn lighter(package: &Package, chosen: [LensId; 2]) -> (LensId, LensTrim) {
    let report = trim_weights(package, &chosen).expect("a valid package").expect("lenses of the set");
    let [lens] = &report.lenses[..] else { panic!("{report:?}") };
    (report.heaviest, lens.clone())
}

fn tenths_g(kg: f64) -> f64 {
    (kg * 1e4).round()
}

/// Two primes with a small kit, every single weight and every pair tried, in a roomy head and in one as narrow as its body.
#[test]
fn no_lighter_trim_weights_were_overlooked() {
    let (mut needed, mut passed_over) = (0, 0);
    for (chosen, width_m) in [([1, 2], 0.4), ([2, 3], 0.19), ([3, 4], 0.4), ([3, 5], 0.19), ([1, 5], 0.19)] {
        let mut package = codec::library::demo();
        small_kit(&mut package);
        package.head.opening.as_mut().expect("an opening").width_m = width_m;
        let (heaviest, lens) = lighter(&package, chosen);
        let tried = try_all(&package, heaviest, lens.lens);
        let bare = &tried[0].package;
        let lightest = tried.iter().find(|set| set.matches());
        let lightest_fit = tried.iter().find(|set| set.matches() && fits(bare, &set.package));
        let best = lens.trims.first();
        assert_eq!(
            best.map(|trim| tenths_g(trim.added_kg)),
            lightest_fit.or(lightest).map(|set| tenths_g(set.kg)),
            "{lens:?}"
        );
        assert_eq!(best.map(solver::lens_set::trim::Trim::fits), lightest.map(|_| lightest_fit.is_some()));
        for trim in &lens.trims {
            assert_eq!(trim.unfit.is_empty(), trim.unfit_words(&solver::finding_words::Metric).is_empty());
            let same = tried.iter().filter(|set| tenths_g(set.kg) == tenths_g(trim.added_kg));
            assert!(same.map(|set| (set.inertia_change - trim.inertia_change).abs()).fold(1.0, f64::min) < 1e-6);
            let applied = lens.apply(trim, &package);
            assert_eq!(applied.parts.len(), package.parts.len() + trim.weights.len());
            assert!(applied.active_lens == package.active_lens && solver::check(&applied).is_ok());
            assert!(lighter(&applied, chosen).1.matches(), "with its weights it matches");
        }
        if let [_, second] = &lens.trims[..] {
            assert!(!second.fits() && second.added_kg <= lens.trims[0].added_kg);
            assert_eq!(lightest.map(|set| tenths_g(set.kg)), Some(tenths_g(second.added_kg)));
            passed_over += 1;
        }
        needed += usize::from(best.is_some_and(|trim| !trim.weights.is_empty()));
    }
    assert!(needed >= 2 && passed_over >= 1, "{needed} with weights, {passed_over} pass over what does not fit");
}

/// A prime and the long zoom: nothing matches, and nothing comes nearer than what is told.
#[test]
fn nothing_comes_nearer_than_the_nearest() {
    let mut package = codec::library::demo();
    small_kit(&mut package);
    for chosen in [[5, 6], [2, 6]] {
        let (heaviest, lens) = lighter(&package, chosen);
        assert!(lens.trims.is_empty());
        let nearest = lens.nearest.expect("something is nearest");
        let tried = try_all(&package, heaviest, lens.lens);
        assert!(tried.iter().all(|set| !set.matches()));
        let least = tried.iter().filter(|set| set.carried).map(|set| set.used).fold(f64::INFINITY, f64::min);
        assert!((nearest.use_of_allowed / least - 1.0).abs() < 1e-6, "{nearest:?} and {least}");
        assert!(nearest.turning.len() + nearest.off.len() >= 1);
        assert!((nearest.most_kg - 1.4).abs() < 1e-9);
    }
}

/// A lens that differs from another by what hangs on the front of its rods, on a head of little friction: the weight goes
/// just there, and with it on every mark is that of the other lens.
#[test]
fn with_its_weight_on_a_lens_stands_at_the_marks_of_the_heaviest_to_the_millimetre() {
    let mut package = codec::library::demo();
    package.active_lens = Some(5);
    package.lenses.retain(|lens| lens.id == 5);
    let mut light = package.lenses[0].clone();
    (light.id, light.name) = (7, "Without".to_owned());
    package.lenses.push(light);
    let with = Change::Weight { kg: 0.35, at: WeightPlace::RodFront }.apply(&package);
    package.parts = with.parts;
    let hung = package.parts.last_mut().expect("the weight");
    hung.on = false;
    let hung = hung.id;
    package.lenses[0].brings.push(hung);
    for element in &mut package.head.chain {
        if let Element::Joint(joint) = element {
            joint.drive.friction_nm *= 0.02;
        }
    }
    let (heaviest, lens) = lighter(&package, [5, 7]);
    assert_eq!((heaviest, lens.lens), (5, 7));
    let trim = lens.trims.iter().find(|trim| trim.fits()).expect("the same weight");
    assert_eq!(trim.words, "Hang 0.35 kg on the front of the rods");
    assert!(trim.inertia_change.abs() < 1e-9);
    let applied = lens.apply(trim, &package);
    let marks = |package: &Package| {
        let rows = solver::lens_set(package).expect("valid");
        let of = |row: &solver::lens_set::LensRow| -> Vec<f64> {
            row.slides.iter().map(|slide| slide.target_m.value).collect()
        };
        rows.iter().map(of).collect::<Vec<_>>()
    };
    let furthest = |marks: Vec<Vec<f64>>| {
        marks[0].iter().zip(&marks[1]).map(|(one, other)| (one - other).abs()).fold(0.0, f64::max)
    };
    assert!(furthest(marks(&package)) > 0.005, "without it they differ");
    assert!(furthest(marks(&applied)) < 0.001, "with it they do not");
}

/// Of gears nobody has said what they hold: weights that make a lens match leave to them no more than friction does, so that
/// the marks may stay.
#[test]
fn a_geared_head_is_matched_within_its_friction() {
    let mut package = codec::library::demo();
    for element in &mut package.head.chain {
        if let Element::Joint(joint) = element {
            (joint.drive.kind, joint.drive.ratio) = (DriveKind::Geared, 60.0);
        }
    }
    let all: Vec<LensId> = package.lenses.iter().map(|lens| lens.id).collect();
    let report = trim_weights(&package, &all).expect("a valid package").expect("lenses of the set");
    package.active_lens = Some(report.heaviest);
    for lens in &report.lenses {
        for trim in &lens.trims {
            let rows = solver::lens_set(&lens.apply(trim, &package)).expect("a valid package");
            let row = rows.iter().find(|row| row.lens == lens.lens).expect("the lens");
            assert!(row.may_stay, "{}: {}", lens.name, trim.words);
        }
    }
    let out = report
        .lenses
        .iter()
        .filter_map(|lens| lens.nearest.as_ref())
        .map(|nearest| nearest.turning.len())
        .sum::<usize>();
    assert!(out > 0, "an anamorphic lens and a long zoom are out of balance for each other");
}
