//! What the motors draw in a move.

use super::demand::Load;
use super::operator::Operator;
use super::scan::Scan;
use super::study::{AtJoint, Study};
use crate::platform::PlatformMotion;
use crate::report::Terms;

/// Mean electrical power of the motors, W: copper loss Σ(τ_rms/K_m)², and mechanical power without recovery.
///
/// An ordinary day, not the worst: mean over the poses, unbalance anywhere in the hold zone, wind from anywhere.
pub(super) fn motors_w(study: &Study<'_>, operator: &Operator, motion: &PlatformMotion, scan: &Scan) -> f64 {
    let mut sum_w = 0.0;
    for (joint, about) in study.joints.iter().enumerate() {
        let drive = &about.drive;
        sum_w += scan.heat[joint] / (drive.motor_constant * drive.motor_constant);
        // Friction is worked against whenever the axis turns: to hold the camera while the base turns (the mean of
        // a Gaussian rate is 0.8 of its root mean square), and in the operator's moves.
        let swing_rad_s = 0.8 * motion.rms_turn_rad_s;
        let mut work_w = drive.friction_nm * swing_rad_s;
        if let Some(axis) = operator.on(joint) {
            let (rate, time_s) = (axis.rate_rad_s, axis.time_s);
            let inertia = scan.inertia_kg_m2[joint] + drive.reflected_inertia_kg_m2;
            let energy_j = 0.5 * inertia * rate * rate + drive.friction_nm * rate * time_s;
            work_w += energy_j * operator.moves_per_s;
        }
        sum_w += work_w / drive.efficiency;
    }
    sum_w
}

/// Mean square torque in a pose on an ordinary day, N²·m²: the crew's unbalance anywhere in the hold zone (a third of
/// its square), the wind from anywhere (half of its square), friction only while something turns.
pub(super) fn heat(load: &Load<'_>, at: &AtJoint, worst: &Terms) -> f64 {
    let lasting = if load.own_unbalance_counts(at, false) {
        worst.unbalance_nm * worst.unbalance_nm
    } else {
        worst.unbalance_nm * worst.unbalance_nm / 3.0
    };
    let turning = if load.motion.rms_turn_rad_s2 > 0.0 { 1.0 } else { load.operator.duty };
    lasting
        + worst.cable_nm * worst.cable_nm
        + 0.5 * worst.wind_nm * worst.wind_nm
        + worst.platform_nm * worst.platform_nm
        + worst.operator_nm * worst.operator_nm
        + turning * worst.friction_nm * worst.friction_nm
}
