//! Typical lenses to add from.

use codec::library;
use leptos::prelude::*;
use solver::Package;
use solver::bounds::MAX_LENSES;
use solver::package::Lens;

use super::shared::{free_id, section};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;

/// The library of typical lenses.
pub(crate) fn view(app: App) -> El {
    let added = RwSignal::new(String::new());
    let rows = library::lenses().iter().map(move |lens| row(app, lens, added));
    div("screen")
        .child(
            section("lenses-add", "Typical lenses")
                .child(
                    p("quiet", "Invented, typical figures: weigh your own and put the figure in.").attr("role", "note"),
                )
                .child(p("added", "").attr("role", "status").test("added").live_words(move || added.get()))
                .child(div("list").children(rows)),
        )
        .child(
            el("a")
                .class("button button--main")
                .attr("href", &Screen::Lenses.hash())
                .test("add-lens-done")
                .words("Done"),
        )
}

fn row(app: App, lens: &'static Lens, added: RwSignal<String>) -> El {
    let full = move || app.document.with(|package| package.lenses.len() >= MAX_LENSES);
    let detail = move || {
        let style = app.style();
        let [mass, length] = [style.show(Kind::Mass, lens.mass.kg), style.show(Kind::Length, lens.length_m)];
        format!("{mass} · {length} long")
    };
    el("button")
        .class("list__add")
        .attr("type", "button")
        .test(&format!("add-lens-{}", lens.id))
        .live_flag("disabled", full)
        .press(move || {
            app.document.edit(|package| put(package, lens));
            let count = app.document.now(|package| package.lenses.len());
            added.set(format!("{} added: {count} in the set.", lens.name));
        })
        .child(span("list__name").words(&lens.name))
        .child(span("list__detail").live_words(detail))
}

/// Adds a lens of the library. The first of a set goes on. What it brings or leaves off names parts of the library,
/// which this package numbers in its own way.
fn put(package: &mut Package, typical: &Lens) {
    let mut lens = typical.clone();
    lens.id = free_id(package.lenses.iter().map(|known| known.id));
    lens.brings.clear();
    lens.leaves_off.clear();
    let twins = package.lenses.iter().filter(|known| known.name.starts_with(&lens.name)).count();
    if twins > 0 {
        lens.name = format!("{} {}", lens.name, twins + 1);
    }
    if package.lenses.is_empty() {
        package.active_lens = Some(lens.id);
    }
    package.lenses.push(lens);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_typical_lens_can_be_added_twice() {
        let mut package = codec::library::demo();
        let count = package.lenses.len();
        for lens in library::lenses().iter().chain(library::lenses()) {
            put(&mut package, lens);
        }
        assert_eq!(package.lenses.len(), count + 2 * library::lenses().len());
        assert!(solver::check(&package).is_ok());
    }

    #[test]
    fn the_first_lens_of_a_set_goes_on() {
        let mut package = codec::library::demo();
        package.lenses.clear();
        package.active_lens = None;
        put(&mut package, &library::lenses()[1]);
        assert_eq!(package.active_lens, Some(package.lenses[0].id));
    }
}
