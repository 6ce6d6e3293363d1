//! The frame around every screen: name and state of the package, the way back, the tabs.

use std::time::Duration;

use leptos::prelude::*;
use wasm_bindgen::JsCast;

use crate::app::App;
use crate::browser::{by_id, follow_media};
use crate::dom::{El, div, effect, el, p, span};
use crate::route::Screen;
use crate::screens;
use crate::storage::keeper::Kept;
use crate::ui::icon::{self, Icon};
use crate::words::last_backup;

/// After the last change, so long until a screen reader is told.
const SPEAK_AFTER: Duration = Duration::from_millis(1200);

/// The tabs, with the word on each.
const TABS: [(Screen, &str); 5] = [
    (Screen::Answers, "Answers"),
    (Screen::Parts, "Parts"),
    (Screen::Lenses, "Lenses"),
    (Screen::Moves, "Moves"),
    (Screen::Head, "Head"),
];

/// The whole page.
pub(crate) fn view(app: App) -> Vec<El> {
    let skip = el("a").class("skip").attr("href", "#main").words("To the content").on("click", |event| {
        event.prevent_default();
        focus_main();
    });
    let opening = Memo::new(move |_| app.keeper.kept.with(|kept| *kept == Kept::Starting));
    let wide = follow_media(WIDE);
    let main = el("main").class("frame__main").attr("id", "main").attr("tabindex", "-1").live(move || {
        // No number is shown before it is known whose it is: what is kept here, or the demo's.
        if opening.get() {
            return vec![p("quiet", "Opening what is kept on this device…")];
        }
        let screen = match app.screen.get() {
            Screen::Answers if wide.get() => Screen::Head,
            screen => screen,
        };
        let title = el("h1").class("unseen").words(screen.title());
        vec![title, untrack(|| screen_view(app, screen))]
    });
    // The answers stay beside whatever is open; beside themselves stands the head, to scale. The tour and the prep
    // sheet hold them already.
    let beside = Memo::new(move |_| {
        wide.get() && !opening.get() && !matches!(app.screen.get(), Screen::Guide(_) | Screen::Sheet)
    });
    let answers = el("aside").class("frame__answers").attr("aria-label", "Answers").hidden(move || !beside.get());
    let answers = answers.live(move || {
        let shown = beside.get();
        untrack(|| shown.then(|| screens::answers::view(app)).into_iter().collect())
    });
    let frame = div("frame").live_class("frame--beside", move || beside.get()).child(answers).child(main);
    vec![
        header(app, skip),
        banners(app),
        unsaved(app),
        choice(app),
        update(app),
        invitation(app),
        frame,
        tabs(app),
        spoken(app),
    ]
}

/// Two screens side by side fit from here on.
const WIDE: &str = "(min-width: 64em)";

fn screen_view(app: App, screen: Screen) -> El {
    if screen == Screen::Answers {
        return screens::answers::view(app);
    }
    // The others stand in the module that follows the first answer: on a slow line they may be a moment late.
    div("later").live(move || {
        vec![if app.later.get() { untrack(|| screens::view(app, screen)) } else { p("quiet", "Opening…") }]
    })
}

fn header(app: App, skip: El) -> El {
    // No name either before it is known whose it is.
    let name = move || {
        if app.keeper.kept.with(|kept| *kept == Kept::Starting) {
            return "…".to_owned();
        }
        app.document.with(|package| package.name.clone())
    };
    let state = span("brand__state")
        .test("kept")
        .live_attr("data-value", move || Some(app.keeper.kept.with(kept_test).to_owned()))
        .live_words(move || kept_words(app));
    let brand = el("a")
        .class("brand")
        .attr("href", &Screen::Packages.hash())
        .test("to-packages")
        .child(icon::mark())
        .child(span("brand__words").child(span("brand__name").test("package-name").live_words(name)).child(state));
    let step = |icon: Icon, label: &str, test: &str, way: usize, go: fn(App)| {
        el("button")
            .class("tool")
            .attr("type", "button")
            .attr("aria-label", label)
            .test(test)
            .live_flag("disabled", move || app.document.ways().get(way) != Some(&true))
            .press(move || go(app))
            .child(icon::view(icon))
    };
    let settings =
        el("a").class("tool").attr("href", &Screen::Settings.hash()).attr("aria-label", "Settings").test("to-settings");
    el("header").class("top").child(skip).child(brand).child(
        div("top__tools")
            .child(step(Icon::Undo, "Undo", "undo", 0, |app| app.document.undo()))
            .child(step(Icon::Redo, "Redo", "redo", 1, |app| app.document.redo()))
            .child(settings.child(icon::view(Icon::Settings))),
    )
}

fn kept_words(app: App) -> String {
    app.keeper.kept.with(|kept| match kept {
        Kept::Starting => "Opening…".to_owned(),
        Kept::Demo => "Demo: try anything".to_owned(),
        Kept::Preview if app.document.ways().first() == Some(&true) => "Changed, not kept".to_owned(),
        Kept::Preview => "Opened, not kept".to_owned(),
        Kept::ReadOnly => "Read only: from a newer version".to_owned(),
        Kept::Saving => "Saving…".to_owned(),
        Kept::Saved(_) => format!("Saved, {}", last_backup(app.prefs.with(|prefs| prefs.backup_ms))),
        Kept::Failed(_) => "Not saved: export now".to_owned(),
    })
}

fn kept_test(kept: &Kept) -> &'static str {
    match kept {
        Kept::Starting => "starting",
        Kept::Demo => "demo",
        Kept::Preview => "preview",
        Kept::ReadOnly => "read-only",
        Kept::Saving => "saving",
        Kept::Saved(_) => "saved",
        Kept::Failed(_) => "failed",
    }
}

fn banners(app: App) -> El {
    let notice = app.keeper.notice;
    div("banner")
        .attr("role", "status")
        .test("notice")
        .hidden(move || notice.with(Option::is_none))
        .child(span("banner__words").live_words(move || notice.get().unwrap_or_default()))
        .child(el("button").class("button").attr("type", "button").words("Understood").press(move || notice.set(None)))
}

/// What could not be written stays in view until it is, with a way to take it along.
fn unsaved(app: App) -> El {
    let why = move || match app.keeper.kept.get() {
        Kept::Failed(reason) => Some(reason),
        _ => None,
    };
    let words = move || {
        why().map_or_else(String::new, |reason| {
            format!(
                "Not saved on this phone ({reason}). This page holds your work and tries again; take a file to be safe."
            )
        })
    };
    div("banner")
        .attr("role", "status")
        .test("unsaved")
        .hidden(move || why().is_none())
        .child(span("banner__words").live_words(words))
        .child(el("a").class("button").attr("href", &Screen::Share.hash()).test("unsaved-file").words("Link and file"))
}

/// Two windows have changed the same package: both are kept, and the person may choose.
fn choice(app: App) -> El {
    let choice = app.keeper.choice;
    div("banner")
        .attr("role", "status")
        .test("choice")
        .hidden(move || choice.with(Option::is_none))
        .child(span("banner__words").words("This package was also changed in another window. Both are kept."))
        .child(el("a").class("button").attr("href", &Screen::Packages.hash()).test("choice-look").words("Compare"))
        .child(el("button").class("button").attr("type", "button").test("choice-both").words("Keep both").press(
            move || {
                choice.set(None);
            },
        ))
}

/// Whoever is here for the first time is asked once whether they want to be shown round.
fn invitation(app: App) -> El {
    let asked = move || {
        let first = app.keeper.kept.with(|kept| *kept == Kept::Demo) && app.screen.get() == Screen::Answers;
        first && app.prefs.with(|prefs| !prefs.guided)
    };
    el("section")
        .class("guide guide--invitation")
        .attr("aria-label", "First time here")
        .test("invitation")
        .hidden(move || !asked())
        .child(p("guide__words", "First time here? Four short steps show what you see."))
        .child(
            div("guide__buttons")
                .child(
                    el("button")
                        .class("button")
                        .attr("type", "button")
                        .test("guide-never")
                        .words("No thanks")
                        .press(move || app.prefer(|prefs| prefs.guided = true)),
                )
                .child(
                    el("a")
                        .class("button button--main")
                        .attr("href", &Screen::Guide(1).hash())
                        .test("guide-start")
                        .words("Show me"),
                ),
        )
}

/// A new version waits until the person says so.
fn update(app: App) -> El {
    div("banner")
        .test("update")
        .hidden(move || !app.update.get())
        .child(span("banner__words").words("A new version is ready. What you have entered stays."))
        .child(el("button").class("button").attr("type", "button").test("update-take").words("Take it").press(
            move || {
                // The page will be loaded anew, and with it goes what is only looked at.
                app.keeper.keep_changed();
                crate::browser::tell_window("counterpoise-update-take", "");
            },
        ))
}

fn tabs(app: App) -> El {
    let links = TABS.map(|(tab, word)| {
        el("a")
            .class("tabs__tab")
            .attr("href", &tab.hash())
            .test(&format!("tab-{}", word.to_ascii_lowercase()))
            .live_attr("aria-current", move || (app.screen.get().tab() == Some(tab)).then(|| "page".to_owned()))
            .words(word)
    });
    el("nav").class("tabs").attr("aria-label", "Screens").children(links)
}

/// One polite line for screen readers, a while after the last change and only when its words have changed.
fn spoken(app: App) -> El {
    let line = RwSignal::new(String::new());
    let timer = StoredValue::new(None::<TimeoutHandle>);
    let mut before: Option<String> = None;
    effect(Box::new(move || {
        let now = screens::answers::summary_line(app);
        if before.as_ref().is_some_and(|before| *before != now) {
            if let Some(timer) = timer.try_update_value(Option::take).flatten() {
                timer.clear();
            }
            let words = now.clone();
            timer.set_value(set_timeout_with_handle(move || line.set(words), SPEAK_AFTER).ok());
        }
        before = Some(now);
    }));
    p("unseen", "").attr("role", "status").test("spoken").live_words(move || line.get())
}

/// Puts the focus on the screen after it has changed, and the page at its top.
pub(crate) fn focus_main() {
    if let Some(main) = by_id("main").and_then(|main| main.dyn_into::<web_sys::HtmlElement>().ok()) {
        // A page that is being torn down has no focus to give.
        let _ = main.focus();
    }
    if let Some(window) = web_sys::window() {
        window.scroll_to_with_x_and_y(0.0, 0.0);
    }
}
