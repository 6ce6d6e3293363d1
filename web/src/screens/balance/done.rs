//! What has been found so far, and logging it.

use leptos::prelude::*;
use solver::Package;
use solver::balance::procedure::{Procedure, Progress, log_found};
use solver::bounds::MAX_LOGS;

use super::super::shared::{button, section};
use super::{Stand, restart, step, words};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;

/// All steps are done.
pub(super) fn view(app: App, stand: Stand) -> El {
    let verdict = move || {
        stand.with(|stand| {
            let steps = stand.as_ref().map(|stand| stand.steps.as_slice()).unwrap_or_default();
            let no_matter = [Progress::Geared, Progress::TakenOver];
            let off = steps.iter().filter(|step| !step.progress.holds() && !no_matter.contains(&step.progress));
            match off.map(|step| step.name.as_str()).next() {
                None => "It hangs. Every axis that can be tested stays put.".to_owned(),
                Some(name) => format!("Done, but {} is not shown to stay put.", name.to_lowercase()),
            }
        })
    };
    section("balance-done", "Done")
        .child(p("balance__verdict", "").test("balance-verdict").live_words(verdict))
        .child(p("caution", "Before you let go: every clamp closed, end keepers back on."))
        .child(
            div("buttons")
                .child(button("answer-back", "Take the last answer back", move || step::take_back(app)))
                .child(button("balance-again", "Begin a new balance", move || restart(app))),
        )
}

/// Every step with what came of it, and the log of it.
pub(super) fn so_far(app: App, stand: Stand) -> El {
    let ids = move || {
        stand
            .with(|stand| stand.as_ref().map(|stand| (0..stand.steps.len()).map(|at| at.to_string()).collect()))
            .unwrap_or_default()
    };
    let line = move |id: &str| {
        let at: usize = id.parse().unwrap_or_default();
        let read = move |write: fn(App, &Package, &Procedure, usize) -> String| {
            move || {
                stand
                    .with(|stand| {
                        let stand = stand.as_ref()?;
                        (at < stand.steps.len()).then(|| app.document.with(|package| write(app, package, stand, at)))
                    })
                    .unwrap_or_default()
            }
        };
        el("li")
            .class("balance__line")
            .live_class("balance__line--now", move || {
                stand.with(|stand| stand.as_ref().and_then(|stand| stand.open)) == Some(at)
            })
            .child(span("balance__name").live_words(read(|_, package, stand, at| {
                format!("{}: {}", stand.steps[at].name, words::step_name(package, &stand.steps[at]))
            })))
            .child(
                span("balance__came")
                    .test(&format!("came-{at}"))
                    .live_words(read(|app, _, stand, at| words::progress(app.style(), &stand.steps[at]))),
            )
    };
    section("balance-so-far", "The order of work")
        .child(el("ol").class("balance__order").each(ids, line))
        .child(log(app, stand))
}

/// Logging what has been found, as often as more of it is found.
fn log(app: App, stand: Stand) -> El {
    let found = move || {
        stand.with(|stand| stand.as_ref().map(|stand| (stand.held.clone(), stand.faces.clone())).unwrap_or_default())
    };
    let none = move || found() == Default::default();
    let logged = move || {
        let (held, faces) = found();
        app.document.with(|package| {
            let id = package.balancing.as_ref().and_then(|began| began.log);
            package.logs.iter().any(|log| Some(log.id) == id && log.axes == held && log.faces == faces)
        })
    };
    let names = move || {
        let (held, faces) = found();
        app.document.with(|package| words::axes(package, &held, &faces))
    };
    let full = move || app.document.with(|package| package.logs.len() >= MAX_LOGS);
    div("balance__log")
        .hidden(none)
        .child(p("", "").live_words(move || format!("Found to stay put: {}.", names())))
        .child(
            button("balance-log", "Log this balance", move || log_now(app))
                .class("button--main button--wide")
                .hidden(logged)
                .live_flag("disabled", full),
        )
        .child(
            p("balance__logged", "It is logged: the next prediction builds on it. ")
                .test("balance-logged")
                .hidden(move || !logged())
                .child(el("a").attr("href", &Screen::Logs.hash()).test("see-learned").words("What was learned")),
        )
}

fn log_now(app: App) {
    let found = app.document.now(|package| log_found(package).ok().flatten());
    let Some(found) = found else { return };
    app.document.edit(|package| {
        let id = found.id;
        match package.logs.iter_mut().find(|log| log.id == id) {
            Some(log) => *log = found,
            None => package.logs.push(found),
        }
        super::change(package, |began| began.log = Some(id));
    });
}
