//! What stops the job, what to watch, what to note, and what was not checked.

use solver::finding::{Finding, Matter, Severity};
use solver::report::Report;
use wasm_bindgen::JsCast;

use super::sheet;
use crate::app::App;
use crate::browser::by_id;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::show::Kind;
use crate::ui::help::help;
use crate::words::WHO_DECIDES;

/// Any no-go, or that there is none; faults of the input come before either.
pub(crate) fn verdict(app: App) -> El {
    let clear = move || {
        app.document.report(|report| report.findings.iter().all(|finding| finding.severity != Severity::NoGo))
            == Some(true)
    };
    let empty = move || app.document.with(|package| package.parts.is_empty() && package.lenses.is_empty());
    let list = div("verdict__list").live(move || match app.document.outcome().as_ref() {
        Err(faults) => {
            faults.iter().map(|fault| line("finding--no-go", "Input", &fault.to_string()).test("fault")).collect()
        }
        Ok(report) => entries(app, report, &[Severity::NoGo]),
    });
    let link = el("a").attr("href", "#not-checked").words("What was not checked").on("click", |event| {
        // The address is the screen's; only the page moves.
        event.prevent_default();
        if let Some(element) = by_id("not-checked") {
            element.scroll_into_view();
            if let Some(element) = element.dyn_ref::<web_sys::HtmlElement>() {
                // An element that cannot take the focus stays scrolled to, which is enough.
                let _ = element.focus();
            }
        }
    });
    let drawn = el("a").attr("href", &Screen::Head.hash()).test("to-scale").words("See it to scale");
    el("section")
        .class("verdict")
        .attr("aria-label", "No-go")
        .test("verdict")
        .live_attr("data-value", move || Some(if clear() { "clear" } else { "no-go" }.to_owned()))
        .child(list)
        .child(p("verdict__clear", "Nothing here stops the job.").hidden(move || !clear() || empty()))
        .child(
            div("verdict__empty")
                .hidden(move || !empty())
                .child(p("verdict__clear", "Nothing is on the head yet."))
                .child(el("a").class("button button--main").attr("href", &Screen::AddPart.hash()).words("Add parts")),
        )
        .child(div("verdict__links").child(link).child(drawn))
}

/// Watches and notes.
pub(crate) fn rest(app: App) -> El {
    const REST: &[Severity] = &[Severity::Watch, Severity::Note];
    let none = move || {
        app.document.report(|report| report.findings.iter().all(|finding| !REST.contains(&finding.severity)))
            != Some(false)
    };
    let list =
        div("findings").live(move || app.document.report(|report| entries(app, report, REST)).unwrap_or_default());
    let help = help(
        "watch and note",
        "A no-go stops the job; a watch can be worked with when somebody keeps an eye on it; a note is good to know.",
    );
    sheet("findings-title", "Watch and note").hidden(none).child(help).child(list)
}

/// What this report did not check, and who decides.
pub(crate) fn not_checked(app: App) -> El {
    let items = move || app.document.report(|report| report.not_checked.clone()).unwrap_or_default();
    sheet("not-checked", "Not checked")
        .test("not-checked")
        .child(el("ul").class("plain-list").each(items, |item| el("li").words(item)))
        .child(p("quiet", WHO_DECIDES))
}

/// One sentence for a screen reader: how the package stands.
pub(crate) fn summary_line(app: App) -> String {
    let style = app.style();
    match app.document.outcome().as_ref() {
        Err(faults) => format!("{} faults in the package: no answers.", faults.len()),
        Ok(report) => {
            let verdict = match report.findings.iter().filter(|finding| finding.severity == Severity::NoGo).count() {
                0 => "No no-go.".to_owned(),
                1 => "One no-go.".to_owned(),
                many => format!("{many} no-goes."),
            };
            let mark = |slide: &solver::report::SlideReport| {
                format!("{} {}", slide.name, style.bare(Kind::Mark, slide.target_m.value))
            };
            let marks: Vec<String> = report.slides.iter().map(mark).collect();
            format!("{verdict} Marks: {}.", marks.join(", "))
        }
    }
}

fn entries(app: App, report: &Report, severities: &[Severity]) -> Vec<El> {
    report
        .findings
        .iter()
        .filter(|finding| severities.contains(&finding.severity))
        .map(|finding| entry(app, finding))
        .collect()
}

fn entry(app: App, finding: &Finding) -> El {
    let (class, test) = match finding.severity {
        Severity::NoGo => ("finding--no-go", "no-go"),
        Severity::Watch => ("finding--watch", "watch"),
        Severity::Note => ("finding--note", "note"),
    };
    line(class, &finding.severity.to_string(), &finding.words(&app.style()))
        .test("finding")
        .attr("data-severity", test)
        .children(way_out(&finding.matter))
}

/// The way to what mends a balance, where one is the matter.
fn way_out(matter: &Matter) -> Option<El> {
    let words = match matter {
        Matter::TooHeavy { .. } | Matter::OutOfTravel { .. } | Matter::NotNeutral { .. } => "What would make it hang",
        Matter::MaybeTooHeavy { .. } | Matter::NearEnd { .. } => "What each addition does",
        _ => return None,
    };
    Some(el("a").class("finding__way").attr("href", &Screen::Remedies.hash()).test("to-remedies").words(words))
}

fn line(class: &str, word: &str, text: &str) -> El {
    let word = el("strong").class("finding__word").words(word);
    p("finding", "").class(class).child(word).words(" ").child(span("finding__text").words(text))
}
