//! Fit: whether the camera goes on and turns clear, drawn along every level axis, with the part named that does not.

mod turning;

use std::cell::Cell;
use std::rc::Rc;

use leptos::prelude::*;
use solver::finding::Severity;
use solver::fit::{FitFinding, FitReport, Obstacle, OpeningFit, RodFit, Sweep, fit};
use solver::package::{Mounting, Package};

use super::Fits;
use super::shared::{back, line, section};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::drawing;
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::ui::choice::radios;
use crate::ui::in_place::in_place;
use crate::ui::rest::when_rested;
use crate::words::{MOUNTINGS, WHO_DECIDES};

thread_local! {
    /// The mounting that was looked at last on this visit; the first move's to begin with.
    static CHOSEN: Cell<Option<usize>> = const { Cell::new(None) };
}

/// The screen.
pub(crate) fn view(app: App) -> El {
    // Worked out once for all of the screen; nothing while the package has a fault.
    let found = Memo::new(move |_| app.document.with(|package| fit(package).ok()));
    let read = move |show: &dyn Fn(Style, &FitReport) -> Vec<El>| {
        found.with(|found| match found {
            Some(report) => show(app.style(), report),
            None => vec![p("quiet", "Not worked out while the package has a fault.")],
        })
    };
    let mounting = RwSignal::new(CHOSEN.with(Cell::get).unwrap_or_else(|| app.document.now(first_mounting)));
    let turn = move |index: usize| {
        CHOSEN.with(|kept| kept.set(Some(index)));
        mounting.set(index);
    };
    let words = MOUNTINGS.iter().map(|(_, word)| *word).collect();
    let turning = move || {
        let (mounting, _) = MOUNTINGS[mounting.get()];
        read(&|style, report| {
            app.document
                .with(|package| report.sweeps.iter().map(|sweep| axis(style, package, sweep, mounting)).collect())
        })
    };
    div("screen")
        .child(back(Screen::Answers, "to-answers", "Answers"))
        .child(
            section("fit-findings", "Does it fit").child(
                div("fit").test("fit-findings").live(move || read(&|style, report| findings(app, style, report))),
            ),
        )
        .child(
            section("fit-turning", "How far it turns")
                .child(radios(
                    "The head is",
                    "fit-mounting",
                    words,
                    Rc::new(move || Some(mounting.get())),
                    Rc::new(turn),
                ))
                .child(div("fit__axes").live(turning)),
        )
        .child(section("fit-rods", "Rods").child(div("table").live(move || read(&rods))))
        .child(section("fit-opening", "Opening").child(div("table").live(move || read(&opening))))
        .child(section("fit-drawn", "Elevations").child(drawing::view(app)))
        .child(
            section("fit-assumed", "Taken for granted")
                .child(el("ul").class("plain-list").live(move || read(&assumed)))
                .child(p("quiet", WHO_DECIDES)),
        )
}

/// Keeps the answers told of what does not fit. Ask [`crate::later`] before.
#[inline(never)]
pub(crate) fn follow(app: App) {
    let look = move || {
        let style = app.style();
        let found = app.document.with(|package| fit(package).ok()).map_or_else(Vec::new, |report| report.findings);
        // Notes stay on their own screen: what comes late must not push aside what a finger is on for less than a watch.
        let grave = found.iter().filter(|finding| finding.severity != Severity::Note);
        let found = grave.map(|finding| (finding.severity, finding.words(&style))).collect();
        let fits = Fits { known: true, found };
        if app.fits.with(|before| *before != fits) {
            in_place(|| app.fits.set(fits));
        }
    };
    untrack(look);
    when_rested(app, look);
}

/// Place in the list of the mounting that the first move has.
fn first_mounting(package: &Package) -> usize {
    let first = package.moves.first().map_or(Mounting::Hung, |each| each.mounting);
    MOUNTINGS.iter().position(|(mounting, _)| *mounting == first).unwrap_or(0)
}

fn findings(app: App, style: Style, report: &FitReport) -> Vec<El> {
    let none = report.findings.iter().all(|finding| finding.severity == Severity::Note);
    let clear =
        none.then(|| p("verdict__clear", "Everything goes on and turns as far as the moves ask.").test("fit-clear"));
    let lines = report.findings.iter().map(|finding| {
        let class = match finding.severity {
            Severity::NoGo => "finding finding--no-go",
            Severity::Watch => "finding finding--watch",
            Severity::Note => "finding finding--note",
        };
        let word = el("strong").class("finding__word").words(&finding.severity.to_string());
        p(class, "")
            .test("fit-finding")
            .child(word)
            .words(" ")
            .words(&finding.words(&style))
            .children(to_part(app, finding))
    });
    clear.into_iter().chain(lines).collect()
}

/// The way to the part that is in the way, where it is one of the list: its length, its place or that it is left off
/// mends it.
fn to_part(app: App, finding: &FitFinding) -> Option<El> {
    let by_name = |package: &Package| package.parts.iter().find(|part| part.name == finding.part).map(|part| part.id);
    let id = app.document.with(by_name).filter(|_| finding.severity != Severity::Note)?;
    let way = el("a").class("finding__way").attr("href", &Screen::Part(id).hash()).test("fit-to-part");
    Some(way.words(&format!("Open \"{}\"", finding.part)))
}

/// One axis: its drawing, how far it is free either way, and what stops it.
fn axis(style: Style, package: &Package, sweep: &Sweep, mounting: Mounting) -> El {
    let senses = package.head.joints().find(|joint| joint.id == sweep.joint).map(|joint| joint.turns.clone());
    let word = |end: usize| {
        let turns = senses.as_ref();
        turns.map(|turns| if end == 0 { turns.minus.clone() } else { turns.plus.clone() }).unwrap_or_default()
    };
    let ends = [0, 1].map(|end| {
        let angle = style.show(Kind::Angle, sweep.free_rad[end].abs());
        let test = format!("fit-{}-{}", sweep.joint, if end == 0 { "minus" } else { "plus" });
        line(&test, &word(end), &format!("{angle}: {}", stop_words(sweep, end)))
            .attr("data-value", &format!("{}", sweep.free_rad[end]))
    });
    let wanted = package.moves.iter().flat_map(|each| &each.ranges).filter(|range| range.joint == sweep.joint);
    let wanted = wanted.map(|range| range.range_rad).reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]);
    let asked = wanted.map(|wanted| {
        let [low, high] = wanted.map(|rad| style.show(Kind::Angle, rad.abs()));
        line(
            &format!("fit-{}-asked", sweep.joint),
            "Today's moves ask for",
            &format!("{} {low}, {} {high}", word(0), word(1)),
        )
    });
    div("fit__axis")
        .child(el("h3").words(&sweep.name))
        .child(turning::view(sweep, mounting))
        .child(p("quiet", turning::caption(sweep, mounting)))
        .child(div("table").children(ends).children(asked))
}

fn stop_words(sweep: &Sweep, end: usize) -> String {
    match &sweep.stops[end] {
        None => "all the way round".to_owned(),
        Some(stop) if stop.against == Obstacle::Limit => stop.against.words().to_owned(),
        Some(stop) => format!("\"{}\" meets {}", stop.part, stop.against.words()),
    }
}

fn rods(style: Style, report: &FitReport) -> Vec<El> {
    if report.rods.is_empty() {
        return vec![p("quiet", "No rods ride.")];
    }
    report.rods.iter().flat_map(|rods| rod_lines(style, rods)).collect()
}

fn rod_lines(style: Style, rods: &RodFit) -> Vec<El> {
    let mm = |m: f64| style.show(Kind::Length, m);
    let mut lines = vec![p("cost__verdict", &rods.name)];
    match (rods.length_needed_m, &rods.furthest) {
        (Some(needed_m), Some(furthest)) => {
            let words = format!("{}, for \"{furthest}\"", mm(needed_m));
            lines.push(line("rods-needed", "Length needed", &words).attr("data-value", &format!("{needed_m}")));
        }
        _ => lines.push(line("rods-needed", "Length needed", "nothing clamps on them")),
    }
    lines.push(line("rods-front", "They end ahead of the mount by", &mm(rods.front_m)));
    if let (Some(air_m), Some(lens)) = (rods.lens_air_m, &rods.lens) {
        let words = if air_m < 0.0 { format!("none: {} too deep", mm(-air_m)) } else { mm(air_m) };
        lines.push(line("rods-air", &format!("Air under {lens}"), &words).attr("data-value", &format!("{air_m}")));
    }
    if let Some(turning) = &rods.turning {
        let end = |end: usize| {
            let angle = style.show(Kind::Angle, turning.free_rad[end].abs());
            let clear = turning.stops[end].as_ref().is_none_or(|stop| stop.against == Obstacle::Limit);
            if clear { format!("clear to {angle}") } else { format!("meet something at {angle}") }
        };
        let words = format!("{} one way, {} the other", end(0), end(1));
        lines.push(line("rods-turning", &format!("The rods alone, turned in {}", turning.name), &words));
    }
    lines
}

fn opening(style: Style, report: &FitReport) -> Vec<El> {
    let Some(fit) = &report.opening else {
        return vec![p("quiet", "The head states no opening, or no body rides.")];
    };
    let mm = |m: f64| style.show(Kind::Length, m);
    let OpeningFit { part: _, widest, width_needed_m, width_m, height_needed_m, height_m } = fit;
    vec![
        line(
            "opening-width",
            &format!("{widest} needs a width of"),
            &format!("{} of {}", mm(*width_needed_m), mm(*width_m)),
        )
        .attr("data-value", &format!("{width_needed_m}")),
        line(
            "opening-height",
            "With its plates a height of",
            &format!("{} of at most {}", mm(*height_needed_m), mm(height_m[1])),
        )
        .attr("data-value", &format!("{height_needed_m}")),
    ]
}

fn assumed(_style: Style, report: &FitReport) -> Vec<El> {
    report.assumed.iter().map(|words| el("li").words(words)).collect()
}
