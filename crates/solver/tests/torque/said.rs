//! What is said of a move: voltage, isolator, gimbal lock, and where it leaves the model or the bounds.

use solver::Package;
use solver::finding::{Finding, Matter, Severity};
use solver::package::{Element, Isolator, Motion, Shape};

use super::builds::{axis_move, medium, range};

fn findings(package: &Package) -> Vec<Finding> {
    solver::check(package).expect("a valid package").findings
}

/// The finding that is asked for, with its severity; its words hold no gap.
fn said(package: &Package, wanted: fn(&Matter) -> bool) -> Option<Severity> {
    let found = findings(package).into_iter().find(|finding| wanted(&finding.matter))?;
    let words = found.to_string();
    assert!(words.len() > 40 && !words.contains("  ") && !words.contains("NaN"), "{words}");
    Some(found.severity)
}

fn voltage(matter: &Matter) -> bool {
    matches!(matter, Matter::VoltageTight { .. })
}

#[test]
fn a_whip_near_the_fastest_rate_is_limited_by_voltage() {
    let mut package = medium();
    package.moves[0].operator = vec![axis_move("pan", 1.0, 0.5)];
    assert_eq!(said(&package, voltage), None);
    // The pan's drive turns 3.5 rad/s: nearer and nearer to that less is left, then too little, then not enough.
    let mut told = vec![None];
    for step in 0..50 {
        package.moves[0].operator = vec![axis_move("pan", 2.0 + 0.03 * f64::from(step), 0.4)];
        told.push(said(&package, voltage));
    }
    told.dedup();
    assert_eq!(told, [None, Some(Severity::Watch), Some(Severity::NoGo)]);
    // Faster than it can turn at all is another finding.
    package.moves[0].operator = vec![axis_move("pan", 3.6, 0.4)];
    assert_eq!(said(&package, voltage), None);
    assert_eq!(said(&package, |matter| matches!(matter, Matter::TooFast { .. })), Some(Severity::NoGo));
}

#[test]
fn an_isolator_is_held_to_its_rated_mass() {
    let over = |matter: &Matter| matches!(matter, Matter::IsolatorOver { .. });
    let mut package = medium();
    let all_up_kg = solver::check(&package).expect("a valid package").mass.all_up_kg.value;
    let mut fitted = |rated_kg: f64| {
        package.moves[0].isolator = Some(Isolator { natural_hz: 5.0, damping: 0.2, rated_kg });
        said(&package, over)
    };
    assert_eq!(fitted(all_up_kg + 0.1), None);
    assert_eq!(fitted(all_up_kg - 0.1), Some(Severity::NoGo));
}

#[test]
fn gimbal_lock_in_the_working_range_is_said() {
    let lock = |matter: &Matter| matches!(matter, Matter::NearGimbalLock { .. });
    let mut package = medium();
    assert_eq!(said(&package, lock), None);
    package.moves[0].ranges = vec![range("tilt", -0.5, 0.5), range("roll", -1.5, 1.5)];
    assert_eq!(said(&package, lock), Some(Severity::Watch));
}

#[test]
fn winds_and_seas_beyond_the_model_are_said() {
    let crisis = |matter: &Matter| matches!(matter, Matter::DragCrisis { .. });
    let too_fast = |matter: &Matter| matches!(matter, Matter::AirTooFast { .. });
    let mut package = medium();
    package.moves[0].gust_factor = 1.0;
    // A lens of 114 mm at 15 °C: Re 2e5 stands at 25.6 m/s (computed from 1.458e-6·T^1.5/(T + 110.4) and ISO 2533).
    package.moves[0].air_k = 288.15;
    package.moves[0].airspeed_m_s = 25.0;
    assert_eq!(said(&package, crisis), None);
    package.moves[0].airspeed_m_s = 26.0;
    assert_eq!(said(&package, crisis), Some(Severity::Note));
    // A square box has sharp edges and no crisis; without the lens there is nothing round.
    let mut boxes = package.clone();
    boxes.active_lens = None;
    boxes.parts.iter_mut().for_each(|part| part.shape = Shape::Box);
    assert_eq!(said(&boxes, crisis), None);
    package.moves[0].airspeed_m_s = 80.0;
    assert_eq!(said(&package, too_fast), None);
    package.moves[0].gust_factor = 1.4;
    assert_eq!(said(&package, too_fast), Some(Severity::Watch));

    let steep = |matter: &Matter| matches!(matter, Matter::SeaTooSteep { .. });
    let mut at_sea = |height_m: f64| {
        package.moves[0].motion = Motion::Sea { height_m, period_s: 4.0, lean_rad: 0.1, slam_m_s2: 0.0 };
        said(&package, steep)
    };
    // A wave of 4 s is 24.97 m long, and breaks at a seventh of that.
    assert_eq!(at_sea(3.5), None);
    assert_eq!(at_sea(3.6), Some(Severity::Watch));
}

fn first_fault(package: &Package) -> String {
    solver::check(package).expect_err("a fault")[0].to_string()
}

/// What cannot be is refused with the name of its field.
#[test]
fn what_cannot_be_names_its_field() {
    let sound = medium();
    let mut package = sound.clone();
    package.moves[0].airspeed_m_s = 91.0;
    assert!(first_fault(&package).starts_with("moves[0].airspeed_m_s"), "{}", first_fault(&package));

    let yoke = sound.head.chain.iter().position(|element| matches!(element, Element::Yoke(_))).expect("a yoke");
    let mut package = sound.clone();
    if let Element::Yoke(yoke) = &mut package.head.chain[yoke] {
        yoke.inertia_kg_m2[1] = -0.01;
    }
    let fault = first_fault(&package);
    assert!(fault.starts_with(&format!("head.chain[{yoke}].inertia_kg_m2[1]")), "{fault}");

    let mut package = sound.clone();
    if let Element::Joint(joint) = &mut package.head.chain[0] {
        joint.axis = [0.0, 0.5, 0.5];
    }
    let fault = first_fault(&package);
    assert!(fault.starts_with("head.chain[0].axis"), "{fault}");
    assert!(fault.contains("length"), "{fault}");
}

/// A body without inertia is a point, and a chain without any mass asks for friction, cables and wind alone.
#[test]
fn no_inertia_is_a_point_and_no_mass_is_no_torque() {
    let mut package = medium();
    package.moves[0].operator = vec![axis_move("pan", 2.0, 0.5), axis_move("tilt", 1.0, 0.5)];
    for element in &mut package.head.chain {
        if let Element::Yoke(yoke) = element {
            yoke.inertia_kg_m2 = [0.0; 3];
        }
    }
    let report = solver::check(&package).expect("a valid package");
    assert!(report.axes.iter().all(|axis| axis.inertia_kg_m2 > 0.0));
    package.parts.clear();
    package.active_lens = None;
    for element in &mut package.head.chain {
        match element {
            Element::Yoke(yoke) => yoke.mass.kg = 0.0,
            Element::Joint(joint) => joint.drive.reflected_inertia_kg_m2 = 0.0,
            _ => {}
        }
    }
    let report = solver::check(&package).expect("a valid package");
    for axis in &report.torque.known().expect("a move").moves[0].axes {
        let terms = axis.peak;
        assert!(terms.operator_nm.abs() < 1e-12 && terms.wind_nm.abs() < 1e-12, "{terms:?}");
        assert!(axis.peak_nm.value.is_finite() && axis.spare_unbalance_kg_m.is_some());
    }
}
