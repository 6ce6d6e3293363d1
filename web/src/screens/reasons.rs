//! The reasons behind an answer, written out: its term tree down to the inputs.

use solver::explain::{AnswerId, Term};

use crate::app::App;
use crate::dom::{El, el, p, span};
use crate::show::{Kind, Style};
use crate::ui::reasons::summary;

/// The arithmetic behind an answer.
pub(crate) fn view(app: App, answer: &AnswerId) -> El {
    let style = app.style();
    match app.document.with(|package| solver::explain(package, answer)) {
        Ok(Some(term)) => terms(style, &term),
        Ok(None) | Err(_) => p("quiet", "No reasons: the package does not hold it any more."),
    }
}

/// A term tree that somebody else has worked out.
pub(crate) fn terms(style: Style, term: &Term) -> El {
    el("ul").class("terms").child(line(style, term, 0))
}

fn line(style: Style, term: &Term, depth: usize) -> El {
    let head = |element: El| {
        let value = term.value.map(|value| {
            let u = term.u.map(|u| format!(" {}", plus_minus(style, term.unit, u))).unwrap_or_default();
            span("term__value").words(&format!("{}{u}", number(style, term.unit, value)))
        });
        element.class("term__line").child(span("term__label").words(&term.label)).children(value)
    };
    let how = |element: El| {
        element
            .children(term.formula.as_ref().map(|formula| span("term__formula").words(formula)))
            .children(term.source.as_ref().map(|source| span("term__source").words(source)))
    };
    let item = el("li").class("term");
    if term.of.is_empty() {
        return how(item.child(head(el("div"))));
    }
    let opened = el("details").child(head(summary().class("term__line--opens")));
    let opened = if depth == 0 { opened.attr("open", "") } else { opened };
    let inner = el("ul").class("terms").children(term.of.iter().map(|term| line(style, term, depth + 1)));
    item.child(how(opened).child(inner))
}

/// A number of the arithmetic in the person's units, by the SI unit that it comes in.
fn number(style: Style, unit: &'static str, si: f64) -> String {
    match kind(unit) {
        Some(Kind::Length) => style.fine(Kind::Length, si, 1),
        Some(Kind::Mass) => style.fine(Kind::Mass, si, 3),
        Some(kind) => style.show(kind, si),
        None if unit.is_empty() => style.significant(si),
        None => format!("{}\u{a0}{unit}", style.significant(si)),
    }
}

fn plus_minus(style: Style, unit: &'static str, u: f64) -> String {
    match kind(unit) {
        Some(kind @ Kind::Length) => style.fine_plus_minus(kind, u, 1),
        Some(kind @ Kind::Mass) => style.fine_plus_minus(kind, u, 3),
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
