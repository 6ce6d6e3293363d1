//! Trim weights with which the lighter lenses match the heaviest: a lens change between them touches no slide.

use leptos::prelude::*;
use solver::lens_set::trim::{LensTrim, Trim, TrimReport, trim_weights};
use solver::package::LensId;

use super::{fault, folded};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::screens::shared::{button, line, section};
use crate::show::{Kind, Style};

/// The section: worked out when somebody looks, for the lenses that are not left out.
pub(super) fn view(app: App, left_out: RwSignal<Vec<LensId>>) -> El {
    let opened = RwSignal::new(false);
    let found = Memo::new(move |_| {
        let left_out = left_out.get();
        opened.get().then(|| {
            app.document.with(|package| {
                let ids = package.lenses.iter().map(|lens| lens.id);
                let chosen: Vec<LensId> = ids.filter(|id| !left_out.contains(id)).collect();
                trim_weights(package, &chosen)
            })
        })
    });
    let done = RwSignal::new(None::<String>);
    let shown = move || {
        found.with(|found| match found {
            None => Vec::new(),
            Some(Ok(Some(report))) => lines(app, report, done),
            Some(Ok(None)) => vec![p("quiet", "Choose at least one lens.")],
            Some(Err(_)) => fault(),
        })
    };
    let told = p("added", "")
        .attr("role", "status")
        .test("trimmed")
        .hidden(move || done.with(Option::is_none))
        .live_words(move || done.get().unwrap_or_default());
    let inside = div("").child(told).child(div("").live(shown));
    let ask = move || folded("What would make the lighter ones match the heaviest?", opened, inside).test("trim");
    section("common-trim", "Trim weights").child(div("rows").child(untrack(ask)))
}

fn lines(app: App, report: &TrimReport, done: RwSignal<Option<String>>) -> Vec<El> {
    let style = app.style();
    let tune = style.show(Kind::Share, report.tune_share);
    let said = format!(
        "At the marks of {}: every axis stays put, motors off, and no axis has another inertia by more than {tune}.",
        report.name
    );
    let each = report.lenses.iter().map(|lens| one(app, style, lens, done));
    vec![
        p("cost__verdict", &said),
        el("ol").class("remedies").children(each),
        p(
            "quiet",
            "The lightest that does it, of the weights at hand, on one place or two. Each weight comes on with its lens and off with it: a clamp each. Not looked at: whether it fits, the wind on it, and whether the rods bear it.",
        ),
    ]
}

fn one(app: App, style: Style, lens: &LensTrim, done: RwSignal<Option<String>>) -> El {
    let id = lens.lens;
    let item = el("li").class("remedy").test(&format!("trim-{id}"));
    let state = |word: &str| item.clone().attr("data-value", word);
    let lighter = format!("{} lighter", style.show(Kind::Mass, lens.lighter_kg));
    match &lens.trim {
        None => state("none").child(line("trim-lens", &lens.name, &lighter)).child(p(
            "",
            &format!("No weights at hand do it: its inertia is off by {}.", share(style, lens.inertia_change)),
        )),
        Some(trim) if trim.weights.is_empty() => {
            state("matches").child(line("trim-lens", &lens.name, &lighter)).child(p("", "Matches as it is."))
        }
        Some(trim) => {
            let (own, name) = (lens.clone(), lens.name.clone());
            let bring = button(&format!("trim-bring-{id}"), "It brings them along", move || {
                done.set(Some(format!("Done: \"{name}\" brings its weights. Undo, at the top, takes it back.")));
                app.document.edit(|package| *package = own.apply(package));
            });
            state("weights")
                .child(line("trim-lens", &lens.name, &lighter))
                .child(p("remedy__what", &weights(style, trim)))
                .child(line("trim-mass", "Adds", &costs(style, trim)))
                .child(line("trim-left", "Inertia then off by", &share(style, trim.inertia_change)))
                .child(bring)
        }
    }
}

fn weights(style: Style, trim: &Trim) -> String {
    trim.weights.iter().map(|change| change.words(&style)).collect::<Vec<_>>().join("; ")
}

/// What the weights cost in mass and in inertia over all axes.
fn costs(style: Style, trim: &Trim) -> String {
    format!(
        "{}, {} over all axes",
        style.fine(Kind::Mass, trim.added_kg, 2),
        style.show(Kind::Inertia, trim.added_kg_m2)
    )
}

fn share(style: Style, change: f64) -> String {
    let sign = if change < 0.0 { "−" } else { "+" };
    format!("{sign}{}", style.show(Kind::Share, change.abs()))
}
