//! What stops the job, what to watch, what to note, and what was not checked.

use leptos::prelude::*;
use solver::InputError;
use solver::finding::{Finding, Severity};

use crate::app::App;
use crate::words::WHO_DECIDES;

/// Any no-go, or that there is none; faults of the input come before either.
pub(crate) fn verdict(app: App) -> AnyView {
    let faults = Memo::new(move |_| app.document.outcome().as_ref().as_ref().err().cloned().unwrap_or_default());
    let no_goes = of(app, &[Severity::NoGo]);
    let clear = Memo::new(move |_| faults.with(Vec::is_empty) && no_goes.with(Vec::is_empty));
    view! {
        <section class="verdict" aria-label="No-go" data-test="verdict" data-value=move || if clear.get() { "clear" } else { "no-go" }>
            {move || faults.get().into_iter().map(fault).collect_view()}
            {move || no_goes.get().into_iter().map(|finding| entry(app, &finding)).collect_view()}
            <p class="verdict__clear" hidden=move || !clear.get()>
                "Nothing here stops the job. " <a href="#not-checked" on:click=move |event| {
                    event.prevent_default();
                    show_not_checked();
                }>"What was not checked"</a>
            </p>
        </section>
    }
    .into_any()
}

/// Watches and notes.
pub(crate) fn rest(app: App) -> AnyView {
    let findings = of(app, &[Severity::Watch, Severity::Note]);
    view! {
        <section class="sheet" aria-labelledby="findings-title" hidden=move || findings.with(Vec::is_empty)>
            <h2 class="sheet__title" id="findings-title">"Watch and note"</h2>
            {move || findings.get().into_iter().map(|finding| entry(app, &finding)).collect_view()}
        </section>
    }
    .into_any()
}

/// What this report did not check, and who decides.
pub(crate) fn not_checked(app: App) -> AnyView {
    let items = Memo::new(move |_| app.document.report(|report| report.not_checked.clone()).unwrap_or_default());
    view! {
        <section class="sheet" aria-labelledby="not-checked" data-test="not-checked">
            <h2 class="sheet__title" id="not-checked" tabindex="-1">"Not checked"</h2>
            <ul class="plain-list">{move || items.get().into_iter().map(|item| view! { <li>{item}</li> }).collect_view()}</ul>
            <p class="quiet">{WHO_DECIDES}</p>
        </section>
    }
    .into_any()
}

/// One sentence for a screen reader: how the package stands.
pub(crate) fn summary_line(app: App) -> String {
    let style = app.style();
    match app.document.outcome().as_ref() {
        Err(faults) => format!("{} faults in the package: no answers.", faults.len()),
        Ok(report) => {
            let no_goes = report.findings.iter().filter(|finding| finding.severity == Severity::NoGo).count();
            let marks: Vec<String> = report
                .slides
                .iter()
                .map(|slide| format!("{} {}", slide.name, style.bare(crate::show::Kind::Length, slide.target_m.value)))
                .collect();
            let verdict = match no_goes {
                0 => "No no-go.".to_owned(),
                1 => "One no-go.".to_owned(),
                many => format!("{many} no-goes."),
            };
            format!("{verdict} Marks: {}.", marks.join(", "))
        }
    }
}

fn of(app: App, severities: &'static [Severity]) -> Memo<Vec<Finding>> {
    Memo::new(move |_| {
        let pick = |findings: &[Finding]| {
            findings.iter().filter(|finding| severities.contains(&finding.severity)).cloned().collect()
        };
        app.document.report(|report| pick(&report.findings)).unwrap_or_default()
    })
}

fn entry(app: App, finding: &Finding) -> AnyView {
    let (class, test) = match finding.severity {
        Severity::NoGo => ("finding finding--no-go", "no-go"),
        Severity::Watch => ("finding finding--watch", "watch"),
        Severity::Note => ("finding finding--note", "note"),
    };
    let word = finding.severity.to_string();
    let text = finding.words(&app.style());
    view! {
        <p class=class data-test="finding" data-severity=test>
            <strong class="finding__word">{word}</strong> " " <span>{text}</span>
        </p>
    }
    .into_any()
}

fn fault(error: InputError) -> AnyView {
    view! {
        <p class="finding finding--no-go" data-test="fault">
            <strong class="finding__word">"Input"</strong> " " <span>{error.to_string()}</span>
        </p>
    }
    .into_any()
}

/// Scrolls to what was not checked; the address stays that of the screen.
fn show_not_checked() {
    use wasm_bindgen::JsCast;
    let element = web_sys::window().and_then(|window| window.document()).and_then(|page| page.get_element_by_id("not-checked"));
    if let Some(element) = element.and_then(|element| element.dyn_into::<web_sys::HtmlElement>().ok()) {
        element.scroll_into_view();
        // An element that cannot take the focus stays scrolled to, which is enough.
        let _ = element.focus();
    }
}
