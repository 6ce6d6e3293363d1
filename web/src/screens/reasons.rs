//! The reasons behind an answer, written out: its term tree down to the inputs. What is folded is not built, and what a
//! person has opened stays open while its numbers change.

use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use solver::explain::{AnswerId, SHARE, Term};

use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::show::{Kind, Style};
use crate::ui::reasons::summary;

/// A term tree, and how its numbers are written.
type Tree = Option<(Style, Arc<Term>)>;

/// The arithmetic behind an answer as it is now, followed.
pub(crate) fn tree(app: App, answer: &AnswerId) -> Tree {
    let term = app.document.with(|package| solver::explain(package, answer)).ok().flatten()?;
    Some((app.style(), Arc::new(term)))
}

/// The arithmetic behind an answer.
pub(crate) fn view(tree: RwSignal<Tree>) -> El {
    let gone = p("quiet", "No reasons: the package does not hold it any more.");
    div("reasons").child(gone.hidden(move || tree.with(Option::is_some))).child(whole(tree))
}

/// A term tree that somebody else has worked out.
pub(crate) fn terms(style: Style, term: &Term) -> El {
    whole(RwSignal::new(Some((style, Arc::new(term.clone())))))
}

fn whole(tree: RwSignal<Tree>) -> El {
    let trunk = Line { tree, path: Rc::default() };
    let keys = {
        let trunk = trunk.clone();
        move || trunk.read(|_, term| key(0, term)).into_iter().collect()
    };
    el("ul").class("terms").each(keys, move |_| trunk.view())
}

/// Tells a line from its neighbours, and one that opens from one that does not.
fn key(index: usize, term: &Term) -> String {
    format!("{index}{}", if term.of.is_empty() { "" } else { "+" })
}

/// One line of the tree on the page.
#[derive(Clone)]
struct Line {
    tree: RwSignal<Tree>,
    /// Which branch to take at each fork.
    path: Rc<[usize]>,
}

impl Line {
    /// Reads the line as it is now and follows it; `None` when the tree has lost it.
    fn read<T>(&self, read: impl FnOnce(Style, &Term) -> T) -> Option<T> {
        self.tree.with(|tree| {
            let (style, trunk) = tree.as_ref()?;
            let term = self.path.iter().try_fold(&**trunk, |term, branch| term.of.get(*branch))?;
            Some(read(*style, term))
        })
    }

    fn words(&self, write: fn(Style, &Term) -> String) -> impl Fn() -> String + 'static {
        let line = self.clone();
        move || line.read(write).unwrap_or_default()
    }

    fn view(&self) -> El {
        let item = el("li").class("term");
        let opens = untrack(|| self.read(|_, term| !term.of.is_empty())) == Some(true);
        if !opens {
            return self.how(item.child(self.head(el("div"))));
        }
        let opened = RwSignal::new(self.path.is_empty());
        let details = el("details").child(self.head(summary().class("term__line--opens")));
        let details = if opened.get_untracked() { details.attr("open", "") } else { details };
        let details = details.on("toggle", move |_| {
            if !opened.get_untracked() {
                opened.set(true);
            }
        });
        item.child(self.how(details).child(self.branches(opened)))
    }

    fn head(&self, element: El) -> El {
        element
            .class("term__line")
            .child(span("term__label").live_words(self.words(|_, term| term.label.clone())))
            .child(span("term__value").live_words(self.words(value)))
    }

    fn how(&self, element: El) -> El {
        let formula = self.words(|_, term| term.formula.clone().unwrap_or_default());
        let source = self.words(|_, term| term.source.clone().unwrap_or_default());
        element.child(span("term__formula").live_words(formula)).child(span("term__source").live_words(source))
    }

    fn branches(&self, opened: RwSignal<bool>) -> El {
        let (fork, line) = (self.clone(), self.clone());
        let keys = move || {
            let all = |_, term: &Term| term.of.iter().enumerate().map(|(index, term)| key(index, term)).collect();
            if opened.get() { fork.read(all).unwrap_or_default() } else { Vec::new() }
        };
        el("ul").class("terms").each(keys, move |key| {
            let branch = key.trim_end_matches('+').parse().unwrap_or_default();
            let path = line.path.iter().copied().chain([branch]).collect();
            Self { tree: line.tree, path }.view()
        })
    }
}

fn value(style: Style, term: &Term) -> String {
    let Some(value) = term.value else { return String::new() };
    let u = term.u.map(|u| format!(" {}", plus_minus(style, term.unit, u))).unwrap_or_default();
    format!("{}{u}", number(style, term.unit, value))
}

/// A number of the arithmetic in the person's units, by the SI unit that it comes in.
fn number(style: Style, unit: &'static str, si: f64) -> String {
    match shown(unit) {
        Some((kind, decimals)) => style.fine(kind, si, decimals),
        None if unit == "min" => format!("{}\u{a0}min", style.plain(si, 1)),
        None if unit.is_empty() && si.fract() == 0.0 => style.plain(si, 0),
        None if unit.is_empty() => style.significant(si),
        None => format!("{}\u{a0}{unit}", style.significant(si)),
    }
}

/// A ± to the digits of the number before it.
fn plus_minus(style: Style, unit: &'static str, u: f64) -> String {
    match shown(unit) {
        Some((kind, decimals)) => style.with_unit(style.fine_plus_minus(kind, u, decimals), kind),
        None => format!("±{}", style.significant(u)),
    }
}

/// What an SI unit measures, and the digits after the mark: one or two more than the answer shows, so that a sum can be
/// followed. One unit has one number of digits, so that numbers stand under each other.
fn shown(unit: &str) -> Option<(Kind, usize)> {
    Some(match unit {
        "kg" => (Kind::Mass, 3),
        "m" => (Kind::Length, 1),
        "kg·m" => (Kind::Unbalance, 3),
        "kg·m²" => (Kind::Inertia, 3),
        "N·m" => (Kind::Torque, 2),
        "rad" => (Kind::Angle, 0),
        "rad/s" => (Kind::Rate, 0),
        "m/s" => (Kind::Speed, 0),
        "K" => (Kind::Temperature, 0),
        "N" => (Kind::Force, 0),
        "W" => (Kind::Power, 1),
        "Wh" => (Kind::Energy, 0),
        "A" => (Kind::Current, 1),
        "V" => (Kind::Voltage, 1),
        "Ah" => (Kind::Capacity, 1),
        "Ω" => (Kind::Resistance, 0),
        "h" => (Kind::Hours, 1),
        "s" => (Kind::Seconds, 1),
        SHARE => (Kind::Share, 1),
        _ => return None,
    })
}
