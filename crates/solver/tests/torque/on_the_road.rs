//! What the trade knows without a calculator.

use solver::package::{Motion, PlatformKind, RoadClass};
use solver::report::Cause;

use super::builds::{axis_move, medium, quiet_move, range};

/// Common practice, no source: on a smoothly moving jib motors work little; on a vehicle at 160 km/h the average power
/// is high, and it is the wind that takes it.
#[test]
fn a_jib_is_light_and_a_fast_vehicle_is_not() {
    let mut package = medium();
    let mut vehicle = quiet_move();
    vehicle.id = 2;
    vehicle.platform = PlatformKind::RoadVehicle;
    vehicle.motion = Motion::Road {
        class: RoadClass::A,
        speed_m_s: 160.0 / 3.6,
        wheelbase_m: 2.9,
        lateral_share: 0.5,
        fore_aft_share: 0.3,
        lean_rad: 0.104_72,
        steady_m_s2: 3.9,
    };
    vehicle.airspeed_m_s = 160.0 / 3.6;
    vehicle.gust_factor = 1.2;
    package.moves.push(vehicle);
    let report = solver::check(&package).expect("a valid package");
    let torque = report.torque.known().expect("moves are there");
    let [jib, vehicle] = &torque.moves[..] else { panic!("two moves") };
    assert!(jib.motors_w < 2.0, "{}", jib.motors_w);
    assert!(vehicle.motors_w > 15.0 * jib.motors_w && vehicle.motors_w > 15.0, "{}", vehicle.motors_w);
    let tightest = torque.tightest.as_ref().expect("axes are there");
    assert_eq!((tightest.move_id, tightest.cause), (2, Cause::Wind));
    assert!(vehicle.fastest_air_m_s.is_some_and(|fastest| fastest < 160.0 / 3.6));
}

/// The sums of the typical values: 1.3 kg·m² to 180°/s in 0.4 s as a raised cosine needs (π/2)·1.3·π/0.4 = 16.04 N·m.
#[test]
fn a_whip_pan() {
    let mut package = medium();
    let mut each = quiet_move();
    each.operator = vec![axis_move("pan", std::f64::consts::PI, 0.4)];
    each.ranges = vec![range("tilt", 0.0, 0.0)];
    package.moves = vec![each];
    let report = solver::check(&package).expect("a valid package");
    let inertia = report.axes.iter().find(|axis| axis.joint == "pan").expect("a pan axis").inertia_kg_m2;
    let pan = report.torque.known().expect("a move").moves[0]
        .axes
        .iter()
        .find(|axis| axis.joint == "pan")
        .expect("a pan axis")
        .clone();
    let expected = inertia * std::f64::consts::FRAC_PI_2 * std::f64::consts::PI / 0.4;
    assert!((pan.peak.operator_nm / expected - 1.0).abs() < 1e-4, "{} {expected}", pan.peak.operator_nm);
    // 180°/s is 90 % of the fastest rate: the voltage leaves a fifth of the torque at the end of the whip.
    assert!((pan.rate_use - std::f64::consts::PI / 3.5).abs() < 1e-12);
    assert!(pan.voltage_headroom.is_some_and(|headroom| headroom < pan.peak_headroom.value));
}
