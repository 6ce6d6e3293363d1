//! Hours and taps, load by load.

use super::{SHARE, Term};
use crate::check::{Solved, motors_w, torque_answer};
use crate::package::Package;
use crate::power::{Bank, CAPACITY_U, LOAD_U, power_report, runtime_h, tap_uses, usable_wh};

pub(super) fn runtime(package: &Package, solved: &Solved) -> Term {
    let torque = torque_answer(package, solved);
    let motors_w = motors_w(package, torque.known());
    let report = power_report(package, motors_w);
    let bank = Bank::of(package);
    let hours = runtime_h(&bank, report.draw_w).unwrap_or(0.0);
    let loads = package
        .riding()
        .filter_map(|part| part.load.as_ref().map(|load| (part, load)))
        .map(|(part, load)| Term::value(part.name.clone(), load.typical_w, "W"))
        .collect();
    let packs = package
        .riding()
        .filter_map(|part| part.pack.as_ref().map(|pack| (part, pack)))
        .map(|(part, pack)| {
            Term::value(part.name.clone(), pack.capacity_ah * pack.usable_share, "Ah")
                .formula("rated capacity × usable share")
                .of(vec![
                    Term::value("Rated capacity", pack.capacity_ah, "Ah"),
                    Term::value("Usable share", pack.usable_share, SHARE).source("age, cold and its own electronics"),
                    Term::value("Cells in series", pack.cells, ""),
                    Term::value("Internal resistance", pack.resistance_ohm, "Ω"),
                    Term::value("Cut-off of a cell", pack.cutoff_v_cell, "V"),
                ])
        })
        .collect();
    Term::value("Packs last", hours, "h")
        .u(hours * libm::hypot(LOAD_U, CAPACITY_U))
        .formula("∫ capacity ds ÷ current(s), at constant power from full to cut-off")
        .source("cell voltage: Chen et al., J. Electrochem. Soc. 167 (2020) 080534")
        .of(vec![
            Term::value("Drawn from the packs", report.draw_w, "W")
                .u(LOAD_U * report.draw_w)
                .formula("loads ÷ converter efficiency + cable losses + motors")
                .of(vec![
                    Term::value("Loads", report.loads_w, "W").of(loads),
                    Term::value("Motors and head", motors_w, "W")
                        .formula("idle + Σ over moves of share × (copper loss + mechanical power)"),
                ]),
            Term::value("Energy in the packs", usable_wh(&bank), "Wh").u(CAPACITY_U * usable_wh(&bank)).of(packs),
        ])
}

pub(super) fn tap(package: &Package, id: &str) -> Option<Term> {
    let found = tap_uses(package).into_iter().find(|tap| tap.report.tap == id)?;
    let loads = package
        .riding()
        .filter(|part| found.report.parts.contains(&part.id))
        .filter_map(|part| part.load.as_ref().map(|load| (part, load)))
        .map(|(part, load)| Term::value(part.name.clone(), load.peak_w, "W"))
        .collect();
    Some(
        Term::value(found.report.name.clone(), found.report.peak_a, "A")
            .formula("Σ peak power ÷ voltage at the part, lowest voltage of the tap")
            .of(vec![
                Term::value("Limit", found.report.limit_a, "A"),
                Term::value("In ordinary use", found.report.typical_a, "A"),
                Term::value("Power at peak", found.peak_w, "W").of(loads),
            ]),
    )
}
