//! What stops the job, what to watch, what to note, and what was not checked.
//!
//! Whether everything fits is looked at by the last module ([`crate::screens::fit`]): its findings join the others as
//! soon as they are there, and until then clearance stands among what was not checked.

use leptos::prelude::*;
use solver::InputError;
use solver::finding::{Finding, Matter, Severity};
use solver::fit::{LEFT_BY_FIT, LEFT_TO_FIT};
use solver::report::Report;
use solver::stiffness::{LEFT_BY_STIFFNESS, LEFT_TO_STIFFNESS};
use wasm_bindgen::JsCast;

use super::{nothing_rides, sheet};
use crate::app::App;
use crate::browser::by_id;
use crate::dom::{El, div, effect, el, p, span};
use crate::route::Screen;
use crate::screens;
use crate::show::Kind;
use crate::storage::keeper::Kept;
use crate::ui::help::help;
use crate::words::WHO_DECIDES;

/// What the last module says of the fit, in the order of its severity.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Fits {
    /// Whether it has looked.
    pub(crate) known: bool,
    /// What it has found, as a person reads it.
    pub(crate) found: Vec<(Severity, String)>,
}

impl Fits {
    fn count(&self, severity: Severity) -> usize {
        self.found.iter().filter(|(grave, _)| *grave == severity).count()
    }
}

/// Any no-go, or that there is none; faults of the input come before either.
pub(crate) fn verdict(app: App) -> El {
    effect(Box::new(move || {
        if app.later.get() {
            untrack(|| {
                screens::fit::follow(app);
                screens::stiffness::follow(app);
            });
        }
    }));
    let fits = move || app.fits.with(|fits| fits.count(Severity::NoGo) == 0);
    let clear = move || {
        app.document.report(|report| report.findings.iter().all(|finding| finding.severity != Severity::NoGo))
            == Some(true)
            && fits()
    };
    let empty = move || nothing_rides(app);
    let told = Memo::new(move |_| match app.document.outcome().as_ref() {
        Err(faults) => faults.iter().map(Told::fault).collect(),
        Ok(report) => told(app, report, &[Severity::NoGo]),
    });
    let list = div("verdict__list").live(move || told.with(|told| entries(told)));
    let unfit = div("verdict__list").live(move || fit_entries(app, &[Severity::NoGo]));
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
    let drawn = el("a").class("verdict__drawn").attr("href", &Screen::Head.hash());
    let drawn = drawn.test("to-scale").words("See it to scale");
    el("section")
        .class("verdict")
        .attr("aria-label", "No-go")
        .test("verdict")
        .live_attr("data-value", move || Some(if clear() { "clear" } else { "no-go" }.to_owned()))
        .child(list)
        .child(unfit)
        .child(p("verdict__clear", "Nothing here stops the job.").hidden(move || !clear() || empty()))
        .child(
            div("verdict__empty")
                .hidden(move || !empty())
                .child(p("verdict__clear", "Nothing is on the head yet."))
                .child(el("a").class("button button--main").attr("href", &Screen::AddPart.hash()).words("Add parts")),
        )
        .child(div("verdict__links").child(whose(app)).child(link).child(drawn))
}

/// Where the package on the screen is not the person's own: how it becomes that, or how to begin one.
fn whose(app: App) -> El {
    let way = move || {
        app.keeper.kept.with(|kept| match kept {
            Kept::Demo => Some("Start your own package"),
            Kept::Preview => Some("Keep this package, or compare it"),
            _ => None,
        })
    };
    el("a")
        .class("verdict__whose")
        .attr("href", &Screen::Packages.hash())
        .test("whose")
        .hidden(move || way().is_none())
        .live_words(move || way().unwrap_or_default().to_owned())
}

/// Watches and notes. That the package may ring stands in its own row, whose place is kept: told here as well, it would
/// push what a finger is about to touch.
pub(crate) fn rest(app: App) -> El {
    const REST: &[Severity] = &[Severity::Watch, Severity::Note];
    let none = move || {
        app.document.report(|report| report.findings.iter().all(|finding| !REST.contains(&finding.severity)))
            != Some(false)
            && app.fits.with(|fits| fits.count(Severity::Watch) == 0)
    };
    let told = Memo::new(move |_| app.document.report(|report| told(app, report, REST)).unwrap_or_default());
    let list = div("findings").live(move || told.with(|told| entries(told)));
    let fit = div("findings").live(move || fit_entries(app, &[Severity::Watch]));
    let help = help(
        "watch and note",
        "A no-go stops the job; a watch can be worked with when somebody keeps an eye on it; a note is good to know.",
    );
    sheet("findings-title", "Watch and note")
        .hidden(move || none() || nothing_rides(app))
        .child(help)
        .child(list)
        .child(fit)
}

/// What this report did not check, and who decides.
pub(crate) fn not_checked(app: App) -> El {
    let items = move || {
        let (fits, stiff) = (app.fits.with(|fits| fits.known), app.stiff.with(|stiff| stiff.row.is_some()));
        // One line takes the place of the other: nothing moves under a finger.
        let left = |item: &String| {
            let left = match item.as_str() {
                LEFT_TO_FIT if fits => LEFT_BY_FIT,
                LEFT_TO_STIFFNESS if stiff => LEFT_BY_STIFFNESS,
                item => item,
            };
            left.to_owned()
        };
        let left = |report: &Report| report.not_checked.iter().map(left).collect();
        app.document.report(left).unwrap_or_default()
    };
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
            let stops = report.findings.iter().filter(|finding| finding.severity == Severity::NoGo).count();
            let verdict = match stops + app.fits.with(|fits| fits.count(Severity::NoGo)) {
                0 => "No no-go.".to_owned(),
                1 => "One no-go.".to_owned(),
                many => format!("{many} no-goes."),
            };
            let mark = |slide: &solver::report::SlideReport| {
                format!("{} {}", slide.name, style.show(Kind::Mark, slide.target_m.value))
            };
            let marks: Vec<String> = report.slides.iter().map(mark).collect();
            format!("{verdict} Marks: {}.", marks.join(", "))
        }
    }
}

/// A finding as a person reads it. The list is built anew only when one of them reads otherwise.
#[derive(PartialEq)]
struct Told {
    /// None for a fault of the input.
    severity: Option<Severity>,
    words: String,
    /// The words of the link to what mends it.
    way: Option<&'static str>,
}

impl Told {
    fn fault(fault: &InputError) -> Self {
        Self { severity: None, words: fault.to_string(), way: None }
    }
}

fn told(app: App, report: &Report, severities: &[Severity]) -> Vec<Told> {
    let found: Vec<&Finding> =
        report.findings.iter().filter(|finding| severities.contains(&finding.severity)).collect();
    let each = found.iter().enumerate().map(|(index, finding)| {
        // One way out stands under the last that it mends: five no-goes with five links hide the marks.
        let way = way_out(&finding.matter);
        let way = way.filter(|_| !found[index + 1..].iter().any(|later| way_out(&later.matter) == way));
        Told { severity: Some(finding.severity), words: finding.words(&app.style()), way }
    });
    each.collect()
}

fn entries(told: &[Told]) -> Vec<El> {
    let each = told.iter().map(|told| match told.severity {
        None => line("finding--no-go", "Input", &told.words).test("fault"),
        Some(severity) => of_severity(severity, &told.words).children(told.way.map(remedies_link)),
    });
    each.collect()
}

pub(crate) fn of_severity(severity: Severity, words: &str) -> El {
    let (class, test) = match severity {
        Severity::NoGo => ("finding--no-go", "no-go"),
        Severity::Watch => ("finding--watch", "watch"),
        Severity::Note => ("finding--note", "note"),
    };
    line(class, &severity.to_string(), words).test("finding").attr("data-severity", test)
}

fn fit_entries(app: App, severities: &[Severity]) -> Vec<El> {
    let way = || el("a").class("finding__way").attr("href", &Screen::Fit.hash()).words("See how it fits");
    app.fits.with(|fits| {
        let wanted = fits.found.iter().filter(|(severity, _)| severities.contains(severity));
        let mut shown: Vec<El> = wanted.map(|(severity, words)| of_severity(*severity, words)).collect();
        // The way out stands under the last of them.
        if let Some(last) = shown.pop() {
            shown.push(last.child(way()));
        }
        shown
    })
}

/// The way to what mends a balance, where one is the matter: its words.
fn way_out(matter: &Matter) -> Option<&'static str> {
    match matter {
        Matter::TooHeavy { .. } | Matter::OutOfTravel { .. } | Matter::NotNeutral { .. } => {
            Some("What would make it hang")
        }
        Matter::MaybeTooHeavy { .. } | Matter::NearEnd { .. } => Some("What each addition does"),
        _ => None,
    }
}

fn remedies_link(words: &str) -> El {
    el("a").class("finding__way").attr("href", &Screen::Remedies.hash()).test("to-remedies").words(words)
}

fn line(class: &str, word: &str, text: &str) -> El {
    let word = el("strong").class("finding__word").words(word);
    p("finding", "").class(class).child(word).words(" ").child(span("finding__text").words(text))
}
