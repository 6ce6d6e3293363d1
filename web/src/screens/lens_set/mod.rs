//! The lens set as a whole: what every lens change costs, one lens for the director of photography, and one set of marks
//! for many lenses.

pub(crate) mod changes;
pub(crate) mod common;
pub(crate) mod preview;
mod room;
mod step_minutes;
mod trim;
pub(crate) mod ways;

use leptos::prelude::*;
use solver::explain::Term;
use solver::lens_set::change::{Handled, Handling, LensChange, SlideChange};
use solver::report::{Tightest, TuneVerdict};

use super::reasons;
use super::shared::line;
use crate::dom::{El, div, el, p, span};
use crate::show::{Kind, Style};
use crate::ui::reasons::summary;

/// Said where a package has a fault.
const FAULT: &str = "Not worked out while the package has a fault.";

/// Minutes: whole or half ones, that is all they deserve.
pub(super) fn minutes(style: Style, min: f64) -> String {
    format!("{}\u{a0}min", style.plain(min, usize::from(min.fract() > 0.0)))
}

/// A line that opens into what it is made of.
fn opens(name: &str, value: &str, inside: Vec<El>) -> El {
    el("details")
        .class("row")
        .child(
            summary().class("row__summary").child(span("row__name").words(name)).child(span("row__value").words(value)),
        )
        .child(div("row__inside").children(inside))
}

/// A line that opens into what is worked out only when somebody looks; `opened` says whether somebody has.
fn folded(name: &str, opened: RwSignal<bool>, inside: El) -> El {
    el("details")
        .class("row")
        .on("toggle", move |_| {
            if !opened.get_untracked() {
                opened.set(true);
            }
        })
        .child(summary().class("row__summary").child(span("row__name").words(name)))
        .child(inside.class("row__inside"))
}

/// The arithmetic behind an answer.
fn arithmetic(style: Style, name: &str, value: &str, term: &Term) -> El {
    opens(name, value, vec![reasons::terms(style, term)])
}

/// The chance that every axis stays put: what rounds to all or to nothing says so in a word.
pub(super) fn stays_put(style: Style, chance: f64) -> String {
    match chance {
        ..0.005 => "hardly".to_owned(),
        0.995.. => "surely".to_owned(),
        _ => style.show(Kind::Share, chance),
    }
}

/// The arithmetic of that chance, and what a change takes the other way: new marks where they may stay, else the marks left.
fn chance(style: Style, change: &LensChange) -> Option<El> {
    let found = change.stays_put.as_ref()?;
    let (way, took) = if change.may_stay { ("new marks", change.minutes_set) } else { ("then", change.minutes_left) };
    let value = format!("{}; {way} {}", stays_put(style, found.chance), minutes(style, took));
    let opened = arithmetic(style, "Every axis stays put, marks left", &value, &found.arithmetic);
    Some(opened.test(&format!("change-{}-stays", change.to)).attr("data-value", &format!("{}", found.chance)))
}

/// What there is to do in a lens change, and what it leaves.
fn work(style: Style, change: &LensChange) -> Vec<El> {
    let id = change.to;
    let mut lines: Vec<El> = change
        .slides
        .iter()
        .map(|slide| line(&format!("change-{id}-{}", slide.slide), &slide.name, &slide_words(style, slide)))
        .collect();
    lines.extend(change.handled.iter().map(|each| line("handled", &each.name, &handled_words(style, each))));
    lines.push(line(&format!("change-{id}-clamps"), "Clamps to open", &change.clamps.to_string()));
    let heavier = if change.mass_kg < 0.0 { "lighter" } else { "heavier" };
    let mass = format!("{} {heavier}", style.show(Kind::Mass, change.mass_kg.abs()));
    lines.push(line(&format!("change-{id}-mass"), "On the arm", &mass));
    if let Some(tightest) = &change.tightest_set {
        lines.push(line(&format!("change-{id}-set"), "New marks", &in_hand(style, tightest)));
    }
    if let Some(tightest) = &change.tightest_left {
        lines.push(line(&format!("change-{id}-left"), "Marks left", &left_words(style, change, tightest)));
    }
    if let Some(tune) = change.tune {
        lines.push(line(&format!("change-{id}-tune"), "Tune", tune_words(tune)));
    }
    vec![div("table").children(lines)]
}

fn slide_words(style: Style, slide: &SlideChange) -> String {
    let to = style.bare(Kind::Mark, slide.to_m);
    if slide.moves {
        format!("{} {}, to {to}", slide.word, style.show(Kind::Mark, slide.change_m.abs()))
    } else {
        format!("stays at {to}")
    }
}

fn handled_words(style: Style, handled: &Handled) -> String {
    match handled.what {
        Handling::On => "goes on".to_owned(),
        Handling::Off => "comes off".to_owned(),
        Handling::Moved { ahead_m } => {
            let way = if ahead_m < 0.0 { "back" } else { "forward" };
            format!("{way} {}", style.show(Kind::Mark, ahead_m.abs()))
        }
    }
}

/// Torque in hand where it is tightest.
fn in_hand(style: Style, tightest: &Tightest) -> String {
    let share = style.show(Kind::Share, tightest.headroom.value);
    format!("{share} in hand ({}, {})", tightest.axis, tightest.move_name)
}

fn left_words(style: Style, change: &LensChange, tightest: &Tightest) -> String {
    if let Some(found) = &change.stays_put {
        return format!("stays put: {}; {}", stays_put(style, found.chance), in_hand(style, tightest));
    }
    if tightest.headroom.value < 0.0 {
        return format!("the motors cannot hold it ({}, {})", tightest.axis, tightest.move_name);
    }
    let took = minutes(style, change.minutes_left);
    format!("{took}, but the motors carry it: {}", in_hand(style, tightest))
}

fn tune_words(tune: TuneVerdict) -> &'static str {
    match tune {
        TuneVerdict::Keep => "keep",
        TuneVerdict::Check => "check",
        TuneVerdict::Redo => "tune again",
    }
}

/// What a lens change comes to, in a few words.
fn short_words(style: Style, change: &LensChange) -> String {
    let slides = change.slides.iter().filter(|slide| slide.moves).count();
    let marks = match (change.stays_put.as_ref().filter(|_| change.may_stay), slides) {
        (Some(found), _) => format!("marks may stay (stays put: {})", stays_put(style, found.chance)),
        (None, 1) => "one slide".to_owned(),
        (None, slides) => format!("{slides} slides"),
    };
    match change.handled.len() {
        0 => marks,
        1 => format!("{marks}, one part"),
        parts => format!("{marks}, {parts} parts"),
    }
}

fn fault() -> Vec<El> {
    vec![p("quiet", FAULT)]
}
