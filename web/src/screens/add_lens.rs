//! Lenses to add: the person's own kit first, then the typical ones.

use codec::library;
use leptos::prelude::*;
use solver::bounds::MAX_LENSES;
use solver::entering::{OwnKit, put_lens};
use solver::package::Lens;

use super::kit::{self, count_of};
use super::shared::section;
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::words::{MASS_SOURCES, word};

/// The person's own lenses and the library of typical ones.
pub(crate) fn view(app: App) -> El {
    let added = RwSignal::new(String::new());
    let kit = kit::load(app);
    let rows =
        library::lenses().iter().map(move |lens| row(app, lens.clone(), &format!("add-lens-{}", lens.id), added));
    let link = |screen: Screen, test: &str, words: &str| {
        el("a").class("button").attr("href", &screen.hash()).test(test).words(words)
    };
    div("screen")
        .child(own(app, kit, added))
        .child(
            section("lenses-add", "Typical lenses")
                .child(
                    p("quiet", "Invented, typical figures: weigh your own and put the figure in.").attr("role", "note"),
                )
                .child(div("list").children(rows)),
        )
        .child(
            div("foot")
                .child(p("added", "").attr("role", "status").test("added").live_words(move || added.get()))
                .child(link(Screen::WeighIn, "add-lens-weigh", "Weigh in"))
                .child(link(Screen::Lenses, "add-lens-done", "Done").class("button--main")),
        )
}

/// What the person has weighed before, with the measured figures.
fn own(app: App, kit: RwSignal<OwnKit>, added: RwSignal<String>) -> El {
    let names = move || kit.with(|kit| kit.lenses.iter().map(|lens| lens.name.clone()).collect());
    let any = move || kit.with(|kit| !kit.lenses.is_empty());
    let entry = move |name: &str| {
        let lens = kit.with_untracked(|kit| kit.lenses.iter().find(|lens| lens.name == name).cloned());
        lens.map_or_else(|| div("list__item"), |lens| row(app, lens, &format!("own-lens-{name}"), added))
    };
    section("lenses-own", "Your own kit")
        .class("sheet--own")
        .test("own-lenses")
        .child(
            p(
                "quiet",
                "Empty so far. A lens that you weigh, in any package on this device, is kept here with its mass.",
            )
            .hidden(any),
        )
        .child(div("list").each(names, entry))
}

fn row(app: App, lens: Lens, test: &str, added: RwSignal<String>) -> El {
    let full = move || app.document.with(|package| package.lenses.len() >= MAX_LENSES);
    let (mass, length_m) = (lens.mass.clone(), lens.length_m);
    let detail = move || {
        let style = app.style();
        let weighed = if mass.from.is_weighed() {
            format!(" · {}", word(MASS_SOURCES, &mass.from).to_lowercase())
        } else {
            String::new()
        };
        format!("{} · {} long{weighed}", style.show(Kind::Mass, mass.kg), style.show(Kind::Length, length_m))
    };
    let name = lens.name.clone();
    let count = move || {
        let count = app.document.with(|package| count_of(&name, package.lenses.iter().map(|lens| lens.name.as_str())));
        if count > 0 { format!("{count} in the set") } else { String::new() }
    };
    let name = lens.name.clone();
    el("button")
        .class("list__add")
        .attr("type", "button")
        .test(test)
        .live_flag("disabled", full)
        .press(move || {
            app.document.edit(|package| {
                put_lens(package, &lens);
            });
            let count = app.document.now(|package| package.lenses.len());
            added.set(format!("{} added: {count} in the set.", lens.name));
        })
        .child(span("list__name").words(&name))
        .child(
            span("list__side")
                .child(span("list__detail").live_words(detail))
                .child(span("list__count").live_words(count)),
        )
}
