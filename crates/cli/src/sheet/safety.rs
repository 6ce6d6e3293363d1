//! Cautions that are always in view, and what was not checked.

use codec::Document;
use quantity::Kind;
use solver::Report;
use solver::fit::{LEFT_BY_FIT, LEFT_TO_FIT};
use solver::lens_set::{LEFT_BY_LENS_SET, LEFT_TO_LENS_SET};
use solver::stiffness::{LEFT_BY_STIFFNESS, LEFT_TO_STIFFNESS};

use super::Sheet;
use crate::commands::Answers;

/// Mass above which lifting by hand is worth a caution, kg. Source: the load constant of the revised NIOSH lifting
/// equation, Waters et al. 1993 (value from memory).
const LIFT_BY_HAND_KG: f64 = 23.0;

pub(super) fn print(sheet: &mut Sheet, report: &Report) {
    sheet.heading("Cautions");
    sheet.line("  - Before motors are enabled: locks off, hands, straps and cables clear, and everyone told.");
    if let Some(hardest) = report.axes.iter().max_by(|a, b| a.finger_force_n.total_cmp(&b.finger_force_n)) {
        let force = sheet.show(hardest.finger_force_n, Kind::Force);
        sheet.line(format!("  - {} can press a finger with {force}.", hardest.name));
    }
    sheet.line("  - End keepers back on. Overhead: a secondary tether, and fixings rated for the mass on the arm.");
    let heaviest_kg = report.mass.all_up_kg.value.max(report.mass.camera_kg.value);
    if heaviest_kg > LIFT_BY_HAND_KG {
        sheet.line("  - Too heavy to lift by hand: lower the arm, use a stand or a hoist. The lifting equation does not cover team lifts.");
    }
    sheet.line("  - At wrap: motors off, locks on, hold the arm; counterweights come off before the head does.");
    sheet.line("  - A damaged, swollen or hot pack comes off and goes outside, away from people.");
    sheet.line(
        "  - Counterpoise advises. The maker's limits, local codes and the licensed practitioner on site decide.",
    );
}

pub(super) fn print_not_checked(sheet: &mut Sheet, document: &Document, answers: &Answers) {
    let stiff = answers.stiffness.known().is_some();
    sheet.heading("Not checked");
    for item in &answers.report.not_checked {
        let left = match item.as_str() {
            LEFT_TO_FIT => LEFT_BY_FIT,
            LEFT_TO_LENS_SET => LEFT_BY_LENS_SET,
            LEFT_TO_STIFFNESS if stiff => LEFT_BY_STIFFNESS,
            item => item,
        };
        sheet.line(format!("  - {left}"));
    }
    for name in document.foreign_names() {
        sheet.line(format!("  - Section \"{name}\" of another version: kept as it came"));
    }
}
