//! How far one can go in one move: whip, road, wind and unbalance, and the axis that holds it back.

use super::{SHARE, Term};
use crate::check::{Solved, torque_answer};
use crate::package::{Motion, Move, MoveId, Package};
use crate::report::{AxisTorque, LimitKind, MoveTorque};

pub(super) fn one_move(package: &Package, solved: &Solved, id: MoveId) -> Option<Term> {
    let answer = torque_answer(package, solved);
    let each = answer.known()?.moves.iter().find(|each| each.move_id == id)?;
    let asked = package.moves.iter().find(|asked| asked.id == id)?;
    let mut of: Vec<Term> = in_hand(package, each).into_iter().collect();
    of.extend(whip(package, asked, each));
    of.extend(each.fastest_road_m_s.map(|speed_m_s| {
        Term::value("Highest speed on this road", speed_m_s, "m/s")
            .formula("bumps grow with the root of the speed, the wind's torque with its square")
            .of(vec![road_now(asked)])
    }));
    of.extend(each.fastest_air_m_s.map(|speed_m_s| {
        Term::value("Strongest wind, speed included", speed_m_s, "m/s")
            .formula("the wind's terms go with the square of its speed, nothing else does")
            .of(vec![Term::value("In this move", asked.airspeed_m_s, "m/s")])
    }));
    of.extend(unbalance(each));
    Some(Term::heading(format!("How far {} can go", each.name), of))
}

/// The axis with least in hand; a move without axes has none.
fn in_hand(package: &Package, each: &MoveTorque) -> Option<Term> {
    let tightest = each.axes.iter().min_by(|a, b| a.tightest().1.value.total_cmp(&b.tightest().1.value))?;
    let word = |limit: LimitKind| match limit {
        LimitKind::Peak => "peak torque",
        LimitKind::Continuous => "continuous torque",
        LimitKind::Rate => "torque that the voltage leaves near the fastest rate",
    };
    let rows = each.axes.iter().map(|axis| {
        let (limit, headroom) = axis.tightest();
        Term::value(format!("{}, {}", axis.name, word(limit)), headroom.value, SHARE).u(headroom.u)
    });
    let (limit, headroom) = tightest.tightest();
    let reserve = Term::value("Your reserve", package.reserve.torque_headroom, SHARE);
    Some(
        Term::value(format!("Least in hand: {}, {}", tightest.name, word(limit)), headroom.value, SHARE)
            .u(headroom.u)
            .formula("1 − demand ÷ limit, the smallest of every axis")
            .of(rows.chain([reserve]).collect()),
    )
}

fn whip(package: &Package, asked: &Move, each: &MoveTorque) -> Option<Term> {
    let factor = each.operator_factor?;
    let rows = package.head.joints().filter_map(|joint| {
        let axis = asked.operator.iter().find(|axis| axis.joint == joint.id && axis.rate_rad_s > 0.0)?;
        Some(
            Term::value(format!("{}, from rest in the same time", joint.name), factor * axis.rate_rad_s, "rad/s")
                .of(vec![Term::value("In this move", axis.rate_rad_s, "rad/s"), Term::value("Time", axis.time_s, "s")]),
        )
    });
    Some(
        Term::value("Fastest whip, times the operator's moves", factor, "")
            .formula("torque of acceleration grows with the factor, torque of rates with its square; near a drive's fastest rate the voltage leaves less torque, and none there")
            .of(rows.collect()),
    )
}

fn road_now(asked: &Move) -> Term {
    let speed_m_s = match asked.motion {
        Motion::Road { speed_m_s, .. } => speed_m_s,
        Motion::Own { .. } | Motion::Sea { .. } => 0.0,
    };
    Term::value("In this move", speed_m_s, "m/s")
}

/// The smallest of what every axis may still take.
fn unbalance(each: &MoveTorque) -> Option<Term> {
    let rows: Option<Vec<(&AxisTorque, f64)>> =
        each.axes.iter().map(|axis| Some((axis, axis.spare_unbalance_kg_m?))).collect();
    let rows = rows?;
    let (_, least) = rows.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(
        Term::value("Largest unbalance that may be added", *least, "kg·m")
            .formula("in the worst direction, on the axis that takes least")
            .of(rows.iter().map(|(axis, spare)| Term::value(axis.name.clone(), *spare, "kg·m")).collect()),
    )
}
