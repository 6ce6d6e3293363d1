//! The packs and how they are charged.

use leptos::prelude::With;
use quantity::{day_clock, hours};
use solver::Package;
use solver::bounds;
use solver::day::{CHARGE_H, CHARGER_PLACES, ChargingReport, DayReport};
use solver::finding_words::due_min;
use solver::package::{Pack, PartId};

use super::Day;
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::screens::part::{change, part_of};
use crate::screens::shared::{line, link, section};
use crate::show::Kind;
use crate::ui::number::number;

/// Packs, chargers, and whether the sets come round.
pub(super) fn view(app: App, day: Day) -> El {
    let ids = move || {
        let riding = |package: &Package| {
            package.riding().filter(|part| part.pack.is_some()).map(|part| part.id.to_string()).collect::<Vec<_>>()
        };
        app.document.with(riding)
    };
    let round = move || day.with(|day| day.as_ref().map(rounds).unwrap_or_default());
    section("power-packs", "Packs and chargers")
        .child(div("rows").each(ids, move |id| one(app, id.parse().unwrap_or_default())))
        .child(div("table").test("chargers").live(round))
        .child(charger(app))
}

fn pack_of(package: &Package, id: PartId) -> Option<&Pack> {
    part_of(package, id)?.pack.as_ref()
}

fn one(app: App, id: PartId) -> El {
    let name = move || app.document.with(|package| part_of(package, id).map(|part| part.name.clone()));
    let words = move || {
        let style = app.style();
        let words = |pack: &Pack| {
            let capacity = style.show(Kind::Capacity, pack.capacity_ah);
            format!(
                "{} cells, {capacity}, {} usable",
                style.plain(pack.cells, 0),
                style.show(Kind::Share, pack.usable_share)
            )
        };
        app.document.with(|package| pack_of(package, id).map(words)).unwrap_or_default()
    };
    let head = el("summary")
        .class("row__summary")
        .child(span("row__name").live_words(move || name().unwrap_or_default()))
        .child(span("row__value").live_words(words));
    let printed = number(
        format!("Printed on {}", name().unwrap_or_default()),
        Kind::Energy,
        &bounds::RATED_WH,
        format!("rated-{id}"),
        move |package| pack_of(package, id).and_then(|pack| pack.rated_wh),
        move |package, wh| {
            change(package, id, |part| {
                if let Some(pack) = &mut part.pack {
                    pack.rated_wh = Some(wh);
                }
            });
        },
    );
    let all = div("buttons").child(link(Screen::Part(id), &format!("pack-{id}"), "All about this part"));
    let inside = div("row__inside").child(printed.view(app)).child(all);
    el("details").class("row").test(&format!("pack-more-{id}")).child(head).child(inside)
}

/// The charger in one line, which opens into its fields.
fn charger(app: App) -> El {
    let words = move || {
        let (places, hours_h) = app.document.with(|package| (package.day.charger_places, package.day.charge_h));
        let typical = if places.is_none() || hours_h.is_none() { ", typical" } else { "" };
        let (places, hours_h) = (places.unwrap_or(CHARGER_PLACES), hours_h.unwrap_or(CHARGE_H));
        format!("{} at once, {} each{typical}", app.style().plain(places, 0), hours(hours_h))
    };
    let head = el("summary")
        .class("row__summary")
        .child(span("row__name").words("Charger"))
        .child(span("row__value").live_words(words));
    let fields = div("fields").child(places(app)).child(charge_time(app));
    el("details").class("row").test("charger-more").child(head).child(div("row__inside").child(fields))
}

fn places(app: App) -> El {
    number(
        "Packs that charge at once",
        Kind::Plain,
        &bounds::CHARGER_PLACES,
        "charger-places",
        |package| Some(package.day.charger_places.unwrap_or(CHARGER_PLACES)),
        |package, places| package.day.charger_places = Some(places.round()),
    )
    .help("Typical 2 until you enter yours. Common practice, no source.")
    .view(app)
}

fn charge_time(app: App) -> El {
    number(
        "An empty pack is full again in",
        Kind::Hours,
        &bounds::CHARGE_H,
        "charge-hours",
        |package| Some(package.day.charge_h.unwrap_or(CHARGE_H)),
        |package, hours| package.day.charge_h = Some(hours),
    )
    .help("Typical 3 h until you enter yours. Common practice, no source.")
    .view(app)
}

fn rounds(day: &DayReport) -> Vec<El> {
    let Some(charging) = &day.charging else { return Vec::new() };
    // As the packs are changed by the plan above: in breaks where that is better.
    let (changes, planned) = match &day.changes_then[..] {
        [] => (&day.changes, None),
        _ => (&day.changes_then, Some(p("quiet", "With the changes in breaks:"))),
    };
    let full = changes.iter().enumerate().map(|(place, change)| {
        let name = format!("Set {} is full again", place + 1);
        line("full-again", &name, &day_clock(change.full_again_min))
    });
    [p("cost__verdict", &charged_words(day, charging))].into_iter().chain(planned).chain(full).collect()
}

fn charged_words(day: &DayReport, charging: &ChargingReport) -> String {
    let packs = charging.charged_before * day.packs_in_set;
    let before = charging.words();
    let spare = charging.spare_min.map(|spare_min| {
        // No better known than the pack changes that it lies between.
        let stands = hours(due_min(spare_min, f64::INFINITY) / 60.0);
        format!(" A set that has come round stands full for {stands} or more before it goes on.")
    });
    format!("{before} ({packs} packs).{}", spare.unwrap_or_default())
}
