//! How sure each mark is, and which one measurement would make it surer.

use leptos::prelude::*;
use solver::measure::{Advice, Measurement, advice};
use solver::package::LoggedOf;
use solver::report::SlideReport;

use super::super::shared::{back, section};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::{Kind, Style};

/// So many measurements are named for a mark.
const NAMED: usize = 3;

/// The screen.
pub(crate) fn view(app: App) -> El {
    let ids = move || {
        let ids = |slides: &[SlideReport]| slides.iter().map(|slide| slide.slide.clone()).collect();
        app.document.report(|report| ids(&report.slides)).unwrap_or_default()
    };
    div("screen balance")
        .child(back(Screen::Answers, "to-answers", "Answers"))
        .child(p("quiet", "± is what masses, centres of gravity and scale zeros leave open: 2 times in 3 the true mark lies within it."))
        .child(div("screen").each(ids, move |id| mark(app, id)))
}

fn mark(app: App, id: &str) -> El {
    let read = {
        let id = id.to_owned();
        move |write: fn(Style, &SlideReport) -> String| {
            let id = id.clone();
            move || {
                let find = |slides: &[SlideReport]| {
                    slides.iter().find(|slide| slide.slide == id).map(|slide| write(app.style(), slide))
                };
                app.document.report(|report| find(&report.slides)).flatten().unwrap_or_default()
            }
        }
    };
    let name = app.document.now(|package| {
        package.head.slides().find(|slide| slide.id == id).map(|slide| slide.name.clone()).unwrap_or_default()
    });
    let slide = id.to_owned();
    let best = Memo::new(move |_| app.document.with(|package| advice(package, &slide).unwrap_or_default()));
    let lines = move || {
        let style = app.style();
        best.with(|best| best.iter().take(NAMED).map(|each| line(style, each)).collect::<Vec<_>>())
    };
    section(&format!("sure-{id}"), &name)
        .child(p("sure__mark", "").test(&format!("sure-{id}-mark")).live_words(read(|style, slide| {
            let (mark, u) =
                (style.bare(Kind::Mark, slide.target_m.value), style.bare_plus_minus(Kind::Mark, slide.target_m.u));
            format!("{mark} {u} {}", style.unit(Kind::Mark))
        })))
        .child(p("", "").test(&format!("sure-{id}-chance")).live_words(read(chance)))
        .child(
            p("quiet", "No single measurement would narrow it by a twentieth.")
                .hidden(move || best.with(|best| !best.is_empty())),
        )
        .child(div("list").test(&format!("sure-{id}-advice")).live(lines))
}

fn chance(style: Style, slide: &SlideReport) -> String {
    if slide.balances.is_none() {
        return "It balances no axis.".to_owned();
    }
    let share = |style: Style, share: f64| -> String {
        match share {
            share if share > 0.995 => "more than 99\u{a0}%".to_owned(),
            share if share < 0.005 => "less than 1\u{a0}%".to_owned(),
            share => style.show(Kind::Share, share),
        }
    };
    let travel = format!("The mark lies within travel: {}.", share(style, slide.within_travel));
    match (slide.within_hold_zone, slide.hold_zone_m) {
        (Some(within), Some(zone_m)) => format!(
            "{travel} Set there, it stays put at once: {} (friction holds it within ±{} of the true mark).",
            share(style, within),
            style.show(Kind::Mark, zone_m)
        ),
        _ => format!(
            "{travel} Its axis is geared: no test by hand says how well it is balanced, nor what its gears hold."
        ),
    }
}

fn line(style: Style, advice: &Advice) -> El {
    let how = match advice.measurement {
        Measurement::Weigh => format!("Weigh {}", advice.name),
        Measurement::FindCg => format!("Find the centre of gravity of {}", advice.name),
    };
    let now = style.fine_bare(Kind::Length, advice.now_u_m, 1);
    let then = style.fine(Kind::Length, advice.then_u_m, 1);
    let href = match advice.of {
        LoggedOf::Part(id) => Screen::Part(id).hash(),
        LoggedOf::Lens(id) => Screen::Lens(id).hash(),
        LoggedOf::Yoke(_) => Screen::Head.hash(),
    };
    el("a").class("list__item").attr("href", &href).child(
        span("list__link")
            .child(span("list__name").words(&how))
            .child(span("list__detail").words(&format!("± falls from {now} to {then}"))),
    )
}
