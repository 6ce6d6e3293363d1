//! Where torque is tightest in every move, without the rest of the report: what a table of lenses by moves asks.

use super::demand::Load;
use super::limits::{headroom, voltage_binds};
use super::one_move::{OneMove, each_move};
use super::operator::Operator;
use super::reach::Allowed;
use super::scan::{Asked, rate_share};
use super::study::Desk;
use super::table::Narrowed;
use crate::answer::Estimate;
use crate::layout::Layout;
use crate::order::sort_short;
use crate::package::Package;
use crate::platform::PlatformMotion;
use crate::report::{Cause, LimitKind, Terms, Tightest};

/// Share by which narrowing a worst pose down may raise a demand above the highest of the grid: on
/// twenty thousand demands of random packages it was 4.5 % at most, and 0.7 % for 99 of 100.
const RISE: f64 = 0.06;

/// Where torque is tightest in every move of the package, at the given marks (m, platform first): the same as the
/// tightest of each move in [`super::torque_report`]. `None` for a head without joints. The package must have passed
/// validation.
pub fn tightest_of_moves(package: &Package, layout: &Layout, marks_m: &[f64]) -> Vec<Option<Tightest>> {
    each_move(package, layout, marks_m, tightest)
}

/// Where torque is tightest over all moves: the same as [`crate::report::TorqueReport::tightest`]. `None` without moves.
pub fn tightest_of_all(package: &Package, layout: &Layout, marks_m: &[f64]) -> Option<Tightest> {
    let each = tightest_of_moves(package, layout, marks_m).into_iter().flatten();
    each.reduce(|best, next| if next.headroom.value < best.headroom.value { next } else { best })
}

/// One limit of one joint.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    joint: usize,
    limit: LimitKind,
    /// Headroom by the poses of the grid: a bound from above, and all there is for a rate.
    headroom: f64,
}

fn tightest(of: &OneMove<'_>, desk: &mut Desk) -> Option<Tightest> {
    let (motion, operator) = (PlatformMotion::of(of.each), Operator::new(of.study, of.each));
    let (loads, limits) = (of.loads(&motion, &operator), of.limits(&operator));
    let asked = asked(of, &loads, &limits);
    let mut best: Option<(Candidate, Narrowed)> = None;
    for candidate in candidates(of, &loads, &limits, &asked) {
        let Candidate { joint, limit, headroom: on_grid } = candidate;
        // What cannot come down to the lowest is left alone, and so is all that is above it.
        if best.as_ref().is_some_and(|(best, _)| 1.0 - (1.0 + RISE) * (1.0 - on_grid) > best.headroom) {
            break;
        }
        let Some(asked) = &asked[joint] else { continue };
        let at = of.worst(desk, &loads[joint], asked, limit != LimitKind::Continuous);
        let headroom = match limit {
            LimitKind::Peak => headroom(at.demand.peak_nm, limits[joint].peak_nm),
            LimitKind::Continuous => headroom(at.demand.continuous_nm, limits[joint].continuous_nm),
            LimitKind::Rate => on_grid,
        };
        if best.as_ref().is_none_or(|(best, _)| headroom < best.headroom) {
            best = Some((Candidate { headroom, ..candidate }, at));
        }
    }
    let (Candidate { joint, limit, headroom }, at) = best?;
    let peak = limit != LimitKind::Continuous;
    let most_nm = if peak { limits[joint].peak_nm } else { limits[joint].continuous_nm };
    let u = if most_nm > 0.0 { of.u_nm(desk, &loads[joint], &at, peak) / most_nm } else { 0.0 };
    let about = of.study.joints[joint];
    Some(Tightest {
        joint: about.id.clone(),
        axis: about.name.clone(),
        move_id: of.each.id,
        move_name: of.each.name.clone(),
        limit,
        headroom: Estimate::new(headroom, u),
        cause: cause(if peak { &at.demand.peak } else { &at.demand.continuous }),
    })
}

/// What is asked of every joint, platform first; nothing for a joint that cannot be the tightest whatever the pose.
fn asked(of: &OneMove<'_>, loads: &[Load<'_>], limits: &[Allowed]) -> Vec<Option<Asked>> {
    let mut order: Vec<(usize, f64)> =
        loads.iter().map(|load| (load.joint, least(of, load, &limits[load.joint]))).collect();
    sort_short(&mut order, |a, b| a.1 < b.1);
    let mut asked: Vec<Option<Asked>> = loads.iter().map(|_| None).collect();
    let mut lowest = f64::INFINITY;
    for (joint, least) in order {
        if least > lowest {
            break;
        }
        let (load, limit) = (&loads[joint], &limits[joint]);
        let of_joint = Asked::over(of.study, of.table, load, limit, |_, _| {});
        let found = &of_joint.found;
        let peak = headroom(found.peak_nm, limit.peak_nm);
        lowest = lowest.min(peak).min(headroom(found.continuous_nm, limit.continuous_nm));
        asked[joint] = Some(of_joint);
    }
    asked
}

/// A headroom below which no limit of a joint comes in any pose, the one it is narrowed down to included.
fn least(of: &OneMove<'_>, load: &Load<'_>, limit: &Allowed) -> f64 {
    if voltage_binds(rate_share(of.study, load)) {
        return f64::NEG_INFINITY;
    }
    let bound = load.bound(&of.table.most[load.joint], of.table.reach.widest_rad(load.joint));
    let peak = headroom((1.0 + RISE) * bound.peak_nm, limit.peak_nm);
    f64::min(peak, headroom((1.0 + RISE) * bound.continuous_nm, limit.continuous_nm))
}

/// Every limit of the joints, the lowest headroom first; of equals in the order of the report.
fn candidates(of: &OneMove<'_>, loads: &[Load<'_>], limits: &[Allowed], asked: &[Option<Asked>]) -> Vec<Candidate> {
    let mut candidates = Vec::with_capacity(3 * loads.len());
    for load in loads.iter().rev() {
        let (joint, limit) = (load.joint, &limits[load.joint]);
        let Some(Asked { found, .. }) = &asked[joint] else { continue };
        let mut add = |limit, headroom| candidates.push(Candidate { joint, limit, headroom });
        add(LimitKind::Peak, headroom(found.peak_nm, limit.peak_nm));
        add(LimitKind::Continuous, headroom(found.continuous_nm, limit.continuous_nm));
        if voltage_binds(rate_share(of.study, load)) {
            add(LimitKind::Rate, headroom(found.voltage_use, 1.0));
        }
    }
    sort_short(&mut candidates, |a, b| a.headroom < b.headroom);
    candidates
}

/// The largest term of a demand.
pub(super) fn cause(terms: &Terms) -> Cause {
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
