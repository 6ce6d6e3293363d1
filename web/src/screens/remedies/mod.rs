//! What would make the package hang, best first, each applied with one tap; and what each addition does to the marks.

mod at_hand;
mod ladder;
mod offer;

use std::time::Duration;

use leptos::prelude::*;
use solver::finding::{Finding, Matter};
use solver::report::Report;

use super::shared::{back, button, line, section};
use crate::app::App;
use crate::dom::{El, div, effect, el, p};
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::words::{HOLD_THE_CAMERA, WHO_DECIDES};
use offer::{Offer, offers};

/// After the last change, so long until the search begins: nobody types against it, and the page has said that it searches.
const BEFORE_SEARCH: Duration = Duration::from_millis(400);

/// What the search has come to.
#[derive(Debug, Clone, PartialEq)]
enum Search {
    /// It has not ended.
    Running,
    /// The package has faults: nothing is searched.
    Faulty,
    /// Nothing is to be mended.
    Hangs,
    /// What was found, best first; nothing when nothing at hand helps.
    Found(Vec<Offer>),
}

/// The remedies.
pub(crate) fn view(app: App) -> El {
    let search = RwSignal::new(Search::Running);
    follow(app, search);
    let applied = RwSignal::new(None::<String>);
    div("screen")
        .test("remedies")
        .live_attr("data-value", move || Some(search.with(state_word).to_owned()))
        .child(back(Screen::Answers, "to-answers", "Answers"))
        .child(matters(app))
        .child(mending(app, search, applied))
        .child(at_hand::view(app))
        .child(ladder::view(app))
}

fn state_word(search: &Search) -> &'static str {
    match search {
        Search::Running => "searching",
        Search::Faulty => "faulty",
        Search::Hangs => "hangs",
        Search::Found(offers) if offers.is_empty() => "none",
        Search::Found(_) => "found",
    }
}

/// Searches anew whenever the package changes; of changes in quick succession only the last counts.
fn follow(app: App, search: RwSignal<Search>) {
    let timer = StoredValue::new(None::<TimeoutHandle>);
    let stop = move || {
        if let Some(timer) = timer.try_update_value(Option::take).flatten() {
            timer.clear();
        }
    };
    on_cleanup(stop);
    effect(Box::new(move || {
        let package = app.document.package();
        let outcome = app.document.outcome();
        stop();
        match outcome.as_ref() {
            Err(_) => search.set(Search::Faulty),
            Ok(report) if !report.findings.iter().any(is_mendable) => search.set(Search::Hangs),
            Ok(_) => {
                search.set(Search::Running);
                let run = move || {
                    if let Ok(report) = outcome.as_ref() {
                        let _ = search.try_set(Search::Found(offers(&package, report)));
                    }
                };
                timer.set_value(set_timeout_with_handle(run, BEFORE_SEARCH).ok());
            }
        }
    }));
}

/// Whether a change of the build can mend it.
fn is_mendable(finding: &Finding) -> bool {
    matches!(finding.matter, Matter::TooHeavy { .. } | Matter::OutOfTravel { .. } | Matter::NotNeutral { .. })
}

/// What keeps the package from hanging.
fn matters(app: App) -> El {
    let style = move || app.style();
    let entry = move |finding: &Finding| p("finding finding--no-go", &finding.words(&style())).test("matter");
    let lines = move |report: &Report| -> Vec<El> {
        report.findings.iter().filter(|finding| is_mendable(finding)).map(entry).collect()
    };
    div("matters").live(move || match app.document.outcome().as_ref() {
        Ok(report) => lines(report),
        Err(_) => vec![p("finding", "The package has a fault: mend that first, on the answers.")],
    })
}

fn mending(app: App, search: RwSignal<Search>, applied: RwSignal<Option<String>>) -> El {
    let list = el("ol").class("remedies").live(move || match search.get() {
        Search::Found(offers) => {
            let style = app.style();
            offers.iter().enumerate().map(|(place, each)| one(app, style, place, each, applied)).collect()
        }
        _ => Vec::new(),
    });
    let state = move || match search.get() {
        Search::Running => "Trying every change and every pair of changes…",
        Search::Faulty => "Nothing is tried while the package has a fault.",
        Search::Hangs => "At its predicted marks it hangs: no remedy is needed.",
        Search::Found(offers) if offers.is_empty() => {
            "No change, and no pair of changes, from what is at hand makes it hang. Take something off, or use a larger head."
        }
        Search::Found(_) => {
            "What also fits first; then least mass, least inertia, fewest changes. Every line makes it hang."
        }
    };
    let done = move || applied.get().map(|words| format!("Done: {words}. Undo, at the top, takes it back."));
    section("remedies-title", "What would make it hang")
        .child(
            p("added", "")
                .attr("role", "status")
                .test("applied")
                .hidden(move || done().is_none())
                .live_words(move || done().unwrap_or_default()),
        )
        .child(p("quiet", "").attr("role", "status").live_words(move || state().to_owned()))
        .child(list)
        .child(p("caution", HOLD_THE_CAMERA).hidden(move || search.with(|search| *search == Search::Hangs)))
        .child(p("quiet", WHO_DECIDES))
}

fn one(app: App, style: Style, place: usize, offer: &Offer, applied: RwSignal<Option<String>>) -> El {
    let words = offer.words(style);
    let (remedy, said) = (offer.remedy.clone(), words.clone());
    let costs = offer.costs(style).into_iter().map(|(name, words)| line("remedy-cost", name, &words));
    let marks = offer.marks.iter().map(|mark| {
        line(&format!("remedy-mark-{}", mark.slide), &mark.name, &style.bare(Kind::Mark, mark.target_m))
            .attr("data-value", &format!("{}", mark.target_m))
    });
    el("li")
        .class("remedy")
        .test(&format!("remedy-{place}"))
        .attr("data-value", &format!("{}", offer.remedy.added_kg))
        .attr("data-fits", if offer.remedy.fits() { "yes" } else { "no" })
        .child(p("remedy__what", &words))
        .children(costs)
        .children(offer.unfit(style).iter().map(|words| p("remedy__but", words).test("remedy-but")))
        .child(
            el("details")
                .class("row")
                .child(el("summary").class("row__summary").child(crate::dom::span("row__name").words("Marks with it")))
                .child(div("row__inside").children(marks)),
        )
        .child(
            button(&format!("apply-{place}"), "Do this", move || {
                applied.set(Some(said.clone()));
                app.document.edit(|package| *package = remedy.apply(package));
            })
            .class(if place == 0 { "button--main" } else { "button--other" }),
        )
}
