//! The ± of an outer slide where one further in stays at the end of its travel.

use solver::balance::{Learned, Marks, Moments, solve_marks};
use solver::constants::SCALE_ZERO_U_M;
use solver::explain::{AnswerId, explain};
use solver::layout::Layout;
use solver::{Package, check};

use crate::random::Random;
use crate::rigs;

const RIGS: u32 = 4_000;

/// The medium build with a plate that ends far before the camera is balanced on tilt; pan's own slide has all it needs.
fn plate_ends() -> Package {
    let mut package = rigs::medium();
    for slide in package.head.slides_mut() {
        match slide.id.as_str() {
            "plate" => slide.range_m = [slide.zero_m - 0.01, slide.zero_m + 0.01],
            "pan_slide" => slide.range_m = [-0.5, 0.5],
            _ => {}
        }
    }
    package.mount.flange_ahead_m -= 0.03;
    package
}

fn marks(layout: &Layout) -> Marks {
    solve_marks(layout, &Moments::all(layout))
}

/// Root mean square of how far a slide's mark comes to stand from what was predicted, and the ± that was told, on rigs
/// whose masses, centres of gravity and scale zeros are off as stated.
fn spread_and_told_m(package: &Package, slide: &str) -> [f64; 2] {
    let index = package.head.slides().position(|each| each.id == slide).expect("a slide");
    let entered = Layout::new(package);
    let predicted = marks(&entered);
    let mut random = Random::new(11);
    let mut sum = 0.0;
    for _ in 0..RIGS {
        let mut layout = entered.clone();
        for body in &mut layout.bodies {
            body.mass_kg += body.mass_u_kg * random.normal();
            for axis in 0..3 {
                body.cg_m[axis] += body.cg_u_m * random.normal();
            }
        }
        for slide in &mut layout.slides {
            slide.zero_m += SCALE_ZERO_U_M * random.normal();
        }
        let off_m = marks(&layout).targets_m[index] - predicted.targets_m[index];
        sum += off_m * off_m;
    }
    [(sum / f64::from(RIGS)).sqrt(), predicted.slides[index].u_m]
}

/// Three standard errors of a spread over 4000 rigs are 3.4 %, of this seed they are less.
#[test]
fn the_outer_slide_s_uncertainty_can_be_believed() {
    let package = plate_ends();
    let solved = marks(&Layout::new(&package));
    let plate = package.head.slides().position(|slide| slide.id == "plate").expect("a plate");
    let (mark, range_m) = (&solved.slides[plate], package.head.slides().nth(plate).expect("a plate").range_m);
    // Far enough beyond its end that no rig of the sample brings it back.
    assert!(mark.at_end && mark.free_m > range_m[1] + 5.0 * mark.u_m, "{mark:?} {range_m:?}");
    for package in [package, rigs::medium()] {
        for slide in ["pan_slide", "height", "side"] {
            let [spread_m, told_m] = spread_and_told_m(&package, slide);
            assert!((spread_m / told_m - 1.0).abs() < 0.03, "{slide}: {told_m} told, {spread_m} seen");
        }
    }
}

/// Two slides of one axis askew: with one at its end the other answers for both.
#[test]
fn beside_a_slide_at_its_end_the_other_carries_on() {
    let mut package = plate_ends();
    let half = core::f64::consts::FRAC_1_SQRT_2;
    for slide in package.head.slides_mut().filter(|slide| slide.id == "height") {
        (slide.direction, slide.range_m) = ([half, 0.0, half], [-1.0, 1.0]);
    }
    for slide in ["height", "pan_slide"] {
        let [spread_m, told_m] = spread_and_told_m(&package, slide);
        assert!((spread_m / told_m - 1.0).abs() < 0.03, "{slide}: {told_m} told, {spread_m} seen");
    }
}

/// Without logs what is learnt is what was entered: the same ± by the other way.
#[test]
fn what_is_learnt_says_the_same_without_logs() {
    let package = plate_ends();
    let layout = Layout::new(&package);
    let (told, mut learnt) = (marks(&layout), marks(&layout));
    Learned::new(&package, &layout).narrow(&package, &layout, &mut learnt);
    for (told, learnt) in told.slides.iter().zip(&learnt.slides) {
        assert!((told.u_m / learnt.u_m - 1.0).abs() < 1e-9, "{} {}", told.u_m, learnt.u_m);
    }
}

/// The arithmetic adds up to the ± and names the scale of the slide that stays at its end.
#[test]
fn the_arithmetic_names_the_scale_of_the_slide_at_its_end() {
    let package = plate_ends();
    let told = check(&package).expect("valid").slides.into_iter().find(|row| row.slide == "pan_slide").expect("a row");
    let mark = explain(&package, &AnswerId::Mark("pan_slide".into())).expect("valid").expect("a mark");
    let uncertainty = mark.of.iter().find(|term| term.label.starts_with('±')).expect("a ±");
    let squares: f64 = uncertainty.of.iter().filter_map(|share| share.value).map(|share| share * share).sum();
    assert!((squares.sqrt() / told.target_m.u - 1.0).abs() < 0.01, "{} {}", squares.sqrt(), told.target_m.u);
    assert!(uncertainty.of.iter().any(|share| share.label.contains("scale: plate")), "{uncertainty:?}");
}
