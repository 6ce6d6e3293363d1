//! Numbers that are typed and worked with but are no part of the package: readings of a scale, how far hands reach.
//!
//! They last as long as the page, so that a look at another screen does not lose them.

use std::cell::RefCell;
use std::collections::BTreeMap;

use leptos::prelude::*;
use solver::bounds::Bounds;

use crate::app::App;
use crate::browser::event_value;
use crate::dom::{El, div, el, p, span};
use crate::show::Kind;

thread_local! {
    /// What was typed on this visit, by the name of its field.
    static KEPT: RefCell<BTreeMap<String, f64>> = const { RefCell::new(BTreeMap::new()) };
}

/// One number that is typed, in SI units.
#[derive(Clone, Copy)]
pub(crate) struct Reading {
    label: &'static str,
    kind: Kind,
    bounds: &'static Bounds,
    test: &'static str,
    unit: Option<&'static str>,
    help: Option<&'static str>,
    value: RwSignal<Option<f64>>,
}

/// A reading: its label, what it measures, its range and its name. It starts as it was left on this visit.
pub(crate) fn reading(label: &'static str, kind: Kind, bounds: &'static Bounds, test: &'static str) -> Reading {
    let kept = KEPT.with(|kept| kept.borrow().get(test).copied());
    Reading { label, kind, bounds, test, unit: None, help: None, value: RwSignal::new(kept) }
}

impl Reading {
    /// With what stands there as long as nothing else has been typed.
    pub(crate) fn usual(self, si: f64) -> Self {
        if self.value.with_untracked(Option::is_none) {
            self.value.set(Some(si));
        }
        self
    }

    /// With a unit in words after a plain number.
    pub(crate) fn unit(self, unit: &'static str) -> Self {
        Self { unit: Some(unit), ..self }
    }

    /// With one sentence of help under it.
    pub(crate) fn help(self, sentence: &'static str) -> Self {
        Self { help: Some(sentence), ..self }
    }

    /// The number, followed; `None` until one is typed.
    pub(crate) fn get(self) -> Option<f64> {
        self.value.get()
    }

    /// Puts a number there.
    pub(crate) fn set(self, si: f64) {
        self.take(Some(si));
    }

    fn take(self, si: Option<f64>) {
        self.value.set(si);
        KEPT.with(|kept| match si {
            Some(si) => kept.borrow_mut().insert(self.test.to_owned(), si),
            None => kept.borrow_mut().remove(self.test),
        });
    }

    /// The field on the page.
    pub(crate) fn view(self, app: App) -> El {
        let Self { label, kind, bounds, test, unit, help, value } = self;
        let id = format!("f-{test}");
        let fault = RwSignal::new(None::<String>);
        let text = RwSignal::new(value.get_untracked().map(|si| app.style_now().typed(kind, si, bounds)));
        let typing = RwSignal::new(false);
        crate::dom::effect(Box::new(move || {
            let (now, style) = (value.get(), app.style());
            if !typing.get_untracked() {
                text.set(now.map(|si| style.typed(kind, si, bounds)));
            }
        }));
        let typed = move |words: String| {
            typing.set(true);
            if words.trim().is_empty() {
                self.take(None);
                fault.set(None);
            } else {
                match app.style_now().read(kind, &words, bounds) {
                    Ok(si) => {
                        self.take(Some(si));
                        fault.set(None);
                    }
                    // A number may be half typed: it counts for nothing until it can be read.
                    Err(words) => {
                        self.take(None);
                        fault.set(Some(words));
                    }
                }
            }
            text.set(Some(words));
        };
        let keyboard = if bounds.min < 0.0 { "text" } else { "decimal" };
        let input = el("input")
            .class("stepper__text")
            .attr("id", &id)
            .attr("type", "text")
            .attr("inputmode", keyboard)
            .attr("enterkeyhint", "next")
            .attr("autocomplete", "off")
            .test(test)
            .live_value(move || value.get())
            .live_attr("aria-invalid", move || fault.with(Option::is_some).then(|| "true".to_owned()))
            .live_prop("value", move || text.get().unwrap_or_default().into())
            .on("input", move |event| typed(event_value(&event)))
            .on("blur", move |_| {
                // A field that has gone with its screen still hears that it has lost the focus.
                let _ = typing.try_set(false);
            });
        let shown = move || unit.unwrap_or_else(|| app.style().unit(kind)).to_owned();
        div("field")
            .live_class("field--fault", move || fault.with(Option::is_some))
            .child(el("label").class("field__label").attr("for", &id).words(label))
            .child(
                div("stepper").child(input).child(span("stepper__unit").attr("aria-hidden", "true").live_words(shown)),
            )
            .children(help.map(|sentence| p("field__help", sentence)))
            .child(
                p("field__fault", "")
                    .hidden(move || fault.with(Option::is_none))
                    .live_words(move || fault.get().unwrap_or_default()),
            )
    }
}
