//! One of several, and yes or no.

use std::rc::Rc;

use solver::Package;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::HtmlSelectElement;

use crate::app::App;
use crate::browser::{event_checked, event_value};
use crate::dom::{El, div, el, span};

/// A choice that fits on a line of buttons: one tap, all options in view.
pub(crate) fn chips<T: Copy + PartialEq + 'static>(
    app: App,
    label: &str,
    test: &str,
    options: &'static [(T, &'static str)],
    get: impl Fn(&Package) -> Option<T> + 'static,
    set: impl Fn(&mut Package, T) + 'static,
) -> El {
    let now = move || {
        let value = app.document.with(|package| get(package));
        options.iter().position(|(option, _)| Some(*option) == value)
    };
    let take = move |index: usize| {
        if let Some((option, _)) = options.get(index) {
            app.document.edit(|package| set(package, *option));
        }
    };
    radios(label, test, options.iter().map(|(_, word)| *word).collect(), Rc::new(now), Rc::new(take))
}

/// A line of radio buttons over any choice.
pub(crate) fn radios(
    label: &str,
    test: &str,
    words: Vec<&'static str>,
    now: Rc<dyn Fn() -> Option<usize>>,
    take: Rc<dyn Fn(usize)>,
) -> El {
    let buttons = words.into_iter().enumerate().map(|(index, word)| {
        let (now, take) = (now.clone(), take.clone());
        el("label")
            .class("chip")
            .child(
                el("input")
                    .class("chip__input")
                    .attr("type", "radio")
                    .attr("name", test)
                    .test(&format!("{test}-{index}"))
                    .live_prop("checked", move || JsValue::from_bool(now() == Some(index)))
                    .on("change", move |_| take(index)),
            )
            .child(span("chip__word").words(word))
    });
    el("fieldset")
        .class("chips")
        .test(test)
        .child(el("legend").class("field__label").words(label))
        .child(div("chips__line").children(buttons))
}

/// A choice from a list, by the id of each entry.
pub(crate) fn select(
    app: App,
    label: &str,
    test: &str,
    options: impl Fn(&Package) -> Vec<(String, String)> + 'static,
    get: impl Fn(&Package) -> String + 'static,
    set: impl Fn(&mut Package, String) + 'static,
) -> El {
    let id = format!("f-{test}");
    let list = move || app.document.with(|package| (options(package), get(package)));
    let select = el("select").class("field__select").attr("id", &id).test(test);
    let select = listed(select, list).on("change", move |event| {
        let chosen = event_value(&event);
        app.document.edit(|package| set(package, chosen));
    });
    div("field").child(el("label").class("field__label").attr("for", &id).words(label)).child(select)
}

/// A `select` with its entries by id, and the id of the one that is chosen. The entries are built anew only when one of
/// them has changed: an engine measures the words of every entry of a list that has, which takes longer than all else
/// that follows from a key.
pub(crate) fn listed(select: El, list: impl Fn() -> (Vec<(String, String)>, String) + 'static) -> El {
    let element = select.raw().clone();
    let mut before: Vec<(String, String)> = Vec::new();
    crate::dom::effect(Box::new(move || {
        let (options, now) = list();
        if options != before {
            element.set_text_content(None);
            for (id, word) in &options {
                let option = el("option").attr("value", id).words(word);
                // Appending fails only where a node would hold itself.
                let _ = element.append_child(option.raw());
            }
            before = options;
        }
        // An id that is not offered shows the first entry.
        let shown = before.iter().position(|(id, _)| *id == now).and_then(|at| i32::try_from(at).ok()).unwrap_or(0);
        let select: &HtmlSelectElement = element.unchecked_ref();
        if select.selected_index() != shown {
            select.set_selected_index(shown);
        }
    }));
    select
}

/// A switch.
pub(crate) fn switch(label: &str, test: &str, now: impl Fn() -> bool + 'static, take: impl Fn(bool) + 'static) -> El {
    el("label")
        .class("switch")
        .child(
            el("input")
                .class("switch__input")
                .attr("type", "checkbox")
                .test(test)
                .live_prop("checked", move || JsValue::from_bool(now()))
                .on("change", move |event| take(event_checked(&event))),
        )
        .child(span("switch__word").words(label))
}
