//! Room for every lens to the end of every slide, and the hole, riser or rods that would give it.

use leptos::prelude::*;
use solver::lens_set::room::{Room, RoomChange, RoomReport, WANTED_M, room};

use super::{fault, folded};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::shared::{button, line, section};
use crate::show::{Kind, Style};

/// The section: worked out when somebody looks, for every hole, riser and pair of rods is tried with every lens.
pub(super) fn view(app: App) -> El {
    let opened = RwSignal::new(false);
    let found = Memo::new(move |_| opened.get().then(|| app.document.with(room)));
    let shown = move || {
        found.with(|found| match found {
            None => Vec::new(),
            Some(Ok(report)) => lines(app.style(), report),
            Some(Err(_)) => fault(),
        })
    };
    let apply = move || {
        let best = found.with_untracked(|found| match found {
            Some(Ok(report)) => report.best.clone(),
            _ => None,
        });
        if let Some(best) = best {
            app.document.edit(|package| *package = best.apply(package));
        }
    };
    let any = move || found.with(|found| matches!(found, Some(Ok(RoomReport { best: Some(_), .. }))));
    let inside = div("").child(div("table").live(shown)).child(div("buttons").hidden(move || !any()).child(button(
        "room-apply",
        "Do that",
        apply,
    )));
    let ask = move || {
        let wanted = app.style().show(Kind::Mark, WANTED_M);
        folded(&format!("Does each keep {wanted} to the end of travel?"), opened, inside).test("room")
    };
    section("common-room", "Room for every lens").child(div("rows").child(untrack(ask)))
}

fn lines(style: Style, report: &RoomReport) -> Vec<El> {
    let Some(now) = &report.now else { return vec![p("quiet", "Not known without lenses and slides.")] };
    let wanted = style.show(Kind::Mark, report.wanted_m);
    let said = match &report.best {
        None if now.least_m >= report.wanted_m => format!("Yes: every lens keeps {wanted} or more."),
        None => format!("No, and no hole, riser or rods at hand give the tightest lens more. Wanted are {wanted}."),
        Some(best) if best.enough => format!("Not now. This gives every lens {wanted}: {}.", words(style, best)),
        Some(best) => format!("No. This gives the tightest lens most, less than {wanted}: {}.", words(style, best)),
    };
    let then = report.best.as_ref().map(|best| &best.room);
    let rows = now.lenses.iter().enumerate().map(|(index, lens)| {
        let left = left_words(style, now, index);
        let words = match then {
            Some(then) => format!("{left}; then {}", left_words(style, then, index)),
            None => left,
        };
        line(&format!("room-{}", lens.lens), &lens.name, &words).attr("data-value", &format!("{}", lens.left_m))
    });
    let verdict = p("cost__verdict", &said)
        .test("room-verdict")
        .attr("data-value", if then.is_none() && now.least_m >= report.wanted_m { "yes" } else { "no" });
    std::iter::once(verdict).chain(rows).collect()
}

fn words(style: Style, best: &RoomChange) -> String {
    best.changes.iter().map(|change| change.words(&style)).collect::<Vec<_>>().join("; ")
}

fn left_words(style: Style, room: &Room, index: usize) -> String {
    room.lenses.get(index).map_or_else(String::new, |lens| {
        let far = style.show(Kind::Mark, lens.left_m.abs());
        let how = if lens.left_m < 0.0 { "short" } else { "left" };
        format!("{far} {how} ({})", lens.slide.to_lowercase())
    })
}
