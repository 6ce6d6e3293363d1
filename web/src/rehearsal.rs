//! What the first edit goes through, gone through before anybody makes it: an engine compiles a function when it is first
//! called, and the first key would wait for hundreds of them. Nothing is changed and nothing is written.

use std::time::Duration;

use leptos::prelude::{GetUntracked, Owner, set_timeout};
use solver::bounds;
use web_sys::{Event, KeyboardEvent, KeyboardEventInit};

use crate::app::App;
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::number::number;

/// When it begins and how far its parts lie from each other: the page has come up, and no finger waits for more than one.
const AFTER: Duration = Duration::from_millis(600);
const BETWEEN: Duration = Duration::from_millis(60);

/// Goes through it, part by part. Ask [`crate::later`] before.
#[inline(never)]
pub(crate) fn begin(app: App) {
    set_timeout(move || part(app, &[edit, solve, write]), AFTER);
}

fn part(app: App, parts: &'static [fn(App)]) {
    // Who has begun to edit has gone through it already, and is not to be disturbed.
    if app.document.is_settled()
        && let Some((first, rest)) = parts.split_first()
    {
        first(app);
        set_timeout(move || part(app, rest), BETWEEN);
    }
}

/// A key in a field that stands nowhere on the page and holds no number of the package.
fn edit(app: App) {
    let (owner, key) = (Owner::new(), KeyboardEventInit::new());
    owner.with(|| {
        let field = number("", Kind::Mark, &bounds::MARK_M, "rehearsal", |_| Some(0.0), |_, _| ()).view(app);
        let input = field.raw().query_selector("input").ok().flatten();
        key.set_key("ArrowUp");
        let heard = [
            Event::new("focus"),
            KeyboardEvent::new_with_keyboard_event_init_dict("keydown", &key).map(Into::into),
            // Left at once: no timer of it settles what a person has begun by then.
            Event::new("blur"),
        ];
        for event in heard.into_iter().flatten() {
            // An event that nobody stops or breaks.
            let _ = input.as_ref().map(|input| input.dispatch_event(&event));
        }
    });
    owner.cleanup();
}

/// Every answer, asked for as if the package had changed. The first screen writes nothing that is the same; others build
/// some of theirs anew, and nobody's finger may be on one of them.
fn solve(app: App) {
    if matches!(app.screen.get_untracked(), Screen::Answers) {
        app.document.ask_again();
    }
}

/// A commit up to the database.
fn write(app: App) {
    app.keeper.rehearse();
}
