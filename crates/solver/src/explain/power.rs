//! Hours and taps, load by load.

use super::{SHARE, Term};
use crate::answer::Estimate;
use crate::check::{Solved, motors_w, torque_answer};
use crate::package::{Pack, Package};
use crate::power::{Bank, BlockOf, CAPACITY_U, LOAD_U, blocks, else_w, power_report, tap_uses, usable_wh};

pub(super) fn runtime(package: &Package, solved: &Solved) -> Term {
    let torque = torque_answer(package, solved);
    let motors_w = motors_w(package, torque.known());
    let report = power_report(package, &motors_w);
    let blocks = blocks(package, &motors_w, else_w(package, &tap_uses(package)));
    let bank = Bank::of(package);
    let hours = report.runtime_h.known().copied().unwrap_or(Estimate::new(0.0, 0.0));
    let loads = package
        .riding()
        .filter_map(|part| part.load.as_ref().map(|load| (part, load)))
        .map(|(part, load)| Term::value(part.name.clone(), load.typical_w, "W"))
        .collect();
    let packs = package
        .riding()
        .filter_map(|part| part.pack.as_ref().map(|pack| (part, pack)))
        .map(|(part, pack)| one_pack(&part.name, pack))
        .collect();
    let moves = blocks
        .iter()
        .map(|block| {
            let name = block.of.move_index().map_or("All day", |index| package.moves[index].name.as_str());
            if let BlockOf::Break(_, kind) = block.of {
                return Term::value(format!("Break after {name}: {}", kind.words()), block.power_w, "W")
                    .of(vec![Term::value("Lasts", block.hours, "h")]);
            }
            Term::value(name, block.power_w, "W").of(vec![
                Term::value("Lasts", block.hours, "h").formula("hours of the day × its share"),
                Term::value("Motors and head", block.power_w - (report.draw_w - report.motors_w), "W")
                    .formula("idle + copper loss + mechanical power"),
            ])
        })
        .collect();
    Term::value("The first set lasts", hours.value, "h")
        .u(hours.u)
        .formula("∫ capacity ds ÷ current(s), at constant power move after move, from full to cut-off")
        .source("cell voltage: Chen et al., J. Electrochem. Soc. 167 (2020) 080534")
        .of(vec![
            Term::value("Drawn from the packs, mean of the day", report.draw_w, "W")
                .u(LOAD_U * report.draw_w)
                .formula("loads ÷ converter efficiency + cable losses + motors")
                .of(vec![
                    Term::value("Loads", report.loads_w, "W").of(loads),
                    Term::value("Motors and head", report.motors_w, "W")
                        .formula("Σ over moves of share × (idle + copper loss + mechanical power)"),
                    Term::heading("Move after move", moves),
                ]),
            Term::value("Energy in the packs", usable_wh(&bank), "Wh").u(CAPACITY_U * usable_wh(&bank)).of(packs),
        ])
}

fn one_pack(name: &str, pack: &Pack) -> Term {
    Term::value(name, pack.capacity_ah * pack.usable_share, "Ah").formula("rated capacity × usable share").of(vec![
        Term::value("Rated capacity", pack.capacity_ah, "Ah"),
        Term::value("Usable share", pack.usable_share, SHARE).source("age, cold and its own electronics"),
        Term::value("Cells in series", pack.cells, ""),
        Term::value("Internal resistance", pack.resistance_ohm, "Ω"),
        Term::value("Cut-off of a cell", pack.cutoff_v_cell, "V"),
    ])
}

pub(super) fn tap(package: &Package, id: &str) -> Option<Term> {
    let found = tap_uses(package).into_iter().find(|tap| tap.report.tap == id)?;
    let loads = package
        .riding()
        .filter(|part| found.report.parts.contains(&part.id))
        .filter_map(|part| part.load.as_ref().map(|load| (part, load)))
        .map(|(part, load)| Term::value(part.name.clone(), load.most_w(), "W"))
        .collect();
    Some(
        Term::value(found.report.name.clone(), found.report.peak_a, "A")
            .formula("Σ peak power ÷ voltage at the part, lowest voltage of the tap")
            .of(vec![
                Term::value("Limit", found.report.limit_a, "A"),
                Term::value("In ordinary use, at that voltage", found.report.typical_a, "A"),
                Term::value("Power at peak", found.peak_w, "W").of(loads),
            ]),
    )
}
