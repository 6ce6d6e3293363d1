//! How far one can go: the strongest wind, the fastest whip, the highest speed, the largest unbalance within the reserve.

use super::demand::{Demand, Load, passing_squared};
use super::limits::{KNEE, headroom, voltage_binds, voltage_share};
use super::operator::{MEAN_FOURTH_OF_RATE, MEAN_SQUARE_OF_SINE, Operator, no_more_than, steepest_instant};
use super::scan::{rate_share, voltage_use};
use super::study::{AtJoint, Study};
use super::table::Table;
use crate::bounds;
use crate::float;
use crate::package::{Motion, Move};
use crate::platform::PlatformMotion;

/// What a joint may be asked for within the reserve, N·m.
#[derive(Debug, Clone, Copy)]
pub(super) struct Allowed {
    pub(super) peak_nm: f64,
    pub(super) continuous_nm: f64,
}

/// Square of the highest airspeed, at most `most`, at which this joint in this pose is within what is allowed; `unit`
/// holds the torques of the mean wind and of the gusts at one metre a second. The wind's terms go with the square of
/// the speed and nothing else does. 0 when even still air is too much. `left_nm` is [`peak_left_nm`] in the move's own
/// wind.
pub(super) fn air_squared(
    allowed: &Allowed,
    demand: &Demand,
    left_nm: f64,
    [mean_nm, gust_nm]: [f64; 2],
    most: f64,
) -> f64 {
    let mut squared = most;
    let in_still_air_nm = left_nm + demand.peak.wind_nm;
    if gust_nm * squared > in_still_air_nm {
        squared = ratio(in_still_air_nm, gust_nm);
    }
    let lasting = demand.continuous.unbalance_nm + demand.continuous.cable_nm;
    let left = allowed.continuous_nm * allowed.continuous_nm - passing_squared(&demand.continuous);
    let windy = lasting + mean_nm * squared;
    if windy * windy > left {
        squared = if left < 0.0 { 0.0 } else { f64::min(squared, ratio(float::sqrt(left) - lasting, mean_nm)) };
    }
    squared
}

/// Peak torque that is left during the operator's move, N·m: of what is allowed, and near the drive's fastest rate of
/// what the voltage leaves of that. `rate_share` is the share of that rate which the move needs. Negative when overdrawn.
/// From `enough_nm` on it is not looked at closely.
#[inline(never)]
pub(super) fn peak_left_nm(
    load: &Load<'_>,
    at: &AtJoint,
    allowed: &Allowed,
    demand: &Demand,
    rate_share: f64,
    enough_nm: f64,
) -> f64 {
    let mut least_nm = allowed.peak_nm - demand.peak_nm;
    let counts_nm = f64::min(least_nm, enough_nm);
    if voltage_binds(rate_share) && load.second_half_may(at, demand, [allowed.peak_nm, counts_nm], [rate_share, 1.0]) {
        load.second_half(at, demand, rate_share, |instant| {
            let left_nm = allowed.peak_nm * voltage_share(rate_share * instant.share);
            least_nm = f64::min(least_nm, left_nm - instant.asked_nm());
        });
    }
    least_nm
}

/// The factor, at most `most`, by which the operator's rates may rise in the same time before the voltage leaves this
/// joint in this pose less than it is asked for within what is allowed.
///
/// At one instant A·f + C·f² and all else stand against P·(1 − s·f)/(1 − knee), s the share of the fastest rate.
#[inline(never)]
pub(super) fn voltage_factor(
    load: &Load<'_>,
    at: &AtJoint,
    allowed: &Allowed,
    demand: &Demand,
    rate_share: f64,
    mut most: f64,
) -> f64 {
    if !may_slow(load, at, allowed, demand, rate_share, most) {
        return most;
    }
    let line_nm = allowed.peak_nm / (1.0 - KNEE);
    load.second_half(at, demand, rate_share * most, |instant| {
        let (left_nm, speed) = (line_nm - instant.rest_nm, rate_share * instant.share);
        if left_nm <= 0.0 {
            most = 0.0;
            return;
        }
        let linear_nm = instant.acceleration_nm + line_nm * speed;
        // Takes a root only where it counts.
        if most * (linear_nm + most * instant.rates_nm) <= left_nm {
            return;
        }
        let factor = positive_root(instant.rates_nm, linear_nm, left_nm);
        // Below the knee the voltage takes nothing: the torque itself is the limit there, and is asked elsewhere.
        if voltage_binds(speed * factor) {
            most = f64::min(most, factor);
        }
    });
    most
}

/// Whether [`voltage_factor`] may be less than `most`. What is asked rises with the factor and what is left falls: what
/// still fits at `most` fits.
pub(super) fn may_slow(
    load: &Load<'_>,
    at: &AtJoint,
    allowed: &Allowed,
    demand: &Demand,
    rate_share: f64,
    most: f64,
) -> bool {
    voltage_binds(rate_share * most) && load.second_half_may(at, demand, [allowed.peak_nm, 0.0], [rate_share, most])
}

/// How many times `unit` fits into `left`; 0 for what is overdrawn already.
fn ratio(left: f64, unit: f64) -> f64 {
    if left < 0.0 {
        0.0
    } else if unit > 0.0 {
        left / unit
    } else {
        f64::INFINITY
    }
}

/// The factor, at most `most`, by which the operator's rates may rise in the same time before this joint in this pose
/// is at what is allowed: torque of acceleration goes with the factor, torque of rates with its square.
pub(super) fn operator_factor(load: &Load<'_>, allowed: &Allowed, demand: &Demand, most: f64) -> f64 {
    let whip = &demand.whip;
    let (acceleration, rates) = (load.loss * whip.acceleration_nm, load.loss * whip.rates_nm);
    let left = allowed.peak_nm - (demand.peak_nm - demand.peak.operator_nm);
    let terms = &demand.continuous;
    let lasting = terms.unbalance_nm + terms.wind_nm + terms.cable_nm;
    let steady = lasting * lasting + terms.platform_nm * terms.platform_nm + terms.friction_nm * terms.friction_nm;
    let heat_left = allowed.continuous_nm * allowed.continuous_nm - steady;
    if left < 0.0 || heat_left < 0.0 {
        return 0.0;
    }
    let mut factor = most;
    // The faster the move, the later its worst instant: each solution for one instant is too fast for the next.
    for _ in 0..20 {
        if no_more_than(acceleration * factor, rates * factor * factor) <= left {
            break;
        }
        let (sin, share) = steepest_instant(acceleration, rates * factor);
        let (linear, square) = (acceleration * sin, rates * share * share);
        if linear * factor + square * factor * factor <= left * (1.0 + 1e-6) {
            break;
        }
        factor = positive_root(square, linear, left);
    }
    let duty = load.operator.duty;
    let linear = duty * MEAN_SQUARE_OF_SINE * acceleration * acceleration;
    let square = duty * MEAN_FOURTH_OF_RATE * rates * rates;
    let squared = factor * factor;
    if linear * squared + square * squared * squared > heat_left {
        factor = float::sqrt(positive_root(square, linear, heat_left));
    }
    factor
}

/// The positive x with square·x² + linear·x = left, for coefficients that are not negative and not both nil.
fn positive_root(square: f64, linear: f64, left: f64) -> f64 {
    // Written so that a small square term loses no digits.
    2.0 * left / (linear + float::sqrt(linear * linear + 4.0 * square * left))
}

/// Unbalance that may be added in the worst direction before this joint in this pose is at what is allowed, kg·m; the
/// random part counts as if it added in full. `None` when it is above already. `peak_left` is [`peak_left_nm`].
pub(super) fn spare_unbalance_kg_m(
    load: &Load<'_>,
    at: &AtJoint,
    allowed: &Allowed,
    demand: &Demand,
    peak_left: f64,
) -> Option<f64> {
    let continuous = &demand.continuous;
    let mean = continuous.unbalance_nm + continuous.wind_nm + continuous.cable_nm;
    let heat_left = allowed.continuous_nm * allowed.continuous_nm - passing_squared(continuous);
    if peak_left < 0.0 || heat_left < mean * mean {
        return None;
    }
    let by_peak = ratio(peak_left, load.peak_per_unbalance_m_s2(at));
    let by_heat = ratio(float::sqrt(heat_left) - mean, load.mean_per_unbalance_m_s2(at));
    let spare = f64::min(by_peak, by_heat);
    spare.is_finite().then_some(spare)
}

/// Highest speed on the move's road at which every joint keeps what is allowed, the airspeed rising with the speed of
/// the vehicle. `None` off the road, when even a crawl is too much, or when the highest speed of the model is not.
///
/// The worst joint and pose at one speed is solved for its own limit by halving, and the others are asked again there:
/// demand grows with speed, so the speed only ever comes down.
pub(super) fn fastest_road_m_s(
    study: &Study<'_>,
    each: &Move,
    table: &Table,
    operator: &Operator,
    allowed: &[Allowed],
) -> Option<f64> {
    let Motion::Road { speed_m_s: own_m_s, .. } = each.motion else { return None };
    let at_speed = |speed_m_s: f64| {
        let mut faster = each.clone();
        if let Motion::Road { speed_m_s: own, .. } = &mut faster.motion {
            *own = speed_m_s;
        }
        (PlatformMotion::of(&faster), f64::max(0.0, each.airspeed_m_s + speed_m_s - own_m_s))
    };
    let over = |load: &Load<'_>, at: &AtJoint, deflection_rad: f64| {
        let allowed = &allowed[load.joint];
        let demand = load.demand(at, deflection_rad);
        let peak = headroom(demand.peak_nm, allowed.peak_nm);
        let continuous = headroom(demand.continuous_nm, allowed.continuous_nm);
        let over = -f64::min(peak, continuous);
        let share = rate_share(study, load);
        if voltage_binds(share) {
            f64::max(over, voltage_use(load, at, &demand, allowed.peak_nm, share, 0.0) - 1.0)
        } else {
            over
        }
    };
    let mut speed_m_s = bounds::SPEED_M_S.max;
    for round in 0..12 {
        let (motion, airspeed_m_s) = at_speed(speed_m_s);
        let loads: Vec<Load<'_>> = (0..study.joints.len())
            .map(|joint| Load::new(study, each, &motion, operator, airspeed_m_s, joint))
            .collect();
        let mut worst: Option<(f64, usize, AtJoint, f64)> = None;
        for (_, q_rad, ats) in table.poses() {
            for (load, at) in loads.iter().zip(ats) {
                let deflection_rad = table.deflection_rad(load.joint, q_rad);
                let over = over(load, at, deflection_rad);
                if worst.as_ref().is_none_or(|worst| over > worst.0) {
                    worst = Some((over, load.joint, *at, deflection_rad));
                }
            }
        }
        let (excess, joint, at, deflection_rad) = worst?;
        if excess <= 1e-9 {
            return (round > 0).then_some(speed_m_s);
        }
        let exceeds = |speed_m_s: f64| {
            let (motion, airspeed_m_s) = at_speed(speed_m_s);
            over(&Load::new(study, each, &motion, operator, airspeed_m_s, joint), &at, deflection_rad) > 0.0
        };
        if exceeds(0.0) {
            return None;
        }
        let (mut low, mut high) = (0.0, speed_m_s);
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            if exceeds(middle) { high = middle } else { low = middle }
        }
        speed_m_s = low;
    }
    Some(speed_m_s)
}
