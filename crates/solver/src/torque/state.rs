//! The motion that stands behind a demand: what every link does in it, for the uncertainty.

use nalgebra::{Matrix3, Vector3};

use super::demand::{Demand, Load};
use super::operator::{MEAN_FOURTH_OF_RATE, MEAN_SQUARE_OF_SINE, Whip, sense, steepest_instant};
use super::spread::{Spread, gradient};
use super::study::{AtJoint, Study};
use super::table::Narrowed;
use crate::constants::GRAVITY_M_S2;
use crate::dynamics::{MAX_JOINTS, Pose};
use crate::float;

/// How much each part of a demand weighs in its sum: 1 each for a peak, share of the root for a continuous one.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weights {
    /// Unbalance under gravity.
    pub(super) lasting: f64,
    /// The platform's accelerations.
    pub(super) shaking: f64,
    /// The operator's accelerations.
    pub(super) acceleration: f64,
    /// The operator's rates.
    pub(super) rates: f64,
}

impl Weights {
    /// At the instant of the move where the peak stands.
    pub(super) fn of_peak(whip: &Whip) -> Self {
        let (sin, share) = steepest_instant(whip.acceleration_nm, whip.rates_nm);
        Self { lasting: 1.0, shaking: 1.0, acceleration: sin, rates: share * share }
    }

    /// Derivatives of √(mean² + σ² + operator² + friction²).
    pub(super) fn of_continuous(load: &Load<'_>, demand: &Demand) -> Self {
        let over = if demand.continuous_nm > 0.0 { 1.0 / demand.continuous_nm } else { 0.0 };
        let terms = &demand.continuous;
        let duty = load.operator.duty * load.loss;
        Self {
            lasting: (terms.unbalance_nm + terms.wind_nm + terms.cable_nm) * over,
            shaking: terms.platform_nm * over,
            acceleration: duty * MEAN_SQUARE_OF_SINE * demand.whip.acceleration_nm * over,
            rates: duty * MEAN_FOURTH_OF_RATE * demand.whip.rates_nm * over,
        }
    }
}

/// Standard uncertainty of a demand from the masses and centres of gravity of the bodies, N·m: the demand linearised at
/// this pose. Limits of the drive, friction, drag and the platform's motion count as known.
#[expect(clippy::too_many_arguments, reason = "one joint of one move in one pose; each is one plain thing")]
pub(super) fn demand_u_nm(
    study: &Study<'_>,
    spreads: &[Spread],
    pose: &Pose,
    up: &Vector3<f64>,
    load: &Load<'_>,
    narrowed: &Narrowed,
    weights: &Weights,
    peak: bool,
) -> f64 {
    let joint = load.joint;
    let (at, whip) = (&narrowed.at, &narrowed.demand.whip);
    let mut felt = lasting_felt(pose, up, load, at, peak) * weights.lasting;
    let (shaken, turned) = shaking_felt(study, pose, up, load, at, peak);
    felt += shaken * weights.shaking;
    let alpha = turned * weights.shaking;
    let holding = if study.turning { pose.holding() } else { [Vector3::zeros(); MAX_JOINTS] };
    let mut accelerations = [0.0; MAX_JOINTS];
    for (acceleration, row) in accelerations.iter_mut().zip(&holding) {
        *acceleration = row.dot(&alpha);
    }
    // The demand takes the sum without sign: turn the motion over where the sum is negative.
    let pushes = load.operator.acceleration_nm(at, joint, load.reflected_kg_m2, whip.senses).signum();
    let mut rates = [0.0; MAX_JOINTS];
    for (place, axis) in load.operator.axes.iter().enumerate() {
        let sense = sense(whip.senses, place);
        accelerations[axis.joint] += pushes * weights.acceleration * sense * axis.steepest_rad_s2;
        rates[axis.joint] = sense * axis.rate_rad_s;
    }
    let swings = load.operator.rates_nm(at, whip.senses).signum() * weights.rates;

    let mut variance = 0.0;
    let (mut omega, mut alpha) = (Vector3::zeros(), alpha);
    let mut whirl = Whirl { a: Vector3::zeros(), alpha: Vector3::zeros() };
    let mut origin_m = Vector3::zeros();
    for link in 0..study.joints.len() {
        let axis = &pose.axes[link];
        let arm_m = pose.origins_m[link] - origin_m;
        origin_m = pose.origins_m[link];
        felt += alpha.cross(&arm_m);
        whirl.a += whirl.field(&omega) * arm_m;
        alpha += axis * accelerations[link];
        whirl.alpha += omega.cross(axis) * rates[link];
        omega += axis * rates[link];
        if link < joint {
            continue;
        }
        let rotation = &pose.rotations[link];
        let field = alpha.cross_matrix() + whirl.field(&omega) * swings;
        let slope = gradient(
            &rotation.tr_mul(&pose.axes[joint]),
            &rotation.tr_mul(&(origin_m - pose.origins_m[joint])),
            &rotation.tr_mul(&(felt + whirl.a * swings)),
            &(rotation.tr_mul(&field) * rotation),
        );
        variance += spreads[link].variance(&slope);
    }
    load.loss * float::sqrt(variance)
}

/// What the rates alone do to a link.
struct Whirl {
    a: Vector3<f64>,
    alpha: Vector3<f64>,
}

impl Whirl {
    fn field(&self, omega: &Vector3<f64>) -> Matrix3<f64> {
        let cross = omega.cross_matrix();
        self.alpha.cross_matrix() + cross * cross
    }
}

/// Felt acceleration behind the unbalance term; none where the hold zone, which is the same whatever the parts, counts.
fn lasting_felt(pose: &Pose, up: &Vector3<f64>, load: &Load<'_>, at: &AtJoint, peak: bool) -> Vector3<f64> {
    if !load.own_unbalance_counts(at, peak) {
        return Vector3::zeros();
    }
    let [sin, cos] = load.lean(peak);
    let push = &pose.push_kg_m[load.joint];
    let along = push.dot(up);
    let across = push - up * along;
    let level = unit_or_zero(&across);
    let steady = level * load.motion.steady_m_s2;
    // Leant so far that gravity pulls along the whole of it, or as far as the base leans.
    if across.dot(&level) * cos < along.abs() * sin {
        return unit_or_zero(push) * GRAVITY_M_S2 + steady;
    }
    up * (along.signum() * GRAVITY_M_S2 * cos) + level * (GRAVITY_M_S2 * sin) + steady
}

/// Felt acceleration and angular acceleration of the base behind the platform term.
fn shaking_felt(
    study: &Study<'_>,
    pose: &Pose,
    up: &Vector3<f64>,
    load: &Load<'_>,
    at: &AtJoint,
    peak: bool,
) -> (Vector3<f64>, Vector3<f64>) {
    let push = &pose.push_kg_m[load.joint];
    let along = push.dot(up);
    let level = push - up * along;
    let motion = load.motion;
    let shaken = load.shaken_by(at, peak);
    let own = if shaken.own { 1.0 } else { 0.0 };
    // Torque per angular acceleration of the base about the worst level axis, the camera held.
    let turn = if study.turning {
        let turn = study.turn_held(pose, &pose.holding(), load.joint);
        turn - up * turn.dot(up)
    } else {
        Vector3::zeros()
    };
    if shaken.stated {
        let felt = up * (along.signum() * motion.peak_up_m_s2) + unit_or_zero(&level) * motion.peak_level_m_s2;
        return (felt * own, unit_or_zero(&turn) * motion.peak_turn_rad_s2);
    }
    // Passing leans count in a continuous demand only; a peak takes the largest lean as lasting.
    let leaning = if peak { 0.0 } else { load.leaning_m_s2() };
    let leaning_nm = leaning * f64::max(at.level_kg_m, load.held_kg_m);
    let root = float::sqrt(load.shaking_squared(at) + leaning_nm * leaning_nm);
    if root <= 0.0 {
        return (Vector3::zeros(), Vector3::zeros());
    }
    let scale = if peak { motion.peak_factor / root } else { 1.0 / root };
    let (up_square, level_square) = (square(motion.rms_up_m_s2), square(motion.rms_level_m_s2));
    let mut felt = (up * (along * up_square) + level * level_square) * (own * scale);
    if at.level_kg_m > load.held_kg_m {
        felt += level * (leaning * leaning * scale);
    }
    (felt, turn * (square(motion.rms_turn_rad_s2) * scale))
}

fn square(value: f64) -> f64 {
    value * value
}

fn unit_or_zero(vector: &Vector3<f64>) -> Vector3<f64> {
    let length = float::sqrt(vector.norm_squared());
    if length > 0.0 { vector / length } else { Vector3::zeros() }
}
