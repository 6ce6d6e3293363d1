//! What the logged balances taught, in words, and never more than they can tell.

use leptos::prelude::*;
use solver::Package;
use solver::answer::Estimate;
use solver::balance::{AxisLesson, Lesson, take_over};
use solver::package::{CgSource, Element, LoggedOf, MassSource, PartMass};
use solver::report::LearnedReport;

use super::super::shared::{button, section};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::show::{Kind, Style};

/// Words for further along an axis, and against it.
const FURTHER: [[&str; 2]; 3] =
    [["further forward", "further back"], ["further left", "further right"], ["higher", "lower"]];

/// Whether the logs agree, and what they taught.
pub(super) fn view(app: App) -> El {
    let learned = Memo::new(move |_| app.document.report(|report| report.learned.clone()).flatten());
    let none = move || learned.with(Option::is_none);
    let parts = move || learned.with(|learned| learned.as_ref().map(told_ids).unwrap_or_default());
    let axes = move || {
        learned.with(|learned| {
            let lines = learned.iter().flat_map(|learned| &learned.axes);
            lines.map(|axis| el("li").words(&of_axis(app.style(), axis))).collect::<Vec<_>>()
        })
    };
    let untold = move || parts().is_empty();
    section("balance-learned", "What was learned")
        .child(p("quiet", "Nothing yet: no balance is logged.").hidden(move || !none()))
        .child(
            div("")
                .hidden(none)
                .child(p("", "").test("agreement").live_words(move || {
                    learned.with(|learned| learned.as_ref().map(|learned| agreement(app, learned))).unwrap_or_default()
                }))
                .child(el("ul").class("plain-list").test("learned-axes").live(axes))
                .child(div("list").test("learned-parts").each(parts, move |id| lesson(app, learned, id)))
                .child(
                    p("quiet", "No single part can be told apart from the others yet. A balance with another lens, or with a part taken off, tells more.")
                        .test("learned-untold")
                        .hidden(move || !untold()),
                ),
        )
}

/// The χ² test, in words.
fn agreement(app: App, learned: &LearnedReport) -> String {
    let Some(agreement) = &learned.agreement else { return String::new() };
    let style = app.style();
    let test = format!(
        "χ² {} on {}, probability {}",
        style.plain(agreement.chi_squared, 1),
        agreement.degrees,
        style.plain(agreement.probability, 2)
    );
    if agreement.suspects.is_empty() {
        return format!("The logs agree with each other and with what was entered ({test}).");
    }
    let names: Vec<String> =
        app.document.with(|package| agreement.suspects.iter().filter_map(|of| name_of(package, of)).collect());
    let who = match names.as_slice() {
        [one] => format!("Look at {one} first."),
        names => format!("The fault may be in any of these: {}. The logs cannot tell them apart.", names.join(", ")),
    };
    format!("The logs do not fit what was entered ({test}). {who}")
}

/// All that an axis carries together: what a balance measures.
fn of_axis(style: Style, axis: &AxisLesson) -> String {
    let told: Vec<String> = (0..3)
        .filter_map(|along| {
            let error = axis.cg_error_m[along]?;
            Lesson::told(&error).then(|| further(style, along, &error))
        })
        .collect();
    let name = &axis.name;
    if told.is_empty() {
        return format!("{name}: all that it carries hangs as entered, as far as friction lets it be told.");
    }
    format!("{name}: all that it carries hangs {} than entered.", told.join(" and "))
}

fn further(style: Style, along: usize, error: &Estimate) -> String {
    let [plus, minus] = FURTHER[along];
    let word = if error.value > 0.0 { plus } else { minus };
    let (by, u) = (style.uncertain(Kind::Length, error.value.abs(), error.u), style.plus_minus(Kind::Length, error.u));
    format!("{by} {word} ({u})")
}

/// Bodies about which something is told, or whose lesson stands in the package already.
fn told_ids(learned: &LearnedReport) -> Vec<String> {
    let told = |lesson: &&Lesson| {
        lesson.taken_over || Lesson::told(&lesson.mass_error_kg) || lesson.cg_error_m.iter().any(Lesson::told)
    };
    learned.lessons.iter().filter(told).map(|lesson| key(&lesson.of)).collect()
}

fn key(of: &LoggedOf) -> String {
    match of {
        LoggedOf::Part(id) => format!("part-{id}"),
        LoggedOf::Lens(id) => format!("lens-{id}"),
        LoggedOf::Yoke(place) => format!("yoke-{place}"),
    }
}

/// One body: what was learned, and writing it into the package.
fn lesson(app: App, learned: Memo<Option<LearnedReport>>, id: &str) -> El {
    let mine = {
        let id = id.to_owned();
        move || {
            learned.with(|learned| {
                learned
                    .as_ref()
                    .and_then(|learned| learned.lessons.iter().find(|lesson| key(&lesson.of) == id).cloned())
            })
        }
    };
    let words = {
        let mine = mine.clone();
        move || {
            let style = app.style();
            mine().map(|lesson| app.document.with(|package| of_body(style, package, &lesson))).unwrap_or_default()
        }
    };
    let taken = {
        let mine = mine.clone();
        move || mine().is_some_and(|lesson| lesson.taken_over)
    };
    let not_taken = {
        let taken = taken.clone();
        move || !taken()
    };
    let take = move || {
        let Some(lesson) = untrack(&mine) else { return };
        let taught = app.document.now(|package| take_over(package, &lesson.of));
        if let Some(taught) = taught {
            app.document.edit(|package| *package = taught);
        }
    };
    div("list__item balance__lesson")
        .child(p("", "").test(&format!("learned-{id}")).live_words(words))
        .child(button(&format!("take-{id}"), "Write it into the package", take).hidden(taken))
        .child(p("quiet", "The package has it: learned from logged balances. Undo takes it back.").hidden(not_taken))
}

/// What was learned about one body, against where the entered values came from.
fn of_body(style: Style, package: &Package, lesson: &Lesson) -> String {
    let name = name_of(package, &lesson.of).unwrap_or_default();
    let (mass_from, cg_from) = sources(package, &lesson.of);
    let mut told = Vec::new();
    let mass = &lesson.mass_error_kg;
    if Lesson::told(mass) {
        let word = if mass.value > 0.0 { "more" } else { "less" };
        let (by, u) = (style.uncertain(Kind::Mass, mass.value.abs(), mass.u), style.plus_minus(Kind::Mass, mass.u));
        told.push(format!("it weighs {by} {word} ({u}) than {}", mass_words(mass_from)));
    }
    let cg: Vec<String> = (0..3)
        .filter(|along| Lesson::told(&lesson.cg_error_m[*along]))
        .map(|along| further(style, along, &lesson.cg_error_m[along]))
        .collect();
    if !cg.is_empty() {
        told.push(format!("its centre of gravity lies {} than {}", cg.join(" and "), cg_words(cg_from)));
    }
    if told.is_empty() { format!("{name}: as learned.") } else { format!("{name}: {}.", told.join("; ")) }
}

fn mass_words(from: Option<MassSource>) -> &'static str {
    match from {
        Some(MassSource::BenchScale | MassSource::LuggageScale) => "the scale said",
        Some(MassSource::DataSheet) => "the sheet says",
        Some(MassSource::Estimate) => "was guessed",
        Some(MassSource::Typical) => "the typical one does",
        Some(MassSource::Balance) | None => "was entered",
    }
}

fn cg_words(from: Option<CgSource>) -> &'static str {
    match from {
        Some(CgSource::Measured) => "was measured",
        Some(CgSource::DataSheet) => "the sheet says",
        Some(CgSource::Estimate) => "was guessed",
        Some(CgSource::Typical) => "that of the typical one",
        Some(CgSource::Balance) | None => "was entered",
    }
}

fn sources(package: &Package, of: &LoggedOf) -> (Option<MassSource>, Option<CgSource>) {
    match of {
        LoggedOf::Part(id) => package.parts.iter().find(|part| part.id == *id).map_or((None, None), |part| {
            let mass = if let PartMass::Own(mass) = &part.mass { Some(mass.from) } else { None };
            (mass, Some(part.cg.from))
        }),
        LoggedOf::Lens(id) => {
            let lens = package.lenses.iter().find(|lens| lens.id == *id);
            lens.map_or((None, None), |lens| (Some(lens.mass.from), Some(lens.cg_from)))
        }
        LoggedOf::Yoke(place) => match package.head.chain.get(*place) {
            Some(Element::Yoke(yoke)) => (Some(yoke.mass.from), Some(yoke.cg.from)),
            _ => (None, None),
        },
    }
}

/// The name of a logged body; `None` when it is no longer in the package.
fn name_of(package: &Package, of: &LoggedOf) -> Option<String> {
    match of {
        LoggedOf::Part(id) => package.parts.iter().find(|part| part.id == *id).map(|part| part.name.clone()),
        LoggedOf::Lens(id) => package.lenses.iter().find(|lens| lens.id == *id).map(|lens| lens.name.clone()),
        LoggedOf::Yoke(place) => match package.head.chain.get(*place) {
            Some(Element::Yoke(yoke)) => Some(yoke.name.clone()),
            _ => None,
        },
    }
}

/// The lens of a log, by name.
pub(super) fn lens_of_log(package: &Package, log: &solver::package::LoggedBalance) -> Option<String> {
    log.bodies.iter().find(|body| matches!(body.of, LoggedOf::Lens(_))).and_then(|body| name_of(package, &body.of))
}
