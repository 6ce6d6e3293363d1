//! Changes that change nothing: the world turned, the list reordered, a part split, the units scaled.

use checks::build;
use nalgebra::{Rotation3, Vector3};
use proptest::prelude::*;
use solver::bounds::MAX_JOINTS;
use solver::layout::Layout;
use solver::package::{Element, Mounting, PartKind, PartMass};
use solver::torque::{tightest_of_all, torque_report};
use solver::{Package, Report};

use super::{many, random};

/// What a report says about statics, dynamics and power, as one list of labelled numbers with their scale.
fn answers(report: &Report) -> Vec<(String, f64, f64)> {
    let kg = report.mass.all_up_kg.value;
    let mut list = vec![("camera".to_owned(), report.mass.camera_kg.value, kg), ("arm".to_owned(), kg, kg)];
    for slide in &report.slides {
        list.push((format!("mark of {}", slide.slide), slide.target_m.value, 1.0));
    }
    for axis in &report.axes {
        let label = |what: &str| format!("{what} of {}", axis.joint);
        let residual_kg_m = Vector3::from(axis.residual_kg_m).norm();
        list.push((label("residual"), residual_kg_m, kg));
        list.push((label("unbalance now"), Vector3::from(axis.now_kg_m).norm(), kg));
        list.push((label("gravity"), axis.gravity_any_nm, 10.0 * kg));
        list.push((label("inertia"), axis.inertia_kg_m2, kg));
    }
    for each in report.torque.known().iter().flat_map(|torque| &torque.moves) {
        for axis in &each.axes {
            let label = |what: &str| format!("{what} of {} in {}", axis.joint, each.name);
            list.push((label("peak"), axis.peak_nm.value, 1.0 + axis.peak_nm.value));
            list.push((label("continuous"), axis.continuous_nm.value, 1.0 + axis.continuous_nm.value));
        }
    }
    list.push(("draw".to_owned(), report.power.draw_w, report.power.draw_w.max(1.0)));
    list.push(("runtime".to_owned(), report.power.runtime_h.known().map_or(0.0, |hours| hours.value), 1.0));
    list
}

fn check(package: &Package) -> Result<Report, TestCaseError> {
    solver::check(package).map_err(|faults| TestCaseError::fail(format!("{faults:?}")))
}

fn same(before: &Report, after: &Report, tolerance: f64) -> Result<(), TestCaseError> {
    let (before, after) = (answers(before), answers(after));
    prop_assert_eq!(before.len(), after.len());
    for ((what, old, scale), (_, new, _)) in before.iter().zip(&after) {
        prop_assert!((old - new).abs() <= tolerance * scale, "{what}: {old} before, {new} after");
    }
    Ok(())
}

/// Turns a whole package about the vertical.
fn turned(package: &Package, angle_rad: f64) -> Package {
    let rotation = Rotation3::from_axis_angle(&Vector3::z_axis(), angle_rad);
    let turn = |vector: &mut [f64; 3]| *vector = (rotation * Vector3::from(*vector)).into();
    let mut package = package.clone();
    for element in &mut package.head.chain {
        match element {
            Element::Joint(joint) => {
                turn(&mut joint.axis);
                turn(&mut joint.position_m);
            }
            Element::Slide(slide) => turn(&mut slide.direction),
            Element::Yoke(yoke) => turn(&mut yoke.cg.offset_m),
            Element::Place(place) => turn(&mut place.origin_m),
        }
    }
    for part in &mut package.parts {
        turn(&mut part.at.offset_m);
        turn(&mut part.cg.offset_m);
    }
    package
}

/// A head on its side has its own vertical level: turning what it carries about that is another build, not another
/// world. Those moves are hung instead.
fn upright(mut package: Package) -> Package {
    for each in &mut package.moves {
        if each.mounting == Mounting::Side {
            each.mounting = Mounting::Hung;
        }
    }
    package
}

/// Scales every length by one factor and every mass by another, inertias along with them.
fn scaled(package: &Package, length: f64, mass: f64) -> Package {
    let stretch = |vector: &mut [f64; 3]| vector.iter_mut().for_each(|each| *each *= length);
    let mut package = package.clone();
    for element in &mut package.head.chain {
        match element {
            Element::Joint(joint) => stretch(&mut joint.position_m),
            Element::Slide(slide) => {
                slide.range_m = slide.range_m.map(|each| each * length);
                slide.zero_m *= length;
                slide.mark_m *= length;
                slide.hole_spacing_m = slide.hole_spacing_m.map(|each| each * length);
            }
            Element::Yoke(yoke) => {
                yoke.mass.kg *= mass;
                stretch(&mut yoke.cg.offset_m);
                yoke.inertia_kg_m2 = yoke.inertia_kg_m2.map(|each| each * mass * length * length);
            }
            Element::Place(place) => stretch(&mut place.origin_m),
        }
    }
    for part in &mut package.parts {
        if let PartMass::Own(own) = &mut part.mass {
            own.kg *= mass;
        }
        stretch(&mut part.at.offset_m);
        stretch(&mut part.cg.offset_m);
        stretch(&mut part.size_m);
    }
    package
}

proptest! {
    #![proptest_config(many(150))]

    #[test]
    fn turning_the_world_changes_nothing(package in random::of_points(), angle_rad in -3.2..3.2) {
        let package = upright(package);
        same(&check(&package)?, &check(&turned(&package, angle_rad))?, 1e-6)?;
    }

    /// On heads of any length: a list of lenses asks for the tightest torque alone, and gets what the whole report says.
    #[test]
    fn the_short_way_to_the_tightest_torque_is_no_other(package in random::package_on(1..MAX_JOINTS + 1)) {
        let layout = Layout::new(&package);
        let marks_m = layout.present_marks_m();
        let report = torque_report(&package, &layout, &marks_m);
        prop_assert_eq!(tightest_of_all(&package, &layout, &marks_m), report.tightest);
    }

    /// The stack alone has an order; everything else is a list only because paper is.
    #[test]
    fn the_order_of_parts_does_not_matter(package in random::package(), seed in any::<u64>()) {
        let mut shuffled = package.clone();
        let mut state = seed | 1;
        shuffled.parts.sort_by_cached_key(|part| {
            // Stacked parts and packs keep their order among themselves: the stable sort sees equal keys.
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            if part.kind == PartKind::Plate || part.pack.is_some() { u64::MAX } else { state }
        });
        same(&check(&package)?, &check(&shuffled)?, 1e-9)?;
    }

    #[test]
    fn a_part_split_in_two_answers_as_one(package in random::package(), which in any::<prop::sample::Index>()) {
        let own: Vec<usize> = (0..package.parts.len())
            .filter(|index| {
                let part = &package.parts[*index];
                // A second stacked part would be higher, a second pack would feed more.
                matches!(part.mass, PartMass::Own(_)) && part.kind != PartKind::Plate && part.pack.is_none()
            })
            .collect();
        let mut whole = package;
        let part = &mut whole.parts[own[which.index(own.len())]];
        // The wind would blow at both halves.
        part.drag.sheltered = true;
        let mut split = whole.clone();
        let part = &mut split.parts[own[which.index(own.len())]];
        if let PartMass::Own(mass) = &mut part.mass {
            mass.kg *= 0.5;
        }
        let mut half = part.clone();
        half.id = 900;
        half.load = None;
        half.kind = PartKind::Other;
        split.parts.push(half);
        same(&check(&whole)?, &check(&split)?, 1e-9)?;
    }

    #[test]
    fn a_part_that_is_off_is_not_there(package in random::package()) {
        let mut more = package.clone();
        let mut off = build::solid(901, "camera", "box", 3.0, [0.3, 0.1, 0.0], [0.1, 0.1, 0.1]);
        off.on = false;
        off.load = package.parts.iter().find_map(|part| part.load.clone());
        more.parts.push(off);
        prop_assert_eq!(check(&package)?, check(&more)?);
    }

    /// Marks grow with lengths and do not know masses; moments grow with both.
    #[test]
    fn scaling_lengths_and_masses_scales_the_answers(
        package in random::of_points(), length in 0.3..3.0_f64, mass in 0.3..3.0_f64,
    ) {
        let (before, after) = (check(&package)?, check(&scaled(&package, length, mass))?);
        for (old, new) in before.slides.iter().zip(&after.slides) {
            prop_assert_eq!(&old.slide, &new.slide);
            let off_m = old.target_m.value * length - new.target_m.value;
            prop_assert!(off_m.abs() < 1e-9, "{}: off by {off_m} m", old.slide);
        }
        for (old, new) in before.axes.iter().zip(&after.axes) {
            for (what, old, new, factor) in [
                ("residual", Vector3::from(old.residual_kg_m).norm(), Vector3::from(new.residual_kg_m).norm(),
                    length * mass),
                ("gravity", old.gravity_any_nm, new.gravity_any_nm, length * mass),
                ("inboard mass", old.inboard_kg, new.inboard_kg, mass),
            ] {
                prop_assert!((old * factor - new).abs() < 1e-6 * (1.0 + new.abs()), "{what}: {old}, {new}");
            }
        }
    }
}
