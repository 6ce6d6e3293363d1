//! The earlier states of a package: when, what has changed since, look at one, take it back as a copy.

use std::sync::Arc;

use codec::Document;
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::differences::{Difference, differences, list, short};
use crate::app::App;
use crate::browser::day_and_time;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::screens::shared::{button, section};
use crate::storage::record::marked;

/// An earlier state beside the one after it.
#[derive(Clone)]
struct Row {
    taken_at: f64,
    why: String,
    document: Document,
    since: Vec<Difference>,
}

/// The earlier states of the package with the id in `of`.
pub(super) fn view(app: App, of: RwSignal<Option<String>>) -> El {
    let rows = RwSignal::new(Arc::new(Vec::<Row>::new()));
    crate::dom::effect(Box::new(move || {
        // Another state is kept with an edit now and then: the list follows what is kept.
        app.keeper.cards.with(|_| ());
        let id = of.get();
        spawn_local(async move {
            let found = match id {
                Some(id) => read(app, &id).await,
                None => Vec::new(),
            };
            // The screen may have gone in the meantime.
            rows.try_set(Arc::new(found));
        });
    }));
    let name = move || {
        let id = of.get();
        app.keeper.cards.with(|cards| {
            let card = cards.iter().find(|card| Some(&card.id) == id.as_ref());
            card.map(|card| {
                format!(
                    "Of \u{201c}{}\u{201d}, up to twenty: one each time it was opened and changed, then one in ten minutes of work.",
                    card.name
                )
            })
        })
    };
    section("packages-earlier", "Earlier states")
        .test("earlier")
        .child(
            p("quiet", "").live_words(move || {
                name().unwrap_or_else(|| "Of the package on the screen, once it is kept.".to_owned())
            }),
        )
        .child(p("quiet", "None yet.").hidden(move || rows.with(|rows| !rows.is_empty())))
        .child(div("list").each(
            move || rows.with(|rows| rows.iter().map(|row| row.taken_at.to_string()).collect()),
            move |key| {
                let found =
                    rows.with_untracked(|rows| rows.iter().find(|row| row.taken_at.to_string() == key).cloned());
                found.map_or_else(|| div("list__item"), |row| item(app, row))
            },
        ))
}

/// The states with what changed after each: until the next one, or until now.
async fn read(app: App, id: &str) -> Vec<Row> {
    let mut after = app.keeper.document_of(id).await;
    let mut rows = Vec::new();
    for snapshot in app.keeper.snapshots(id).await {
        let since = after.as_ref().map(|after| differences(&snapshot.document, after)).unwrap_or_default();
        after = Some(snapshot.document.clone());
        rows.push(Row { taken_at: snapshot.taken_at, why: snapshot.why, document: snapshot.document, since });
    }
    rows
}

fn item(app: App, row: Row) -> El {
    let Row { taken_at, why, document, since } = row;
    let when = day_and_time(taken_at);
    let (looked, taken, label) = (document.clone(), document, when.clone());
    let style = app.style_now();
    let words = span("list__link").child(span("list__name").words(&format!("{when}, {why}"))).child(
        span("list__detail").test("earlier-changes").words(&format!("Changed after it: {}", short(&since, style))),
    );
    let buttons = div("buttons")
        .child(button("earlier-look", "Look at it", move || {
            app.keeper.preview(looked.clone());
            Screen::Answers.open();
        }))
        .child(button("earlier-restore", "Take it back as a copy", move || {
            let mut copy = taken.clone();
            copy.package.name = marked(&copy.package.name, &label);
            app.keeper.keep_new(copy);
            Screen::Answers.open();
        }));
    let item = div("list__item").test("snapshot").child(words).child(buttons);
    if since.is_empty() {
        return item;
    }
    let all = el("details").class("more list__field");
    item.child(all.child(el("summary").words("All that changed after it")).child(list(&since, style)))
}
