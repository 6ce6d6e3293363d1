//! Weighing in: the mass of everything on the list, one under the other, as it comes off the scale.
//!
//! How the masses are known is said once, above; a number that is typed is known that way from then on. The enter key
//! goes from field to field, so that a whole package is typed without touching the screen in between.

use std::rc::Rc;

use leptos::prelude::*;
use solver::Package;
use solver::bounds;
use solver::package::{LensId, Mass, MassSource, PartId, PartMass};
use wasm_bindgen::JsCast;
use web_sys::{HtmlElement, KeyboardEvent};

use super::shared::{back, section};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::choice::radios;
use crate::ui::number::number;
use crate::words::{MASS_SOURCES, word};

/// Ways to know a mass that is being typed.
const SOURCES: [MassSource; 3] = [MassSource::BenchScale, MassSource::LuggageScale, MassSource::DataSheet];

/// What has a mass of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Item {
    Part(PartId),
    Lens(LensId),
}

impl Item {
    fn mass(self, package: &Package) -> Option<&Mass> {
        match self {
            Self::Part(id) => match &package.parts.iter().find(|part| part.id == id)?.mass {
                PartMass::Own(mass) => Some(mass),
                PartMass::Share { .. } => None,
            },
            Self::Lens(id) => package.lenses.iter().find(|lens| lens.id == id).map(|lens| &lens.mass),
        }
    }

    fn change(self, package: &mut Package, change: impl FnOnce(&mut Mass)) {
        let mass = match self {
            Self::Part(id) => {
                package.parts.iter_mut().find(|part| part.id == id).and_then(|part| match &mut part.mass {
                    PartMass::Own(mass) => Some(mass),
                    PartMass::Share { .. } => None,
                })
            }
            Self::Lens(id) => package.lenses.iter_mut().find(|lens| lens.id == id).map(|lens| &mut lens.mass),
        };
        if let Some(mass) = mass {
            change(mass);
        }
    }

    fn name(self, package: &Package) -> String {
        let name = match self {
            Self::Part(id) => package.parts.iter().find(|part| part.id == id).map(|part| &part.name),
            Self::Lens(id) => package.lenses.iter().find(|lens| lens.id == id).map(|lens| &lens.name),
        };
        name.cloned().unwrap_or_default()
    }
}

/// The masses.
pub(crate) fn view(app: App) -> El {
    let source = RwSignal::new(MassSource::BenchScale);
    let lenses = move || app.document.with(|package| package.lenses.iter().map(|lens| lens.id.to_string()).collect());
    let parts = move || {
        app.document.with(|package| {
            let weighed = package.parts.iter().filter(|part| matches!(part.mass, PartMass::Own(_)));
            weighed.map(|part| part.id.to_string()).collect()
        })
    };
    let none = move || app.document.with(|package| package.parts.is_empty() && package.lenses.is_empty());
    div("screen")
        .child(back(Screen::Parts, "weigh-done", "All parts"))
        .child(how(source))
        .child(
            section("weigh-list", "Masses")
                .child(
                    p("quiet", "Type what the scale says, then enter: the next field is ready. Units may be typed too, as 2.3 lb.")
                        .hidden(none),
                )
                .child(p("quiet", "Nothing to weigh yet: add parts or a lens first.").hidden(move || !none()))
                .child(
                    div("weigh")
                        .on("keydown", |event| next_field(&event))
                        .child(div("weigh__list").each(parts, move |id| {
                            row(app, source, Item::Part(id.parse().unwrap_or_default()), &format!("weigh-part-{id}"))
                        }))
                        .child(div("weigh__list").each(lenses, move |id| {
                            row(app, source, Item::Lens(id.parse().unwrap_or_default()), &format!("weigh-lens-{id}"))
                        })),
                ),
        )
        .child(
            div("buttons")
                .child(
                    el("a")
                        .class("button button--main")
                        .attr("href", &Screen::Answers.hash())
                        .test("weigh-answers")
                        .words("To the answers"),
                )
                .child(
                    el("a")
                        .class("button")
                        .attr("href", &Screen::Logs.hash())
                        .test("weigh-whole")
                        .words("The camera weighed whole"),
                ),
        )
}

fn how(source: RwSignal<MassSource>) -> El {
    let now = move || SOURCES.iter().position(|known| *known == source.get());
    let take = move |choice: usize| {
        if let Some(chosen) = SOURCES.get(choice) {
            source.set(*chosen);
        }
    };
    let words = SOURCES.iter().map(|known| word(MASS_SOURCES, known)).collect();
    section("weigh-how", "How you know them").child(radios(
        "What is typed below comes from",
        "weigh-from",
        words,
        Rc::new(now),
        Rc::new(take),
    ))
}

fn row(app: App, source: RwSignal<MassSource>, item: Item, test: &str) -> El {
    let typed = move |package: &mut Package, kg: f64| {
        let from = source.get_untracked();
        item.change(package, |mass| *mass = Mass { kg, from, u_kg: None });
    };
    let name = app.document.now(|package| item.name(package));
    let field = number(
        name.clone(),
        Kind::Mass,
        &bounds::MASS_KG,
        test,
        move |package| item.mass(package).map(|mass| mass.kg),
        typed,
    );
    let known =
        move || app.document.with(|package| item.mass(package).map(|mass| (mass.from, mass.standard_uncertainty_kg())));
    let words = move || {
        let style = app.style();
        let u = |u_kg: f64| format!("{}\u{a0}{}", style.mass_plus_minus(u_kg), style.unit(Kind::Mass));
        known().map(|(from, u_kg)| (word(MASS_SOURCES, &from), u(u_kg))).unwrap_or_default()
    };
    let take = move || {
        let from = source.get_untracked();
        app.document.edit(|package| item.change(package, |mass| (mass.from, mass.u_kg) = (from, None)));
    };
    let button = el("button")
        .class("weigh__from")
        .attr("type", "button")
        .test(&format!("{test}-from"))
        .live_class("weigh__from--typical", move || known().is_some_and(|(from, _)| from == MassSource::Typical))
        .press(take)
        .child(span("weigh__source").live_words(move || words().0.to_owned()))
        .child(span("weigh__u").live_words(move || words().1))
        .child(span("unseen").words(&format!(", {name}: take it as known the way chosen above")));
    div("weigh__row").child(field.view(app)).child(button)
}

/// The enter key goes on to the next field of the list.
fn next_field(event: &web_sys::Event) {
    let Some(key) = event.dyn_ref::<KeyboardEvent>() else { return };
    if key.key() != "Enter" {
        return;
    }
    let here = event.target().and_then(|target| target.dyn_into::<web_sys::Element>().ok());
    let list = here.as_ref().and_then(|field| field.closest(".weigh").ok().flatten());
    let (Some(here), Some(list)) = (here, list) else { return };
    let Ok(fields) = list.query_selector_all("input") else { return };
    let at = (0..fields.length()).find(|index| fields.get(*index).is_some_and(|field| field == *here.as_ref()));
    let next = at.and_then(|at| fields.get(at + 1)).and_then(|field| field.dyn_into::<HtmlElement>().ok());
    // After the last field the keypad goes away.
    let moved = match next {
        Some(next) => next.focus(),
        None => here.dyn_into::<HtmlElement>().map_or(Ok(()), |field| field.blur()),
    };
    drop(moved);
}
