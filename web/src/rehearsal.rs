//! What the first edit goes through, gone through before anybody makes it: an engine compiles a function when it is first
//! called, and the first key would wait for hundreds of them. Nothing is changed and nothing is written.

use std::hint::black_box;
use std::time::Duration;

use leptos::prelude::set_timeout;

use crate::app::App;
use crate::show::Kind;

/// When it begins and how far its parts lie from each other: the page has come up, and no finger waits for more than one.
const AFTER: Duration = Duration::from_millis(600);
const BETWEEN: Duration = Duration::from_millis(60);

/// Goes through it, part by part. Ask [`crate::later`] before.
#[inline(never)]
pub(crate) fn begin(app: App) {
    set_timeout(move || part(app, &[edit, solve, write]), AFTER);
}

fn part(app: App, parts: &'static [fn(App)]) {
    if let Some((first, rest)) = parts.split_first() {
        first(app);
        set_timeout(move || part(app, rest), BETWEEN);
    }
}

/// A key in a field up to the package; one that does not change goes no further.
fn edit(app: App) {
    let style = app.style_now();
    black_box(style.step(Kind::Mass));
    app.document.sketch(|_| {});
}

/// The search for faults, which the demo has done without, and the answers.
fn solve(app: App) {
    // Whether it has faults is told by the answers on the screen.
    let _ = black_box(app.document.now(solver::check));
}

/// A commit up to the database.
fn write(app: App) {
    app.keeper.rehearse();
}
