//! A name that a person types.

use std::rc::Rc;
use std::time::Duration;

use leptos::prelude::*;
use solver::Package;
use solver::bounds::MAX_NAME_BYTES;
use wasm_bindgen::JsCast;
use web_sys::HtmlInputElement;

use crate::app::App;
use crate::browser::event_value;
use crate::dom::{El, div, el};

/// So long after a letter, what stands there is kept, whether typing goes on or not.
const PAUSE: Duration = Duration::from_millis(300);

/// The name of the package itself. A demo that has been named is the person's own.
pub(crate) fn package_name_field(app: App, label: &str, test: &str) -> El {
    name_field(
        app,
        label,
        test,
        |package| package.name.clone(),
        |package, name| {
            package.name = name;
            package.demo = false;
        },
    )
}

/// A text field over a name of the package. An empty name is not taken.
pub(crate) fn name_field(
    app: App,
    label: &str,
    test: impl Into<String>,
    get: impl Fn(&Package) -> String + 'static,
    set: impl Fn(&mut Package, String) + 'static,
) -> El {
    let test: Rc<str> = Rc::from(test.into());
    let id = format!("f-{test}");
    let set: Rc<dyn Fn(&mut Package, String)> = Rc::new(set);
    let timer = StoredValue::new(None::<TimeoutHandle>);
    let field = test.clone();
    let leave: Rc<dyn Fn()> = Rc::new(move || {
        if let Some(timer) = timer.try_update_value(Option::take).flatten() {
            timer.clear();
        }
        app.document.settle(Some(&field));
        app.document.leave_field();
    });
    let (left, typed) = (leave.clone(), test.clone());
    let get = Rc::new(get);
    let taken = get.clone();
    div("field").child(el("label").class("field__label").attr("for", &id).words(label)).child(
        el("input")
            .class("field__text")
            .attr("id", &id)
            .attr("type", "text")
            .attr("autocomplete", "off")
            .attr("enterkeyhint", "done")
            .test(&test)
            .live_prop("value", move || app.document.with(|package| get(package)).into())
            .on("input", move |event| {
                let name = event_value(&event);
                if !name.trim().is_empty() && name.len() <= MAX_NAME_BYTES {
                    app.document.sketch(|package| set(package, name));
                    // Letters that follow do not put it off.
                    if timer.with_value(Option::is_none) {
                        let typed = typed.clone();
                        let settle = move || {
                            let _ = timer.try_set_value(None);
                            app.document.settle(Some(&typed));
                        };
                        timer.set_value(set_timeout_with_handle(settle, PAUSE).ok());
                    }
                }
            })
            .on("change", move |_| leave())
            .on("blur", move |event| {
                left();
                // What was not taken, an empty name or the end of one that is too long, does not stay there either.
                if let Some(input) = event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok()) {
                    let name = app.document.now(|package| taken(package));
                    if event_value(&event) != name {
                        input.set_value(&name);
                    }
                }
            }),
    )
}
