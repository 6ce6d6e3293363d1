//! The torque report: every move, every axis.

use super::demand::Load;
use super::limits::{headroom, voltage_binds};
use super::one_move::{OneMove, each_move};
use super::operator::Operator;
use super::power::motors_w;
use super::reach::{Allowed, fastest_road_m_s, peak_left_nm, spare_unbalance_kg_m};
use super::scan::{Scan, rate_share};
use super::study::{Desk, Study};
use super::table::Narrowed;
use super::tightest::cause;
use crate::air;
use crate::answer::Estimate;
use crate::dynamics::MAX_JOINTS;
use crate::layout::Layout;
use crate::order::sort_short;
use crate::package::Package;
use crate::platform::PlatformMotion;
use crate::report::{AxisTorque, CoupledTorque, LimitKind, MoveTorque, Tightest, TorqueReport};
use crate::wind::level_directions;

/// Torque in hand for every move of the package, at the given marks (m, platform first). The package must have passed
/// validation; operators' moves and ranges of joints that this head does not have are ignored.
pub fn torque_report(package: &Package, layout: &Layout, marks_m: &[f64]) -> TorqueReport {
    let moves = each_move(package, layout, marks_m, report);
    let tightest = tightest(&moves);
    TorqueReport { moves, tightest }
}

fn report(each: &OneMove<'_>, desk: &mut Desk) -> MoveTorque {
    each.report(desk)
}

impl OneMove<'_> {
    fn report(&self, desk: &mut Desk) -> MoveTorque {
        let (study, each) = (self.study, self.each);
        let motion = PlatformMotion::of(each);
        let operator = Operator::new(study, each);
        let (loads, limits) = (self.loads(&motion, &operator), self.limits(&operator));
        let reserve = 1.0 - study.package.reserve.torque_headroom;
        let allowed: Vec<Allowed> = limits
            .iter()
            .map(|limit| Allowed { peak_nm: reserve * limit.peak_nm, continuous_nm: reserve * limit.continuous_nm })
            .collect();
        let mut scan = Scan::over(study, self.table, each, &loads, &limits, &allowed);
        let mut axes: Vec<AxisTorque> = loads
            .iter()
            .map(|load| self.axis(desk, load, &limits[load.joint], &allowed[load.joint], &mut scan))
            .collect();
        axes.reverse();
        MoveTorque {
            move_id: each.id,
            name: each.name.clone(),
            axes,
            motors_w: motors_w(study, &operator, &motion, &scan),
            near_gimbal_lock: self.table.near_lock,
            wind_force_n: self.wind_force_n(desk, loads.first()),
            air_kg_m3: air::density_kg_m3(each.altitude_m, each.air_k),
            fastest_air_m_s: scan.fastest_air_m_s(),
            operator_factor: scan.operator_factor(),
            fastest_road_m_s: fastest_road_m_s(study, each, self.table, &operator, &allowed),
            platform: motion,
        }
    }

    fn axis(
        &self,
        desk: &mut Desk,
        load: &Load<'_>,
        limit: &Allowed,
        allowed: &Allowed,
        scan: &mut Scan,
    ) -> AxisTorque {
        let (study, joint) = (self.study, load.joint);
        let at_peak = self.worst(desk, load, &scan.asked[joint], true);
        let peak_u = self.u_nm(desk, load, &at_peak, true);
        let at_mean = self.worst(desk, load, &scan.asked[joint], false);
        let continuous_u = self.u_nm(desk, load, &at_mean, false);
        let rate_share = rate_share(study, load);
        scan.narrow(study, self.each, load, allowed, [&at_peak, &at_mean]);
        let spare = [&at_peak, &at_mean].map(|at| {
            let left_nm = peak_left_nm(load, &at.at, allowed, &at.demand, rate_share, f64::INFINITY);
            spare_unbalance_kg_m(load, &at.at, allowed, &at.demand, left_nm)
        });
        let (peak, continuous) = (at_peak.demand.peak, at_mean.demand.continuous);
        let (peak_nm, continuous_nm) = (at_peak.demand.peak_nm, at_mean.demand.continuous_nm);
        let of = |demand: f64, u: f64, limit: f64| {
            Estimate::new(headroom(demand, limit), if limit > 0.0 { u / limit } else { 0.0 })
        };
        let peak_headroom = of(peak_nm, peak_u, limit.peak_nm);
        let continuous_headroom = of(continuous_nm, continuous_u, limit.continuous_nm);
        let tighter = if peak_headroom.value <= continuous_headroom.value { &peak } else { &continuous };
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
            pose_rad: at_peak.q_rad[..study.joints.len()].to_vec(),
            rate_use: rate_share,
            voltage_headroom: voltage_binds(rate_share).then(|| headroom(scan.asked[joint].found.voltage_use, 1.0)),
            coupled_nm: coupled_nm(load, &at_peak),
            coupled_by: coupled_by(study, load, &at_peak),
            spare_unbalance_kg_m: smaller(spare),
        }
    }

    /// Drag of the wind on everything at the reference pose, at the worst heading, N.
    fn wind_force_n(&self, desk: &mut Desk, load: Option<&Load<'_>>) -> f64 {
        let Some(load) = load else { return 0.0 };
        desk.pose.set(&[0.0; MAX_JOINTS]);
        let up = self.table.reach.up_in_base;
        let area = |wind: &nalgebra::Vector3<f64>| {
            let base = self.study.sails.first().map_or(0.0, |sail| sail.across_m2(wind));
            let links = self.study.joints.len();
            let on_links: f64 = self
                .study
                .standing(&desk.pose)
                .iter()
                .take(links)
                .map(|link| link.sail.across_m2(&link.rotation.tr_mul(wind)))
                .sum();
            base + on_links
        };
        load.pressure_pa[0] * level_directions(&up).map(|wind| area(&wind)).fold(0.0, f64::max)
    }
}

/// The part of the operator's torque that the other axes' accelerations cause, N·m.
fn coupled_nm(load: &Load<'_>, at: &Narrowed) -> f64 {
    let own = load
        .operator
        .on(load.joint)
        .map_or(0.0, |axis| (at.at.inertia_kg_m2[load.joint] + load.reflected_kg_m2) * axis.steepest_rad_s2);
    f64::max(0.0, load.loss * (at.demand.whip.largest_nm - own))
}

/// What each other axis's acceleration does to this one, largest first.
fn coupled_by(study: &Study<'_>, load: &Load<'_>, at: &Narrowed) -> Vec<CoupledTorque> {
    let others = load.operator.axes.iter().filter(|axis| axis.joint != load.joint);
    let mut by: Vec<CoupledTorque> = others
        .map(|axis| CoupledTorque {
            joint: study.joints[axis.joint].id.clone(),
            name: study.joints[axis.joint].name.clone(),
            torque_nm: load.loss * (at.at.inertia_kg_m2[axis.joint] * axis.steepest_rad_s2).abs(),
        })
        .filter(|coupled| coupled.torque_nm > LEAST_COUPLED_NM)
        .collect();
    sort_short(&mut by, |a, b| a.torque_nm > b.torque_nm);
    by
}

/// Coupled torque that is too small to be told, N·m: it would be shown as nothing.
const LEAST_COUPLED_NM: f64 = 0.05;

/// The smaller of two, if both are there.
fn smaller([a, b]: [Option<f64>; 2]) -> Option<f64> {
    Some(f64::min(a?, b?))
}

fn tightest(moves: &[MoveTorque]) -> Option<Tightest> {
    let mut best: Option<Tightest> = None;
    for each in moves {
        for axis in &each.axes {
            let (limit, headroom) = axis.tightest();
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
    best
}
