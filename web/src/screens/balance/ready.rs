//! What comes before the first axis: a list to tick.

use solver::balance::procedure::READY;

use super::super::answers::set_to_target;
use super::super::shared::section;
use super::change;
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::show::Kind;
use crate::ui::choice::switch;

/// The item that says where the slides stand.
const MARKS: &str = "marks";

/// The list.
pub(super) fn view(app: App) -> El {
    let items = READY.iter().map(move |(id, words)| {
        switch(words, &format!("ready-{id}"), move || is_ticked(app, id), move |ticked| tick(app, id, ticked))
    });
    let marks = move || {
        let style = app.style();
        let marks = app.document.report(|report| {
            let one = |slide: &solver::report::SlideReport| {
                format!("{} {}", slide.name, style.show(Kind::Mark, slide.target_m.value))
            };
            report.slides.iter().map(one).collect::<Vec<_>>().join(", ")
        });
        format!("Predicted marks: {}.", marks.unwrap_or_default())
    };
    section("balance-ready", "Before you balance")
        .child(p("quiet", "Anything that goes on later spoils what you find now."))
        .child(div("balance__ready").children(items))
        .child(p("balance__predicted", "").live_words(marks))
        .child(
            el("button")
                .class("button button--main button--wide")
                .attr("type", "button")
                .test("ready-all")
                .words("All of this is done: begin")
                .press(move || {
                    set_to_target(app, None);
                    app.document.edit(|package| {
                        change(package, |began| began.ready = READY.iter().map(|(id, _)| (*id).to_owned()).collect());
                    });
                }),
        )
}

fn is_ticked(app: App, id: &str) -> bool {
    app.document
        .with(|package| package.balancing.as_ref().is_some_and(|began| began.ready.iter().any(|ticked| ticked == id)))
}

fn tick(app: App, id: &str, ticked: bool) {
    if id == MARKS && ticked {
        set_to_target(app, None);
    }
    app.document.edit(|package| {
        change(package, |began| {
            began.ready.retain(|other| other != id);
            if ticked {
                began.ready.push(id.to_owned());
            }
        });
    });
}
