//! What logged balances teach about single bodies, and what becomes of a lesson that is written into the package.

use solver::Package;
use solver::balance::{Lesson, log_balance, take_over};
use solver::package::{CgSource, Lens, LoggedBalance, LoggedOf, Mass, MassSource, PartMass};

use crate::rigs;

/// A balance of the true head with the given lens, logged in the package as believed.
pub(crate) fn log(believed: &mut Package, truth: &Package, lens: u32) {
    let with = |package: &Package| Package { active_lens: Some(lens), ..package.clone() };
    let report = solver::check(&with(truth)).expect("valid");
    let target = |id: &str| report.slides.iter().find(|slide| slide.slide == id).expect("a slide").target_m.value;
    let marks_m: Vec<f64> = truth.head.slides().map(|slide| target(&slide.id)).collect();
    let axes = truth.head.joints().map(|joint| joint.id.clone()).collect();
    let id = u32::try_from(believed.logs.len()).expect("few") + 1;
    let found = log_balance(&with(believed), id, axes, &marks_m);
    believed.logs.push(found);
}

/// The long zoom hangs 14 mm further forward than its sheet says; all else has been weighed and measured.
fn taught() -> Package {
    let mut believed = rigs::medium();
    for part in &mut believed.parts {
        if let PartMass::Own(mass) = &mut part.mass {
            mass.from = MassSource::BenchScale;
        }
        part.cg.from = CgSource::Measured;
    }
    for lens in believed.lenses.iter_mut().filter(|lens| lens.id == rigs::LONG_ZOOM) {
        lens.cg_from = CgSource::DataSheet;
    }
    let mut truth = believed.clone();
    for lens in truth.lenses.iter_mut().filter(|lens| lens.id == rigs::LONG_ZOOM) {
        lens.cg_ahead_m += 0.014;
    }
    for lens in [rigs::LIGHT, rigs::PRIME, rigs::ANAMORPHIC, rigs::LONG_ZOOM] {
        log(&mut believed, &truth, lens);
    }
    // What is entered and logged stands on its storage steps.
    believed.quantised()
}

fn lesson(package: &Package, of: &LoggedOf) -> Option<Lesson> {
    let learned = solver::check(package).expect("valid").learned.expect("there are logs");
    learned.lessons.into_iter().find(|lesson| lesson.of == *of)
}

#[test]
fn a_lens_that_differs_from_its_sheet_is_told() {
    let zoom = lesson(&taught(), &LoggedOf::Lens(rigs::LONG_ZOOM)).expect("it was learned");
    let ahead = &zoom.cg_error_m[0];
    assert!(Lesson::told(ahead), "{ahead:?}");
    assert!((ahead.value - 0.014).abs() <= 2.0 * ahead.u, "{ahead:?}");
    // Nothing was wrong with its mass nor to its side, and nothing is told of them.
    assert!(!Lesson::told(&zoom.mass_error_kg) && !Lesson::told(&zoom.cg_error_m[1]), "{zoom:?}");
}

#[test]
fn nothing_is_told_when_all_is_as_entered() {
    let mut believed = rigs::medium();
    let truth = believed.clone();
    log(&mut believed, &truth, rigs::PRIME);
    log(&mut believed, &truth, rigs::LONG_ZOOM);
    let learned = solver::check(&believed).expect("valid").learned.expect("there are logs");
    for lesson in &learned.lessons {
        assert!(!Lesson::told(&lesson.mass_error_kg) && !lesson.cg_error_m.iter().any(Lesson::told), "{lesson:?}");
    }
    for axis in &learned.axes {
        assert!(axis.cg_error_m.iter().flatten().all(|error| !Lesson::told(error)), "{axis:?}");
    }
}

#[test]
fn one_balance_tells_what_an_axis_carries_and_blames_no_part() {
    let mut believed = rigs::medium();
    believed.active_lens = Some(rigs::PRIME);
    let mut truth = believed.clone();
    // Everything a little: no single part is far off.
    for part in &mut truth.parts {
        part.cg.offset_m[0] += 0.006;
    }
    log(&mut believed, &truth, rigs::PRIME);
    let marks = believed.logs[0].marks.clone();
    for (slide, found) in believed.head.slides_mut().zip(marks) {
        slide.mark_m = found.mark_m;
    }
    let learned = solver::check(&believed).expect("valid").learned.expect("there are logs");
    let tilt = learned.axes.iter().find(|axis| axis.joint == "tilt").expect("tilt was logged");
    let ahead = tilt.cg_error_m[0].expect("the axis lies across");
    assert!(ahead.value > 0.002 && Lesson::told(&ahead), "{ahead:?}");
    assert!(tilt.cg_error_m[1].is_none(), "a balance says nothing along the axis");
    let told = learned.lessons.iter().filter(|lesson| lesson.cg_error_m.iter().any(Lesson::told)).count();
    assert_eq!(told, 0, "{:?}", learned.lessons);
}

/// Marks and their ± for every lens.
pub(crate) fn answers(package: &Package) -> Vec<(String, f64, f64)> {
    let lenses = [rigs::LIGHT, rigs::LONG_ZOOM];
    let of = |lens: u32| {
        let report = solver::check(&Package { active_lens: Some(lens), ..package.clone() }).expect("valid");
        report.slides.into_iter().map(|slide| (slide.slide, slide.target_m.value, slide.target_m.u)).collect::<Vec<_>>()
    };
    lenses.into_iter().flat_map(of).collect()
}

#[test]
fn a_lesson_written_into_the_package_does_not_count_twice() {
    let before = taught();
    let zoom = LoggedOf::Lens(rigs::LONG_ZOOM);
    let after = take_over(&before, &zoom).expect("there is a lesson");
    let lens = after.lenses.iter().find(|lens| lens.id == rigs::LONG_ZOOM).expect("the zoom");
    assert_eq!((lens.mass.from, lens.cg_from), (MassSource::Balance, CgSource::Balance));
    assert!(lens.cg_ahead_m > 0.17 + 0.008 && lens.cg_u_m.is_some_and(|u_m| u_m < 0.008), "{lens:?}");
    let pairs = answers(&before).into_iter().zip(answers(&after));
    for ((slide, mark_m, u_m), (_, then_m, then_u_m)) in pairs {
        assert!((mark_m - then_m).abs() < 1e-9 && (u_m - then_u_m).abs() < 1e-9, "{slide}: {mark_m} {then_m}");
    }
    assert!(lesson(&after, &zoom).is_some_and(|lesson| lesson.taken_over));
    // Taken over once more it stays what it is.
    assert_eq!(take_over(&after, &zoom).expect("there is a lesson"), after);
}

#[test]
fn without_its_logs_a_lesson_stands_as_an_entered_value() {
    let mut alone = take_over(&taught(), &LoggedOf::Lens(rigs::LONG_ZOOM)).expect("there is a lesson");
    alone.active_lens = Some(rigs::LONG_ZOOM);
    let u_before = answers(&rigs::medium());
    alone.logs.clear();
    let report = solver::check(&alone).expect("valid");
    let row = report.mass.rows.iter().find(|row| row.name == "Long zoom").expect("the zoom rides");
    let lens = alone.lenses.iter().find(|lens| lens.id == rigs::LONG_ZOOM).expect("the zoom");
    assert!((row.cg_u_m - lens.cg_u_m.expect("learned")).abs() < 1e-12 && !u_before.is_empty());
}

#[test]
fn a_value_entered_anew_stands() {
    let zoom = LoggedOf::Lens(rigs::LONG_ZOOM);
    let mut after = take_over(&taught(), &zoom).expect("there is a lesson");
    for lens in after.lenses.iter_mut().filter(|lens| lens.id == rigs::LONG_ZOOM) {
        (lens.mass.kg, lens.mass.from, lens.mass.u_kg) = (5.71, MassSource::BenchScale, None);
    }
    assert!(lesson(&after, &zoom).is_none_or(|lesson| !lesson.taken_over));
    let report = solver::check(&Package { active_lens: Some(rigs::LONG_ZOOM), ..after }).expect("valid");
    let row = report.mass.rows.iter().find(|row| row.name == "Long zoom").expect("the zoom rides");
    assert!((row.mass_kg.value - 5.71).abs() < 0.05, "{row:?}");
}

/// Who measures one of mass and centre of gravity anew after a lesson was taken over is told what he would be told
/// without taking it over: the other must not be learned from its own lesson.
#[test]
fn the_other_value_does_not_count_twice_when_one_is_entered_anew() {
    let before = taught();
    let after = take_over(&before, &LoggedOf::Lens(rigs::LONG_ZOOM)).expect("there is a lesson");
    let same = |change: fn(&mut Lens)| {
        let [plain, taken] = [&before, &after].map(|package| {
            let mut package = package.clone();
            package.lenses.iter_mut().filter(|lens| lens.id == rigs::LONG_ZOOM).for_each(change);
            answers(&package)
        });
        for ((slide, mark_m, u_m), (_, then_m, then_u_m)) in plain.into_iter().zip(taken) {
            let close = (mark_m - then_m).abs() < 1e-9 && (u_m - then_u_m).abs() < 1e-9;
            assert!(close, "{slide}: {mark_m} ± {u_m}, {then_m} ± {then_u_m}");
        }
    };
    same(|lens| (lens.cg_ahead_m, lens.cg_from, lens.cg_u_m) = (0.183, CgSource::Measured, None));
    same(|lens| lens.mass = Mass { kg: 5.62, from: MassSource::BenchScale, u_kg: None });
}

/// The whole camera on a scale: the sum of its masses is then known as well as the scale knows it, and the difference is
/// shared out in proportion to the variances.
///
/// # Source
/// The combination of independent Gaussian estimates: JCGM 100:2008, annex H.
#[test]
fn a_camera_weighed_whole_is_known_as_well_as_the_scale() {
    let mut package = rigs::medium();
    let before = solver::check(&package).expect("valid").mass;
    let (kg, u_kg) = (before.camera_kg.value, before.camera_kg.u);
    let scale = Mass { kg: kg + 0.4, from: MassSource::LuggageScale, u_kg: None };
    let scale_u_kg = scale.standard_uncertainty_kg();
    let marks_m: Vec<f64> = package.head.slides().map(|slide| slide.mark_m).collect();
    package.logs.push(LoggedBalance { weighed: Some(scale), ..log_balance(&package, 1, Vec::new(), &marks_m) });
    let report = solver::check(&package).expect("valid");

    let share = u_kg * u_kg / (u_kg * u_kg + scale_u_kg * scale_u_kg);
    assert!((report.mass.camera_kg.value - (kg + 0.4 * share)).abs() < 1e-9, "{:?}", report.mass.camera_kg);
    assert!((report.mass.camera_kg.u - (share.sqrt() * scale_u_kg)).abs() < 1e-9, "{:?}", report.mass.camera_kg);
    for (row, was) in report.mass.rows.iter().zip(&before.rows).filter(|(row, _)| row.camera_side) {
        let own = was.mass_kg.u * was.mass_kg.u / (u_kg * u_kg);
        assert!((row.mass_kg.value - (was.mass_kg.value + 0.4 * share * own)).abs() < 1e-9, "{}", row.name);
    }
    let agreement = report.learned.expect("a log").agreement.expect("one equation");
    assert_eq!(agreement.degrees, 1);
    // Nothing on the arm side has been on the scale: its variance stays, beside what is left of the camera's.
    let square = |u: f64| u * u;
    let arm = square(before.all_up_kg.u) - square(u_kg);
    let all_up_u_kg = (arm + square(report.mass.camera_kg.u)).sqrt();
    assert!((report.mass.all_up_kg.u - all_up_u_kg).abs() < 1e-9, "{:?} for {all_up_u_kg}", report.mass.all_up_kg);
}
