//! How long the packs last, when they are changed, and what every tap carries.

use leptos::prelude::*;
use solver::answer::Answer;
use solver::explain::AnswerId;
use solver::finding_words::clock;
use solver::report::TapReport;

use crate::app::App;
use crate::show::{Kind, hours};
use crate::ui::reasons;
use crate::words::PACKS;

/// Hours and the clock time of the pack change.
pub(crate) fn view(app: App) -> AnyView {
    let runtime = Memo::new(move |_| {
        app.document
            .report(|report| match &report.power.runtime_h {
                Answer::Known(runtime) => Some(*runtime),
                Answer::Needs(_) => None,
            })
            .flatten()
    });
    let taps = Memo::new(move |_| {
        let list = |taps: &[TapReport]| taps.iter().map(|tap| (tap.tap.clone(), tap.name.clone())).collect::<Vec<_>>();
        app.document.report(|report| list(&report.power.taps)).unwrap_or_default()
    });
    let summary = view! {
        <span class="answer__value">
            {move || runtime.get().map(|runtime| hours(runtime.value))}
        </span>
        <span class="answer__words">{move || words(app, runtime.get().is_some())}</span>
    }
    .into_any();
    let draw = move || {
        app.document.report(|report| {
            let (style, power) = (app.style(), &report.power);
            format!(
                "Parts {}, motors and head {}; {} leave the packs, which give {} down to cut-off.",
                style.show(Kind::Power, power.loads_w),
                style.show(Kind::Power, power.motors_w),
                style.show(Kind::Power, power.draw_w),
                style.show(Kind::Energy, power.usable_wh)
            )
        })
    };
    let inside = view! {
        <p class="quiet">{draw}</p>
        <p class="caution">{PACKS}</p>
    }
    .into_any();
    let value = Signal::derive(move || runtime.get().map(|runtime| format!("{}", runtime.value)));
    view! {
        <section class="sheet" aria-labelledby="hours-title">
            <h2 class="sheet__title" id="hours-title">"Hours"</h2>
            {reasons::row(app, "answer-row", "runtime".to_owned(), value, summary, inside, Some(AnswerId::Runtime))}
            <For each=move || taps.get() key=|tap| tap.clone() let:tap>{one_tap(app, tap.0, tap.1)}</For>
        </section>
    }
    .into_any()
}

fn words(app: App, known: bool) -> String {
    if !known {
        return "Put a pack on the head to see how long it runs.".to_owned();
    }
    app.document
        .report(|report| match (report.power.change_min, report.power.sets) {
            (Some(at), Some(sets)) => format!("change packs at {}; the day takes {sets} sets", clock(at)),
            _ => "lasts the day: no pack change".to_owned(),
        })
        .unwrap_or_default()
}

fn one_tap(app: App, id: String, name: String) -> AnyView {
    let tap = Memo::new({
        let id = id.clone();
        move |_| app.document.report(|report| report.power.taps.iter().find(|tap| tap.tap == id).cloned()).flatten()
    });
    let amps = move || {
        tap.with(|tap| {
            let (style, tap) = (app.style(), tap.as_ref()?);
            Some(format!(
                "{} · peak {} of {}",
                style.bare(Kind::Current, tap.typical_a),
                style.bare(Kind::Current, tap.peak_a),
                style.show(Kind::Current, tap.limit_a)
            ))
        })
    };
    let summary = view! { <span class="row__name">{name}</span> <span class="row__value">{amps}</span> }.into_any();
    let value = Signal::derive(move || tap.with(|tap| tap.as_ref().map(|tap| format!("{}", tap.peak_a))));
    reasons::row(app, "row", format!("tap-{id}"), value, summary, ().into_any(), Some(AnswerId::Tap(id)))
}
