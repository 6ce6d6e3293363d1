//! Trim weights with which the lighter lenses match the heaviest: a lens change between them touches no slide.

use leptos::prelude::*;
use solver::finding_words::Units;
use solver::lens_set::trim::{LensTrim, Trim, TrimReport, trim_weights};
use solver::package::LensId;

use super::{fault, folded, in_hand};
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
        "At the marks of {}: every axis stays put, motors off, and its inertia differs by no more than {tune}.",
        report.name
    );
    let each = report.lenses.iter().map(|lens| one(app, style, report, lens, done));
    let left = report.not_checked.map(|left| el("li").words(left));
    vec![
        p("cost__verdict", &said),
        el("ol").class("remedies").children(each),
        p(
            "quiet",
            "The lightest that fits, of the weights at hand, on one place or two. Each weight comes on with its lens and off with it: a clamp each.",
        ),
        p("quiet", "Not checked:"),
        el("ul").class("quiet").children(left),
    ]
}

fn one(app: App, style: Style, report: &TrimReport, lens: &LensTrim, done: RwSignal<Option<String>>) -> El {
    let id = lens.lens;
    let lighter = format!("{} lighter", style.show(Kind::Mass, lens.lighter_kg));
    let state = match (lens.matches(), lens.trims.is_empty()) {
        (true, _) => "matches",
        (false, false) => "weights",
        (false, true) => "none",
    };
    let item = el("li").class("remedy").test(&format!("trim-{id}")).attr("data-value", state).child(line(
        "trim-lens",
        &lens.name,
        &lighter,
    ));
    if lens.matches() {
        return item.child(p("", "Matches as it is."));
    }
    let none = lens.why_not(&style).zip(lens.nearest.as_ref()).map(|(why, nearest)| {
        let nearest = nearest.words(report.tune_share, &style);
        vec![p("", &format!("No weights at hand do it. {why}")), p("quiet", &nearest)]
    });
    let offers = lens.trims.iter().enumerate().flat_map(|(place, trim)| offer(app, style, lens, place, trim, done));
    item.children(offers).children(none.into_iter().flatten())
}

/// One set of weights: what to hang, what it costs, what it spoils, and the tap that does it.
fn offer(
    app: App,
    style: Style,
    lens: &LensTrim,
    place: usize,
    trim: &Trim,
    done: RwSignal<Option<String>>,
) -> Vec<El> {
    let (own, weights, name) = (lens.clone(), trim.clone(), lens.name.clone());
    // The first has the plain name.
    let test =
        if place == 0 { format!("trim-bring-{}", lens.lens) } else { format!("trim-bring-{}-{place}", lens.lens) };
    let bring = button(&test, "Add to what it brings along", move || {
        done.set(Some(format!("Done: \"{name}\" brings its weights. Undo, at the top, takes it back.")));
        app.document.edit(|package| *package = own.apply(&weights, package));
    });
    let in_hand = trim.tightest.as_ref().map(|tightest| line("trim-torque", "Torque", &in_hand(style, tightest)));
    let left = solver::lens_set::trim::signed(trim.inertia_change, &style);
    // Alternatives stand apart, and say that they are not wanted together.
    let mut lines: Vec<El> = (place > 0).then(|| p("remedy__or", "Or")).into_iter().collect();
    lines.extend([
        p("remedy__what", &format!("{}.", trim.words(&style))),
        line("trim-mass", "Adds", &costs(style, trim)),
        line("trim-left", "Inertia then off by", &left),
    ]);
    lines.extend(in_hand);
    lines.extend(trim.unfit_words(&style).iter().map(|words| p("remedy__but", words).test("trim-but")));
    lines.push(bring);
    lines
}

/// What the weights cost in mass and in inertia over all axes. Where a weight's middle hangs is known to a few millimetres:
/// its inertia deserves two digits.
fn costs(style: Style, trim: &Trim) -> String {
    let decimals = if trim.added_kg_m2.abs() < 0.1 { 3 } else { 2 };
    format!("{}, {} over all axes", style.weight(trim.added_kg), style.fine(Kind::Inertia, trim.added_kg_m2, decimals))
}
