//! Stiffness: how the package swings, what bends, what of it reaches the picture, and what would help most.

mod drawn;
mod fields;

use leptos::prelude::*;
use solver::Package;
use solver::answer::{Answer, Estimate};
use solver::stiffness::{
    SagReport, StiffnessChange, StiffnessReport, StiffnessVerdict, hz_words, ratio_words, stiffness,
};

use super::Stiff;
use super::shared::{back, button, line, section};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::ui::rest::when_rested;
use crate::words::WHO_DECIDES;

/// The answer for the package; `None` while it has a fault or no body.
fn known(package: &Package) -> Option<StiffnessReport> {
    match stiffness(package) {
        Ok(Answer::Known(report)) => Some(report),
        _ => None,
    }
}

/// The screen.
pub(crate) fn view(app: App) -> El {
    // Worked out once for all of the screen.
    let found = Memo::new(move |_| app.document.with(known));
    let read = move |show: &dyn Fn(Style, &StiffnessReport) -> Vec<El>| {
        found.with(|found| match found {
            Some(report) => show(app.style(), report),
            None => vec![p("quiet", "Not known without a body on the head, or while the package has a fault.")],
        })
    };
    div("screen")
        .child(back(Screen::Answers, "to-answers", "Answers"))
        .child(
            section("stiffness-verdict", "Is it stiff enough").child(
                div("fit")
                    .test("stiffness-verdict")
                    .live_value(move || found.with(|found| found.as_ref().map(|report| report.first_hz.value)))
                    .live(move || read(&verdict)),
            ),
        )
        .child(section("stiffness-drawn", "How it swings").child(div("fit__axes").live(move || read(&drawn::view))))
        .child(
            section("stiffness-changes", "What would help")
                .child(div("changes").live(move || read(&|style, report| changes(app, style, report)))),
        )
        .child(fields::view(app))
        .child(section("stiffness-sag", "From level to lens up").child(div("table").live(move || read(&sag))))
        .child(
            section("stiffness-assumed", "Taken for granted")
                .child(el("ul").class("plain-list").live(move || {
                    read(&|_, report| report.assumed.iter().map(|words| el("li").words(words)).collect())
                }))
                .child(p("quiet", WHO_DECIDES)),
        )
}

/// Keeps the answers told how stiff the package is. Ask [`crate::later`] before.
#[inline(never)]
pub(crate) fn follow(app: App) {
    let look = move || {
        let style = app.style();
        let found = app.document.with(known);
        let stiff = Stiff {
            known: true,
            row: found
                .as_ref()
                .map(|report| (report.first_hz.value, hz_words(report.first_hz, &style), row(style, report))),
        };
        if app.stiff.with(|before| *before != stiff) {
            app.stiff.set(stiff);
        }
    };
    untrack(look);
    when_rested(app, look);
}

/// What the first screen and the prep sheet say beside the frequency.
fn row(style: Style, report: &StiffnessReport) -> String {
    let ratio = ratio_words(report.ratio, &style);
    let verdict = format!("{ratio} × the loop crossover: {}.", report.verdict.words());
    match report.changes.first() {
        Some(best) => {
            format!("{verdict} {}: {}.", best.change.words(&style), style.fine(Kind::Frequency, best.first_hz, 0))
        }
        None => verdict,
    }
}

/// One line for the prep sheet.
pub(super) fn on_the_sheet(style: Style, package: &Package) -> String {
    match known(package) {
        Some(report) => format!("First mode {}, {}", hz_words(report.first_hz, &style), row(style, &report)),
        None => "Not known without a body on the head.".to_owned(),
    }
}

fn verdict(style: Style, report: &StiffnessReport) -> Vec<El> {
    let said = match report.verdict {
        StiffnessVerdict::Good => {
            vec![p("cost__verdict", "Stiff enough: within its ± the first mode is at least 4 × the loop crossover.")]
        }
        _ => Vec::new(),
    };
    let mut lines: Vec<El> = report
        .findings
        .iter()
        .map(|finding| super::answers::of_severity(finding.severity, &finding.words(&style)))
        .chain(said)
        .collect();
    let table = div("table")
        .child(line(
            "stiffness-first",
            "First mode",
            &format!("{}, {}", hz_words(report.first_hz, &style), report.plane.words()),
        ))
        .child(line("stiffness-ratio", "Over the loop crossover", &ratio_words(report.ratio, &style)))
        .child(line(
            "stiffness-rule",
            "Common practice",
            "4 and more is stiff enough, below 2.5 will ring; within ± of either, watch",
        ));
    lines.push(table);
    lines
}

fn changes(app: App, style: Style, report: &StiffnessReport) -> Vec<El> {
    if report.changes.is_empty() {
        return vec![p("quiet", "Nothing that was tried lifts the first mode by more than 2 %.")];
    }
    let each = report.changes.iter().enumerate().map(|(place, each)| {
        let (hz, gain) = (style.fine(Kind::Frequency, each.first_hz, 0), style.show(Kind::Share, each.gain));
        let change = each.change.clone();
        let apply = move || app.document.edit(|package| *package = change.applied(package));
        let screws = each.change == StiffnessChange::BodyScrews;
        el("li")
            .class("remedy")
            .test(&format!("stiffer-{place}"))
            .attr("data-value", &format!("{}", each.first_hz))
            .child(p("remedy__what", &each.change.words(&style)))
            .child(p("", &format!("First mode {hz}, {gain} more")))
            .children((!screws).then(|| button(&format!("stiffer-apply-{place}"), "Put it on the package", apply)))
    });
    vec![el("ol").class("remedies").children(each)]
}

fn sag(style: Style, report: &StiffnessReport) -> Vec<El> {
    let SagReport { front_m, body_rad, lens_rad, picture_m, of_height } = &report.sag;
    let fine = |kind: Kind, value: Estimate, least: usize| {
        // A ± that reads as nothing says too much: then a digit more.
        let says = |decimals: &usize| style.fine_bare(kind, value.u, *decimals).contains(|c| ('1'..='9').contains(&c));
        let decimals = (least..least + 3).find(says).unwrap_or(least);
        format!(
            "{} {}",
            style.fine(kind, value.value.abs(), decimals),
            style.with_unit(style.fine_plus_minus(kind, value.u, decimals), kind)
        )
    };
    let missing = |what: &str| format!("enter the {what}");
    let picture = match picture_m {
        Answer::Known(shift) => fine(Kind::Length, *shift, 2),
        Answer::Needs(_) => missing("focal length of the lens"),
    };
    let height = match of_height {
        Answer::Known(share) => fine(Kind::Share, *share, 1),
        Answer::Needs(_) => missing("height of the picture below, and the lens's focal length"),
    };
    vec![
        line("sag-front", "The front goes by", &fine(Kind::Length, *front_m, 1)),
        line("sag-body", "The body turns, unseen by the sensor, by", &fine(Kind::Angle, *body_rad, 2)),
        line("sag-lens", "The lens turns on its mount by", &fine(Kind::Angle, *lens_rad, 2)),
        line("sag-picture", "The picture moves on the imager by", &picture),
        line("sag-height", "Of the picture's height", &height),
        span("quiet").words("What sags all the time is not seen; this is what changes with tilt."),
    ]
}
