//! The lens set: what a change costs, one lens for the director of photography, one set of marks for many.

use checks::{build, fixture};
use serde::Deserialize;
use solver::Package;
use solver::answer::Answer;
use solver::explain::Term;
use solver::finding::Severity;
use solver::lens_set::change::{Handling, LensChange, change_table, lens_changes};
use solver::lens_set::common::{CommonMarks, common_marks};
use solver::lens_set::preview::{Reason, Verdict, lens_preview, lens_verdicts};
use solver::lens_set::room::{WANTED_M, room};
use solver::package::{Element, LensId};
use solver::remedies::Change;

/// The zoom that is on in the demonstration, and a prime.
const ZOOM: LensId = 6;
const PRIME: LensId = 1;

fn changes(package: &Package, from: LensId) -> Vec<LensChange> {
    lens_changes(package, Some(from)).expect("a valid package")
}

fn to(package: &Package, from: LensId, to: LensId) -> LensChange {
    changes(package, from).into_iter().find(|change| change.to == to).expect("it is in the set")
}

fn value(term: &Term) -> f64 {
    term.value.expect("a number")
}

#[test]
fn a_change_is_the_difference_of_two_packages() {
    let demo = codec::library::demo();
    let change = to(&demo, ZOOM, PRIME);
    let with = |lens| {
        let mut package = demo.clone();
        package.active_lens = Some(lens);
        solver::check(&package).expect("a valid package")
    };
    let (zoom, prime) = (with(ZOOM), with(PRIME));
    assert!((change.mass_kg - (prime.mass.all_up_kg.value - zoom.mass.all_up_kg.value)).abs() < 1e-12);
    for slide in &change.slides {
        let target = |report: &solver::Report| {
            report.slides.iter().find(|each| each.slide == slide.slide).expect("the slide").target_m.value
        };
        assert!((slide.from_m - target(&zoom)).abs() < 1e-12 && (slide.to_m - target(&prime)).abs() < 1e-12);
        assert_eq!(slide.moves, slide.change_m.abs() >= 0.000_5, "{}", slide.name);
    }
    let tightest = prime.torque.known().and_then(|torque| torque.tightest.clone());
    assert_eq!(change.tightest_set, tightest);
    // The zoom's own motor, support and matte box come off; what it leaves off goes on.
    let lens = demo.lenses.iter().find(|lens| lens.id == ZOOM).expect("the zoom");
    let on = demo.parts.iter().filter(|part| lens.leaves_off.contains(&part.id) && part.on).count();
    let off = demo.parts.iter().filter(|part| lens.brings.contains(&part.id) && !part.on).count();
    let count = |what: fn(&Handling) -> bool| change.handled.iter().filter(|each| what(&each.what)).count();
    assert_eq!(count(|what| *what == Handling::On), on);
    assert_eq!(count(|what| *what == Handling::Off), off);
    assert!(on > 0 && off > 0);
    let moving = change.slides.iter().filter(|slide| slide.moves).count();
    assert_eq!(change.clamps, moving + change.handled.len());
}

/// A technician may follow the minutes with a pencil.
#[test]
fn the_minutes_add_up() {
    let demo = codec::library::demo();
    for from in &demo.lenses {
        for change in changes(&demo, from.id) {
            let rows = &change.arithmetic.of;
            assert!((value(&change.arithmetic) - change.minutes).abs() < 1e-12);
            assert!((rows.iter().map(value).sum::<f64>() - change.minutes).abs() < 1e-12);
            for row in rows {
                assert!((row.of.iter().map(value).product::<f64>() - value(row)).abs() < 1e-12, "{}", row.label);
            }
            assert!(change.minutes_left <= change.minutes_set);
        }
        let minutes: Vec<f64> = changes(&demo, from.id).iter().map(|change| change.minutes).collect();
        assert!(minutes.is_sorted(), "{minutes:?}");
    }
}

/// A crew's own minutes count wherever the step does, and the rest stays typical.
#[test]
fn a_crew_has_minutes_of_its_own() {
    let demo = codec::library::demo();
    let mut own = demo.clone();
    own.change_minutes.lens_min = Some(3.5);
    own.change_minutes.slide_min = Some(1.25);
    for from in &demo.lenses {
        for typical in changes(&demo, from.id) {
            let change = to(&own, from.id, typical.to);
            let moving = change.slides.iter().filter(|slide| slide.moves).count() as f64;
            let more = |slides: f64| 3.5 - 2.0 + slides * (1.25 - 0.5);
            assert!((change.minutes_set - typical.minutes_set - more(moving)).abs() < 1e-12);
            assert!((change.minutes_left - typical.minutes_left - more(0.0)).abs() < 1e-12);
        }
    }
}

#[test]
fn the_table_has_what_the_changes_have() {
    let demo = codec::library::demo();
    let table = change_table(&demo).expect("a valid package");
    for (row, from) in table.lenses.iter().enumerate() {
        for (column, other) in table.lenses.iter().enumerate() {
            let minutes = (from != other).then(|| to(&demo, *from, *other).minutes);
            assert_eq!(table.minutes[row][column], minutes, "{from} to {other}");
        }
    }
}

#[test]
fn a_twin_costs_the_lens_alone() {
    let mut package = codec::library::demo();
    let mut twin = package.lenses.iter().find(|lens| lens.id == ZOOM).expect("the zoom").clone();
    twin.id = 99;
    package.lenses.push(twin);
    package.tune = None;
    let change = to(&package, ZOOM, 99);
    assert!(change.may_stay && change.handled.is_empty() && change.clamps == 0, "{change:?}");
    assert!(change.slides.iter().all(|slide| slide.change_m == 0.0 && !slide.moves));
    assert_eq!(change.arithmetic.of.len(), 1);
    assert_eq!(change.minutes, solver::lens_set::typical::LENS_MIN);
    assert_eq!(change.mass_kg, 0.0);
    assert_eq!(change.tightest_left, change.tightest_set);
}

/// Marks left for a lens that they do not balance cost torque.
#[test]
fn what_is_left_is_paid_by_the_motors() {
    let demo = codec::library::demo();
    let change = to(&demo, ZOOM, PRIME);
    let in_hand = |tightest: &Option<solver::report::Tightest>| tightest.as_ref().expect("moves").headroom.value;
    assert!(!change.may_stay);
    assert!(in_hand(&change.tightest_left) < in_hand(&change.tightest_set));
    assert_eq!(change.minutes, change.minutes_set);
}

fn common(package: &Package, lenses: &[LensId]) -> CommonMarks {
    common_marks(package, lenses).expect("a valid package").expect("lenses of the set")
}

#[test]
fn one_lens_has_its_own_marks() {
    let demo = codec::library::demo();
    for lens in &demo.lenses {
        let mut package = demo.clone();
        package.active_lens = Some(lens.id);
        let own = solver::check(&package).expect("a valid package");
        let found = common(&demo, &[lens.id]);
        for (slide, own) in found.slides.iter().zip(&own.slides) {
            assert_eq!(slide.slide, own.slide);
            assert!((slide.mark_m - own.target_m.value).abs() < 1e-6, "{} {}", lens.name, slide.name);
        }
        assert_eq!(found.lenses.len(), 1);
        assert!(found.lenses[0].hangs);
    }
}

/// The list of lenses, the preview of each and what the first screen and fit say once it is on must not contradict each
/// other: a list that says yes where the rods end short would be believed.
#[test]
fn the_list_of_lenses_says_what_preview_and_first_screen_say() {
    let demo = codec::library::demo();
    let mut short = demo.clone();
    for part in &mut short.parts {
        if part.kind == solver::package::PartKind::Rods {
            part.size_m[0] = 0.15;
        }
    }
    let mut stopped = 0;
    for package in [&demo, &short] {
        let verdicts = lens_verdicts(package).expect("a valid package");
        assert_eq!(verdicts.len(), package.lenses.len());
        for told in verdicts {
            let preview = lens_preview(package, told.lens).expect("a valid package").expect("of the set");
            assert_eq!((told.verdict, &told.reasons), (preview.verdict, &preview.reasons), "{}", preview.name);
            let mut on = package.clone();
            on.active_lens = Some(told.lens);
            let report = solver::check(&on).expect("a valid package");
            let unfit = solver::fit(&on).expect("a valid package").findings;
            let unfit = unfit.iter().filter(|finding| finding.severity == Severity::NoGo).count();
            let no_goes = report.findings.iter().filter(|finding| finding.severity == Severity::NoGo).count() + unfit;
            let told_no_goes = told.reasons.iter().filter(|reason| reason.severity() == Severity::NoGo).count();
            assert_eq!(told_no_goes, no_goes, "{}: {:?}", preview.name, told.reasons);
            assert_eq!(told.verdict == Verdict::No, unfit > 0, "{}: {:?}", preview.name, told.reasons);
            stopped += usize::from(told.verdict == Verdict::No);
        }
    }
    assert!(stopped > 0, "no rods were too short for any lens");
}

#[test]
fn whoever_hangs_at_common_marks_may_stay_there() {
    let demo = codec::library::demo();
    let primes: Vec<LensId> = demo.lenses.iter().map(|lens| lens.id).filter(|id| *id != ZOOM).collect();
    let found = common(&demo, &primes);
    assert_eq!(found.lenses.len(), primes.len());
    for lens in &found.lenses {
        let mut package = demo.clone();
        package.active_lens = Some(lens.lens);
        for element in &mut package.head.chain {
            if let Element::Slide(slide) = element {
                let mark = found.slides.iter().find(|mark| mark.slide == slide.id).expect("the slide");
                slide.mark_m = mark.mark_m;
            }
        }
        let report = solver::check(&package).expect("a valid package");
        let turns = report.axes.iter().any(|axis| matches!(axis.hold_now, solver::report::Hold::Turns { .. }));
        assert_eq!(lens.hangs, !turns, "{}", lens.name);
    }
    for axis in &found.axes {
        assert!((value(&axis.arithmetic) - axis.worst_kg_m).abs() < 1e-12);
        let worst = axis.arithmetic.of.iter().map(value).fold(0.0, f64::max);
        assert!((worst - axis.worst_kg_m).abs() < 1e-12);
        assert!(axis.worst_kg_m - axis.at_least_kg_m < 1e-9, "{axis:?}");
    }
}

#[test]
fn the_order_of_the_set_and_twins_change_no_marks() {
    let mut package = codec::library::demo();
    let all: Vec<LensId> = package.lenses.iter().map(|lens| lens.id).collect();
    let before = common(&package, &all);
    package.lenses.reverse();
    let mut twin = package.lenses[0].clone();
    twin.id = 99;
    package.lenses.push(twin);
    let after = common(&package, &[all.as_slice(), &[99]].concat());
    for (before, after) in before.slides.iter().zip(&after.slides) {
        assert!((before.mark_m - after.mark_m).abs() < 1e-7, "{}", before.name);
    }
    for (before, after) in before.axes.iter().zip(&after.axes) {
        assert!((before.worst_kg_m - after.worst_kg_m).abs() < 1e-9, "{}", before.name);
    }
    assert_eq!(common_marks(&package, &[]).expect("a valid package"), None);
}

#[derive(Deserialize)]
struct Case {
    body: [f64; 3],
    lenses: Vec<[f64; 2]>,
    reach_m: [f64; 2],
    marks_m: [f64; 2],
    worst_kg_m: f64,
}

impl Case {
    fn package(&self) -> Package {
        let slide = |id: &str, direction, reach_m: f64| build::slide(id, direction, [-reach_m, reach_m], 0.0, 0.0);
        let mut package = build::package(vec![
            Element::Joint(build::joint("tilt", [0.0, 1.0, 0.0], [0.0; 3])),
            slide("plate", [1.0, 0.0, 0.0], self.reach_m[0]),
            slide("height", [0.0, 0.0, 1.0], self.reach_m[1]),
            build::camera_place(),
        ]);
        let [kg, x, z] = self.body;
        package.parts.push(build::point(1, "camera", kg, [x, 0.0, z]));
        let lenses = (1..).zip(&self.lenses);
        package.lenses = lenses.map(|(id, [kg, ahead_m])| build::lens(id, *kg, *ahead_m, 0.2, 0.1)).collect();
        package
    }
}

#[test]
fn common_marks_agree_with_another_program() {
    let cases: Vec<Case> = fixture::read("common_marks");
    let mut at_an_end = 0;
    for (index, case) in cases.iter().enumerate() {
        let package = case.package();
        let all: Vec<LensId> = package.lenses.iter().map(|lens| lens.id).collect();
        let found = common(&package, &all);
        let tilt = &found.axes[0];
        let scale = case.worst_kg_m;
        assert!((tilt.worst_kg_m - case.worst_kg_m).abs() < 1e-9 * scale, "{index}: {} {scale}", tilt.worst_kg_m);
        for (slide, expected_m) in ["plate", "height"].iter().zip(case.marks_m) {
            let mark = found.slides.iter().find(|mark| mark.slide == *slide).expect("the slide");
            assert!((mark.mark_m - expected_m).abs() < 1e-7, "{index} {slide}: {} {expected_m}", mark.mark_m);
        }
        at_an_end += usize::from((case.marks_m[0].abs() - case.reach_m[0]).abs() < 1e-9);
    }
    assert!(at_an_end > 10 && cases.len() - at_an_end > 10);
}

#[test]
fn a_preview_says_yes_if_and_no() {
    let mut package = codec::library::demo();
    package.active_lens = Some(PRIME);
    let preview = |package: &Package, lens| lens_preview(package, lens).expect("valid").expect("in the set");
    let other = preview(&package, 3);
    assert_eq!(other.verdict == Verdict::Yes, other.reasons.is_empty());
    assert_eq!(other.moves.len(), package.moves.len());
    assert_eq!(other.change, Some(to(&package, PRIME, 3)));
    // The lens that is on costs no change, and nothing is told against it that it has not already.
    let on = preview(&package, PRIME);
    assert_eq!(on.change, None);
    assert!(on.moves.iter().all(|each| each.in_hand[0] == each.in_hand[1]));
    // The payload stops it.
    package.head.payload_kg = [1.0, 5.0];
    let heavy = preview(&package, ZOOM);
    assert_eq!(heavy.verdict, Verdict::No);
    let Reason::Check(first) = &heavy.reasons[0] else { panic!("{:?}", heavy.reasons) };
    assert!(first.words(&solver::finding_words::Metric).contains("5.0 kg"));
    assert_eq!(lens_preview(&package, 77).expect("valid"), None);
}

#[test]
fn torque_alone_is_a_yes_if_slower() {
    let mut package = codec::library::demo();
    package.active_lens = Some(PRIME);
    // A drive that the whips of the demonstration ask too much of, but that a slow move does not.
    package.moves.truncate(1);
    let own = lens_preview(&package, 3).expect("valid").expect("in the set");
    let factor = own.moves[0].operator_factor[1].expect("an operator's move");
    for axis in &mut package.moves[0].operator {
        axis.rate_rad_s = (axis.rate_rad_s * factor * 1.05).min(package_fastest(&axis.joint));
    }
    let tight = lens_preview(&package, 3).expect("valid").expect("in the set");
    assert!(tight.moves[0].operator_factor[1].is_some_and(|now| now < factor));
    assert_ne!(tight.verdict, Verdict::No, "{:?}", tight.reasons);
}

fn package_fastest(joint: &str) -> f64 {
    let demo = codec::library::demo();
    let found = demo.head.joints().find(|each| each.id == joint).map(|joint| joint.drive.max_rate_rad_s);
    0.9 * found.expect("the joint")
}

#[test]
fn what_lacks_for_the_field_of_view_is_named() {
    let mut package = codec::library::demo();
    package.structure.picture_width_m = None;
    package.structure.picture_height_m = None;
    package.lenses[1].focal_length_m = None;
    let Answer::Needs(paths) = lens_preview(&package, package.lenses[1].id).expect("valid").expect("it").view else {
        panic!("known without a picture")
    };
    let told: Vec<String> = paths.iter().map(ToString::to_string).collect();
    assert_eq!(told, ["lenses[1].focal_length_m", "structure.picture_width_m", "structure.picture_height_m"]);
}

/// Least room of every lens, worked out through the first screen's own door.
fn least_left_m(package: &Package) -> f64 {
    let mut least_m = f64::INFINITY;
    for lens in &package.lenses {
        let mut one = package.clone();
        one.active_lens = Some(lens.id);
        let report = solver::check(&one).expect("a valid package");
        for slide in report.slides.iter().filter(|slide| slide.balances.is_some()) {
            least_m = least_m.min(slide.beyond_m.map_or(slide.left_m, |beyond_m| -beyond_m));
        }
    }
    least_m
}

#[test]
fn room_is_that_of_the_first_screen() {
    let demo = codec::library::demo();
    let report = room(&demo).expect("a valid package");
    let now = report.now.expect("lenses and slides");
    assert!((now.least_m - least_left_m(&demo)).abs() < 1e-9);
    assert_eq!(report.best.is_none(), now.least_m >= WANTED_M);
}

/// A riser that would make room, where the opening is just high enough for what stands in it, is not offered.
#[test]
fn room_is_not_made_by_what_no_longer_fits() {
    let mut package = codec::library::demo();
    let mark_m = |package: &Package, lens: u32| {
        let one = Package { active_lens: Some(lens), ..package.clone() };
        let report = solver::check(&one).expect("a valid package");
        report.slides.iter().find(|slide| slide.slide == "height").expect("a height slide").target_m.value
    };
    let highest_m = package.lenses.iter().map(|lens| mark_m(&package, lens.id)).fold(0.0, f64::max);
    let height = package.head.slides_mut().find(|slide| slide.id == "height").expect("a height slide");
    height.range_m[1] = highest_m + 0.010;
    height.mark_m = highest_m;
    let by_riser = |package: &Package| {
        let best = room(package).expect("a valid package").best;
        best.is_some_and(|best| best.changes.iter().any(|change| matches!(change, Change::Riser { .. })))
    };
    let package = package.quantised();
    assert!(by_riser(&package), "a riser lowers the mark of the height slide");
    let mut low = package.clone();
    let needed_m = solver::fit::fit(&low).expect("valid").opening.expect("an opening").height_needed_m;
    low.head.opening.as_mut().expect("an opening").height_m[1] = needed_m + 0.001;
    assert!(!by_riser(&low.quantised()));
}

/// Whatever is told is the least of what is at hand: every hole alone, and riser alone, is tried once more.
#[test]
fn the_least_change_that_gives_room_is_told() {
    let mut package = codec::library::demo();
    package.mount.flange_ahead_m += 0.06;
    assert!(least_left_m(&package) < WANTED_M);
    let report = room(&package).expect("a valid package");
    let best = report.best.expect("holes reach that far");
    let applied = best.apply(&package);
    assert!((least_left_m(&applied) - best.room.least_m).abs() < 1e-9);
    assert!(best.enough && best.room.least_m >= WANTED_M, "{best:?}");
    let [Change::Hole { holes, .. }] = best.changes.as_slice() else { panic!("{:?}", best.changes) };
    for fewer in 1..*holes {
        for sign in [1.0, -1.0] {
            let mut tried = package.clone();
            tried.mount.flange_ahead_m += sign * 0.01 * f64::from(fewer);
            assert!(least_left_m(&tried) < WANTED_M, "{fewer} holes are enough");
        }
    }
}

/// Gears hide an unbalance from the hand; that they hold a long zoom where a prime was balanced nobody has said.
#[test]
fn geared_axes_do_not_let_any_mark_stay() {
    let mut package = codec::library::demo();
    package.active_lens = Some(PRIME);
    for element in &mut package.head.chain {
        if let Element::Joint(joint) = element {
            joint.drive.kind = solver::package::DriveKind::Geared;
        }
    }
    let rows = solver::lens_set::lens_set(&package).expect("a valid package");
    assert!(rows[0].may_stay, "its own marks");
    let zoom = rows.last().expect("a zoom");
    assert!(!zoom.may_stay, "{}", zoom.name);
    let change = to(&package, PRIME, zoom.lens);
    assert!(!change.may_stay && (change.minutes - change.minutes_set).abs() < 1e-12);
}
