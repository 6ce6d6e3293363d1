//! The prep sheet: what a technician takes to the truck on one or two pages of paper, and reads on the screen too.
//!
//! It stands still: everything is written out, nothing opens, and it is worked out once when it is opened.

mod tables;

use std::time::Duration;

use leptos::prelude::{RwSignal, Set, set_timeout};
use solver::Report;
use solver::finding::{Finding, Severity};
use solver::fit::{LEFT_BY_FIT, LEFT_TO_FIT};
use solver::lens_set::change::lens_changes;
use solver::lens_set::preview::lens_verdicts;
use solver::lens_set::trim::{TrimReport, trim_of_set};
use solver::lens_set::{LEFT_BY_LENS_SET, LEFT_TO_LENS_SET};
use solver::package::Package;
use solver::stiffness::{LEFT_BY_STIFFNESS, LEFT_TO_STIFFNESS};

use super::share::address;
use super::{power, stiffness};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::drawing;
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::words::{BEFORE_MOTORS, HOLD_THE_CAMERA, LIFT_KG, LIFTING, OVERHEAD, PACKS, WHO_DECIDES, WRAP};

/// By then the sheet has been painted.
const AFTER_THE_SHEET: Duration = Duration::from_millis(50);

/// The prep sheet of the package on the screen.
pub(crate) fn view(app: App) -> El {
    div("screen").child(tools()).child(div("prep").test("prep").live(move || match app.document.outcome().as_ref() {
        Ok(report) => app.document.with(|package| page(app, package, report)),
        Err(faults) => {
            let fault = |fault: &solver::InputError| el("li").words(&fault.to_string());
            vec![
                p("prep__no-go", "No sheet: the package holds what cannot be."),
                el("ul").class("plain-list").children(faults.iter().map(fault)),
            ]
        }
    }))
}

fn tools() -> El {
    let print =
        el("button").class("button button--main").attr("type", "button").test("print").words("Print").press(|| {
            if let Some(window) = web_sys::window() {
                // A browser that cannot print says so itself.
                let _ = window.print();
            }
        });
    let send = el("a").class("button").attr("href", &Screen::Share.hash()).test("sheet-share").words("Send it");
    let back = el("a").class("button").attr("href", &Screen::Answers.hash()).test("sheet-answers").words("Answers");
    div("screen__tools").child(print).child(send).child(back)
}

fn page(app: App, package: &Package, report: &Report) -> Vec<El> {
    let style = app.style();
    let marks = part("prep-marks", "Marks, in balancing order")
        .child(p("prep__caution", HOLD_THE_CAMERA))
        .child(tables::marks(style, report));
    let drawn = part("prep-drawn", "To scale").class("prep__drawn").child(drawing::view(app));
    let torque = part("prep-torque", "Torque in hand")
        .child(p("prep__caution", BEFORE_MOTORS))
        .children(tables::torque(style, report));
    let fed = part("prep-power", "Power")
        .child(p("", &tables::power_words(style, report)))
        .children(power::on_the_sheet::view(style, package))
        .child(tables::taps(style, report));
    let stiffness = part("prep-stiffness", "Stiffness")
        .child(p("", &stiffness::on_the_sheet(style, package)).test("prep-stiffness"));
    // Gravest first, fit and stiffness after all else of its severity.
    let fit = solver::fit(package).map_or_else(|_| Vec::new(), |fit| fit.findings);
    let mut found: Vec<(Severity, String)> =
        untold(package, report).map(|finding| (finding.severity, finding.words(&style))).collect();
    found.extend(fit.iter().map(|finding| (finding.severity, finding.words(&style))));
    let rings = solver::stiffness(package).ok().and_then(|answer| answer.known().map(|known| known.findings.clone()));
    found.extend(rings.iter().flatten().map(|finding| (finding.severity, finding.words(&style))));
    found.sort_by_key(|(severity, _)| *severity);
    let mut page = vec![head(package), verdict(&found), masses(style, report)];
    page.extend([pair([marks, drawn]), torque, fed, stiffness]);
    let lenses = solver::lens_set(package).unwrap_or_default();
    if lenses.iter().any(|row| Some(row.lens) != package.active_lens) {
        let changes = lens_changes(package, package.active_lens).unwrap_or_default();
        let verdicts = lens_verdicts(package).unwrap_or_default();
        let rows = tables::lenses(style, package, &lenses, &changes, &verdicts);
        let reasons = tables::lens_reasons(style, package, &verdicts);
        let lenses = part("prep-lenses", "After a lens change").child(rows).children(reasons);
        page.push(with_trim(lenses, style, package.clone()));
    }
    page.push(pair(rest(&found).into_iter().chain([cautions(report)])));
    page.push(not_checked(app, report, rings.is_some()));
    page
}

/// The search for trim weights takes a phone longer than all the rest of the sheet, so it follows when that stands.
fn with_trim(part: El, style: Style, package: Package) -> El {
    let due = RwSignal::new(false);
    let follow = move || {
        // A sheet that has been left meanwhile needs none.
        let _ = due.try_set(true);
    };
    set_timeout(follow, AFTER_THE_SHEET);
    part.once(due, move || {
        let found = trim_of_set(&package).ok().flatten();
        found.map(|trim| trim_lines(style, &trim)).into_iter().collect()
    })
}

/// Which trim weights let the marks of the heaviest lens serve the others.
fn trim_lines(style: Style, trim: &TrimReport) -> El {
    let lines = trim.short_lines(&style).into_iter().map(|line| el("li").words(&line));
    el("ul").class("prep__list").test("prep-trim").children(lines)
}

/// Two parts that stand beside each other on paper, and one under the other on a phone.
fn pair(parts: impl IntoIterator<Item = El>) -> El {
    div("prep__pair").children(parts)
}

fn part(id: &str, title: &str) -> El {
    el("section")
        .class("prep__part")
        .attr("aria-labelledby", id)
        .child(el("h2").class("prep__title").attr("id", id).words(title))
}

fn head(package: &Package) -> El {
    let lens = package.lens().map_or("no lens", |lens| lens.name.as_str());
    // Year first: a sheet goes from hand to hand, and 11/12 is two days.
    let now = js_sys::Date::new_0();
    let written = format!("{}-{:02}-{:02}", now.get_full_year(), now.get_month() + 1, now.get_date());
    el("header")
        .class("prep__head")
        .child(el("h1").class("prep__name").words(&package.name))
        .child(p("prep__what", &format!("{} · {lens}", package.head.name)))
        .child(p("prep__what", &format!("Counterpoise prep sheet, {written}")))
        .children(package.demo.then(|| p("prep__what", "Demo: every figure is invented.")))
        .children((!package.note.is_empty()).then(|| p("prep__note", &package.note)))
}

/// What was found, but for what the head of a demo's sheet has said of every figure already.
fn untold<'a>(package: &Package, report: &'a Report) -> impl Iterator<Item = &'a Finding> {
    let demo = package.demo;
    report.findings.iter().filter(move |finding| !(demo && finding.goes_without_saying_in_demo()))
}

fn verdict(found: &[(Severity, String)]) -> El {
    let no_go: Vec<El> = found
        .iter()
        .filter(|(severity, _)| *severity == Severity::NoGo)
        .map(|(_, words)| p("prep__no-go", "").child(el("strong").words("No-go ")).words(words))
        .collect();
    let clear = no_go.is_empty();
    el("section").class("prep__part").attr("aria-label", "Verdict").test("prep-verdict").children(no_go).children(
        clear.then(|| p("prep__clear", "Nothing here stops the job. What was not checked stands at the end.")),
    )
}

fn masses(style: Style, report: &Report) -> El {
    let [least, most] = report.mass.payload_kg;
    let figure = |label: &str, value: String, aside: String| {
        div("prep__figure")
            .child(span("prep__label").words(label))
            .child(span("prep__value").words(&value))
            .child(span("prep__aside").words(&aside))
    };
    let mass = |kg: solver::answer::Estimate| {
        format!("{} {}", style.uncertain(Kind::Mass, kg.value, kg.u), style.plus_minus(Kind::Mass, kg.u))
    };
    div("prep__figures")
        .child(figure(
            "On the camera side",
            mass(report.mass.camera_kg),
            format!("takes {} to {}", style.fine_bare(Kind::Mass, least, 1), style.fine(Kind::Mass, most, 1)),
        ))
        .child(figure("On the arm", mass(report.mass.all_up_kg), "head and all".to_owned()))
        .child(figure("Lasts", tables::runtime(report), tables::change_words(report)))
}

fn rest(found: &[(Severity, String)]) -> Option<El> {
    let lines: Vec<El> = found
        .iter()
        .filter(|(severity, _)| *severity != Severity::NoGo)
        .map(|(severity, words)| el("li").child(el("strong").words(&format!("{severity} "))).words(words))
        .collect();
    (!lines.is_empty())
        .then(|| part("prep-found", "Watch and note").child(el("ul").class("prep__list").children(lines)))
}

fn cautions(report: &Report) -> El {
    let heavy = report.mass.all_up_kg.value > LIFT_KG;
    let lines = [OVERHEAD, WRAP, PACKS].into_iter().chain(heavy.then_some(LIFTING)).map(|line| el("li").words(line));
    part("prep-cautions", "Cautions").child(el("ul").class("prep__list").children(lines))
}

fn not_checked(app: App, report: &Report, stiff: bool) -> El {
    let left = |item: &'_ str| match item {
        LEFT_TO_FIT => LEFT_BY_FIT.to_owned(),
        LEFT_TO_LENS_SET => LEFT_BY_LENS_SET.to_owned(),
        LEFT_TO_STIFFNESS if stiff => LEFT_BY_STIFFNESS.to_owned(),
        item => item.to_owned(),
    };
    let lines = report.not_checked.iter().map(|item| el("li").words(&left(item)));
    let link = address(app).unwrap_or_else(|fault| fault);
    part("prep-open", "Not checked")
        .test("prep-not-checked")
        .child(el("ul").class("prep__list").children(lines))
        .child(p("prep__who", WHO_DECIDES))
        .child(p("prep__link", "The same package: ").child(span("prep__address").test("prep-link").words(&link)))
}
