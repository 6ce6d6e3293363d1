//! Breaks between moves: how long, and what head and packs do meanwhile.

use solver::Package;
use solver::bounds;
use solver::package::{Break, BreakKind, Move, MoveId};

use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::show::{Kind, Style};
use crate::ui::choice::{chips, switch};
use crate::ui::number::number;

/// A break to begin with: an hour with everything off.
const USUAL: Break = Break { length_min: 60.0, kind: BreakKind::Off };

const KINDS: &[(BreakKind, &str)] = &[
    (BreakKind::Off, "Off, packs rest"),
    (BreakKind::Charging, "Off, packs on the charger"),
    (BreakKind::HeadOn, "Head stays on"),
];

/// A line for every place between two moves.
pub(super) fn view(app: App) -> El {
    let ids = move || app.document.with(|package| places(package).map(|each| each.id.to_string()).collect());
    div("")
        .child(el("h3").words("Breaks"))
        .child(div("rows").each(ids, move |id| one(app, id.parse().unwrap_or_default())))
}

/// The moves after which a break can be: all but the last, and the last where there is one already.
fn places(package: &Package) -> impl Iterator<Item = &Move> {
    let last = package.moves.len().saturating_sub(1);
    package
        .moves
        .iter()
        .enumerate()
        .filter(move |(place, each)| *place < last || each.break_after.is_some())
        .map(|(_, each)| each)
}

fn move_of(package: &Package, id: MoveId) -> Option<&Move> {
    package.moves.iter().find(|each| each.id == id)
}

fn break_of(package: &Package, id: MoveId) -> Option<Break> {
    move_of(package, id)?.break_after
}

fn change(package: &mut Package, id: MoveId, change: impl FnOnce(&mut Option<Break>)) {
    if let Some(each) = package.moves.iter_mut().find(|each| each.id == id) {
        change(&mut each.break_after);
    }
}

/// A break in words.
pub(super) fn words(style: Style, each: Break) -> String {
    format!("{}\u{a0}min, {}", style.plain(each.length_min, 0), each.kind.words())
}

fn one(app: App, id: MoveId) -> El {
    let name = move || {
        let name = |package: &Package| move_of(package, id).map(|each| format!("After {}", each.name));
        app.document.with(name).unwrap_or_default()
    };
    let value = move || {
        let style = app.style();
        app.document
            .with(|package| break_of(package, id))
            .map_or_else(|| "no break".to_owned(), |each| words(style, each))
    };
    let is = move || app.document.with(|package| break_of(package, id).is_some());
    let put = move |on: bool| {
        app.document.edit(|package| change(package, id, |each| *each = on.then_some(USUAL)));
    };
    let length = number(
        "How long",
        Kind::Plain,
        &bounds::BREAK_MIN,
        format!("break-{id}-length"),
        move |package| break_of(package, id).map(|each| each.length_min),
        move |package, min| {
            change(package, id, |each| {
                each.get_or_insert(USUAL).length_min = min;
            });
        },
    )
    .unit("min");
    let kind = chips(
        app,
        "Meanwhile",
        &format!("break-{id}-kind"),
        KINDS,
        move |package| break_of(package, id).map(|each| each.kind),
        move |package, kind| {
            change(package, id, |each| {
                each.get_or_insert(USUAL).kind = kind;
            });
        },
    );
    let fields = div("")
        .child(div("fields").child(length.view(app)))
        .child(kind)
        .child(p("quiet", "Packs on the charger take the places that are free, the emptiest first. What came off before keeps its place."))
        .hidden(move || !is());
    let head = el("summary")
        .class("row__summary")
        .child(span("row__name").live_words(name))
        .child(span("row__value").live_words(value));
    let inside = div("row__inside").child(switch("A break here", &format!("break-{id}"), is, put)).child(fields);
    el("details").class("row").test(&format!("break-more-{id}")).child(head).child(inside)
}
