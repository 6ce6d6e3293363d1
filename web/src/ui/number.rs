//! A number that a person types or steps. What is typed stays as typed until the field is left; every reading that can
//! be understood is on the screen's answers at once.

use std::sync::Arc;
use std::time::Duration;

use leptos::ev::{FocusEvent, KeyboardEvent, PointerEvent};
use leptos::prelude::*;
use solver::Package;
use solver::bounds::Bounds;

use crate::app::App;
use crate::show::{Kind, Style};
use crate::ui::icon::{self, Icon};

/// After typing pauses for so long, what stands there is kept.
const PAUSE: Duration = Duration::from_millis(300);
/// A held stepper repeats after the first, then every second duration.
const HOLD: Duration = Duration::from_millis(450);
const REPEAT: Duration = Duration::from_millis(70);
/// After so many repeats a held stepper goes ten times as fast.
const FASTER_AFTER: u32 = 15;

/// Reads the number from the package; `None` where it is not set.
pub(crate) type Reads = Arc<dyn Fn(&Package) -> Option<f64> + Send + Sync>;
/// Writes the number into the package.
pub(crate) type Writes = Arc<dyn Fn(&mut Package, f64) + Send + Sync>;

/// A number field.
#[derive(Clone)]
pub(crate) struct Number {
    /// What it is, in the words of the trade.
    pub(crate) label: String,
    /// What it measures.
    pub(crate) kind: Kind,
    /// The range that it must lie in.
    pub(crate) bounds: &'static Bounds,
    /// The hook of the tests, and the name of the field for undo.
    pub(crate) test: String,
    get: Reads,
    set: Writes,
    help: Option<&'static str>,
}

/// A number field over a number of the package.
pub(crate) fn number(
    label: impl Into<String>,
    kind: Kind,
    bounds: &'static Bounds,
    test: impl Into<String>,
    get: impl Fn(&Package) -> Option<f64> + Send + Sync + 'static,
    set: impl Fn(&mut Package, f64) + Send + Sync + 'static,
) -> Number {
    Number { label: label.into(), kind, bounds, test: test.into(), get: Arc::new(get), set: Arc::new(set), help: None }
}

impl Number {
    /// With one sentence of help under it.
    pub(crate) fn help(self, sentence: &'static str) -> Self {
        Self { help: Some(sentence), ..self }
    }

    /// The field on the page.
    pub(crate) fn view(self, app: App) -> AnyView {
        let id = format!("f-{}", self.test);
        let fault_id = format!("{id}-fault");
        let text = RwSignal::new(String::new());
        let fault = RwSignal::new(None::<String>);
        let focused = RwSignal::new(false);
        let field = Field { app, number: StoredValue::new(self.clone()), text, fault, focused, timer: StoredValue::new(None) };

        // The text follows the package, but never under the fingers of somebody who is typing.
        let value = Memo::new({
            let get = self.get.clone();
            move |_| app.document.with(|package| get(package))
        });
        Effect::new(move || {
            let (value, style) = (value.get(), app.style());
            if !focused.get() {
                text.set(value.map(|si| style.typed(self.kind, si)).unwrap_or_default());
                fault.set(None);
            }
        });

        let (label, kind) = (self.label.clone(), self.kind);
        let described = self.help.map(|_| format!("{id}-help"));
        view! {
            <div class="field" class:field--fault=move || fault.with(Option::is_some)>
                <label class="field__label" for=id.clone()>{self.label.clone()}</label>
                <div class="stepper">
                    {stepper(field, -1.0, format!("{label}: less"))}
                    <input
                        class="stepper__text" id=id.clone() type="text" inputmode="decimal" enterkeyhint="next" autocomplete="off"
                        data-test=self.test.clone()
                        data-value=move || value.get().map(|si| format!("{si}"))
                        aria-invalid=move || fault.with(Option::is_some).then_some("true")
                        aria-describedby=move || if fault.with(Option::is_some) { Some(fault_id.clone()) } else { described.clone() }
                        prop:value=move || text.get()
                        on:focus=move |event| field.enter(&event)
                        on:input=move |event| field.typed(event_target_value(&event))
                        on:blur=move |_| field.leave()
                        on:keydown=move |event| field.key(&event)
                    />
                    <span class="stepper__unit" aria-hidden="true">{move || app.style().unit(kind)}</span>
                    {stepper(field, 1.0, format!("{label}: more"))}
                </div>
                {self.help.map(|sentence| view! { <p class="field__help" id=format!("{id}-help")>{sentence}</p> })}
                <p class="field__fault" id=format!("{id}-fault") hidden=move || fault.with(Option::is_none)>
                    {move || fault.get().unwrap_or_default()}
                </p>
            </div>
        }
        .into_any()
    }
}

fn stepper(field: Field, sense: f64, label: String) -> AnyView {
    let held = StoredValue::new(false);
    view! {
        <button
            type="button" class="stepper__button" aria-label=label
            on:pointerdown=move |event: PointerEvent| {
                if event.button() == 0 {
                    held.set_value(false);
                    field.hold(sense, held);
                }
            }
            on:pointerup=move |_| field.release()
            on:pointerleave=move |_| field.release()
            on:pointercancel=move |_| field.release()
            on:contextmenu=move |event| event.prevent_default()
            on:click=move |_| {
                if held.get_value() {
                    held.set_value(false);
                } else {
                    field.step(sense);
                    field.settle();
                }
            }
        >
            {icon::view(if sense < 0.0 { Icon::Less } else { Icon::More })}
        </button>
    }
    .into_any()
}

/// The state of one field on the page.
#[derive(Clone, Copy)]
struct Field {
    app: App,
    number: StoredValue<Number>,
    text: RwSignal<String>,
    fault: RwSignal<Option<String>>,
    focused: RwSignal<bool>,
    timer: StoredValue<Option<TimeoutHandle>>,
}

impl Field {
    fn enter(self, event: &FocusEvent) {
        self.focused.set(true);
        event_target::<web_sys::HtmlInputElement>(event).select();
    }

    fn typed(self, text: String) {
        let style = self.app.style_now();
        self.number.with_value(|number| match read(number, style, &text) {
            Ok(si) => {
                self.fault.set(None);
                self.app.document.sketch(|package| (number.set)(package, si));
                self.after(PAUSE, move || self.settle());
            }
            // A number may be half typed: the fault is told when the field is left.
            Err(_) => self.stop(),
        });
        self.text.set(text);
    }

    fn leave(self) {
        self.stop();
        let style = self.app.style_now();
        let text = self.text.get_untracked();
        let now = self.number.with_value(|number| self.app.document.now(|package| (number.get)(package)));
        let fault = if text.trim().is_empty() && now.is_none() {
            None
        } else {
            self.number.with_value(|number| read(number, style, &text).err())
        };
        self.settle();
        self.app.document.leave_field();
        if fault.is_none() {
            self.focused.set(false);
        }
        self.fault.set(fault);
    }

    fn key(self, event: &KeyboardEvent) {
        let sense = match event.key().as_str() {
            "ArrowUp" => 1.0,
            "ArrowDown" => -1.0,
            "Enter" => {
                self.settle();
                return;
            }
            _ => return,
        };
        event.prevent_default();
        self.step(if event.shift_key() { 10.0 * sense } else { sense });
        self.after(PAUSE, move || self.settle());
    }

    /// Moves the number by so many steps, and the text with it.
    fn step(self, steps: f64) {
        let style = self.app.style_now();
        self.number.with_value(|number| {
            let step = style.step(number.kind);
            let now = self.app.document.now(|package| (number.get)(package)).unwrap_or(0.0);
            let next = (now + steps * step).clamp(number.bounds.min, number.bounds.max);
            self.app.document.sketch(|package| (number.set)(package, next));
            let shown = self.app.document.now(|package| (number.get)(package)).unwrap_or(next);
            self.text.set(style.typed(number.kind, shown));
            self.fault.set(None);
        });
    }

    fn hold(self, sense: f64, held: StoredValue<bool>) {
        self.after(HOLD, move || {
            held.set_value(true);
            self.repeat(sense, 0);
        });
    }

    fn repeat(self, sense: f64, count: u32) {
        self.step(if count > FASTER_AFTER { 10.0 * sense } else { sense });
        self.after(REPEAT, move || self.repeat(sense, count + 1));
    }

    fn release(self) {
        self.stop();
        self.settle();
        self.app.document.leave_field();
    }

    fn settle(self) {
        self.number.with_value(|number| self.app.document.settle(Some(&number.test)));
    }

    fn after(self, wait: Duration, then: impl FnOnce() + 'static) {
        self.stop();
        self.timer.set_value(set_timeout_with_handle(then, wait).ok());
    }

    fn stop(self) {
        if let Some(timer) = self.timer.try_update_value(Option::take).flatten() {
            timer.clear();
        }
    }
}

/// The SI value of what was typed, if it can be understood and lies in range.
fn read(number: &Number, style: Style, text: &str) -> Result<f64, String> {
    let si = style.parse(number.kind, text)?;
    let rounded = number.bounds.quantise(si);
    if number.bounds.contains(rounded) {
        return Ok(rounded);
    }
    let (low, high) = (style.bare(number.kind, number.bounds.min), style.show(number.kind, number.bounds.max));
    Err(format!("It must lie between {low} and {high}."))
}
