//! Torque of one axis in one move, term by term.

use super::{SHARE, Term};
use crate::check::{Solved, torque_answer};
use crate::package::{MoveId, Package};
use crate::report::{AxisTorque, Terms};

pub(super) fn axis(package: &Package, solved: &Solved, joint: &str, move_id: MoveId) -> Option<Term> {
    let answer = torque_answer(package, solved);
    let each = answer.known()?.moves.iter().find(|each| each.move_id == move_id)?;
    let axis = each.axes.iter().find(|axis| axis.joint == joint)?;
    let mut of = vec![peak(axis), continuous(axis)];
    of.extend(voltage(axis));
    of.extend(disturbed(axis));
    of.extend(spare(package, axis));
    of.push(pose(package, axis));
    of.push(
        Term::value("Density of the air", each.air_kg_m3, "kg/m³")
            .formula("p ÷ (R T), pressure of the standard atmosphere at this height, the day's own temperature")
            .source("ISO 2533:1975"),
    );
    Some(Term::heading(format!("{}, {}", axis.name, each.name), of))
}

/// What the voltage leaves; absent where the operator does not move this axis.
fn voltage(axis: &AxisTorque) -> Option<Term> {
    (axis.rate_use > 0.0).then(|| {
        let left = axis.voltage_headroom.map(|headroom| {
            Term::value("In hand of what the voltage leaves", headroom, SHARE)
                .formula("1 − demand ÷ torque left at that rate, at its tightest during the move")
        });
        Term::value("Share of the fastest rate", axis.rate_use, SHARE)
            .formula("from half of the fastest rate on, the torque falls in a straight line to nothing")
            .source("common practice, no source")
            .of(left.into_iter().collect())
    })
}

/// The axes whose moves reach this one.
fn disturbed(axis: &AxisTorque) -> Option<Term> {
    let by = |coupled: &crate::report::CoupledTorque| {
        Term::value(format!("{}'s move", coupled.name), coupled.torque_nm, "N·m")
            .formula("product of inertia × its steepest acceleration")
    };
    (!axis.coupled_by.is_empty()).then(|| {
        Term::value("Disturbed by other axes", axis.coupled_nm, "N·m")
            .formula("largest of all moves at once, less that of its own")
            .of(axis.coupled_by.iter().map(by).collect())
    })
}

fn spare(package: &Package, axis: &AxisTorque) -> Option<Term> {
    axis.spare_unbalance_kg_m.map(|spare| {
        Term::value("Unbalance that may be added", spare, "kg·m").formula(format!(
            "in the worst direction, until {:.0} % are in hand",
            100.0 * package.reserve.torque_headroom
        ))
    })
}

fn peak(axis: &AxisTorque) -> Term {
    let mut of = terms(&axis.peak, "largest over the working range");
    of.push(Term::value("Limit of the drive", axis.peak_limit_nm, "N·m"));
    of.push(
        Term::value("In hand", axis.peak_headroom.value, SHARE).u(axis.peak_headroom.u).formula("1 − demand ÷ limit"),
    );
    Term::value("Peak demand", axis.peak_nm.value, "N·m")
        .u(axis.peak_nm.u)
        .formula("sum of the terms below at the worst pose")
        .of(of)
}

fn continuous(axis: &AxisTorque) -> Term {
    let mut of = terms(&axis.continuous, "mean or root mean square");
    of.push(Term::value("Limit in this air", axis.continuous_limit_nm, "N·m"));
    of.push(
        Term::value("In hand", axis.continuous_headroom.value, SHARE)
            .u(axis.continuous_headroom.u)
            .formula("1 − demand ÷ limit"),
    );
    Term::value("Continuous demand", axis.continuous_nm.value, "N·m")
        .u(axis.continuous_nm.u)
        .formula("√(mean² + Σ of squares)")
        .of(of)
}

fn terms(terms: &Terms, how: &str) -> Vec<Term> {
    [
        ("Unbalance under gravity and lean", terms.unbalance_nm, "recursive Newton–Euler, nothing moving"),
        ("Platform's accelerations", terms.platform_nm, "recursive Newton–Euler, base moving"),
        ("Operator's fastest move", terms.operator_nm, "recursive Newton–Euler, raised cosine: (π/2) × rate ÷ time"),
        ("Wind", terms.wind_nm, "½ρv² × Σ drag coefficient × area × lever"),
        ("Friction", terms.friction_nm, "the drive's own figure"),
        ("Cable drag", terms.cable_nm, "spring × angle + hysteresis"),
    ]
    .into_iter()
    .filter(|(_, value, _)| *value > 0.0)
    .map(|(label, value, formula)| Term::value(label, value, "N·m").formula(format!("{formula}; {how}")))
    .collect()
}

fn pose(package: &Package, axis: &AxisTorque) -> Term {
    let angles = package
        .head
        .joints()
        .zip(&axis.pose_rad)
        .map(|(joint, angle_rad)| {
            let shown = if joint.turns.shown_reversed { -angle_rad } else { *angle_rad };
            Term::value(format!("{} {}", joint.name, joint.turns.shown), shown, "rad")
        })
        .collect();
    Term::heading("Worst pose", angles)
}
