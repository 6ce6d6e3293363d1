//! Whether the package is stiff enough, what bends, and what would help.

use quantity::Kind;
use solver::answer::{Answer, Estimate};
use solver::stiffness::{SagReport, StiffnessReport};

use super::{Sheet, Words, terminal};

/// How many changes are told.
const TOLD: usize = 3;

pub(super) fn print(sheet: &mut Sheet, answer: &Answer<StiffnessReport>) {
    sheet.heading("Stiffness");
    let Answer::Known(report) = answer else {
        sheet.line("  No body rides: how stiff the package is is not known.");
        return;
    };
    let (hz, ratio) = (sheet.with_u(report.first_hz, Kind::Frequency), sheet.with_u(report.ratio, Kind::Plain));
    let crossover = sheet.show(report.crossover_hz, Kind::Frequency);
    sheet.line(format!(
        "  First mode {hz}, {}: {} × the loop crossover of {crossover}, {}",
        report.plane.words(),
        ratio.trim_end(),
        report.verdict.words()
    ));
    let plane = report.planes.iter().find(|plane| plane.plane == report.plane);
    for share in plane.into_iter().flat_map(|plane| plane.bends.iter().take(TOLD)) {
        let percent = sheet.show(share.share, Kind::Share);
        sheet.line(format!("  {percent:>6} of the bending: {}", share.name));
    }
    print_sag(sheet, &report.sag);
    for each in report.changes.iter().take(TOLD) {
        let words = terminal(&each.change.words(&Words(sheet.style)));
        let hz = sheet.digits(each.first_hz, Kind::Frequency, 0);
        sheet.line(format!("  {words}: {hz}"));
    }
}

fn print_sag(sheet: &mut Sheet, sag: &SagReport) {
    let fine = |sheet: &Sheet, length: Estimate| sheet.digits(length.value.abs(), Kind::Length, 1);
    let front = fine(sheet, sag.front_m);
    let picture = match (&sag.picture_m, &sag.of_height) {
        (_, Answer::Known(share)) => {
            format!(", and the picture by {} of its height", sheet.digits(share.value.abs(), Kind::Share, 1))
        }
        (Answer::Known(shift), _) => {
            format!(", and the picture by {} on the imager", sheet.digits(shift.value.abs(), Kind::Length, 2))
        }
        _ => String::new(),
    };
    sheet.line(format!("  From level to lens up the front moves by {front}{picture}"));
}
