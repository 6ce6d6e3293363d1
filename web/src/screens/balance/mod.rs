//! Balance step by step: what comes before, one axis at a time, and what was found.

mod done;
mod ends;
mod gauge;
mod learned;
pub(crate) mod logs;
mod ready;
mod step;
pub(crate) mod sure;
mod whole;
mod words;

use leptos::prelude::*;
use solver::Package;
use solver::balance::procedure::{self, Procedure, READY};
use solver::package::{Balancing, LoggedMark, Seen, Slide, Tried};

use super::shared::{back, button, section};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;

/// Where the balance stands, worked out anew with every answer.
type Stand = Memo<Option<Procedure>>;

/// The screen.
pub(crate) fn view(app: App) -> El {
    let stand: Stand = Memo::new(move |_| app.document.with(|package| procedure::procedure(package).ok()));
    let begun = Memo::new(move |_| app.document.with(has_begun));
    let keys = move || {
        let step = stand.with(|stand| stand.as_ref().map(|stand| (stand.open, stand.changed_since)));
        let (tried, other_way) = app.document.with(|package| {
            package.balancing.as_ref().map_or((0, false), |began| (began.tried.len(), began.other_way))
        });
        match step {
            None => vec!["faults".to_owned()],
            Some((_, true)) => vec!["changed".to_owned()],
            Some(_) if !begun.get() => vec!["ready".to_owned()],
            Some((None, _)) => vec!["done".to_owned()],
            Some((Some(open), _)) => vec![format!("{open} {tried} {other_way}")],
        }
    };
    let stage = StoredValue::new(None);
    let shown = move |key: &str| {
        let card = match key {
            "faults" => p("quiet", "The package has faults. The answers say which; mend them first."),
            "changed" => changed(app),
            "ready" => ready::view(app),
            "done" => done::view(app, stand),
            _ => step::view(app, stand),
        };
        let now = key.split(' ').next().map(str::to_owned);
        let before = stage.try_update_value(|stage| std::mem::replace(stage, now.clone())).flatten();
        if before.is_some() && before != now {
            from_its_top(card.raw());
        }
        card
    };
    let back = back(Screen::Answers, "to-answers", "Answers");
    div("screen balance")
        .child(back)
        .child(div("screen").each(keys, shown))
        .child(done::so_far(app, stand))
        .child(more())
}

/// Another step begins with how the head must stand: where the page has been moved past that, it comes back into view.
fn from_its_top(card: &web_sys::Element) {
    let card = card.clone();
    request_animation_frame(move || {
        if card.get_bounding_client_rect().top() < 0.0 {
            card.scroll_into_view();
        }
    });
}

/// The ways on from here.
fn more() -> El {
    let link = |screen: Screen, test: &str, name: &str, what: &str| {
        el("a").class("list__item").attr("href", &screen.hash()).test(test).child(
            el("span")
                .class("list__link")
                .child(span("list__name").words(name))
                .child(span("list__detail").words(what)),
        )
    };
    section("balance-more", "Besides")
        .child(link(
            Screen::Logs,
            "to-logs",
            "Logged balances",
            "Log one by hand, see what they taught, take one back.",
        ))
        .child(link(
            Screen::Sureness,
            "to-sureness",
            "How sure the marks are",
            "The chance that each holds, and the one measurement that would help most.",
        ))
}

/// Another lens or other parts: what was tried before says nothing about them.
fn changed(app: App) -> El {
    section("balance-changed", "Not the same package any more")
        .child(p(
            "",
            "The lens or the parts on the head have changed since this balance began. What was tried no longer counts.",
        ))
        .child(button("balance-restart", "Begin again", move || restart(app)))
}

/// Whether the list of what comes before is done.
fn has_begun(package: &Package) -> bool {
    package
        .balancing
        .as_ref()
        .is_some_and(|began| READY.iter().all(|(id, _)| began.ready.iter().any(|done| done == id)))
}

/// Changes the balance that is being found; begins one where none is.
fn change(package: &mut Package, change: impl FnOnce(&mut Balancing)) {
    let mut began = package.balancing.take().unwrap_or_else(|| procedure::begin(package));
    change(&mut began);
    package.balancing = Some(began);
}

fn restart(app: App) {
    app.document.edit(|package| package.balancing = None);
}

/// An answer: what was seen in a step with its slide at a mark. The slide stands there now.
fn answer(app: App, joint: &str, at: Option<(String, f64)>, seen: Seen) {
    app.document.edit(|package| {
        if let Some((slide, mark_m)) = &at {
            set_mark(package, slide, *mark_m);
        }
        let at = at.map(|(slide, mark_m)| LoggedMark { slide, mark_m });
        change(package, |began| began.tried.push(Tried { joint: joint.to_owned(), at, seen }));
    });
}

fn set_mark(package: &mut Package, id: &str, mark_m: f64) {
    if let Some(slide) = package.head.slides_mut().find(|slide| slide.id == id) {
        slide.mark_m = mark_m.clamp(slide.range_m[0], slide.range_m[1]);
    }
}

/// A slide of the head.
fn slide_of<'a>(package: &'a Package, id: &str) -> Option<&'a Slide> {
    package.head.slides().find(|slide| slide.id == id)
}
