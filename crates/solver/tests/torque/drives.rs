//! Gears, gimbal lock, the voltage, and heads without this or that.

use solver::constants::GRAVITY_M_S2;
use solver::float;
use solver::layout::Layout;
use solver::linkage::Linkage;
use solver::package::{DriveKind, Element, Joint, Motion, Package};
use solver::report::{AxisTorque, MoveTorque};
use solver::torque::{gravity_in_use_nm, torque_report};

use super::builds::{axis_move, medium, range, targets_m};

fn joint<'a>(package: &'a mut Package, id: &str) -> &'a mut Joint {
    package
        .head
        .chain
        .iter_mut()
        .find_map(|element| match element {
            Element::Joint(joint) if joint.id == id => Some(joint),
            _ => None,
        })
        .expect("a joint")
}

fn first_move(package: &Package, marks_m: &[f64]) -> MoveTorque {
    torque_report(package, &Layout::new(package), marks_m).moves.swap_remove(0)
}

fn axis<'a>(each: &'a MoveTorque, id: &str) -> &'a AxisTorque {
    each.axes.iter().find(|axis| axis.joint == id).expect("an axis")
}

#[test]
fn gears_lose_a_share_and_hide_no_unbalance() {
    let mut package = medium();
    package.moves[0].operator = vec![axis_move("tilt", 0.8, 0.5)];
    let marks_m = targets_m(&package);
    let direct = first_move(&package, &marks_m);
    let tilt = joint(&mut package, "tilt");
    tilt.drive.kind = DriveKind::Geared;
    tilt.drive.efficiency = 0.7;
    let geared = first_move(&package, &marks_m);
    let (before, after) = (axis(&direct, "tilt").peak, axis(&geared, "tilt").peak);
    assert!((after.operator_nm * 0.7 / before.operator_nm - 1.0).abs() < 0.02);
    assert!((after.friction_nm - before.friction_nm).abs() < 1e-12);
    // The marks are on target: what is left is the zoom's shift, not the friction's hold zone.
    assert!(after.unbalance_nm < 0.7 * before.unbalance_nm, "{} {}", after.unbalance_nm, before.unbalance_nm);
}

#[test]
fn poses_near_gimbal_lock_are_left_out_and_said() {
    let mut package = medium();
    let marks_m = targets_m(&package);
    assert!(!first_move(&package, &marks_m).near_gimbal_lock);
    // Roll stands between pan and tilt, by a right angle of it lays tilt along pan.
    package.moves[0].ranges = vec![range("tilt", -0.5, 0.5), range("roll", -1.5, 1.5)];
    let each = first_move(&package, &marks_m);
    assert!(each.near_gimbal_lock);
    assert!(each.axes.iter().all(|axis| axis.pose_rad[1].abs() < 80.1_f64.to_radians()));
    // A move in gimbal lock alone still has finite figures.
    package.moves[0].ranges = vec![range("roll", 1.56, 1.575)];
    let each = first_move(&package, &marks_m);
    assert!(each.near_gimbal_lock && each.axes.iter().all(|axis| axis.peak_nm.value.is_finite()));
}

/// With every axis at work the moves of the others reach each axis through products of inertia.
#[test]
fn cross_coupling_shows() {
    let mut package = medium();
    package.moves[0].operator = vec![axis_move("pan", 2.0, 0.5)];
    let marks_m = targets_m(&package);
    let alone = first_move(&package, &marks_m);
    // Which axis does it is named, and each is named only where it is not the axis itself.
    let names = |id: &str| axis(&alone, id).coupled_by.iter().map(|by| by.joint.clone()).collect::<Vec<String>>();
    assert_eq!(names("roll"), ["pan"]);
    assert!(names("pan").is_empty());
    let roll = axis(&alone, "roll");
    assert!((roll.coupled_by[0].torque_nm - roll.peak.operator_nm).abs() < 0.05 * roll.peak.operator_nm);
    assert!(roll.coupled_nm > 0.05 && (roll.coupled_nm - roll.peak.operator_nm).abs() < 1e-9, "{}", roll.coupled_nm);
    assert!(axis(&alone, "pan").coupled_nm < 0.2 * axis(&alone, "pan").peak.operator_nm);
}

#[test]
fn moves_of_joints_that_are_not_there_are_ignored() {
    let mut package = medium();
    let marks_m = targets_m(&package);
    let before = first_move(&package, &marks_m);
    package.moves[0].operator.push(axis_move("elevator", 3.0, 0.1));
    package.moves[0].ranges.push(range("elevator", -1.0, 1.0));
    assert_eq!(first_move(&package, &marks_m), before);
}

#[test]
fn a_drive_without_torque_is_hopeless_and_finite() {
    let mut package = medium();
    package.moves[0].operator = vec![axis_move("pan", 1.0, 0.5)];
    let marks_m = targets_m(&package);
    let pan = joint(&mut package, "pan");
    pan.drive.peak_nm = 0.0;
    pan.drive.continuous_nm = 0.0;
    pan.drive.max_rate_rad_s = 0.0;
    let each = first_move(&package, &marks_m);
    let pan = axis(&each, "pan");
    assert!(pan.peak_headroom.value < -10.0 && pan.peak_headroom.value.is_finite());
    assert!(pan.rate_use > 1.0 && pan.rate_use.is_finite());
    assert_eq!(each.fastest_air_m_s, None);
}

/// A head without joints has no torque to report, and none is missed.
#[test]
fn a_bare_plate() {
    let mut package = medium();
    package.head.chain.retain(|element| !matches!(element, Element::Joint(_)));
    let report = torque_report(&package, &Layout::new(&package), &targets_m(&package));
    assert!(report.tightest.is_none() && report.moves[0].axes.is_empty());
    assert!(report.moves[0].motors_w.abs() < 1e-12);
}

/// A base that may lean right over also stands upright: what hangs off an axis that lies level pulls with all of its
/// weight, however far the platform leans, and gravity in use says the same as the torque.
#[test]
fn leaning_far_takes_no_weight_off() {
    let mut package = medium();
    joint(&mut package, "tilt").drive.kind = DriveKind::Geared;
    package.lenses[0].cg_shift_m = 0.0;
    (package.moves[0].ranges, package.moves[0].operator) = (Vec::new(), Vec::new());
    let mut marks_m = targets_m(&package);
    let plate = package.head.slides().position(|slide| slide.id == "plate").expect("a plate");
    marks_m[plate] += 0.05;
    let layout = Layout::new(&package);
    let mut at = |lean_rad: f64, peak_m_s2: f64| {
        package.moves[0].motion = Motion::Own {
            lean_rad,
            rms_m_s2: 0.0,
            peak_m_s2,
            slam_m_s2: 0.0,
            band_hz: 1.0,
            turn_rms_rad_s: 0.0,
            turn_peak_rad_s: 0.0,
        };
        let linkage = Linkage::new(&layout, &marks_m);
        let in_use = gravity_in_use_nm(&package, &linkage);
        let each = first_move(&package, &marks_m);
        let (tilt, pan) = (axis(&each, "tilt"), axis(&each, "pan"));
        (tilt.peak.unbalance_nm, in_use[2], pan.peak.unbalance_nm, in_use[0])
    };
    let (level_nm, ..) = at(0.0, 0.0);
    assert!(level_nm > 4.0, "{level_nm}");
    for lean_rad in [0.3, 0.9, core::f64::consts::FRAC_PI_2] {
        let (tilt_nm, tilt_in_use_nm, pan_nm, pan_in_use_nm) = at(lean_rad, 0.0);
        assert!(tilt_nm >= level_nm && tilt_in_use_nm >= 0.999 * tilt_nm, "{lean_rad}: {tilt_nm} {tilt_in_use_nm}");
        // The pan sees the sine: 50 mm of what the plate moves, less what the hold zone may hide.
        assert!(pan_in_use_nm > 0.98 * level_nm * float::sin(lean_rad) && pan_nm > 0.98 * pan_in_use_nm);
    }
    // Level acceleration of the platform adds to an upright axis what a lean would not.
    let [still, pushed] = [0.0, 3.0].map(|peak_m_s2| at(0.0, peak_m_s2).3);
    assert!(
        still < 0.01 * pushed && (pushed - level_nm * 3.0 / GRAVITY_M_S2).abs() < 0.02 * pushed,
        "{still} {pushed}"
    );
}
