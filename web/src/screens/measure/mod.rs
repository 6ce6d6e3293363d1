//! Weigh and measure with what a crew has, and put the value into the package with its ±.

mod gauge;
mod knife;
mod scales;
mod sketch;
mod swing;
mod target;
mod trial;

use std::cell::Cell;
use std::rc::Rc;

use leptos::prelude::*;
use solver::answer::Estimate;
use solver::measure::{Advice, Measurement, advice};

use super::reading::{Reading, reading};
use super::shared::{back, line, section};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::ui::choice::radios;
use crate::words::HOLD_THE_CAMERA;

/// The ways of measuring, in the order of the choice: its word, and its part of the screen.
const WAYS: [(&str, fn(App) -> El); 5] = [
    ("Two scales", scales::view),
    ("Knife edge", knife::view),
    ("Spring gauge", gauge::view),
    ("Trial slide", trial::view),
    ("Swing", swing::view),
];

thread_local! {
    /// The way that was chosen last on this visit.
    static CHOSEN: Cell<usize> = const { Cell::new(0) };
}

/// The screen.
pub(crate) fn view(app: App) -> El {
    let chosen = RwSignal::new(CHOSEN.with(Cell::get).min(WAYS.len() - 1));
    let choose = move |index: usize| {
        CHOSEN.with(|kept| kept.set(index));
        chosen.set(index);
    };
    let way = div("screen").live(move || {
        let (_, build) = WAYS[chosen.get()];
        vec![untrack(|| build(app))]
    });
    let words = WAYS.map(|(word, _)| word).to_vec();
    div("screen")
        .child(back(Screen::Answers, "to-answers", "Answers"))
        .child(first(app))
        .child(section("measure-way", "How").child(radios(
            "With",
            "measure-way",
            words,
            Rc::new(move || Some(chosen.get())),
            Rc::new(choose),
        )))
        .child(way)
}

/// Which measurement would narrow each mark most.
fn first(app: App) -> El {
    let lines = move || {
        let style = app.style();
        let rows = app.document.with(|package| {
            let row = |slide: &solver::package::Slide| {
                let best = advice(package, &slide.id).ok()?.into_iter().next()?;
                Some((slide.id.clone(), slide.name.clone(), best))
            };
            package.head.slides().rev().filter_map(row).collect::<Vec<_>>()
        });
        if rows.is_empty() {
            return vec![p("quiet", "No single measurement would narrow a mark much.")];
        }
        let row = |(slide, name, best): (String, String, Advice)| {
            line(&format!("advice-{slide}"), &name, &advice_words(style, &best))
        };
        rows.into_iter().map(row).collect()
    };
    section("measure-first", "What would narrow a mark most").child(div("table").live(lines))
}

fn advice_words(style: Style, advice: &Advice) -> String {
    let what = match advice.measurement {
        Measurement::Weigh => "weigh",
        Measurement::FindCg => "find the centre of gravity of",
    };
    let [now, then] = [advice.now_u_m, advice.then_u_m].map(|u| style.fine_plus_minus(Kind::Mark, u, 1));
    format!("{what} {}: {now} becomes {then} {}", advice.name, style.unit(Kind::Mark))
}

/// A way of measuring: its drawing, what is done, its fields and its answer.
fn way(id: &str, title: &str, drawing: El, steps: &[&str], fields: Vec<El>, answer: El) -> El {
    let steps = steps.iter().map(|step| el("li").words(step));
    section(id, title).child(drawing).child(el("ol").class("ordered").children(steps)).children(fields).child(answer)
}

/// The ± of a rule, a millimetre unless told otherwise.
fn rule_u() -> Reading {
    reading("Your rule is good to ±", Kind::Length, &solver::bounds::OFFSET_U_M, "rule-u").usual(0.001)
}

/// The ± of a spring gauge.
fn gauge_u() -> Reading {
    const PULL_U_N: solver::bounds::Bounds =
        solver::bounds::Bounds { min: 0.0, max: 50.0, steps_per_unit: 100.0, unit: "N" };
    reading("Your gauge is good to ±", Kind::Force, &PULL_U_N, "gauge-u").usual(0.1)
}

/// The ± of the tip of the base, a degree unless told otherwise.
fn tip_u() -> Reading {
    const TIP_U_RAD: solver::bounds::Bounds =
        solver::bounds::Bounds { min: 0.0, max: 0.5, steps_per_unit: 1e6, unit: "rad" };
    reading("The tip is set to ±", Kind::Angle, &TIP_U_RAD, "tip-u").usual(solver::measure::TIP_U_RAD)
}

/// A value with its ±, both as fine as a measurement deserves.
fn value_words(style: Style, kind: Kind, estimate: Estimate, decimals: usize) -> String {
    let least = (0..decimals).fold(1.0, |least, _| least / 10.0);
    let one = style.fine_plus_minus(kind, estimate.u, decimals);
    let nothing = format!("±{}", style.plain(0.0, decimals));
    // An uncertainty is never shown as nothing.
    let u = if one == nothing { format!("±{}", style.plain(least, decimals)) } else { one };
    format!("{} {}", style.fine(kind, estimate.value, decimals), style.with_unit(u, kind))
}

/// A line of the answer: its name, a value with its ±, and the whole number for the tests.
fn value_line(style: Style, test: &str, name: &str, kind: Kind, estimate: Estimate, decimals: usize) -> El {
    line(test, name, &value_words(style, kind, estimate, decimals)).attr("data-value", &format!("{}", estimate.value))
}

/// The arithmetic, folded.
fn arithmetic(style: Style, term: &solver::explain::Term) -> El {
    el("details")
        .class("row")
        .child(el("summary").class("row__summary").child(span("row__name").words("The arithmetic")))
        .child(crate::screens::reasons::terms(style, term))
}

/// What is said where the readings give no answer yet, or none that makes sense.
fn not_yet(filled: bool, hint: &str) -> Vec<El> {
    vec![p("quiet", if filled { hint } else { "Fill in every field." })]
}

/// The caution of everything that is done with a clamp open.
fn hold() -> El {
    p("caution", HOLD_THE_CAMERA)
}
