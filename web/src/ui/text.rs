//! A name that a person types.

use std::sync::Arc;

use leptos::prelude::*;
use solver::Package;
use solver::bounds::MAX_NAME_BYTES;

use crate::app::App;

/// A text field over a name of the package. An empty name is not taken.
pub(crate) fn name_field(
    app: App,
    label: &'static str,
    test: &'static str,
    get: impl Fn(&Package) -> String + Send + Sync + 'static,
    set: impl Fn(&mut Package, String) + Send + Sync + 'static,
) -> AnyView {
    let set = Arc::new(set);
    let id = format!("f-{test}");
    let value = Memo::new(move |_| app.document.with(|package| get(package)));
    view! {
        <div class="field">
            <label class="field__label" for=id.clone()>{label}</label>
            <input
                class="field__text" id=id type="text" autocomplete="off" enterkeyhint="done" data-test=test
                prop:value=move || value.get()
                on:input=move |event| {
                    let name = event_target_value(&event);
                    if !name.trim().is_empty() && name.len() <= MAX_NAME_BYTES {
                        app.document.sketch(|package| set(package, name));
                    }
                }
                on:change=move |_| app.document.settle(Some(test))
                on:blur=move |_| {
                    app.document.settle(Some(test));
                    app.document.leave_field();
                }
            />
        </div>
    }
    .into_any()
}
