//! The torque report: every move, every axis.

use super::demand::{Load, Operator, PerJoint, Whip, combined_nm, sum_nm};
use super::limits::{continuous_limit_nm, headroom, peak_limit_nm, voltage_binds, voltage_share};
use super::reach::{Allowed, air_factor_squared, fastest_road_m_s, operator_factor, spare_unbalance_kg_m};
use super::spread::Spread;
use super::state::{Weights, demand_u_nm};
use super::study::{AtJoint, Study};
use super::table::{Reach, Table};
use crate::air;
use crate::answer::Estimate;
use crate::dynamics::{MAX_JOINTS, Pose};
use crate::layout::Layout;
use crate::package::{Move, Package};
use crate::platform::PlatformMotion;
use crate::report::{AxisTorque, Cause, LimitKind, MoveTorque, Terms, Tightest, TorqueReport};
use crate::wind::Headings;

/// Torque in hand for every move of the package, at the given marks (m, platform first). The package must have passed
/// validation; operators' moves and ranges of joints that this head does not have are ignored.
pub fn torque_report(package: &Package, layout: &Layout, marks_m: &[f64]) -> TorqueReport {
    let study = Study::new(package, layout, marks_m);
    let spreads = Spread::all(layout, marks_m);
    let mut pose = Pose::new(&study.linkage);
    let mut tables: Vec<Table> = Vec::new();
    let moves: Vec<MoveTorque> = package
        .moves
        .iter()
        .map(|each| {
            let reach = Reach::of(&study, each);
            let place = tables.iter().position(|table| table.reach == reach).unwrap_or_else(|| {
                tables.push(Table::new(&study, reach, &mut pose));
                tables.len() - 1
            });
            MoveStudy { study: &study, spreads: &spreads, table: &tables[place], each }.report(&mut pose)
        })
        .collect();
    let tightest = tightest(&moves);
    TorqueReport { moves, tightest }
}

struct MoveStudy<'a> {
    study: &'a Study<'a>,
    spreads: &'a [Spread],
    table: &'a Table,
    each: &'a Move,
}

/// What the scan over the poses finds for one joint.
#[derive(Debug, Clone, Copy)]
struct Found {
    peak_nm: f64,
    peak_at: usize,
    continuous_nm: f64,
    continuous_at: usize,
    /// Largest ratio of demand to what the voltage leaves of the peak torque.
    voltage_use: f64,
    spare_unbalance_kg_m: Option<f64>,
    /// Sum over the poses of the mean square torque on an ordinary day, N²·m².
    heat: f64,
}

impl MoveStudy<'_> {
    fn report(&self, pose: &mut Pose) -> MoveTorque {
        let (study, each) = (self.study, self.each);
        let motion = PlatformMotion::of(each);
        let operator = Operator::new(study, each);
        let loads: Vec<Load<'_>> = (0..study.joints.len())
            .map(|joint| Load::new(study, each, &motion, &operator, each.airspeed_m_s, joint))
            .collect();
        let limits: Vec<Allowed> = study.joints.iter().map(|joint| self.limits(&joint.drive, &operator)).collect();
        let reserve = 1.0 - study.package.reserve.torque_headroom;
        let allowed: Vec<Allowed> = limits
            .iter()
            .map(|limit| Allowed { peak_nm: reserve * limit.peak_nm, continuous_nm: reserve * limit.continuous_nm })
            .collect();
        let scan = Scan::over(self, &loads, &limits, &allowed);
        let mut axes: Vec<AxisTorque> =
            loads.iter().map(|load| self.axis(pose, load, &limits[load.joint], &scan.found[load.joint])).collect();
        axes.reverse();
        MoveTorque {
            move_id: each.id,
            name: each.name.clone(),
            axes,
            motors_w: self.motors_w(&operator, &motion, &scan),
            near_gimbal_lock: self.table.near_lock,
            wind_force_n: self.wind_force_n(pose, loads.first()),
            air_kg_m3: air::density_kg_m3(each.altitude_m, each.air_k),
            fastest_air_m_s: scan.fastest_air_m_s,
            operator_factor: scan.operator_factor,
            fastest_road_m_s: fastest_road_m_s(study, each, self.table, &operator, &allowed),
            platform: motion,
        }
    }

    fn limits(&self, drive: &crate::package::Drive, operator: &Operator) -> Allowed {
        Allowed {
            peak_nm: peak_limit_nm(drive, operator.longest_s),
            continuous_nm: continuous_limit_nm(drive, self.each.air_k),
        }
    }

    fn axis(&self, pose: &mut Pose, load: &Load<'_>, limit: &Allowed, found: &Found) -> AxisTorque {
        let (study, table, joint) = (self.study, self.table, load.joint);
        let windy = load.pressure_pa[1] > 0.0;
        let (peak_q, peak_at) = table.narrowed(study, pose, found.peak_at, joint, windy, |at, q_rad| {
            sum_nm(&load.peak(at, table.deflection_rad(joint, q_rad)))
        });
        let peak = load.peak(&peak_at, table.deflection_rad(joint, &peak_q));
        let (_, whip) = load.operator.worst(&peak_at, joint, load.reflected_kg_m2);
        let peak_u = self.u_nm(pose, load, &peak_q, &peak_at, &Weights::of_peak(load, &whip), true);
        let peak_nm = sum_nm(&peak);

        let (mean_q, mean_at) = table.narrowed(study, pose, found.continuous_at, joint, windy, |at, q_rad| {
            combined_nm(&load.continuous(at, table.deflection_rad(joint, q_rad)))
        });
        let continuous = load.continuous(&mean_at, table.deflection_rad(joint, &mean_q));
        let continuous_nm = combined_nm(&continuous);
        let (_, mean_whip) = load.operator.worst(&mean_at, joint, load.reflected_kg_m2);
        let mean_nm = continuous.unbalance_nm + continuous.wind_nm + continuous.cable_nm;
        let weights = Weights::of_continuous(load, &mean_whip, mean_nm, continuous.platform_nm, continuous_nm);
        let continuous_u = self.u_nm(pose, load, &mean_q, &mean_at, &weights, false);

        let of = |demand: f64, u: f64, limit: f64| {
            Estimate::new(headroom(demand, limit), if limit > 0.0 { u / limit } else { 0.0 })
        };
        let peak_headroom = of(peak_nm, peak_u, limit.peak_nm);
        let continuous_headroom = of(continuous_nm, continuous_u, limit.continuous_nm);
        let tighter = if peak_headroom.value <= continuous_headroom.value { &peak } else { &continuous };
        let rate_share = self.rate_share(load);
        AxisTorque {
            joint: study.joints[joint].id.clone(),
            name: study.joints[joint].name.clone(),
            peak,
            peak_nm: Estimate::new(peak_nm, peak_u),
            continuous,
            continuous_nm: Estimate::new(continuous_nm, continuous_u),
            peak_limit_nm: limit.peak_nm,
            continuous_limit_nm: limit.continuous_nm,
            peak_headroom,
            continuous_headroom,
            cause: cause(tighter),
            pose_rad: peak_q[..study.joints.len()].to_vec(),
            rate_use: rate_share,
            voltage_headroom: voltage_binds(rate_share).then(|| headroom(found.voltage_use, 1.0)),
            coupled_nm: coupled_nm(load, &peak_at, &whip),
            spare_unbalance_kg_m: found.spare_unbalance_kg_m,
        }
    }

    fn u_nm(
        &self,
        pose: &mut Pose,
        load: &Load<'_>,
        q_rad: &[f64; MAX_JOINTS],
        at: &AtJoint,
        weights: &Weights,
        peak: bool,
    ) -> f64 {
        pose.set(&self.study.linkage, q_rad);
        let up = self.study.up(q_rad, &self.table.reach.up_in_base);
        demand_u_nm(self.study, self.spreads, pose, &up, load, at, weights, peak)
    }

    /// Share of the drive's fastest rate that the operator's move on this joint needs.
    fn rate_share(&self, load: &Load<'_>) -> f64 {
        let rate = load.operator.axes.iter().find(|axis| axis.0 == load.joint).map_or(0.0, |axis| axis.2);
        let fastest = self.study.joints[load.joint].drive.max_rate_rad_s;
        if rate <= 0.0 {
            0.0
        } else if fastest > 0.0 {
            rate / fastest
        } else {
            // A drive that cannot turn at all: far above 1, and finite.
            rate / crate::constants::DEGREE_RAD
        }
    }

    /// Drag of the wind on everything at the reference pose, at the worst heading, N.
    fn wind_force_n(&self, pose: &mut Pose, load: Option<&Load<'_>>) -> f64 {
        let Some(load) = load else { return 0.0 };
        pose.set(&self.study.linkage, &[0.0; MAX_JOINTS]);
        let up = self.table.reach.up_in_base;
        let area = |wind: &nalgebra::Vector3<f64>| {
            let base = self.study.sails.first().map_or(0.0, |sail| sail.across_m2(wind));
            let links = self.study.joints.len();
            let on_links: f64 = self
                .study
                .standing(pose)
                .iter()
                .take(links)
                .map(|link| link.sail.across_m2(&link.rotation.tr_mul(wind)))
                .sum();
            base + on_links
        };
        load.pressure_pa[0] * Headings::across(&up).each().map(|wind| area(&wind)).fold(0.0, f64::max)
    }

    /// Mean electrical power of the motors, W: copper loss Σ(τ_rms/K_m)², and mechanical power without recovery.
    ///
    /// An ordinary day, not the worst: mean over the poses, unbalance anywhere in the hold zone, wind from anywhere.
    fn motors_w(&self, operator: &Operator, motion: &PlatformMotion, scan: &Scan) -> f64 {
        let mut sum_w = 0.0;
        for (joint, about) in self.study.joints.iter().enumerate() {
            let drive = &about.drive;
            let heat = scan.found[joint].heat / scan.poses;
            sum_w += heat / (drive.motor_constant * drive.motor_constant);
            // Friction is worked against whenever the axis turns: to hold the camera while the base turns (the mean of
            // a Gaussian rate is 0.8 of its root mean square), and in the operator's moves.
            let swing_rad_s = 0.8 * motion.rms_turn_rad_s2 / (2.0 * core::f64::consts::PI * motion.crossing_hz);
            let mut work_w = drive.friction_nm * swing_rad_s;
            if let Some((_, steepest, rate)) = operator.axes.iter().find(|axis| axis.0 == joint) {
                let time_s = core::f64::consts::FRAC_PI_2 * rate / steepest;
                let inertia = scan.inertia_kg_m2[joint] + drive.reflected_inertia_kg_m2;
                let energy_j = 0.5 * inertia * rate * rate + drive.friction_nm * rate * time_s;
                work_w += energy_j * operator.moves_per_s;
            }
            sum_w += work_w / drive.efficiency;
        }
        sum_w
    }
}

/// One pass over the poses of a move.
struct Scan {
    found: Vec<Found>,
    fastest_air_m_s: Option<f64>,
    operator_factor: Option<f64>,
    /// Number of poses.
    poses: f64,
    /// Mean inertia about each axis over the poses, kg·m².
    inertia_kg_m2: PerJoint<f64>,
}

impl Scan {
    fn over(study: &MoveStudy<'_>, loads: &[Load<'_>], limits: &[Allowed], allowed: &[Allowed]) -> Self {
        let nothing = Found {
            peak_nm: f64::NEG_INFINITY,
            peak_at: 0,
            continuous_nm: f64::NEG_INFINITY,
            continuous_at: 0,
            voltage_use: 0.0,
            spare_unbalance_kg_m: Some(f64::INFINITY),
            heat: 0.0,
        };
        let mut found = vec![nothing; loads.len()];
        let moving = loads.first().is_some_and(|load| !load.operator.axes.is_empty());
        let shares: Vec<f64> = loads.iter().map(|load| study.rate_share(load)).collect();
        let mut factor =
            shares.iter().filter(|share| **share > 0.0).fold(f64::INFINITY, |most, share| f64::min(most, 1.0 / share));
        let mut air_squared = f64::INFINITY;
        let unit = UnitWind::of(study.each);
        let (mut poses, mut inertia_kg_m2) = (0.0, [0.0; MAX_JOINTS]);
        for (place, q_rad, ats) in study.table.poses() {
            poses += 1.0;
            for (load, at) in loads.iter().zip(ats) {
                let joint = load.joint;
                let deflection_rad = study.table.deflection_rad(joint, q_rad);
                let peak = load.peak(at, deflection_rad);
                let continuous = load.continuous(at, deflection_rad);
                let (peak_nm, continuous_nm) = (sum_nm(&peak), combined_nm(&continuous));
                let found = &mut found[joint];
                if peak_nm > found.peak_nm {
                    (found.peak_nm, found.peak_at) = (peak_nm, place);
                }
                if continuous_nm > found.continuous_nm {
                    (found.continuous_nm, found.continuous_at) = (continuous_nm, place);
                }
                let wind = unit.torques_nm(load, at);
                air_squared = f64::min(air_squared, air_factor_squared(&allowed[joint], &peak, &continuous, wind));
                if moving {
                    let (_, whip) = load.operator.worst(at, joint, load.reflected_kg_m2);
                    factor =
                        f64::min(factor, operator_factor(load, &whip, &allowed[joint], &peak, &continuous, factor));
                    if voltage_binds(shares[joint]) {
                        let used = voltage_use(load, &whip, &peak, limits[joint].peak_nm, shares[joint]);
                        found.voltage_use = f64::max(found.voltage_use, used);
                    }
                }
                let spare = spare_unbalance_kg_m(load, at, &allowed[joint], &peak, &continuous);
                found.spare_unbalance_kg_m = match (found.spare_unbalance_kg_m, spare) {
                    (Some(least), Some(here)) => Some(f64::min(least, here)),
                    _ => None,
                };
                found.heat += heat(load, at, &continuous);
                inertia_kg_m2[joint] += at.inertia_kg_m2[joint];
            }
        }
        for found in &mut found {
            found.spare_unbalance_kg_m = found.spare_unbalance_kg_m.filter(|spare| spare.is_finite());
        }
        Self {
            found,
            fastest_air_m_s: (air_squared > 0.0 && air_squared.is_finite()).then(|| libm::sqrt(air_squared)),
            operator_factor: (moving && factor.is_finite()).then_some(factor),
            poses,
            inertia_kg_m2: inertia_kg_m2.map(|sum| sum / poses),
        }
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

/// Demand over what the voltage leaves of the peak torque, at its largest during the operator's move.
fn voltage_use(load: &Load<'_>, whip: &Whip, peak: &Terms, limit_nm: f64, rate_share: f64) -> f64 {
    let rest_nm = sum_nm(peak) - peak.operator_nm;
    load.operator
        .over_phases(whip)
        .map(|(torque_nm, share)| {
            let left_nm = limit_nm * voltage_share(rate_share * share);
            1.0 - headroom(rest_nm + load.loss * torque_nm, left_nm)
        })
        .fold(0.0, f64::max)
}

/// Mean square torque in a pose on an ordinary day, N²·m²: the crew's unbalance anywhere in the hold zone (a third of
/// its square), the wind from anywhere (half of its square), friction only while something turns.
fn heat(load: &Load<'_>, at: &AtJoint, worst: &Terms) -> f64 {
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

/// The part of the operator's torque that the other axes' accelerations cause, N·m.
fn coupled_nm(load: &Load<'_>, at: &AtJoint, whip: &Whip) -> f64 {
    let own = load
        .operator
        .axes
        .iter()
        .find(|axis| axis.0 == load.joint)
        .map_or(0.0, |(joint, steepest, _)| (at.inertia_kg_m2[*joint] + load.reflected_kg_m2) * steepest);
    f64::max(0.0, load.loss * (load.operator.largest_nm(whip) - own))
}

fn cause(terms: &Terms) -> Cause {
    let shares = [
        (Cause::Unbalance, terms.unbalance_nm),
        (Cause::Platform, terms.platform_nm),
        (Cause::Operator, terms.operator_nm),
        (Cause::Wind, terms.wind_nm),
        (Cause::Friction, terms.friction_nm + terms.cable_nm),
    ];
    let mut largest = shares[0];
    for share in shares {
        if share.1 > largest.1 {
            largest = share;
        }
    }
    largest.0
}

fn tightest(moves: &[MoveTorque]) -> Option<Tightest> {
    let mut best: Option<Tightest> = None;
    for each in moves {
        for axis in &each.axes {
            let candidates = [
                (LimitKind::Peak, Some(axis.peak_headroom)),
                (LimitKind::Continuous, Some(axis.continuous_headroom)),
                (LimitKind::Rate, axis.voltage_headroom.map(|value| Estimate::new(value, axis.peak_headroom.u))),
            ];
            for (limit, headroom) in candidates {
                let Some(headroom) = headroom else { continue };
                if best.as_ref().is_none_or(|best| headroom.value < best.headroom.value) {
                    best = Some(Tightest {
                        joint: axis.joint.clone(),
                        axis: axis.name.clone(),
                        move_id: each.move_id,
                        move_name: each.name.clone(),
                        limit,
                        headroom,
                        cause: cause(if limit == LimitKind::Continuous { &axis.continuous } else { &axis.peak }),
                    });
                }
            }
        }
    }
    best
}
