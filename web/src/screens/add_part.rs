//! Typical parts to add from, found by typing.

use codec::library;
use leptos::prelude::*;
use solver::Package;
use solver::package::{Part, PartMass};

use crate::app::App;
use crate::browser::event_value;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::words::PART_KINDS;

/// The library of typical parts.
pub(crate) fn view(app: App) -> El {
    let wanted = RwSignal::new(String::new());
    let added = RwSignal::new(String::new());
    let groups = PART_KINDS.iter().map(move |(kind, title)| {
        let rows: Vec<&'static Part> = library::parts().iter().filter(|part| part.kind == *kind).collect();
        let id = format!("add-{}", title.split(' ').next().unwrap_or_default().to_lowercase());
        let shown = {
            let rows = rows.clone();
            move || wanted.with(|wanted| rows.iter().any(|part| matches(part, wanted)))
        };
        el("section")
            .class("sheet")
            .attr("aria-labelledby", &id)
            .hidden(move || !shown())
            .child(el("h2").class("sheet__title").attr("id", &id).words(title))
            .child(div("list").children(rows.into_iter().map(move |part| row(app, part, wanted, added))))
    });
    div("screen")
        .child(
            div("field").child(el("label").class("field__label").attr("for", "f-find").words("Find a part")).child(
                el("input")
                    .class("field__text")
                    .attr("id", "f-find")
                    .attr("type", "search")
                    .attr("autocomplete", "off")
                    .test("find-part")
                    .on("input", move |event| wanted.set(event_value(&event).to_lowercase())),
            ),
        )
        .child(p("quiet", "Invented, typical figures: weigh your own and put the figure in.").attr("role", "note"))
        .child(p("added", "").attr("role", "status").test("added").live_words(move || added.get()))
        .children(groups)
        .child(el("a").class("button button--main").attr("href", &Screen::Parts.hash()).test("add-done").words("Done"))
}

fn matches(part: &Part, wanted: &str) -> bool {
    part.name.to_lowercase().contains(wanted.trim())
}

fn row(app: App, part: &'static Part, wanted: RwSignal<String>, added: RwSignal<String>) -> El {
    let detail = move || match &part.mass {
        PartMass::Own(mass) => app.style().show(Kind::Mass, mass.kg),
        PartMass::Share { fraction } => format!("{} of the camera side", app.style().show(Kind::Share, *fraction)),
    };
    el("button")
        .class("list__add")
        .attr("type", "button")
        .test(&format!("add-part-{}", part.id))
        .hidden(move || wanted.with(|wanted| !matches(part, wanted)))
        .press(move || {
            app.document.edit(|package| put(package, part));
            let count = app.document.now(|package| package.parts.iter().filter(|each| each.kind == part.kind).count());
            added.set(format!("{} added: {count} of its kind on the list.", part.name));
        })
        .child(span("list__name").words(&part.name))
        .child(span("list__detail").live_words(detail))
}

/// Adds a part of the library. It rides where the head has such a place, at the camera otherwise, and takes the tap
/// of the least use that its voltage allows.
pub(crate) fn put(package: &mut Package, typical: &Part) {
    let mut part = typical.clone();
    part.id = next_id(package);
    part.on = true;
    let head = &package.head;
    if !head.places().any(|place| place.id == part.at.place) {
        let wanted = head.places().find(|place| place.camera == part.pack.is_none()).or_else(|| head.places().next());
        part.at.place = wanted.map(|place| place.id.clone()).unwrap_or_default();
    }
    if let Some(load) = &mut part.load {
        load.tap = None;
    }
    let twins = package.parts.iter().filter(|each| each.name.starts_with(&part.name)).count();
    if twins > 0 {
        part.name = format!("{} {}", part.name, twins + 1);
    }
    wire(package, &mut part);
    package.parts.push(part);
}

/// The first tap with room for the part's peak that its voltage window accepts.
fn wire(package: &Package, part: &mut Part) {
    let Some(load) = &mut part.load else { return };
    let fits = solver::power::tap_uses(package).into_iter().find(|tap| {
        let row = &tap.report;
        let volts = package.head.taps.iter().find(|known| known.id == row.tap).and_then(|known| match known.voltage {
            solver::package::TapVoltage::Regulated { volts } => Some(volts),
            solver::package::TapVoltage::FollowsPack => None,
        });
        volts.is_some_and(|volts| {
            load.window_v.is_none_or(|[low, high]| (low..=high).contains(&volts))
                && row.peak_a + load.peak_w / volts <= row.limit_a
        })
    });
    load.tap = fits.map(|tap| tap.report.tap);
}

/// An id that no part of the package has.
pub(crate) fn next_id(package: &Package) -> u32 {
    package.parts.iter().map(|part| part.id).max().unwrap_or(0) + 1
}
