//! Parts to add: the person's own kit first, then the typical ones by kind; found by typing or by kind.

use std::rc::Rc;

use codec::library;
use leptos::prelude::*;
use solver::bounds::MAX_PARTS;
use solver::entering::{OwnKit, put_part};
use solver::package::{Part, PartKind, PartMass};

use super::kit::{self, count_of, part_names};
use crate::app::App;
use crate::browser::event_value;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::choice::radios;
use crate::words::{MASS_SOURCES, PART_KINDS, word};

/// What the person looks for.
#[derive(Clone, Copy)]
struct Wanted {
    words: RwSignal<String>,
    kind: RwSignal<Option<PartKind>>,
}

impl Wanted {
    fn matches(self, part: &Part) -> bool {
        let kind = self.kind.get().is_none_or(|kind| kind == part.kind);
        kind && self.words.with(|words| words.split_whitespace().all(|word| part.name.to_lowercase().contains(word)))
    }
}

/// The person's own kit and the library of typical parts.
pub(crate) fn view(app: App) -> El {
    let wanted = Wanted { words: RwSignal::new(String::new()), kind: RwSignal::new(None) };
    let added = RwSignal::new(String::new());
    let kit = kit::load(app);
    let groups = PART_KINDS.iter().map(move |(kind, title)| {
        let rows: Vec<&'static Part> = library::parts().iter().filter(|part| part.kind == *kind).collect();
        let shown = {
            let rows = rows.clone();
            move || rows.iter().any(|part| wanted.matches(part))
        };
        let id = format!("add-{}", title.split(' ').next().unwrap_or_default().to_lowercase());
        let rows = rows.into_iter().map(move |part| {
            row(app, part.clone(), &format!("add-part-{}", part.id), added).hidden(move || !wanted.matches(part))
        });
        group(&id, title).hidden(move || !shown()).child(div("list").children(rows))
    });
    let nothing = move || {
        !library::parts().iter().any(|part| wanted.matches(part))
            && kit.with(|kit| !kit.parts.iter().any(|part| wanted.matches(part)))
    };
    div("screen")
        .child(search(wanted))
        .child(own(app, kit, wanted, added))
        .child(
            p("quiet", "Below are invented, typical figures: weigh your own and put the figure in.")
                .attr("role", "note"),
        )
        .children(groups)
        .child(
            p("quiet", "Nothing is called that. Add the nearest and give it your own name and figures.")
                .hidden(move || !nothing()),
        )
        .child(foot(added))
}

fn search(wanted: Wanted) -> El {
    let field = div("field").child(el("label").class("field__label").attr("for", "f-find").words("Find a part")).child(
        el("input")
            .class("field__text")
            .attr("id", "f-find")
            .attr("type", "search")
            .attr("autocomplete", "off")
            .attr("enterkeyhint", "search")
            .test("find-part")
            .on("input", move |event| wanted.words.set(event_value(&event).to_lowercase())),
    );
    let words = std::iter::once("All kinds").chain(PART_KINDS.iter().map(|(_, title)| *title)).collect();
    let now = move || {
        let kind = wanted.kind.get();
        Some(kind.and_then(|kind| PART_KINDS.iter().position(|(known, _)| *known == kind)).map_or(0, |at| at + 1))
    };
    let take = move |choice: usize| {
        wanted.kind.set(choice.checked_sub(1).and_then(|at| PART_KINDS.get(at)).map(|(kind, _)| *kind));
    };
    let kinds = radios("Kind", "add-kind", words, Rc::new(now), Rc::new(take)).class("chips--scroll");
    div("find").child(field).child(kinds)
}

fn group(id: &str, title: &str) -> El {
    el("section")
        .class("sheet")
        .attr("aria-labelledby", id)
        .child(el("h2").class("sheet__title").attr("id", id).words(title))
}

/// What the person has weighed before, with the measured figures.
fn own(app: App, kit: RwSignal<OwnKit>, wanted: Wanted, added: RwSignal<String>) -> El {
    let names = move || {
        let wanted = |kit: &OwnKit| {
            kit.parts.iter().filter(|part| wanted.matches(part)).map(|part| part.name.clone()).collect::<Vec<String>>()
        };
        kit.with(wanted)
    };
    let any = move || kit.with(|kit| !kit.parts.is_empty());
    let entry = move |name: &str| {
        let part = kit.with_untracked(|kit| kit.parts.iter().find(|part| part.name == name).cloned());
        part.map_or_else(|| div("list__item"), |part| row(app, part, &format!("own-part-{name}"), added))
    };
    group("add-own", "Your own kit")
        .class("sheet--own")
        .test("own-kit")
        .child(
            p("quiet", "Empty so far. What you weigh, in any package on this device, is kept here with its mass.")
                .hidden(any),
        )
        .child(div("list").each(names, entry))
}

fn row(app: App, part: Part, test: &str, added: RwSignal<String>) -> El {
    let mass = part.mass.clone();
    let detail = move || match &mass {
        PartMass::Own(mass) if mass.from.is_weighed() => {
            format!("{} · {}", app.style().show(Kind::Mass, mass.kg), word(MASS_SOURCES, &mass.from).to_lowercase())
        }
        PartMass::Own(mass) => app.style().show(Kind::Mass, mass.kg),
        PartMass::Share { fraction } => format!("{} of the camera side", app.style().show(Kind::Share, *fraction)),
    };
    let name = part.name.clone();
    let count = move || match app.document.with(|package| count_of(&name, part_names(package))) {
        0 => String::new(),
        count => format!("{count} on the list"),
    };
    let name = part.name.clone();
    el("button")
        .class("list__add")
        .attr("type", "button")
        .test(test)
        .live_flag("disabled", move || app.document.with(|package| package.parts.len() >= MAX_PARTS))
        .press(move || {
            app.document.edit(|package| {
                put_part(package, &part);
            });
            let count = app.document.now(|package| count_of(&part.name, part_names(package)));
            added.set(if count > 1 {
                format!("{} added: {count}.", part.name)
            } else {
                format!("{} added.", part.name)
            });
        })
        .child(span("list__name").words(&name))
        .child(
            span("list__side")
                .child(span("list__detail").live_words(detail))
                .child(span("list__count").live_words(count)),
        )
}

/// Always in reach of the thumb: what was added, and where to go from here.
fn foot(added: RwSignal<String>) -> El {
    let link = |screen: Screen, test: &str, words: &str| {
        el("a").class("button").attr("href", &screen.hash()).test(test).words(words)
    };
    div("foot")
        .child(p("added", "").attr("role", "status").test("added").live_words(move || added.get()))
        .child(link(Screen::WeighIn, "add-weigh", "Weigh in"))
        .child(link(Screen::Parts, "add-done", "Done").class("button--main"))
}
