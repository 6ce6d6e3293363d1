//! The frame around every screen: name and state of the package, the way back, the tabs.

use std::time::Duration;

use leptos::prelude::*;

use crate::app::App;
use crate::route::Screen;
use crate::screens;
use crate::storage::keeper::Kept;
use crate::ui::icon::{self, Icon};

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
pub(crate) fn view(app: App) -> AnyView {
    view! {
        <a class="skip" href="#main" on:click=move |event| {
            event.prevent_default();
            focus_main();
        }>"To the content"</a>
        {header(app)}
        {banners(app)}
        <div class="frame" class:frame--answers=move || app.screen.get() == Screen::Answers>
            <main class="frame__main" id="main" tabindex="-1">{move || screen(app, app.screen.get())}</main>
        </div>
        {tabs(app)}
        {spoken(app)}
    }
    .into_any()
}

fn screen(app: App, screen: Screen) -> AnyView {
    match screen {
        _ => screens::answers::view(app),
    }
}

fn header(app: App) -> AnyView {
    let name = move || app.document.with(|package| package.name.clone());
    let ways = Memo::new(move |_| app.document.ways());
    view! {
        <header class="top">
            <a class="brand" href=Screen::Packages.hash() data-test="to-packages">
                {icon::mark()}
                <span class="brand__words">
                    <span class="brand__name" data-test="package-name">{name}</span>
                    <span class="brand__state" data-test="kept" data-value=move || kept_test(&app.keeper.kept.get())>
                        {move || kept_words(&app.keeper.kept.get())}
                    </span>
                </span>
            </a>
            <div class="top__tools">
                <button type="button" class="tool" aria-label="Undo" data-test="undo" disabled=move || !ways.get()[0] on:click=move |_| app.document.undo()>
                    {icon::view(Icon::Undo)}
                </button>
                <button type="button" class="tool" aria-label="Redo" data-test="redo" disabled=move || !ways.get()[1] on:click=move |_| app.document.redo()>
                    {icon::view(Icon::Redo)}
                </button>
                <a class="tool" aria-label="Settings" data-test="to-settings" href=Screen::Settings.hash()>{icon::view(Icon::Settings)}</a>
            </div>
        </header>
    }
    .into_any()
}

fn kept_words(kept: &Kept) -> String {
    match kept {
        Kept::Starting => "Opening…".to_owned(),
        Kept::Demo => "Demo. Change it and it is yours".to_owned(),
        Kept::Preview => "Preview: not kept yet".to_owned(),
        Kept::Saving => "Saving…".to_owned(),
        Kept::Saved(_) => "Saved on this phone".to_owned(),
        Kept::Failed(_) => "Not saved: export now".to_owned(),
    }
}

fn kept_test(kept: &Kept) -> &'static str {
    match kept {
        Kept::Starting => "starting",
        Kept::Demo => "demo",
        Kept::Preview => "preview",
        Kept::Saving => "saving",
        Kept::Saved(_) => "saved",
        Kept::Failed(_) => "failed",
    }
}

fn banners(app: App) -> AnyView {
    view! {
        <p class="banner" role="status" hidden=move || app.keeper.notice.with(Option::is_none)>
            <span>{move || app.keeper.notice.get()}</span>
            <button type="button" class="button" on:click=move |_| app.keeper.notice.set(None)>"Understood"</button>
        </p>
    }
    .into_any()
}

fn tabs(app: App) -> AnyView {
    let links = TABS.map(|(tab, word)| {
        view! {
            <a
                class="tabs__tab" href=tab.hash() data-test=format!("tab-{}", word.to_lowercase())
                aria-current=move || (app.screen.get().tab() == Some(tab)).then_some("page")
            >
                {word}
            </a>
        }
    });
    view! { <nav class="tabs" aria-label="Screens">{links.collect_view()}</nav> }.into_any()
}

/// One polite line for screen readers, a while after the last change and only when its words have changed.
fn spoken(app: App) -> AnyView {
    let line = RwSignal::new(String::new());
    let timer = StoredValue::new(None::<TimeoutHandle>);
    Effect::new(move |before: Option<String>| {
        let now = screens::answers::summary_line(app);
        if before.is_some_and(|before| before != now) {
            if let Some(timer) = timer.try_update_value(Option::take).flatten() {
                timer.clear();
            }
            let words = now.clone();
            timer.set_value(set_timeout_with_handle(move || line.set(words), SPEAK_AFTER).ok());
        }
        now
    });
    view! { <p class="unseen" role="status" data-test="spoken">{move || line.get()}</p> }.into_any()
}

/// Puts the focus on the screen after it has changed.
pub(crate) fn focus_main() {
    use wasm_bindgen::JsCast;
    let main = web_sys::window().and_then(|window| window.document()).and_then(|page| page.get_element_by_id("main"));
    if let Some(main) = main.and_then(|main| main.dyn_into::<web_sys::HtmlElement>().ok()) {
        // A page that is being torn down has no focus to give.
        let _ = main.focus();
    }
}
