//! How far one can go: at the speed, whip or unbalance that the report allows, the reserve is just kept.

use solver::Package;
use solver::layout::Layout;
use solver::package::{Motion, RoadClass};
use solver::report::MoveTorque;
use solver::torque::torque_report;

use super::builds::{axis_move, medium, targets_m};

fn first_move(package: &Package, marks_m: &[f64]) -> MoveTorque {
    torque_report(package, &Layout::new(package), marks_m).moves.swap_remove(0)
}

fn least_headroom(each: &MoveTorque) -> f64 {
    each.axes
        .iter()
        .map(|axis| axis.peak_headroom.value.min(axis.continuous_headroom.value))
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn at_the_fastest_air_the_reserve_is_just_kept() {
    let mut package = medium();
    let marks_m = targets_m(&package);
    let fastest = first_move(&package, &marks_m).fastest_air_m_s.expect("some wind is too much");
    package.moves[0].airspeed_m_s = fastest;
    let left = least_headroom(&first_move(&package, &marks_m));
    assert!((left - package.reserve.torque_headroom).abs() < 0.01, "{fastest}: {left}");
}

#[test]
fn at_the_fastest_whip_the_reserve_is_just_kept() {
    let mut package = medium();
    package.moves[0].operator = vec![axis_move("pan", 1.0, 0.25), axis_move("tilt", 0.4, 0.3)];
    for element in &mut package.head.chain {
        if let solver::package::Element::Joint(joint) = element {
            joint.drive.max_rate_rad_s = 20.0;
        }
    }
    let marks_m = targets_m(&package);
    let factor = first_move(&package, &marks_m).operator_factor.expect("there is a whip");
    assert!(factor > 1.0 && factor < 20.0, "{factor}");
    for axis in &mut package.moves[0].operator {
        axis.rate_rad_s *= factor;
    }
    let left = least_headroom(&first_move(&package, &marks_m));
    assert!((left - package.reserve.torque_headroom).abs() < 0.005, "{factor}: {left}");
    let again = first_move(&package, &marks_m).operator_factor.expect("there is a whip");
    assert!((again - 1.0).abs() < 0.01, "{again}");
}

/// A drive that turns no faster than typical: near its fastest rate the voltage takes the torque before anything else
/// does, and a move at the factor, the wind or the road speed that is told must still be within the reserve.
#[test]
fn what_the_voltage_takes_counts_in_how_far_one_can_go() {
    let voltage =
        |each: &MoveTorque| each.axes.iter().filter_map(|axis| axis.voltage_headroom).fold(f64::INFINITY, f64::min);
    let mut package = medium();
    let reserve = package.reserve.torque_headroom;
    package.moves[0].airspeed_m_s = 6.0;
    package.moves[0].operator = vec![axis_move("pan", 0.7, 0.6), axis_move("tilt", 0.5, 0.6)];
    let marks_m = targets_m(&package);
    let slow = first_move(&package, &marks_m);
    let factor = slow.operator_factor.expect("there is a whip");
    let share = slow.axes.iter().map(|axis| axis.rate_use).fold(0.0, f64::max);
    assert!(factor > 1.0 && factor < 0.99 / share, "{factor} of {}", 1.0 / share);
    let mut fast = package.clone();
    for axis in &mut fast.moves[0].operator {
        axis.rate_rad_s *= factor;
    }
    let there = first_move(&fast, &marks_m);
    assert!((voltage(&there) - reserve).abs() < 0.01, "{factor}: {}", voltage(&there));
    assert!(least_headroom(&there) > reserve);
    assert!((there.operator_factor.expect("there is a whip") - 1.0).abs() < 0.01);
    // Nothing is left of any kind then: a little slower, and some wind and unbalance may be added.
    let spare =
        |each: &MoveTorque| each.axes.iter().filter_map(|axis| axis.spare_unbalance_kg_m).fold(f64::INFINITY, f64::min);
    for axis in &mut fast.moves[0].operator {
        axis.rate_rad_s *= 0.95;
    }
    let slower = first_move(&fast, &marks_m);
    assert!(spare(&slower) > 0.0 && spare(&slower) < spare(&slow));
    let fastest = slower.fastest_air_m_s.expect("some wind is too much");
    fast.moves[0].airspeed_m_s = fastest;
    assert!((voltage(&first_move(&fast, &marks_m)) - reserve).abs() < 0.01, "{fastest}");
    fast.moves[0].airspeed_m_s = 6.0;
    let road = |speed_m_s: f64| road(speed_m_s, 0.0);
    for axis in &mut fast.moves[0].operator {
        axis.rate_rad_s *= 0.9;
    }
    fast.moves[0].motion = road(6.0);
    let fastest = first_move(&fast, &marks_m).fastest_road_m_s.expect("some speed is too much");
    (fast.moves[0].motion, fast.moves[0].airspeed_m_s) = (road(fastest), fastest);
    let there = first_move(&fast, &marks_m);
    assert!((voltage(&there) - reserve).abs() < 0.01 && least_headroom(&there) > reserve, "{fastest}");
}

/// An average road at this speed, with this much of driving and braking.
fn road(speed_m_s: f64, steady_m_s2: f64) -> Motion {
    Motion::Road {
        class: RoadClass::C,
        speed_m_s,
        wheelbase_m: 2.9,
        lateral_share: 0.5,
        fore_aft_share: 0.3,
        lean_rad: 0.1,
        steady_m_s2,
    }
}

#[test]
fn at_the_highest_road_speed_the_reserve_is_just_kept() {
    let mut package = medium();
    let road = |speed_m_s: f64| road(speed_m_s, 3.0);
    package.moves[0].motion = road(10.0);
    package.moves[0].airspeed_m_s = 12.0;
    let marks_m = targets_m(&package);
    let fastest = first_move(&package, &marks_m).fastest_road_m_s.expect("some speed is too much");
    package.moves[0].motion = road(fastest);
    package.moves[0].airspeed_m_s = fastest + 2.0;
    let left = least_headroom(&first_move(&package, &marks_m));
    assert!((left - package.reserve.torque_headroom).abs() < 0.01, "{fastest}: {left}");
}

/// A part added at the spare unbalance brings the axis to its reserve.
#[test]
fn spare_unbalance_is_what_is_left() {
    let mut package = medium();
    package.moves[0].airspeed_m_s = 0.0;
    let marks_m = targets_m(&package);
    let before = first_move(&package, &marks_m);
    let tilt = before.axes.iter().find(|axis| axis.joint == "tilt").expect("a tilt axis");
    let spare = tilt.spare_unbalance_kg_m.expect("the axis has torque in hand");
    // A light part far ahead: next to no inertia in a move without an operator, no drag.
    let mut weight = package.parts[3].clone();
    weight.id = 99;
    let kg = 1.0;
    weight.mass = solver::package::PartMass::Own(solver::package::Mass {
        kg,
        from: solver::package::MassSource::BenchScale,
        u_kg: None,
    });
    weight.drag.sheltered = true;
    // Beyond what the hold zone hides: the spare counts from there.
    let hidden = 0.2 / 9.806_65;
    weight.at.offset_m = [(spare + hidden) / kg - plate_m(&package, &marks_m), 0.0, height_m(&package, &marks_m)];
    package.parts.push(weight);
    let after = first_move(&package, &marks_m);
    let tilt = after.axes.iter().find(|axis| axis.joint == "tilt").expect("a tilt axis");
    let left = tilt.peak_headroom.value.min(tilt.continuous_headroom.value);
    assert!((left - package.reserve.torque_headroom).abs() < 0.01, "{spare}: {left}");
}

/// How far the marks have carried the camera place ahead of the tilt axis, m.
fn plate_m(package: &Package, marks_m: &[f64]) -> f64 {
    mark(package, marks_m, "plate")
}

/// Offset from the camera place to the height of the tilt axis, m.
fn height_m(package: &Package, marks_m: &[f64]) -> f64 {
    0.1 - mark(package, marks_m, "height")
}

fn mark(package: &Package, marks_m: &[f64], id: &str) -> f64 {
    package.head.slides().position(|slide| slide.id == id).map_or(0.0, |place| marks_m[place])
}
