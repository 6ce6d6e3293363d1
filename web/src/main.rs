//! Counterpoise in a browser: everything is worked out and kept on the device.
#![allow(
    clippy::needless_pass_by_value,
    clippy::type_complexity,
    clippy::float_cmp,
    clippy::struct_field_names,
    reason = "an element is built by handing it on; callbacks are boxed; what has changed is told to the last digit; and a name carries its unit"
)]

mod app;
mod browser;
mod charts;
mod dom;
mod drawing;
mod later;
mod rehearsal;
mod route;
mod screens;
mod shell;
mod show;
mod state;
mod storage;
mod ui;
mod words;

use std::time::Duration;

use leptos::prelude::*;
use leptos::task::spawn_local;

use app::App;
use route::Screen;
use storage::keeper::Kept;

/// So long a page waits for its first paint.
const UNPAINTED: Duration = Duration::from_millis(500);

fn main() {
    std::panic::set_hook(Box::new(|info| {
        let words = info.to_string();
        web_sys::console::error_1(&words.as_str().into());
        browser::tell_window("counterpoise-panic", &words);
    }));
    // The graph runs its effects on the browser's own queue; it can be told so only once, which is now.
    let _ = any_spawner::Executor::init_wasm_bindgen();
    if let Some(place) = browser::by_id("app") {
        dom::mount(&place, start);
    }
}

fn start() -> Vec<dom::El> {
    let app = App::new(codec::library::demo());
    follow_address(app);
    follow_theme(app);
    follow_record(app);
    follow_first_paint(app);
    if nothing_to_read() {
        app.keeper.kept.set(Kept::Demo);
    }
    later::begin_with(begin, app);
    later::then(move || rehearsal::begin(app));
    browser::on_window("counterpoise-update-waiting", move |_| app.update.set(true));
    browser::on_window("pagehide", move |_| app.keeper.hide());
    browser::on_window("visibilitychange", move |_| app.keeper.hide());
    shell::view(app)
}

/// Whether the demo may be shown at once: no link has been followed here, and the start-up script has found that nothing
/// is kept. Otherwise no number is shown before it is known whose it is.
fn nothing_to_read() -> bool {
    let unkept = browser::root().and_then(|root| root.get_attribute("data-kept")).is_some_and(|kept| kept == "nothing");
    unkept && storage::mirror::is_empty() && linked().is_none()
}

/// Says when the page has been painted for the first time: a frame and a task after it has been built. A page in the
/// background is not painted, and does not wait for it.
fn follow_first_paint(app: App) {
    let painted = move || {
        if !app.painted.get_untracked() {
            app.painted.set(true);
        }
    };
    request_animation_frame(move || set_timeout(painted, Duration::ZERO));
    set_timeout(painted, UNPAINTED);
}

/// Reads what is kept and what the address carries. In the reader.
#[inline(never)]
fn begin(app: App) {
    spawn_local(async move {
        app.keeper.start(app.prefs.with_untracked(|prefs| prefs.last.clone())).await;
        open_link(app);
        later::has_read(app);
    });
}

/// The open screen follows the address.
fn follow_address(app: App) {
    let read = move || {
        let hash = web_sys::window().and_then(|window| window.location().hash().ok()).unwrap_or_default();
        if let Some(screen) = Screen::from_hash(&hash) {
            app.screen.set(screen);
        }
    };
    read();
    browser::on_window("hashchange", move |_| {
        app.document.settle(None);
        read();
        if linked().is_some() {
            later::then(move || open_link(app));
        }
        shell::focus_main();
    });
}

/// An address that carries a package shows it, without keeping anything. One that cannot be read is said so, and what
/// is kept stays on the screen.
#[inline(never)]
fn open_link(app: App) {
    let Some(link) = linked() else { return };
    match app.keeper.follow_link(link) {
        Ok(()) => app.screen.set(Screen::Answers),
        Err(fault) => app.keeper.notice.set(Some(fault)),
    }
}

/// What follows `#` in the address, if it names no screen.
fn linked() -> Option<String> {
    let hash = web_sys::window().and_then(|window| window.location().hash().ok()).unwrap_or_default();
    Screen::from_hash(&hash).is_none().then_some(hash)
}

/// Whoever comes back finds the package that was on the screen last.
fn follow_record(app: App) {
    dom::effect(Box::new(move || {
        if let Some(id) = app.keeper.on_screen.get() {
            app.prefer(|prefs| prefs.last = Some(id.clone()));
        }
    }));
}

/// The style sheet follows the theme.
fn follow_theme(app: App) {
    dom::effect(Box::new(move || {
        let theme = app.prefs.with(|prefs| prefs.theme);
        if let Some(root) = browser::root() {
            // Only the sheet reads it: an attribute that cannot be set leaves the device's own theme.
            let _ = match theme.attribute() {
                Some(value) => root.set_attribute("data-theme", value),
                None => root.remove_attribute("data-theme"),
            };
        }
    }));
}
