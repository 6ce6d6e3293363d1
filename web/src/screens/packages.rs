//! The packages on this device: open, start, copy, archive; and sharing the one on the screen.

use leptos::prelude::*;
use leptos::task::spawn_local;
use solver::Package;
use solver::package::{Day, Mount, Reserve};

use super::shared::section;
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::storage::keeper::Kept;
use crate::ui::text::name_field;

/// After so many milliseconds in the archive a package may be removed for good.
const THIRTY_DAYS_MS: f64 = 30.0 * 86_400_000.0;

/// The packages screen.
pub(crate) fn view(app: App) -> El {
    div("screen").child(this_one(app)).child(start(app)).child(list(app, false)).child(list(app, true))
}

fn button(test: &str, words: &str, press: impl FnMut() + 'static) -> El {
    el("button").class("button").attr("type", "button").test(test).words(words).press(press)
}

fn this_one(app: App) -> El {
    let preview = move || app.keeper.kept.with(|kept| *kept == Kept::Preview);
    section("packages-this", "On the screen")
        .child(name_field(
            app,
            "Name of this package",
            "package-rename",
            |package| package.name.clone(),
            |package, name| {
                package.name = name;
                package.demo = false;
            },
        ))
        .child(button("keep", "Keep it on this device", move || app.keeper.keep_this()).hidden(move || !preview()))
        .child(el("a").class("button").attr("href", &Screen::Share.hash()).test("to-share").words("Link and file"))
}

fn start(app: App) -> El {
    section("packages-new", "Start")
        .child(button("new-package", "A new package, empty", move || {
            app.keeper.keep_new(empty(app));
            app.go(Screen::Head);
        }))
        .child(button("show-demo", "Show the demo again", move || {
            app.keeper.show_demo(codec::library::demo());
            app.go(Screen::Answers);
        }))
}

/// A package on the present head with nothing on it but what moves the head.
fn empty(app: App) -> Package {
    let head = app.document.now(|package| package.head.clone());
    Package {
        name: "New package".to_owned(),
        note: String::new(),
        demo: false,
        head,
        mount: Mount { flange_ahead_m: 0.0, flange_left_m: 0.0 },
        parts: Vec::new(),
        lenses: Vec::new(),
        active_lens: None,
        moves: Vec::new(),
        day: Day::default(),
        reserve: Reserve::default(),
        tune: None,
        arm: None,
        at_hand: None,
        logs: Vec::new(),
    }
}

fn list(app: App, archived: bool) -> El {
    let ids = move || {
        app.keeper.cards.with(|cards| {
            let wanted = cards.iter().filter(|card| card.archived_at.is_some() == archived);
            wanted.map(|card| card.id.clone()).collect()
        })
    };
    let (id, title) = if archived { ("packages-archive", "Archive") } else { ("packages-list", "On this device") };
    let none =
        if archived { "Nothing is archived." } else { "Nothing is kept yet: change the demo, or start your own." };
    section(id, title)
        .child(p("quiet", none).hidden(move || {
            app.keeper.cards.with(|cards| cards.iter().any(|card| card.archived_at.is_some() == archived))
        }))
        .child(div("list").each(ids, move |id| card(app, id, archived)))
}

fn card(app: App, id: &str, archived: bool) -> El {
    let read = {
        let id = id.to_owned();
        move || {
            app.keeper.cards.with(|cards| {
                cards
                    .iter()
                    .find(|card| card.id == id)
                    .map(|card| (card.name.clone(), card.archived_at))
                    .unwrap_or_default()
            })
        }
    };
    let name = {
        let read = read.clone();
        move || read().0
    };
    let [open, copy, put, gone] = [id, id, id, id].map(str::to_owned);
    let old = move || read().1.is_some_and(|at| crate::browser::now_ms() - at > THIRTY_DAYS_MS);
    div("list__item")
        .child(span("list__name").live_words(name))
        .child(button(&format!("open-{id}"), "Open", move || {
            let id = open.clone();
            spawn_local(async move {
                if app.keeper.open(&id).await {
                    app.go(Screen::Answers);
                }
            });
        }))
        .child(button(&format!("copy-{id}"), "Copy", move || {
            let id = copy.clone();
            spawn_local(async move { app.keeper.duplicate(&id).await });
        }))
        .child(button(&format!("archive-{id}"), if archived { "Restore" } else { "Archive" }, move || {
            let id = put.clone();
            spawn_local(async move { app.keeper.archive(&id, !archived).await });
        }))
        .child(
            button(&format!("remove-{id}"), "Remove for good", move || {
                let id = gone.clone();
                spawn_local(async move { app.keeper.remove(&id).await });
            })
            .hidden(move || !old()),
        )
}
