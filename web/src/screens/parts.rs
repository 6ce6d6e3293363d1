//! The parts of the package, grouped in the order of a build.

use solver::Package;
use solver::entering::{RodLength, rod_length};
use solver::package::{Part, PartId, PartKind, PartMass};

use super::shared::link;
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::choice::switch;
use crate::words::{MASS_SOURCES, PART_KINDS, word};

/// The list of parts.
pub(crate) fn view(app: App) -> El {
    let groups = PART_KINDS.iter().map(|(kind, title)| group(app, *kind, title));
    let none = move || app.document.with(|package| package.parts.is_empty());
    div("screen")
        .child(
            div("screen__tools")
                .child(link(Screen::AddPart, "add-part", "Add parts").class("button--main"))
                .child(link(Screen::WeighIn, "weigh-in", "Weigh in").hidden(none)),
        )
        .child(
            div("empty")
                .hidden(move || !none())
                .child(p("empty__line", "No parts yet."))
                .child(p("", "Add the camera body first, then what it stands on, then what hangs on the lens: every part finds its own place."))
        )
        .children(groups)
}

fn group(app: App, kind: PartKind, title: &str) -> El {
    let ids = move || {
        app.document.with(|package| {
            let wanted = package.parts.iter().filter(|part| part.kind == kind);
            wanted.map(|part| part.id.to_string()).collect::<Vec<String>>()
        })
    };
    let id = format!("parts-{}", title.split(' ').next().unwrap_or_default().to_lowercase());
    let none = move || app.document.with(|package| !package.parts.iter().any(|part| part.kind == kind));
    el("section")
        .class("sheet")
        .attr("aria-labelledby", &id)
        .hidden(none)
        .child(el("h2").class("sheet__title").attr("id", &id).words(title))
        .child(div("list").each(ids, move |id| row(app, id.parse().unwrap_or_default())))
}

fn row(app: App, id: PartId) -> El {
    let name = move || find(app, id, |_, part| part.name.clone());
    let state = move || find(app, id, |package, part| state_words(app, package, part));
    let now = move || app.document.with(|package| part_of(package, id).is_some_and(|part| part.on));
    let label = app.document.now(|package| part_of(package, id).map(|part| part.name.clone()).unwrap_or_default());
    let off = move || app.document.with(|package| part_of(package, id).is_some_and(|part| !package.rides(part)));
    div("list__item")
        .live_class("list__item--off", off)
        .child(
            el("a")
                .class("list__link")
                .attr("href", &Screen::Part(id).hash())
                .test(&format!("part-{id}"))
                .child(span("list__name").live_words(name))
                .child(span("list__detail").live_words(state)),
        )
        .child(
            switch("On", &format!("part-{id}-on"), now, move |on| {
                app.document.edit(|package| {
                    if let Some(part) = package.parts.iter_mut().find(|part| part.id == id) {
                        part.on = on;
                    }
                });
            })
            .attr("title", &label),
        )
}

fn find(app: App, id: PartId, read: impl FnOnce(&Package, &Part) -> String) -> String {
    app.document.with(|package| part_of(package, id).map(|part| read(package, part)).unwrap_or_default())
}

fn part_of(package: &Package, id: PartId) -> Option<&Part> {
    package.parts.iter().find(|part| part.id == id)
}

fn state_words(app: App, package: &Package, part: &Part) -> String {
    let mass = match &part.mass {
        PartMass::Own(mass) => app.style().show(Kind::Mass, mass.kg),
        PartMass::Share { fraction } => format!("{} of the camera side", app.style().show(Kind::Share, *fraction)),
    };
    let rides = match (package.rides(part), part.on) {
        (true, false) => ", on with this lens",
        (false, true) => ", but off with this lens",
        (false, false) => ", off",
        (true, true) => "",
    };
    let known = match &part.mass {
        PartMass::Own(mass) => format!(", {}", word(MASS_SOURCES, &mass.from).to_lowercase()),
        PartMass::Share { .. } => String::new(),
    };
    // Only rods have a length to fall short of; asking for every part would solve the package once for each.
    let short = (part.kind == PartKind::Rods).then(|| rod_length(package, part.id)).flatten().filter(RodLength::short);
    let short = short.map_or_else(String::new, |length| {
        format!(", {} too short", app.style().show(Kind::Length, length.needed_m - length.length_m))
    });
    format!("{mass}{known}{rides}{short}")
}
