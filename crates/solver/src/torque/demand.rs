//! What one move asks of one joint in one pose, term by term.

use super::limits::{voltage_binds, voltage_share};
use super::operator::{INSTANTS, Operator, Whip};
use super::study::{AtJoint, Study};
use crate::air;
use crate::constants::GRAVITY_M_S2;
use crate::float;
use crate::package::Move;
use crate::platform::PlatformMotion;
use crate::report::Terms;

/// What one move asks of one joint in one pose.
#[derive(Debug, Clone, Copy)]
pub(super) struct Demand {
    /// The terms of the peak.
    pub(super) peak: Terms,
    /// Their sum.
    pub(super) peak_nm: f64,
    /// The terms of the continuous demand: means, and root mean squares of what comes and goes.
    pub(super) continuous: Terms,
    /// √(mean² + Σ squares) of them.
    pub(super) continuous_nm: f64,
    /// The operator's torque behind both.
    pub(super) whip: Whip,
}

/// What is asked at one instant of the second half of the operator's ramp.
#[derive(Debug, Clone, Copy)]
pub(super) struct SecondHalf {
    /// By the operator's accelerations, N·m.
    pub(super) acceleration_nm: f64,
    /// By the operator's rates, N·m.
    pub(super) rates_nm: f64,
    /// By all else, N·m.
    pub(super) rest_nm: f64,
    /// Share of the rate that is reached.
    pub(super) share: f64,
}

impl SecondHalf {
    /// All of it, N·m.
    pub(super) fn asked_nm(&self) -> f64 {
        self.rest_nm + self.acceleration_nm + self.rates_nm
    }
}

/// Everything about one joint in one move that is the same in every pose.
pub(super) struct Load<'a> {
    pub(super) joint: usize,
    pub(super) motion: &'a PlatformMotion,
    pub(super) operator: &'a Operator,
    /// Mean dynamic pressure, and that of the gusts, Pa.
    pub(super) pressure_pa: [f64; 2],
    pub(super) held_kg_m: f64,
    pub(super) friction_nm: f64,
    pub(super) spring_nm_rad: f64,
    pub(super) hysteresis_nm: f64,
    pub(super) reflected_kg_m2: f64,
    /// What the motor gives per unit that reaches the axis: 1/efficiency.
    pub(super) loss: f64,
    /// Sine and cosine of the largest lean, and of the one that may last.
    peak_lean: [f64; 2],
    mean_lean: [f64; 2],
}

impl<'a> Load<'a> {
    /// One joint in one move. `airspeed_m_s` may differ from the move's own, to see how far it can go.
    pub(super) fn new(
        study: &Study<'_>,
        each: &Move,
        motion: &'a PlatformMotion,
        operator: &'a Operator,
        airspeed_m_s: f64,
        joint: usize,
    ) -> Self {
        let drive = &study.joints[joint].drive;
        let density = air::density_kg_m3(each.altitude_m, each.air_k);
        let lean = |lean_rad: f64| {
            let (sin, cos) = float::sin_cos(lean_rad);
            [sin, cos]
        };
        Self {
            joint,
            motion,
            operator,
            pressure_pa: [
                air::dynamic_pressure_pa(density, airspeed_m_s),
                air::dynamic_pressure_pa(density, airspeed_m_s * each.gust_factor),
            ],
            held_kg_m: study.held_kg_m[joint],
            friction_nm: drive.friction_nm,
            spring_nm_rad: drive.cable_spring_nm_rad,
            hysteresis_nm: drive.cable_hysteresis_nm,
            reflected_kg_m2: drive.reflected_inertia_kg_m2,
            loss: 1.0 / drive.efficiency,
            peak_lean: lean(motion.largest_lean_rad()),
            mean_lean: lean(motion.lean_rad),
        }
    }

    /// Everything that is asked of the joint in one pose.
    pub(super) fn demand(&self, at: &AtJoint, deflection_rad: f64) -> Demand {
        self.with(self.operator.worst(at, self.joint, self.reflected_kg_m2), at, deflection_rad)
    }

    /// During the second half of the operator's ramp, where the voltage leaves less than all of the peak torque at
    /// `rate_share`: what is asked by acceleration, by rates and by all else, N·m, and the share of the rate, in every
    /// combination of senses.
    #[inline]
    pub(super) fn second_half(&self, at: &AtJoint, demand: &Demand, rate_share: f64, mut see: impl FnMut(&SecondHalf)) {
        let rest_nm = demand.peak_nm - demand.peak.operator_nm;
        let binding = binding(rate_share);
        self.operator.combinations(at, self.joint, self.reflected_kg_m2, |_, acceleration_nm, rates_nm| {
            let (acceleration_nm, rates_nm) = (self.loss * acceleration_nm, self.loss * rates_nm);
            for &(sin, share) in binding {
                let (acceleration_nm, rates_nm) = (acceleration_nm * sin, rates_nm * share * share);
                see(&SecondHalf { acceleration_nm, rates_nm, rest_nm, share });
            }
        });
    }

    /// Whether at one of these instants, with the operator's rates `factor` times as high, more may be asked than
    /// `limit_nm` leaves for the voltage at `rate_share`, less `less_nm`. Only where it leaves less than all: elsewhere
    /// the peak demand says it. By the sum of all terms without sign: cheap, and in most poses the answer is no.
    #[inline(never)]
    pub(super) fn second_half_may(
        &self,
        at: &AtJoint,
        demand: &Demand,
        [limit_nm, less_nm]: [f64; 2],
        [rate_share, factor]: [f64; 2],
    ) -> bool {
        let rest_nm = demand.peak_nm - demand.peak.operator_nm;
        let most = self.operator.bound(at, self.joint, self.reflected_kg_m2);
        let largest_nm = if factor > 1.0 { f64::INFINITY } else { demand.peak_nm };
        binding(rate_share * factor).iter().any(|(sin, share)| {
            let torque_nm = factor * (most.acceleration_nm * sin + factor * most.rates_nm * share * share);
            let asked_nm = f64::min(rest_nm + self.loss * torque_nm, largest_nm);
            asked_nm > limit_nm * voltage_share(rate_share * factor * share) - less_nm
        })
    }

    /// No less than what is asked in any pose whose numbers are nowhere above those of `most`, without sign: every term
    /// rises with each of them.
    pub(super) fn bound(&self, most: &AtJoint, deflection_rad: f64) -> Demand {
        self.with(self.operator.bound(most, self.joint, self.reflected_kg_m2), most, deflection_rad)
    }

    fn with(&self, whip: Whip, at: &AtJoint, deflection_rad: f64) -> Demand {
        let motion = self.motion;
        let shaking = self.shaking_squared(at);
        let shaking_nm = float::sqrt(shaking);
        let leaning = self.leaning_m_s2() * f64::max(at.level_kg_m, self.held_kg_m);
        let cable_nm = self.loss * (self.spring_nm_rad * deflection_rad + self.hysteresis_nm);
        let peak = Terms {
            unbalance_nm: self.loss * self.unbalance_nm(at, self.peak_lean),
            platform_nm: self.loss * f64::max(motion.peak_factor * shaking_nm, self.stated_peak_nm(at)),
            operator_nm: self.loss * whip.largest_nm,
            wind_nm: self.loss * self.pressure_pa[1] * at.wind_m3,
            friction_nm: self.friction_nm,
            cable_nm,
        };
        let continuous = Terms {
            unbalance_nm: self.loss * self.unbalance_nm(at, self.mean_lean),
            platform_nm: self.loss * if leaning > 0.0 { float::sqrt(shaking + leaning * leaning) } else { shaking_nm },
            operator_nm: self.loss * self.operator.rms_nm(&whip),
            wind_nm: self.loss * self.pressure_pa[0] * at.wind_m3,
            friction_nm: self.friction_nm,
            cable_nm,
        };
        Demand { peak_nm: sum_nm(&peak), continuous_nm: combined_nm(&continuous), peak, continuous, whip }
    }

    /// Gravity, at the worst direction of the lean, and what lasts of driving and braking.
    ///
    /// The chain's own unbalance at these marks, or the one that the crew cannot tell from it because the axis stays
    /// put within its hold zone: the larger, never both. Zoom and focus come on top.
    fn unbalance_nm(&self, at: &AtJoint, lean: [f64; 2]) -> f64 {
        let steady = self.motion.steady_m_s2;
        let own = GRAVITY_M_S2 * leaning_kg_m([at.up_kg_m, at.level_kg_m], lean) + at.level_kg_m * steady;
        let open = open_factor(at, lean);
        f64::max(own, self.held_kg_m * (GRAVITY_M_S2 * open + steady)) + at.shift_kg_m * (GRAVITY_M_S2 * open + steady)
    }

    /// Whether the chain's own unbalance counts in [`Self::unbalance_nm`], rather than what the hold zone leaves open.
    pub(super) fn own_unbalance_counts(&self, at: &AtJoint, peak: bool) -> bool {
        let lean = if peak { self.peak_lean } else { self.mean_lean };
        let steady = self.motion.steady_m_s2;
        let own = GRAVITY_M_S2 * leaning_kg_m([at.up_kg_m, at.level_kg_m], lean) + at.level_kg_m * steady;
        own > self.held_kg_m * (GRAVITY_M_S2 * open_factor(at, lean) + steady)
    }

    /// Sine and cosine of the lean that counts.
    pub(super) fn lean(&self, peak: bool) -> [f64; 2] {
        if peak { self.peak_lean } else { self.mean_lean }
    }

    /// Level acceleration that passing leans bring with gravity, root mean square, m/s².
    pub(super) fn leaning_m_s2(&self) -> f64 {
        GRAVITY_M_S2 * self.motion.rms_lean_rad
    }

    /// Mean square of the torque that the platform's random motion causes, N²·m².
    pub(super) fn shaking_squared(&self, at: &AtJoint) -> f64 {
        let motion = self.motion;
        let (up, level) = (square(motion.rms_up_m_s2), square(motion.rms_level_m_s2));
        let open = open_square(at, up, level);
        f64::max(own_square(at, up, level), square(self.held_kg_m) * open)
            + square(at.shift_kg_m) * open
            + square(at.turn_kg_m2 * motion.rms_turn_rad_s2)
    }

    /// Torque of the stated peaks, vertical, level and turning at once: a bound, N·m.
    fn stated_peak_nm(&self, at: &AtJoint) -> f64 {
        let (own, open) = self.stated_peak(at);
        f64::max(own, self.held_kg_m * open) + at.shift_kg_m * open + at.turn_kg_m2 * self.motion.peak_turn_rad_s2
    }

    /// The same for the chain's own unbalance, N·m, and per unbalance in the worst direction, m/s².
    fn stated_peak(&self, at: &AtJoint) -> (f64, f64) {
        let (up, level) = (self.motion.peak_up_m_s2, self.motion.peak_level_m_s2);
        if up <= 0.0 && level <= 0.0 {
            return (0.0, 0.0);
        }
        let both = float::sqrt(up * up + level * level);
        let open = if up <= at.aslant * both { both } else { at.aslant * up + at.upright * level };
        (at.up_kg_m * up + at.level_kg_m * level, open)
    }

    /// Which motion of the platform stands behind the platform term: what is stated or what is random, and whether it
    /// shakes the chain's own unbalance rather than what the hold zone leaves open.
    pub(super) fn shaken_by(&self, at: &AtJoint, peak: bool) -> Shaken {
        let motion = self.motion;
        let stated = peak && self.stated_peak_nm(at) > motion.peak_factor * float::sqrt(self.shaking_squared(at));
        let own = if stated {
            let (own, open) = self.stated_peak(at);
            own > self.held_kg_m * open
        } else {
            let (up, level) = (square(motion.rms_up_m_s2), square(motion.rms_level_m_s2));
            own_square(at, up, level) > square(self.held_kg_m) * open_square(at, up, level)
        };
        Shaken { stated, own }
    }

    /// Peak torque per kg·m of unbalance in the worst direction, m/s².
    pub(super) fn peak_per_unbalance_m_s2(&self, at: &AtJoint) -> f64 {
        let motion = self.motion;
        let random = motion.peak_factor
            * float::sqrt(open_square(at, square(motion.rms_up_m_s2), square(motion.rms_level_m_s2)));
        let stated = float::sqrt(square(motion.peak_up_m_s2) + square(motion.peak_level_m_s2));
        let lasting = GRAVITY_M_S2 * open_factor(at, self.peak_lean) + motion.steady_m_s2;
        self.loss * (lasting + f64::max(random, stated))
    }

    /// Mean torque per kg·m of unbalance in the worst direction, m/s².
    pub(super) fn mean_per_unbalance_m_s2(&self, at: &AtJoint) -> f64 {
        self.loss * (GRAVITY_M_S2 * open_factor(at, self.mean_lean) + self.motion.steady_m_s2)
    }
}

/// What stands behind a platform term.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shaken {
    /// The stated peaks, not the random motion.
    pub(super) stated: bool,
    /// The chain's own unbalance, not what the hold zone leaves open.
    pub(super) own: bool,
}

/// The instants at which the voltage leaves less than all of the peak torque at this share of the fastest rate.
fn binding(rate_share: f64) -> &'static [(f64, f64)] {
    &INSTANTS[INSTANTS.partition_point(|(_, share)| !voltage_binds(rate_share * share))..]
}

fn square(value: f64) -> f64 {
    value * value
}

/// Gravity torque over g, kg·m, at the worst lean up to the given one (sine and cosine) in the worst direction, from the
/// torque per felt acceleration along the vertical and that in the worst level direction. A base that leans at most so
/// far also stands upright: what pulls along the vertical is not lost by leaning.
pub(super) fn leaning_kg_m([up_kg_m, level_kg_m]: [f64; 2], [sin, cos]: [f64; 2]) -> f64 {
    if level_kg_m * cos < up_kg_m * sin {
        float::sqrt(up_kg_m * up_kg_m + level_kg_m * level_kg_m)
    } else {
        up_kg_m * cos + level_kg_m * sin
    }
}

/// Gravity torque over g per unbalance in the worst direction across the axis: sin(min(θ + lean, 90°)) for an axis at
/// θ from the vertical.
fn open_factor(at: &AtJoint, [sin, cos]: [f64; 2]) -> f64 {
    if at.upright * cos <= at.aslant * sin { 1.0 } else { at.aslant * cos + at.upright * sin }
}

/// Mean square torque of the chain's own unbalance, from vertical and level mean squares.
fn own_square(at: &AtJoint, up: f64, level: f64) -> f64 {
    square(at.up_kg_m) * up + square(at.level_kg_m) * level
}

/// Mean square torque per unbalance in the worst direction across the axis, from vertical and level mean squares.
fn open_square(at: &AtJoint, up: f64, level: f64) -> f64 {
    if up > level { square(at.aslant) * up + square(at.upright) * level } else { level }
}

/// Sum of the terms of a peak.
pub(super) fn sum_nm(terms: &Terms) -> f64 {
    rest_nm(terms) + terms.wind_nm
}

/// The same without the wind.
fn rest_nm(terms: &Terms) -> f64 {
    terms.unbalance_nm + terms.platform_nm + terms.operator_nm + terms.friction_nm + terms.cable_nm
}

/// √(mean² + Σ squares): unbalance, wind and cables last, the others come and go.
pub(super) fn combined_nm(terms: &Terms) -> f64 {
    let mean = terms.unbalance_nm + terms.wind_nm + terms.cable_nm;
    float::sqrt(mean * mean + passing_squared(terms))
}

/// Mean square of what comes and goes, N²·m².
pub(super) fn passing_squared(terms: &Terms) -> f64 {
    square(terms.platform_nm) + square(terms.operator_nm) + square(terms.friction_nm)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::DEGREE_RAD;

    /// Against every lean up to the largest, step by step.
    #[test]
    fn the_worst_lean_is_not_always_the_largest() {
        for (up_kg_m, level_kg_m) in [(0.1, 0.0), (0.1, 0.02), (0.1, 0.1), (0.02, 0.1), (0.0, 0.1), (0.0, 0.0)] {
            for most_deg in [0.0, 8.0, 30.0, 45.0, 80.0, 90.0] {
                let at = |lean_deg: f64| {
                    let (sin, cos) = float::sin_cos(lean_deg * DEGREE_RAD);
                    (up_kg_m * cos + level_kg_m * sin, [sin, cos])
                };
                let tried = (0..=1000).map(|step| at(most_deg * f64::from(step) / 1000.0).0).fold(0.0, f64::max);
                let found = leaning_kg_m([up_kg_m, level_kg_m], at(most_deg).1);
                assert!((found - tried).abs() < 1e-6, "{up_kg_m} {level_kg_m} {most_deg}: {found} {tried}");
            }
        }
    }
}
