//! Two windows have changed one package: what differs, and which to go on with.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::differences::{Difference, differences, list};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::shared::{button, section};
use crate::storage::keeper::Choice;

/// The choice, while there is one to make.
pub(super) fn view(app: App) -> El {
    let choice = app.keeper.choice;
    let differing = RwSignal::new(Vec::<Difference>::new());
    crate::dom::effect(Box::new(move || {
        app.keeper.cards.with(|_| ());
        let Some(Choice { mine, other }) = choice.get() else { return };
        spawn_local(async move {
            let pair = (app.keeper.document_of(&other).await, app.keeper.document_of(&mine).await);
            if let (Some(other), Some(mine)) = pair {
                // The screen may have gone in the meantime.
                differing.try_set(differences(&other, &mine));
            }
        });
    }));
    let go_on = move |with_mine: bool| {
        if let Some(Choice { mine, other }) = choice.get_untracked() {
            let (go_on, put_away) = if with_mine { (mine, other) } else { (other, mine) };
            spawn_local(async move { app.keeper.choose(&go_on, &put_away).await });
        }
    };
    section("packages-choice", "Changed in two windows")
        .test("choose")
        .hidden(move || choice.with(Option::is_none))
        .child(p(
            "",
            "Another window has changed this package as well. Both are kept. What differs, the other window's first:",
        ))
        .child(div("").test("choose-differences").live(move || vec![list(&differing.get(), app.style())]))
        .child(
            div("buttons")
                .child(button("choose-mine", "Go on with this window's", move || go_on(true)))
                .child(button("choose-other", "Go on with the other window's", move || go_on(false)))
                .child(button("choose-both", "Keep both", move || choice.set(None))),
        )
        .child(p("quiet", "The one you do not go on with goes into the archive."))
}
