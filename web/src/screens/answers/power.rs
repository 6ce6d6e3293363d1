//! How long the packs last, when they are changed, and what every tap carries.

use quantity::{day_clock, hours};
use solver::explain::AnswerId;
use solver::finding_words::{due_min, due_within_min, lasts_h};
use solver::report::TapReport;

use super::{Inside, sheet};
use crate::app::App;
use crate::dom::{El, div, el, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::help::help;
use crate::ui::reasons::{row, summary};

/// Hours and the clock time of the pack change.
pub(crate) fn view(app: App) -> El {
    let runtime = move || app.document.report(|report| report.power.runtime_h.known().copied()).flatten();
    let lasts = move || runtime().map(|runtime| hours(lasts_h(runtime))).unwrap_or_default();
    let head = summary()
        .child(span("answer__value").live_words(lasts))
        .child(span("answer__words").live_words(move || words(app)));
    let taps = move || {
        let ids = |taps: &[TapReport]| taps.iter().map(|tap| tap.tap.clone()).collect();
        app.document.report(|report| ids(&report.power.taps)).unwrap_or_default()
    };
    sheet("hours-title", "Hours")
        .child(help(
            "hours and taps",
            "How long one set of packs runs everything that is on; a tap is an outlet of the head with its own limit.",
        ))
        .child(
            row(app, "answer-row", "runtime", head, Inside::Runtime)
                .live_value(move || runtime().map(|runtime| runtime.value)),
        )
        .child(
            el("a")
                .class("finding__way")
                .attr("href", &Screen::AddPart.hash())
                .test("to-packs")
                .words("Add a pack")
                .hidden(move || runtime().is_some() || collapses(app)),
        )
        .child(div("rows").each(taps, move |id| one_tap(app, id)))
}

/// Whether packs ride that cannot feed it: more of them is then told among the findings.
fn collapses(app: App) -> bool {
    app.document.report(|report| report.power.collapsing_w.is_some()) == Some(true)
}

fn words(app: App) -> String {
    let words = app.document.report(|report| {
        let power = &report.power;
        match (power.runtime_h.known(), power.change_min, power.sets) {
            (None, ..) => "Put a pack on the head to see how long it runs.".to_owned(),
            (_, Some(at), sets) => {
                let at = format!(
                    "change packs by {} ±{}\u{a0}min",
                    day_clock(due_min(at.value, at.u)),
                    due_within_min(at.u)
                );
                sets.map_or_else(|| at.clone(), |sets| format!("{at}; the day needs {sets} sets"))
            }
            _ if power.collapsing_w.is_some() => "the packs cannot feed it".to_owned(),
            _ => "lasts the day: no pack change".to_owned(),
        }
    });
    words.unwrap_or_default()
}

fn one_tap(app: App, id: &str) -> El {
    let id = id.to_owned();
    let with_tap = {
        let id = id.clone();
        move |read: fn(App, &TapReport) -> String| {
            let id = id.clone();
            move || {
                let find = |taps: &[TapReport]| taps.iter().find(|tap| tap.tap == id).map(|tap| read(app, tap));
                app.document.report(|report| find(&report.power.taps)).flatten().unwrap_or_default()
            }
        }
    };
    let amps = with_tap(|app, tap| {
        let style = app.style();
        let (typical, peak) = (style.show(Kind::Current, tap.typical_a), style.bare(Kind::Current, tap.peak_a));
        format!("{typical}, peak {peak} of {}", style.show(Kind::Current, tap.limit_a))
    });
    let head = summary()
        .child(span("row__name").live_words(with_tap(|_, tap| tap.name.clone())))
        .child(span("row__value").live_words(amps));
    row(app, "row", &format!("tap-{id}"), head, Inside::Answer(AnswerId::Tap(id.clone()))).live_value(move || {
        let find = |taps: &[TapReport]| taps.iter().find(|tap| tap.tap == id).map(|tap| tap.peak_a);
        app.document.report(|report| find(&report.power.taps)).flatten()
    })
}
