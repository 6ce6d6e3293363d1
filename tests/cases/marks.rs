//! Marks against scipy's bounded least squares, axis by axis.

use checks::{build, fixture};
use nalgebra::Vector3;
use serde::Deserialize;
use solver::Package;
use solver::explain::{AnswerId, Term};
use solver::package::Element;

/// Largest difference of a mark, m. Bodies weigh kilograms and marks run to decimetres.
const MARK_M: f64 = 1e-9;
/// Largest difference of an unbalance, kg·m.
const UNBALANCE_KG_M: f64 = 1e-9;

#[derive(Deserialize)]
struct Case {
    kind: String,
    joints: Vec<Link>,
    targets_m: Vec<f64>,
    residual_kg_m: Vec<f64>,
}

/// One joint with what stands on it, as `tests/references/marks.py` describes it.
#[derive(Deserialize)]
struct Link {
    joint: [f64; 6],
    slides: Vec<[f64; 8]>,
    bodies: Vec<[f64; 4]>,
}

impl Case {
    /// Joints and slides are named by their place in the fixture.
    fn package(&self) -> Package {
        let mut chain = Vec::new();
        let mut slides = 0;
        for (number, link) in self.joints.iter().enumerate() {
            let [ax, ay, az, x, y, z] = link.joint;
            chain.push(Element::Joint(build::joint(&number.to_string(), [ax, ay, az], [x, y, z])));
            let mut rows = link.slides.iter();
            for [mass_kg, x, y, z] in &link.bodies {
                chain.push(build::yoke(*mass_kg, [*x, *y, *z], [0.0; 3]));
                if let Some(row) = rows.next() {
                    chain.push(slide(slides, row));
                    slides += 1;
                }
            }
        }
        build::package(chain)
    }
}

fn slide(number: usize, [dx, dy, dz, low, high, zero, mark, spacing]: &[f64; 8]) -> Element {
    let mut element = build::slide(&number.to_string(), [*dx, *dy, *dz], [*low, *high], *zero, *mark);
    if let Element::Slide(slide) = &mut element {
        slide.hole_spacing_m = (*spacing > 0.0).then_some(*spacing);
    }
    element
}

fn number(id: &str) -> usize {
    id.parse().expect("ids are numbers here")
}

#[test]
fn marks_and_residuals_agree_with_bounded_least_squares() {
    let cases: Vec<Case> = fixture::read("marks");
    let mut faults = Vec::new();
    for (index, case) in cases.iter().enumerate() {
        let report = solver::check(&case.package()).unwrap_or_else(|faults| panic!("chain {index}: {faults:?}"));
        for slide in &report.slides {
            let expected_m = case.targets_m[number(&slide.slide)];
            let off_m = (slide.target_m.value - expected_m).abs();
            if off_m.is_nan() || off_m > MARK_M {
                faults.push(format!("chain {index} ({}), slide {}: off by {off_m:e} m", case.kind, slide.slide));
            }
        }
        for axis in &report.axes {
            let left_kg_m = Vector3::from(axis.residual_kg_m).norm();
            let off_kg_m = (left_kg_m - case.residual_kg_m[number(&axis.joint)]).abs();
            if off_kg_m.is_nan() || off_kg_m > UNBALANCE_KG_M {
                faults.push(format!("chain {index} ({}), joint {}: off by {off_kg_m:e} kg·m", case.kind, axis.joint));
            }
        }
    }
    assert!(faults.is_empty(), "{} differences\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn the_fixture_reaches_ends_of_travel_holes_and_redundant_slides() {
    let cases: Vec<Case> = fixture::read("marks");
    let at_an_end = |case: &&Case| {
        let slides = case.joints.iter().flat_map(|link| &link.slides);
        slides.zip(&case.targets_m).any(|(slide, mark_m)| (mark_m - slide[3]).min(slide[4] - mark_m) < 1e-12)
    };
    assert!(cases.iter().filter(at_an_end).count() >= 40);
    assert!(cases.iter().filter(|case| !at_an_end(case)).count() >= 40);
    for kind in ["upright_head", "oblique_chain", "redundant_chain", "holed_chain"] {
        assert!(cases.iter().filter(|case| case.kind == kind).count() >= 40, "{kind}");
    }
}

/// What opens under a mark must add up: a technician may follow it with a pencil.
#[test]
fn the_opened_arithmetic_of_a_mark_adds_up() {
    let demo = codec::library::demo();
    let report = solver::check(&demo).expect("the demo is sound");
    for slide in &report.slides {
        let answer = AnswerId::Mark(slide.slide.clone());
        let mark = solver::explain(&demo, &answer).expect("the demo is sound").expect("the slide is there");
        let value = |term: &Term| term.value.expect("a number");
        let [present, moved, _] = mark.of.as_slice() else { panic!("{} opens otherwise", slide.name) };
        assert!((value(present) + value(moved) - value(&mark)).abs() < MARK_M, "{}", slide.name);
        let [unbalance, mass] = moved.of.as_slice() else { panic!("{} opens otherwise", slide.name) };
        assert!((value(unbalance) / value(mass) + value(moved)).abs() < MARK_M, "{}", slide.name);
        let sum: f64 = unbalance.of.iter().map(value).sum();
        assert!((sum - value(unbalance)).abs() < UNBALANCE_KG_M, "{}: {sum}", slide.name);
        for body in &unbalance.of {
            let product: f64 = body.of.iter().map(value).product();
            assert!((product - value(body)).abs() < UNBALANCE_KG_M, "{}", body.label);
        }
    }
}
