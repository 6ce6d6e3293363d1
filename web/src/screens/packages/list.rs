//! The packages that are kept, and those in the archive.

use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::JsValue;

use crate::app::App;
use crate::browser::{by_id, day_and_time};
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::screens::shared::{button, download, file_name, section};
use crate::storage::file as package_file;
use crate::storage::record::{Card, field, text};

/// One list: those in use, or the archive.
pub(super) fn view(app: App, archived: bool, earlier_of: RwSignal<Option<String>>) -> El {
    let ids = move || {
        app.keeper.cards.with(|cards| {
            let wanted = cards.iter().filter(|card| card.archived_at.is_some() == archived);
            wanted.map(|card| card.id.clone()).collect()
        })
    };
    let (id, title) = if archived { ("packages-archive", "Archive") } else { ("packages-list", "On this device") };
    let none =
        if archived { "Nothing is archived." } else { "Nothing is kept yet: change the demo, or start your own." };
    let about =
        "What is archived can be restored. After thirty days it can be removed for good, by you and nobody else.";
    let empty = move || !app.keeper.cards.with(|cards| cards.iter().any(|card| card.archived_at.is_some() == archived));
    section(id, title)
        .test(id)
        .child(p("quiet", none).hidden(move || !empty()))
        .children(archived.then(|| p("quiet", about).hidden(empty)))
        .child(div("list").each(ids, move |id| card(app, id, archived, earlier_of)))
}

/// One package: open it, and behind a fold all else that can be done with it.
fn card(app: App, id: &str, archived: bool, earlier_of: RwSignal<Option<String>>) -> El {
    let read = {
        let id = id.to_owned();
        move || app.keeper.cards.with(|cards| cards.iter().find(|card| card.id == id).cloned())
    };
    let [name, detail, flags, old] = [(); 4].map(|()| read.clone());
    let locked = move || flags().is_some_and(|card| card.newer || !card.readable);
    let on_screen = {
        let id = id.to_owned();
        move || app.keeper.on_screen.with(|shown| shown.as_ref() == Some(&id))
    };
    let [open, copy, put, gone, earlier, file] = [id; 6].map(str::to_owned);
    let words = span("list__link")
        .child(span("list__name").live_words(move || name().map(|card| card.name).unwrap_or_default()))
        .child(span("list__detail").live_words(move || detail().map(|card| detail_words(&card)).unwrap_or_default()));
    let opener = button(&format!("open-{id}"), "Open", move || {
        let id = open.clone();
        spawn_local(async move {
            // Whoever has gone elsewhere while it was being read stays there.
            if app.keeper.open(&id).await && app.screen.get_untracked() == Screen::Packages {
                Screen::Answers.open();
            }
        });
    });
    let put_words = if archived { "Restore" } else { "Archive" };
    let more = div("buttons")
        .child(
            button(&format!("copy-{id}"), "Copy", move || {
                let id = copy.clone();
                spawn_local(async move { app.keeper.duplicate(&id).await });
            })
            .hidden(locked.clone()),
        )
        .child(button(&format!("earlier-{id}"), "Earlier states", move || {
            earlier_of.set(Some(earlier.clone()));
            if let Some(title) = by_id("packages-earlier") {
                title.scroll_into_view();
            }
        }))
        .child(button(&format!("file-{id}"), "Save a file", move || {
            let id = file.clone();
            spawn_local(async move { save(app, &id).await });
        }))
        .child(
            button(&format!("archive-{id}"), put_words, move || {
                let id = put.clone();
                spawn_local(async move { app.keeper.archive(&id, !archived).await });
            })
            .hidden(locked),
        )
        .child(
            button(&format!("remove-{id}"), "Remove for good", move || {
                let id = gone.clone();
                spawn_local(async move { app.keeper.remove(&id).await });
            })
            .hidden(move || !old().is_some_and(|card| card.is_removable())),
        );
    div("list__item")
        .test(&format!("package-{id}"))
        .live_attr("aria-current", move || on_screen().then(|| "true".to_owned()))
        .child(words)
        .child(opener)
        .child(
            el("details")
                .class("more list__field")
                .child(el("summary").test(&format!("more-{id}")).words("More"))
                .child(more),
        )
}

fn detail_words(card: &Card) -> String {
    let when = day_and_time(card.updated_at);
    if card.newer {
        format!("{when}. A newer version wrote it: read only")
    } else if !card.readable {
        format!("{when}. Damaged: it stays as it is. Look at its earlier states, or save it as a file")
    } else {
        when
    }
}

/// Hands out a record: as a package file where it is one, else as it is.
async fn save(app: App, id: &str) {
    let (all, fault) = app.keeper.all().await;
    let Some(record) = all.iter().find(|record| text(record, "id").as_deref() == Some(id)) else {
        app.keeper.notice.set(fault.map(|fault| format!("It cannot be read now ({fault}).")));
        return;
    };
    let file: JsValue = field(record, "file").unwrap_or_else(|| record.clone());
    let name = file_name(&text(record, "name").unwrap_or_default());
    if let Err(fault) = package_file::written(&file).and_then(|text| download(&name, &text)) {
        app.keeper.notice.set(Some(fault));
    }
}
