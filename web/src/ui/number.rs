//! A number that a person types or steps. What is typed stays as typed until the field is left; every reading that can
//! be understood is on the screen's answers at once.

use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use leptos::prelude::*;
use solver::Package;
use solver::bounds::Bounds;
use wasm_bindgen::JsCast;
use web_sys::{Event, HtmlInputElement, KeyboardEvent};

use crate::app::App;
use crate::browser::event_value;
use crate::dom::{El, div, el, p, span};
use crate::show::Kind;
use crate::ui::icon::{self, Icon};

/// So long after a letter, what stands there is kept, whether typing goes on or not.
const PAUSE: Duration = Duration::from_millis(300);
/// A held stepper repeats after the first, then every second duration.
const HOLD: Duration = Duration::from_millis(450);
const REPEAT: Duration = Duration::from_millis(70);
/// So many repeats of a held stepper are kept together.
const KEEP_EVERY: u32 = 5;
/// After so many repeats a held stepper goes ten times as fast.
const FASTER_AFTER: u32 = 15;

/// A number field over a number of the package.
#[derive(Clone)]
pub(crate) struct Number {
    label: String,
    pub(super) kind: Kind,
    pub(super) bounds: &'static Bounds,
    pub(super) test: String,
    pub(super) get: Rc<dyn Fn(&Package) -> Option<f64>>,
    pub(super) set: Rc<dyn Fn(&mut Package, f64)>,
    unit: Option<&'static str>,
    help: Option<&'static str>,
    /// Whether two words beside it tell its way: then its steps end at zero, and its help stands below both.
    pub(super) sided: bool,
}

/// A number field: its label, what it measures, its range, its name for tests and for undo, and where it stands.
pub(crate) fn number(
    label: impl Into<String>,
    kind: Kind,
    bounds: &'static Bounds,
    test: impl Into<String>,
    get: impl Fn(&Package) -> Option<f64> + 'static,
    set: impl Fn(&mut Package, f64) + 'static,
) -> Number {
    Number {
        label: label.into(),
        kind,
        bounds,
        test: test.into(),
        get: Rc::new(get),
        set: Rc::new(set),
        unit: None,
        help: None,
        sided: false,
    }
}

impl Number {
    /// With one sentence of help under it.
    pub(crate) fn help(self, sentence: &'static str) -> Self {
        Self { help: Some(sentence), ..self }
    }

    /// With a unit in words after a plain number.
    pub(crate) fn unit(self, unit: &'static str) -> Self {
        Self { unit: Some(unit), ..self }
    }

    /// Its help, as it stands on the page.
    pub(super) fn help_view(&self) -> Option<El> {
        self.help.map(|sentence| p("field__help", sentence).attr("id", &format!("f-{}-help", self.test)))
    }

    /// The field on the page.
    pub(crate) fn view(self, app: App) -> El {
        let id = format!("f-{}", self.test);
        let (help_id, fault_id) = (format!("{id}-help"), format!("{id}-fault"));
        let (kind, bounds, unit, help) = (self.kind, self.bounds, self.unit, self.help);
        let help_here = if self.sided { None } else { self.help_view() };
        let (label, test) = (self.label.clone(), self.test.clone());
        let get = self.get.clone();
        let field = Field {
            app,
            number: StoredValue::new_local(self),
            text: RwSignal::new(String::new()),
            fault: RwSignal::new(None),
            typing: RwSignal::new(false),
            over: StoredValue::new(None),
            timer: StoredValue::new(None),
        };
        let value = move || app.document.with(|package| get(package));
        let follow = value.clone();
        // The text follows the package, but never under the fingers of somebody who is typing; undo takes what is typed
        // away from them, where a phone leaves the field its focus.
        crate::dom::effect(Box::new(move || {
            let (now, style) = (follow(), app.style());
            if !field.typing.get() || !field.stands(now) {
                field.begin_anew();
                // Every field of a screen comes by here with every change: what stays as it is wakes nobody.
                let text = now.map(|si| style.typed(kind, si, bounds)).unwrap_or_default();
                if field.text.with_untracked(|before| *before != text) {
                    field.text.set(text);
                }
                if field.fault.with_untracked(Option::is_some) {
                    field.fault.set(None);
                }
            }
        }));
        let faulty = move || field.fault.with(Option::is_some);
        let described = help.map(|_| help_id);
        let told = fault_id.clone();
        let input = el("input")
            .class("stepper__text")
            .attr("id", &id)
            .attr("type", "text")
            .attr("inputmode", "decimal")
            .attr("enterkeyhint", "next")
            .attr("autocomplete", "off")
            .test(&test)
            .live_value(value)
            .live_attr("aria-invalid", move || faulty().then(|| "true".to_owned()))
            .live_attr("aria-describedby", move || if faulty() { Some(told.clone()) } else { described.clone() })
            .live_prop("value", move || field.text.get().into())
            .on("focus", |event| {
                if let Some(input) = event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok()) {
                    input.select();
                }
            })
            .on("input", move |event| field.typed(event_value(&event)))
            .on("blur", move |_| field.leave())
            .on("keydown", move |event| field.key(&event));
        let line = div("stepper")
            .child(button(field, -1.0, &format!("{label}: less")))
            .child(input)
            .child(
                span("stepper__unit")
                    .attr("aria-hidden", "true")
                    .live_words(move || unit.unwrap_or_else(|| app.style().unit(kind)).to_owned()),
            )
            .child(button(field, 1.0, &format!("{label}: more")));
        div("field")
            .live_class("field--fault", faulty)
            .child(el("label").class("field__label").attr("for", &id).words(&label))
            .child(line)
            .children(help_here)
            .child(
                el("p")
                    .class("field__fault")
                    .attr("id", &fault_id)
                    .hidden(move || !faulty())
                    .live_words(move || field.fault.get().unwrap_or_default()),
            )
    }
}

fn button(field: Field, sense: f64, label: &str) -> El {
    let held = StoredValue::new(false);
    el("button")
        .class("stepper__button")
        .attr("type", "button")
        .attr("aria-label", label)
        .on("pointerdown", move |_| {
            held.set_value(false);
            field.hold(sense, held);
        })
        .on("pointerup", move |_| field.release())
        .on("pointerleave", move |_| field.release())
        .on("pointercancel", move |_| field.release())
        .on("contextmenu", |event| event.prevent_default())
        .press(move || {
            // The press that ends a hold has stepped already.
            if !held.get_value() {
                field.step(sense);
                field.settle();
            }
            held.set_value(false);
        })
        .child(icon::view(if sense < 0.0 { Icon::Less } else { Icon::More }))
}

/// The state of one field on the page.
#[derive(Clone, Copy)]
struct Field {
    app: App,
    number: StoredValue<Number, LocalStorage>,
    text: RwSignal<String>,
    fault: RwSignal<Option<String>>,
    /// Set while the text is the person's: from the first letter until the field is left without a fault.
    typing: RwSignal<bool>,
    over: StoredValue<Option<Over>>,
    timer: StoredValue<Option<TimeoutHandle>>,
}

/// What is being typed over.
#[derive(Clone)]
struct Over {
    /// The package when typing began.
    before: Arc<Package>,
    /// The package as typing has left it.
    after: Arc<Package>,
}

impl Field {
    fn typed(self, text: String) {
        let document = self.app.document;
        let before = self.before();
        // A number may be half typed: the fault is told when the field is left.
        if let Ok(si) = self.read(&text) {
            self.fault.set(None);
            // Half of a number may move something else, as the end of a scale does with a mark. It must not stay moved.
            self.number.with_value(|number| document.sketch_on(&before, |package| (number.set)(package, si)));
            self.settle_soon();
        }
        self.over.set_value(Some(Over { before, after: document.shown() }));
        self.typing.set(true);
        self.text.set(text);
    }

    /// The package as it was when typing began; as it is where something else has changed it since.
    fn before(self) -> Arc<Package> {
        let shown = self.app.document.shown();
        self.over.with_value(|over| match over {
            Some(over) if Arc::ptr_eq(&over.after, &shown) => over.before.clone(),
            _ => shown,
        })
    }

    /// Whether the package still holds the number that typing has left there.
    fn stands(self, now: Option<f64>) -> bool {
        let after = self.over.with_value(|over| over.as_ref().map(|over| over.after.clone()));
        after.is_some_and(|after| self.number.with_value(|number| (number.get)(&after)) == now)
    }

    /// What is typed next is typed over the package as it is then.
    fn begin_anew(self) {
        self.over.set_value(None);
        if self.typing.get_untracked() {
            self.typing.set(false);
        }
    }

    /// What cannot be taken leaves the number that was there before, and not its own first digits.
    fn withdraw(self) {
        let before = self.before();
        self.app.document.sketch_on(&before, |_| {});
        self.over.set_value(Some(Over { before, after: self.app.document.shown() }));
    }

    fn leave(self) {
        self.stop();
        // A field that has gone with its screen still hears that it has lost the focus.
        let Some(text) = self.text.try_get_untracked() else {
            self.app.document.settle(None);
            return;
        };
        let fault = if text.trim().is_empty() && self.now().is_none() { None } else { self.read(&text).err() };
        if fault.is_some() {
            self.withdraw();
        }
        self.settle();
        self.app.document.leave_field();
        if fault.is_none() {
            self.begin_anew();
        }
        self.fault.set(fault);
    }

    fn key(self, event: &Event) {
        let Some(event) = event.dyn_ref::<KeyboardEvent>() else { return };
        let sense = match event.key().as_str() {
            "ArrowUp" => 1.0,
            "ArrowDown" => -1.0,
            "Enter" => return self.leave(),
            _ => return,
        };
        event.prevent_default();
        self.step(if event.shift_key() { 10.0 * sense } else { sense });
        self.settle_soon();
    }

    /// Moves the number by so many steps; the text follows.
    fn step(self, steps: f64) {
        if self.text.is_disposed() {
            return self.stop();
        }
        let style = self.app.style_now();
        self.number.with_value(|number| {
            let next = self.now().unwrap_or(0.0) + steps * style.step(number.kind);
            let least = if number.sided { style.zero(number.kind) } else { number.bounds.min };
            let next = next.clamp(least, number.bounds.max);
            self.app.document.sketch(|package| (number.set)(package, next));
        });
        self.begin_anew();
    }

    fn hold(self, sense: f64, held: StoredValue<bool>) {
        self.after(
            HOLD,
            Box::new(move || {
                let _ = held.try_set_value(true);
                self.repeat(sense, 0);
            }),
        );
    }

    fn repeat(self, sense: f64, count: u32) {
        if self.text.is_disposed() {
            return;
        }
        self.step(if count > FASTER_AFTER { 10.0 * sense } else { sense });
        if count % KEEP_EVERY == KEEP_EVERY - 1 {
            self.settle();
        }
        self.after(REPEAT, Box::new(move || self.repeat(sense, count + 1)));
    }

    fn release(self) {
        self.stop();
        self.settle();
        self.app.document.leave_field();
    }

    fn settle(self) {
        // A timer may outlive the screen of its field: what it would settle has been settled by leaving.
        let settled = self.number.try_with_value(|number| self.app.document.settle(Some(&number.test)));
        if settled.is_none() {
            self.app.document.settle(None);
        }
    }

    fn now(self) -> Option<f64> {
        self.number.with_value(|number| self.app.document.now(|package| (number.get)(package)))
    }

    fn read(self, text: &str) -> Result<f64, String> {
        let style = self.app.style_now();
        self.number.with_value(|number| style.read(number.kind, text, number.bounds))
    }

    /// Keeps what stands there in a moment. Letters that follow do not put it off: nobody loses more than that moment.
    fn settle_soon(self) {
        let waiting = self.timer.try_with_value(Option::is_some).unwrap_or(true);
        if !waiting {
            let then = move || {
                let _ = self.timer.try_set_value(None);
                self.settle();
            };
            self.after(PAUSE, Box::new(then));
        }
    }

    fn after(self, wait: Duration, then: Box<dyn FnOnce()>) {
        self.stop();
        let _ = self.timer.try_set_value(set_timeout_with_handle(then, wait).ok());
    }

    fn stop(self) {
        if let Some(timer) = self.timer.try_update_value(Option::take).flatten() {
            timer.clear();
        }
    }
}
