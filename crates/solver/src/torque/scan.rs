//! One pass over the poses of a move: where each joint is asked for most, and how far one can go in every pose.

use super::demand::{Demand, Load};
use super::limits::{headroom, voltage_binds, voltage_share};
use super::power::heat;
use super::reach::{Allowed, air_squared, may_slow, operator_factor, peak_left_nm, voltage_factor};
use super::study::{AtJoint, Study};
use super::table::{Narrowed, Table};
use crate::air;
use crate::bounds::AIRSPEED_M_S;
use crate::dynamics::MAX_JOINTS;
use crate::float;
use crate::package::Move;

/// Where one joint is asked for most on the grid.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub(super) peak_nm: f64,
    pub(super) peak_at: usize,
    pub(super) continuous_nm: f64,
    pub(super) continuous_at: usize,
    /// Largest ratio of demand to what the voltage leaves of the peak torque.
    pub(super) voltage_use: f64,
}

impl Found {
    const NOTHING: Self = Self {
        peak_nm: f64::NEG_INFINITY,
        peak_at: 0,
        continuous_nm: f64::NEG_INFINITY,
        continuous_at: 0,
        voltage_use: 0.0,
    };

    fn take(&mut self, place: usize, demand: &Demand) {
        if demand.peak_nm > self.peak_nm {
            (self.peak_nm, self.peak_at) = (demand.peak_nm, place);
        }
        if demand.continuous_nm > self.continuous_nm {
            (self.continuous_nm, self.continuous_at) = (demand.continuous_nm, place);
        }
    }
}

/// What a move asks of one joint in every pose of the grid.
pub(super) struct Asked {
    pub(super) found: Found,
    /// Peak and continuous demand in every pose, N·m; 0 where a pose is left out.
    values_nm: Vec<[f64; 2]>,
}

impl Asked {
    /// One pass; `also` sees every demand on its way.
    pub(super) fn over(
        study: &Study<'_>,
        table: &Table,
        load: &Load<'_>,
        limit: &Allowed,
        mut also: impl FnMut(&AtJoint, &Demand),
    ) -> Self {
        let joint = load.joint;
        let (mut found, mut values_nm) = (Found::NOTHING, vec![[0.0; 2]; table.places()]);
        let share = rate_share(study, load);
        for (place, q_rad, ats) in table.poses() {
            let at = &ats[joint];
            let demand = load.demand(at, table.deflection_rad(joint, q_rad));
            values_nm[place] = [demand.peak_nm, demand.continuous_nm];
            found.take(place, &demand);
            if voltage_binds(share) {
                found.voltage_use = voltage_use(load, at, &demand, limit.peak_nm, share, found.voltage_use);
            }
            also(at, &demand);
        }
        Self { found, values_nm }
    }

    /// Peak demand in the pose at `place`, N·m.
    pub(super) fn peak_nm(&self, place: usize) -> f64 {
        self.values_nm[place][0]
    }

    /// Continuous demand in the pose at `place`, N·m.
    pub(super) fn continuous_nm(&self, place: usize) -> f64 {
        self.values_nm[place][1]
    }
}

/// The same, with how far one can go and what the motors turn to heat.
pub(super) struct Scan {
    /// What is asked of every joint, platform first.
    pub(super) asked: Vec<Asked>,
    /// Square of the highest airspeed within the reserve, at most that of the model.
    air_squared: f64,
    /// Factor on the operator's rates within the reserve and the drives' rates.
    factor: f64,
    /// Whether the operator moves anything.
    moving: bool,
    /// Mean over the poses of the mean square torque about each axis on an ordinary day, N²·m².
    pub(super) heat: [f64; MAX_JOINTS],
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
        let moving = loads.first().is_some_and(|load| !load.operator.axes.is_empty());
        let shares = loads.iter().map(|load| rate_share(study, load)).filter(|share| *share > 0.0);
        let mut factor = shares.fold(f64::INFINITY, |most, share| f64::min(most, 1.0 / share));
        let mut squared = AIRSPEED_M_S.max * AIRSPEED_M_S.max;
        let unit = UnitWind::of(each);
        let (mut heats, mut inertia_kg_m2) = ([0.0; MAX_JOINTS], [0.0; MAX_JOINTS]);
        let of_joint = |load: &Load<'_>| {
            let (joint, share) = (load.joint, rate_share(study, load));
            // Where even the largest of every number fits at this factor, no pose needs a look.
            let most = &table.most[joint];
            let bound = load.bound(most, table.reach.widest_rad(joint));
            let slows = moving && may_slow(load, most, &allowed[joint], &bound, share, factor);
            Asked::over(study, table, load, &limits[joint], |at, demand| {
                let torques_nm = unit.torques_nm(load, at);
                let enough_nm = torques_nm[1] * squared - demand.peak.wind_nm;
                let left_nm = peak_left_nm(load, at, &allowed[joint], demand, share, enough_nm);
                squared = air_squared(&allowed[joint], demand, left_nm, torques_nm, squared);
                if moving {
                    factor = f64::min(factor, operator_factor(load, &allowed[joint], demand, factor));
                }
                if slows {
                    factor = voltage_factor(load, at, &allowed[joint], demand, share, factor);
                }
                heats[joint] += heat(load, at, &demand.continuous);
                inertia_kg_m2[joint] += at.inertia_kg_m2[joint];
            })
        };
        let asked = loads.iter().map(of_joint).collect();
        let poses = table.poses().count() as f64;
        Self {
            asked,
            air_squared: squared,
            factor,
            moving,
            heat: heats.map(|sum| sum / poses),
            inertia_kg_m2: inertia_kg_m2.map(|sum| sum / poses),
        }
    }
}

impl Scan {
    /// Takes the poses in that a joint was narrowed down to: what the poses of the grid allow is a little too much.
    pub(super) fn narrow(
        &mut self,
        study: &Study<'_>,
        each: &Move,
        load: &Load<'_>,
        allowed: &Allowed,
        found: [&Narrowed; 2],
    ) {
        let (unit, rate_share) = (UnitWind::of(each), rate_share(study, load));
        for Narrowed { at, demand, .. } in found {
            let left_nm = peak_left_nm(load, at, allowed, demand, rate_share, f64::INFINITY);
            self.air_squared = air_squared(allowed, demand, left_nm, unit.torques_nm(load, at), self.air_squared);
            if self.moving {
                self.factor = f64::min(self.factor, operator_factor(load, allowed, demand, self.factor));
                self.factor = voltage_factor(load, at, allowed, demand, rate_share, self.factor);
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
/// that is more. While the voltage leaves all, that is the peak demand over the peak torque.
#[inline(never)]
pub(super) fn voltage_use(
    load: &Load<'_>,
    at: &AtJoint,
    demand: &Demand,
    limit_nm: f64,
    rate_share: f64,
    mut largest: f64,
) -> f64 {
    if demand.peak_nm > largest * limit_nm {
        largest = 1.0 - headroom(demand.peak_nm, limit_nm);
    }
    if !load.second_half_may(at, demand, [largest * limit_nm, 0.0], [rate_share, 1.0]) {
        return largest;
    }
    load.second_half(at, demand, rate_share, |instant| {
        let (asked_nm, left_nm) = (instant.asked_nm(), limit_nm * voltage_share(rate_share * instant.share));
        // Divides only where it counts.
        if asked_nm > largest * left_nm {
            largest = 1.0 - headroom(asked_nm, left_nm);
        }
    });
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
