//! What every lens change costs: from one lens to each other, the quickest first, and the minutes of all of them.

use leptos::prelude::*;
use solver::lens_set::change::{ChangeTable, LensChange, change_table, lens_changes};
use solver::package::LensId;

use super::{arithmetic, chance, fault, folded, minutes, opens, short_words, step_minutes, work};
use crate::app::App;
use crate::browser::event_value;
use crate::dom::{El, div, el, p};
use crate::route::Screen;
use crate::screens::shared::{back, link, section};
use crate::show::Style;
use crate::ui::choice::listed;
use crate::words::HOLD_THE_CAMERA;

/// The value of the choice for no lens at all.
const NONE: &str = "none";

/// The screen.
pub(crate) fn view(app: App) -> El {
    let from = RwSignal::new(app.document.now(|package| package.active_lens));
    let found = Memo::new(move |_| {
        // A lens that has gone since counts as none.
        let from = from.get();
        app.document.with(|package| {
            let from = from.filter(|id| package.lenses.iter().any(|lens| lens.id == *id));
            lens_changes(package, from).ok()
        })
    });
    let rows = move || {
        let style = app.style();
        found.with(|found| match found {
            Some(changes) if changes.is_empty() => vec![p("quiet", "No other lens in the set.")],
            Some(changes) => changes.iter().map(|change| row(style, change)).collect(),
            None => fault(),
        })
    };
    div("screen")
        .child(back(Screen::Lenses, "to-lenses", "All lenses"))
        .child(
            section("changes-from", "What a lens change costs")
                .child(p("caution", HOLD_THE_CAMERA))
                .child(choice(app, from))
                .child(div("rows").test("changes").live(rows))
                .child(div("rows").child(step_minutes::view(app))),
        )
        .child(all(app))
        .child(section("changes-more", "Many lenses, no changes").child(link(
            Screen::CommonMarks,
            "to-common",
            "One set of marks for many lenses",
        )))
}

fn choice(app: App, from: RwSignal<Option<LensId>>) -> El {
    let options = move || {
        let now = from.get().map_or_else(|| NONE.to_owned(), |id| id.to_string());
        let lenses: Vec<(String, String)> = app.document.with(|package| {
            let on = |id| if package.active_lens == Some(id) { " (on)" } else { "" };
            package.lenses.iter().map(|lens| (lens.id.to_string(), format!("{}{}", lens.name, on(lens.id)))).collect()
        });
        let none = (NONE.to_owned(), "No lens".to_owned());
        (lenses.into_iter().chain([none]).collect(), now)
    };
    let select = el("select").class("field__select").attr("id", "f-change-from").test("change-from");
    let select = listed(select, options).on("change", move |event| from.set(event_value(&event).parse().ok()));
    div("field").child(el("label").class("field__label").attr("for", "f-change-from").words("From")).child(select)
}

fn row(style: Style, change: &LensChange) -> El {
    let id = change.to;
    let value = format!("{}: {}", minutes(style, change.minutes), short_words(style, change));
    let mut inside = work(style, change);
    inside.extend(chance(style, change));
    inside.push(arithmetic(style, "Minutes", &minutes(style, change.minutes), &change.arithmetic));
    inside.push(div("buttons").child(link(Screen::LensPreview(id), &format!("change-preview-{id}"), "Preview it")));
    opens(&change.name, &value, inside).test(&format!("change-{id}")).attr("data-value", &format!("{}", change.minutes))
}

/// Minutes of every change, worked out when somebody looks.
fn all(app: App) -> El {
    let opened = RwSignal::new(false);
    let table = move || {
        if !opened.get() {
            return Vec::new();
        }
        let style = app.style();
        app.document.with(change_table).map_or_else(|_| fault(), |found| vec![every(style, &found)])
    };
    let scrolled = div("prep__scroll")
        .attr("role", "region")
        .attr("tabindex", "0")
        .attr("aria-label", "Minutes of every lens change")
        .live(table);
    let fold = folded("Minutes from each lens to each other", opened, div("").child(scrolled)).test("changes-all");
    section("changes-every", "Every change").child(div("rows").child(fold))
}

fn every(style: Style, found: &ChangeTable) -> El {
    let heads = std::iter::once("From, down; to, across").chain(found.names.iter().map(String::as_str));
    let head = el("tr").children(heads.map(|head| el("th").attr("scope", "col").words(head)));
    let rows = found.names.iter().zip(&found.minutes).map(|(name, row)| {
        let cells = row.iter().map(|min| {
            let words = min.map_or_else(|| "–".to_owned(), |min| style.plain(min, usize::from(min.fract() > 0.0)));
            el("td").words(&words)
        });
        el("tr").child(el("th").attr("scope", "row").words(name)).children(cells)
    });
    el("table")
        .class("prep__table")
        .test("change-table")
        .child(el("caption").class("unseen").words("Minutes of every lens change"))
        .child(el("thead").child(head))
        .child(el("tbody").children(rows))
}
