//! One pass over the poses of a move: where each joint is asked for most, and how far one can go in every pose.

use super::demand::{Demand, Load};
use super::limits::{headroom, voltage_binds, voltage_share};
use super::power::heat;
use super::reach::{Allowed, air_squared, operator_factor};
use super::study::{AtJoint, Study};
use super::table::{Narrowed, Table};
use crate::air;
use crate::bounds::AIRSPEED_M_S;
use crate::dynamics::MAX_JOINTS;
use crate::float;
use crate::package::Move;

/// What the scan over the poses finds for one joint.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub(super) peak_nm: f64,
    pub(super) peak_at: usize,
    pub(super) continuous_nm: f64,
    pub(super) continuous_at: usize,
    /// Largest ratio of demand to what the voltage leaves of the peak torque.
    pub(super) voltage_use: f64,
    /// Sum over the poses of the mean square torque on an ordinary day, N²·m².
    pub(super) heat: f64,
}

/// One pass over the poses of a move.
pub(super) struct Scan {
    pub(super) found: Vec<Found>,
    /// Peak and continuous demand of every joint in every pose, N·m; 0 where a pose is left out.
    pub(super) values_nm: Vec<[f64; 2]>,
    /// Square of the highest airspeed within the reserve, at most that of the model.
    air_squared: f64,
    /// Factor on the operator's rates within the reserve and the drives' rates.
    factor: f64,
    /// Whether the operator moves anything.
    moving: bool,
    /// Number of poses.
    pub(super) poses: f64,
    /// Mean inertia about each axis over the poses, kg·m².
    pub(super) inertia_kg_m2: [f64; MAX_JOINTS],
}

impl Scan {
    pub(super) fn over(
        study: &Study<'_>,
        table: &Table,
        each: &Move,
        loads: &[Load<'_>],
        limits: &[Allowed],
        allowed: &[Allowed],
    ) -> Self {
        let nothing = Found {
            peak_nm: f64::NEG_INFINITY,
            peak_at: 0,
            continuous_nm: f64::NEG_INFINITY,
            continuous_at: 0,
            voltage_use: 0.0,
            heat: 0.0,
        };
        let mut found = vec![nothing; loads.len()];
        let mut values_nm = vec![[0.0; 2]; table.places() * loads.len()];
        let moving = loads.first().is_some_and(|load| !load.operator.axes.is_empty());
        let shares: Vec<f64> = loads.iter().map(|load| rate_share(study, load)).collect();
        let mut factor =
            shares.iter().filter(|share| **share > 0.0).fold(f64::INFINITY, |most, share| f64::min(most, 1.0 / share));
        let most_squared = AIRSPEED_M_S.max * AIRSPEED_M_S.max;
        let mut squared = most_squared;
        let unit = UnitWind::of(each);
        let (mut poses, mut inertia_kg_m2) = (0.0, [0.0; MAX_JOINTS]);
        for (place, q_rad, ats) in table.poses() {
            poses += 1.0;
            for (load, at) in loads.iter().zip(ats) {
                let joint = load.joint;
                let deflection_rad = table.deflection_rad(joint, q_rad);
                let demand = load.demand(at, deflection_rad);
                values_nm[place * loads.len() + joint] = [demand.peak_nm, demand.continuous_nm];
                let found = &mut found[joint];
                if demand.peak_nm > found.peak_nm {
                    (found.peak_nm, found.peak_at) = (demand.peak_nm, place);
                }
                if demand.continuous_nm > found.continuous_nm {
                    (found.continuous_nm, found.continuous_at) = (demand.continuous_nm, place);
                }
                let wind = unit.torques_nm(load, at);
                squared = air_squared(&allowed[joint], &demand, wind, squared);
                if moving {
                    factor = f64::min(factor, operator_factor(load, &allowed[joint], &demand, factor));
                    if voltage_binds(shares[joint]) {
                        let limit_nm = limits[joint].peak_nm;
                        found.voltage_use = voltage_use(load, &demand, limit_nm, shares[joint], found.voltage_use);
                    }
                }
                found.heat += heat(load, at, &demand.continuous);
                inertia_kg_m2[joint] += at.inertia_kg_m2[joint];
            }
        }
        Self {
            found,
            values_nm,
            air_squared: squared,
            factor,
            moving,
            poses,
            inertia_kg_m2: inertia_kg_m2.map(|sum| sum / poses),
        }
    }
}

impl Scan {
    /// Takes the poses in that a joint was narrowed down to: what the poses of the grid allow is a little too much.
    pub(super) fn narrow(&mut self, each: &Move, load: &Load<'_>, allowed: &Allowed, found: [&Narrowed; 2]) {
        let unit = UnitWind::of(each);
        for Narrowed { at, demand, .. } in found {
            self.air_squared = air_squared(allowed, demand, unit.torques_nm(load, at), self.air_squared);
            if self.moving {
                self.factor = f64::min(self.factor, operator_factor(load, allowed, demand, self.factor));
            }
        }
    }

    /// Highest airspeed within the reserve, m/s; `None` when still air is too much already, or no wind is.
    pub(super) fn fastest_air_m_s(&self) -> Option<f64> {
        let some = self.air_squared > 0.0 && self.air_squared < AIRSPEED_M_S.max * AIRSPEED_M_S.max;
        some.then(|| float::sqrt(self.air_squared))
    }

    /// Factor by which the operator's rates may rise; `None` without an operator's move.
    pub(super) fn operator_factor(&self) -> Option<f64> {
        (self.moving && self.factor.is_finite()).then_some(self.factor)
    }
}

/// The wind at one metre a second, so that the fastest air is the root of how often it fits.
struct UnitWind {
    pressure_pa: [f64; 2],
}

impl UnitWind {
    fn of(each: &Move) -> Self {
        let density = air::density_kg_m3(each.altitude_m, each.air_k);
        Self {
            pressure_pa: [air::dynamic_pressure_pa(density, 1.0), air::dynamic_pressure_pa(density, each.gust_factor)],
        }
    }

    fn torques_nm(&self, load: &Load<'_>, at: &AtJoint) -> [f64; 2] {
        self.pressure_pa.map(|pressure_pa| load.loss * pressure_pa * at.wind_m3)
    }
}

/// Demand over what the voltage leaves of the peak torque, at its largest during the operator's move; `largest` where
/// that is more.
fn voltage_use(load: &Load<'_>, demand: &Demand, limit_nm: f64, rate_share: f64, mut largest: f64) -> f64 {
    let rest_nm = demand.peak_nm - demand.peak.operator_nm;
    for (torque_nm, share) in load.operator.second_half(&demand.whip) {
        let (asked_nm, left_nm) = (rest_nm + load.loss * torque_nm, limit_nm * voltage_share(rate_share * share));
        // Divides only where it counts.
        if asked_nm > largest * left_nm {
            largest = 1.0 - headroom(asked_nm, left_nm);
        }
    }
    largest
}

/// Share of the drive's fastest rate that the operator's move on this joint needs.
pub(super) fn rate_share(study: &Study<'_>, load: &Load<'_>) -> f64 {
    let rate = load.operator.on(load.joint).map_or(0.0, |axis| axis.rate_rad_s);
    let fastest = study.joints[load.joint].drive.max_rate_rad_s;
    if rate <= 0.0 {
        0.0
    } else if fastest > 0.0 {
        rate / fastest
    } else {
        // A drive that cannot turn at all: far above 1, and finite.
        rate / crate::constants::DEGREE_RAD
    }
}
