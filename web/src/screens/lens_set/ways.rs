//! From a lens that cannot go on to the screen that says what is wrong and what would cure it.

use solver::finding::Matter;
use solver::lens_set::preview::Reason;
use solver::package::LensId;

use crate::app::App;
use crate::dom::{El, div};
use crate::route::Screen;
use crate::screens::shared::{button, link};

/// The ways out that these reasons have, if any. Both screens look at the lens that is on: for another one the way puts it
/// on, which undo takes back.
pub(in crate::screens) fn ways(app: App, lens: LensId, on: bool, reasons: &[Reason]) -> Option<El> {
    let unfit = reasons.iter().any(|reason| matches!(reason, Reason::Fit(_)));
    let fit = unfit.then_some((Screen::Fit, "fit", ["See how it fits", "Put it on and see how it fits"]));
    let hangs = ["What would make it hang", "Put it on and see what would make it hang"];
    let remedies = reasons.iter().any(hangs_not).then_some((Screen::Remedies, "remedies", hangs));
    let way = |(screen, word, [here, there]): (Screen, &str, [&'static str; 2])| {
        let test = format!("lens-{lens}-to-{word}");
        if on {
            return link(screen, &test, here);
        }
        button(&test, there, move || {
            app.document.edit(|package| package.active_lens = Some(lens));
            screen.open();
        })
    };
    (fit.is_some() || remedies.is_some())
        .then(|| div("buttons").children([fit, remedies].into_iter().flatten().map(way)))
}

/// Whether a reason is one that the remedies mend.
fn hangs_not(reason: &Reason) -> bool {
    let Reason::Check(finding) = reason else { return false };
    matches!(finding.matter, Matter::TooHeavy { .. } | Matter::OutOfTravel { .. } | Matter::NotNeutral { .. })
}
