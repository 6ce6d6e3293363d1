//! The reasons behind an answer: its term tree, worked out only while somebody looks.

use leptos::prelude::*;
use solver::explain::{AnswerId, Term};

use crate::app::App;
use crate::show::{Kind, Style};

/// A row that opens into its reasons: the summary, then whatever else belongs there, then the arithmetic.
pub(crate) fn row(
    app: App,
    class: &'static str,
    test: String,
    value: Signal<Option<String>>,
    summary: AnyView,
    inside: AnyView,
    answer: Option<AnswerId>,
) -> AnyView {
    let open = RwSignal::new(false);
    let reasons = answer.map(|answer| {
        view! { <div class="reasons">{move || open.get().then(|| reasons(app, &answer))}</div> }
    });
    view! {
        <details
            class=class data-test=test data-value=move || value.get()
            on:toggle=move |event| open.set(event_target::<web_sys::Element>(&event).has_attribute("open"))
        >
            <summary class="row__summary">{summary}</summary>
            <div class="row__inside">{inside}{reasons}</div>
        </details>
    }
    .into_any()
}

fn reasons(app: App, answer: &AnswerId) -> AnyView {
    let style = app.style();
    match app.document.with(|package| solver::explain(package, answer)) {
        Ok(Some(term)) => view! { <ul class="terms">{line(style, &term, 0)}</ul> }.into_any(),
        Ok(None) | Err(_) => view! { <p class="quiet">"No reasons: the package does not hold it any more."</p> }.into_any(),
    }
}

fn line(style: Style, term: &Term, depth: usize) -> AnyView {
    let value = term.value.map(|value| {
        let value = number(style, term.unit, value);
        let u = term.u.map(|u| format!(" {}", plus_minus(style, term.unit, u)));
        view! { <span class="term__value">{value}{u}</span> }
    });
    let head = view! {
        <span class="term__label">{term.label.clone()}</span>
        {value}
    };
    let how = term.formula.clone().map(|formula| view! { <span class="term__formula">{formula}</span> });
    let source = term.source.clone().map(|source| view! { <span class="term__source">{source}</span> });
    if term.of.is_empty() {
        return view! { <li class="term"><div class="term__line">{head}</div>{how}{source}</li> }.into_any();
    }
    let inner = term.of.iter().map(|term| line(style, term, depth + 1)).collect_view();
    view! {
        <li class="term">
            <details open=depth == 0>
                <summary class="term__line term__line--opens">{head}</summary>
                {how}{source}
                <ul class="terms">{inner}</ul>
            </details>
        </li>
    }
    .into_any()
}

/// A number of the arithmetic in the person's units, by the SI unit that it comes in.
fn number(style: Style, unit: &'static str, si: f64) -> String {
    match kind(unit) {
        Some(Kind::Length) => format!("{}\u{202f}{}", style.decimal_of(Kind::Length, si, 1), style.unit(Kind::Length)),
        Some(Kind::Mass) => format!("{}\u{202f}{}", style.decimal_of(Kind::Mass, si, 3), style.unit(Kind::Mass)),
        Some(kind) => style.show(kind, si),
        None if unit.is_empty() => style.significant(si),
        None => format!("{}\u{202f}{unit}", style.significant(si)),
    }
}

fn plus_minus(style: Style, unit: &'static str, u: f64) -> String {
    match kind(unit) {
        Some(kind @ Kind::Length) => format!("±{}", style.decimal_of(kind, u, 1)),
        Some(kind @ Kind::Mass) => format!("±{}", style.decimal_of(kind, u, 3)),
        Some(kind) => style.plus_minus(kind, u),
        None => format!("±{}", style.significant(u)),
    }
}

fn kind(unit: &str) -> Option<Kind> {
    Some(match unit {
        "kg" => Kind::Mass,
        "m" => Kind::Length,
        "kg·m" => Kind::Unbalance,
        "rad" => Kind::Angle,
        "rad/s" => Kind::Rate,
        "m/s" => Kind::Speed,
        "K" => Kind::Temperature,
        "N" => Kind::Force,
        _ => return None,
    })
}
