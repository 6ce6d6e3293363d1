//! The first step: name, axes in their order, camera masses.

use leptos::prelude::*;
use solver::bounds::PAYLOAD_KG;
use solver::own_head::{AxisKind, begin};

use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::head::put_on;
use crate::screens::reading::reading;
use crate::screens::shared::{button, section};
use crate::show::Kind;
use crate::ui::choice::select;
use crate::ui::text::name_field;

/// What a head is called until somebody says better.
const NAME: &str = "My head";
/// The three questions, platform first.
const PLACES: [(&str, &str); 3] = [
    ("Next to the platform it turns in", "own-axis-1"),
    ("Inside of that", "own-axis-2"),
    ("Inside of that, next to the camera", "own-axis-3"),
];

/// The first step.
pub(super) fn view(app: App) -> El {
    // The usual order of a hung head, until it is chosen otherwise.
    let order = PLACES.map(|_| RwSignal::new(None::<AxisKind>));
    for (axis, kind) in order.iter().zip(AxisKind::ALL) {
        axis.set(Some(kind));
    }
    let least = reading("Lightest camera", Kind::Mass, &PAYLOAD_KG, "own-least").usual(6.0);
    let most = reading("Heaviest camera", Kind::Mass, &PAYLOAD_KG, "own-most").usual(18.0);
    let own = move || app.document.with(super::is_own);
    let questions = PLACES.into_iter().zip(order).map(|((label, test), axis)| {
        let options = |_: &solver::Package| {
            let mut options = vec![(String::new(), "nothing more".to_owned())];
            options.extend(AxisKind::ALL.map(|kind| (kind.id().to_owned(), kind.name().to_owned())));
            options
        };
        select(
            app,
            label,
            test,
            options,
            move |_| axis.get().map_or("", AxisKind::id).to_owned(),
            move |_, id| axis.set(AxisKind::ALL.into_iter().find(|kind| kind.id() == id)),
        )
    });
    let start = button("own-begin", "Begin with these axes", move || {
        let chosen: Vec<AxisKind> = order.iter().filter_map(|axis| axis.get_untracked()).collect();
        let payload_kg = untrack(|| least.get().zip(most.get())).map_or([6.0, 18.0], |(a, b)| [a.min(b), a.max(b)]);
        app.document.edit(|package| {
            let name = if super::is_own(package) { package.head.name.clone() } else { NAME.to_owned() };
            let mut head = begin(&name, &chosen, payload_kg);
            // What feeds the parts stays as it is wired: taps are no matter of balance.
            (head.taps, head.tap_groups) = (package.head.taps.clone(), package.head.tap_groups.clone());
            put_on(package, &head);
        });
    })
    .class("button--main");
    section("own-begin-title", "1. Axes and camera masses")
        .child(p("quiet", "At hand: a tape, a spring gauge, and the head's data sheet. Everything that is not told stays typical."))
        .children(questions)
        .child(div("fields").child(least.view(app)).child(most.view(app)))
        .child(start)
        .child(p("quiet", "It takes the place of the head that is on, and of its logged balances. Undo, at the top, brings both back."))
        .child(
            div("own-name")
                .hidden(move || !own())
                .child(name_field(app, "Name of the head", "own-name", |package| package.head.name.clone(), |package, name| package.head.name = name)),
        )
}
