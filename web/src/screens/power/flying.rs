//! Flying the packs.

use leptos::prelude::With;
use solver::day::{CARGO, DayReport, EDITION, FlyingPack, flying_words};

use super::{Day, folded};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::shared::{line, section};
use crate::show::{Kind, Style};

/// Each kind of pack against the limits.
pub(super) fn view(app: App, day: Day) -> El {
    let kinds = move || day.with(|day| day.as_ref().map(|day| lines(app.style(), day)).unwrap_or_default());
    section("power-flying", "Flying the packs")
        .child(div("table").test("flying").live(kinds))
        .child(folded(
            "flying-more",
            "As cargo, and the edition of these limits",
            [p("quiet", CARGO), p("quiet", EDITION)],
        ))
        .child(p("caution", "A damaged or recalled pack does not fly at all."))
}

fn lines(style: Style, day: &DayReport) -> Vec<El> {
    if day.flying.is_empty() {
        return vec![p("quiet", "No pack rides.")];
    }
    let one = |kind: &FlyingPack| {
        let name = format!("{} × {}", kind.count, style.show(Kind::Energy, kind.rated_wh));
        line("flying-pack", &name, &flying_words(kind)).attr("data-value", &format!("{}", kind.rated_wh))
    };
    day.flying.iter().map(one).collect()
}
