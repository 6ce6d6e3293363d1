//! Trim weights with which the lighter lenses match the heaviest.

use solver::lens_set::trim::TrimReport;

use super::{Sheet, Words, terminal};

pub(super) fn print(sheet: &mut Sheet, report: Option<&TrimReport>) {
    let Some(report) = report else { return };
    sheet.heading(&format!("Trim weights, so that the marks of {} serve the set", report.name));
    for line in report.lines(&Words(sheet.style)) {
        sheet.line(format!("  {}", terminal(&line)));
    }
    for left in report.not_checked {
        sheet.line(format!("  Not checked: {left}"));
    }
}
