//! Validation names every fault at once, and nothing that is sound.

use std::collections::BTreeSet;

use proptest::prelude::*;
use solver::numbers::Numbers;
use solver::{FieldPath, InputError, Package, Problem};

use super::{many, random};

/// What may be wrong with a number.
#[derive(Debug, Clone, Copy)]
enum Harm {
    NotANumber,
    Infinite,
    TooLarge,
    TooSmall,
}

fn harm() -> impl Strategy<Value = Harm> {
    prop_oneof![Just(Harm::NotANumber), Just(Harm::Infinite), Just(Harm::TooLarge), Just(Harm::TooSmall)]
}

/// Harms the numbers whose places in the walk are given, and tells their paths and what must be said about them.
fn harm_numbers(package: &mut Package, harms: &[(prop::sample::Index, Harm)]) -> Vec<(String, bool)> {
    let mut count = 0;
    package.see_numbers(&mut FieldPath::root(), &mut |_, _, _| count += 1);
    let chosen: Vec<(usize, Harm)> = harms.iter().map(|(index, harm)| (index.index(count), *harm)).collect();
    let (mut place, mut harmed) = (0, Vec::new());
    package.change_numbers(&mut FieldPath::root(), &mut |path, value, bounds| {
        if let Some((_, harm)) = chosen.iter().find(|(chosen, _)| *chosen == place) {
            *value = match harm {
                Harm::NotANumber => f64::NAN,
                Harm::Infinite => f64::INFINITY,
                Harm::TooLarge => bounds.max + 1.0,
                Harm::TooSmall => bounds.min - 1.0,
            };
            harmed.push((path.to_string(), value.is_finite()));
        }
        place += 1;
    });
    harmed
}

fn faults_of(package: &Package) -> Vec<InputError> {
    solver::validate(package).err().unwrap_or_default()
}

proptest! {
    #![proptest_config(many(300))]

    #[test]
    fn sound_packages_have_no_fault(package in random::package()) {
        prop_assert_eq!(faults_of(&package), []);
    }

    #[test]
    fn every_harmed_number_is_named(
        mut package in random::package(),
        harms in prop::collection::vec((any::<prop::sample::Index>(), harm()), 1..12),
    ) {
        let harmed = harm_numbers(&mut package, &harms);
        let faults = faults_of(&package);
        for (path, finite) in &harmed {
            let named = faults.iter().any(|fault| {
                fault.field.to_string() == *path
                    && if *finite {
                        matches!(fault.problem, Problem::OutOfRange { .. })
                    } else {
                        matches!(fault.problem, Problem::NotFinite)
                    }
            });
            prop_assert!(named, "{path} is not named: {faults:?}");
        }
        // Whatever else is named is a field that holds or neighbours a harmed number.
        for fault in &faults {
            let field = fault.field.to_string();
            let of_a_harm = harmed.iter().any(|(path, _)| related(&field, path));
            prop_assert!(of_a_harm, "{field} is named but sound: {:?}", fault.problem);
        }
        prop_assert!(solver::check(&package).is_err());
    }
}

/// A fault of a whole range, direction or slide may follow from one of its numbers.
fn related(field: &str, harmed: &str) -> bool {
    let parent = |path: &str| path.rsplit_once('.').map_or_else(String::new, |(parent, _)| parent.to_owned());
    harmed.starts_with(field) || parent(field) == parent(harmed)
}

/// One sound package, one thing broken at a time: the field is named, and only that.
#[test]
fn each_broken_reference_names_its_field() {
    let check = |expected: &str, harm: &dyn Fn(&mut Package)| {
        let mut package = whole();
        harm(&mut package);
        let named: BTreeSet<String> = faults_of(&package).iter().map(|fault| fault.field.to_string()).collect();
        assert_eq!(named, BTreeSet::from([expected.to_owned()]));
    };
    assert_eq!(faults_of(&whole()), []);
    check("name", &|package| package.name.clear());
    check("note", &|package| package.note = "x".repeat(5_000));
    check("active_lens", &|package| package.active_lens = Some(77));
    check("parts[1].id", &|package| package.parts[1].id = package.parts[0].id);
    check("parts[0].at.place", &|package| package.parts[0].at.place = "nowhere".to_owned());
    check("parts[0].name", &|package| package.parts[0].name = "  ".to_owned());
    check("lenses[0].brings[0]", &|package| package.lenses[0].brings = vec![999]);
    check("moves[1].id", &|package| package.moves[1].id = package.moves[0].id);
    check("head.payload_kg", &|package| package.head.payload_kg = [9.0, 1.0]);
    check("head.chain[0].axis", &|package| {
        if let solver::package::Element::Joint(joint) = &mut package.head.chain[0] {
            joint.axis = [0.0, 0.6, 0.6];
        }
    });
    check("head.chain[1].inertia_kg_m2", &|package| {
        if let solver::package::Element::Yoke(yoke) = &mut package.head.chain[1] {
            yoke.inertia_kg_m2 = [0.5, 0.1, 0.1];
        }
    });
}

/// A package with one of everything.
fn whole() -> Package {
    use checks::build;
    let mut package = build::package(vec![
        solver::package::Element::Joint(build::joint("tilt", [0.0, 1.0, 0.0], [0.0; 3])),
        build::yoke(2.0, [0.0; 3], [0.1; 3]),
        build::camera_place(),
    ]);
    package.parts = vec![build::point(1, "camera", 1.0, [0.0; 3]), build::point(2, "camera", 1.0, [0.1, 0.0, 0.0])];
    package.lenses = vec![build::lens(1, 1.0, 0.05, 0.1, 0.1)];
    package.active_lens = Some(1);
    package.moves = vec![build::still(1), build::still(2)];
    package
}
