//! Fields folded to one line that says how they stand.

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Element, Event};

use crate::app::App;
use crate::dom::{El, div, el, span};
use crate::show::Style;
use solver::Package;

/// A line that opens into its fields and tells, open or closed, what they hold. Closed over a number that cannot be
/// taken, it says so: nothing wrong is out of sight.
pub(crate) fn fold(
    app: App,
    test: &str,
    name: &str,
    state: impl Fn(Style, &Package) -> String + 'static,
    inside: impl IntoIterator<Item = El>,
) -> El {
    let faulty = RwSignal::new(false);
    let words = move || app.document.with(|package| state(app.style(), package));
    let head = el("summary")
        .class("row__summary")
        .child(span("row__name").words(name))
        .child(span("flag").words("Check a number").hidden(move || !faulty.get()))
        .child(span("row__value").live_words(words));
    el("details")
        .class("row")
        .test(test)
        .child(head)
        .child(div("row__inside").children(inside))
        .on("toggle", move |event| faulty.set(closed_over_a_fault(&event)))
}

fn closed_over_a_fault(event: &Event) -> bool {
    let element = event.target().and_then(|target| target.dyn_into::<Element>().ok());
    let fault = |element: Element| element.query_selector("[aria-invalid=true]").ok().flatten();
    element.filter(|element| !element.has_attribute("open")).and_then(fault).is_some()
}
