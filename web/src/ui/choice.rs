//! One of several, and yes or no.

use std::sync::Arc;

use leptos::prelude::*;
use solver::Package;

use crate::app::App;

/// A choice that fits on one line of buttons: one tap, all options in view.
pub(crate) fn chips<T: Copy + PartialEq + Send + Sync + 'static>(
    app: App,
    label: &'static str,
    test: &'static str,
    options: &'static [(T, &'static str)],
    get: impl Fn(&Package) -> Option<T> + Send + Sync + 'static,
    set: impl Fn(&mut Package, T) + Send + Sync + 'static,
) -> AnyView {
    let now = Memo::new(move |_| {
        let value = app.document.with(|package| get(package));
        options.iter().position(|(option, _)| Some(*option) == value)
    });
    let set = Arc::new(set);
    let take = Callback::new(move |index: usize| {
        if let Some((option, _)) = options.get(index) {
            app.document.edit(|package| set(package, *option));
        }
    });
    let words = options.iter().map(|(_, word)| *word).collect();
    radios(label, test, words, now.into(), take)
}

/// A line of radio buttons.
pub(crate) fn radios(
    label: &'static str,
    test: &'static str,
    words: Vec<&'static str>,
    now: Signal<Option<usize>>,
    take: Callback<usize>,
) -> AnyView {
    let buttons = words.into_iter().enumerate().map(|(index, word)| {
        view! {
            <label class="chip">
                <input
                    type="radio" name=test class="chip__input" data-test=format!("{test}-{index}")
                    prop:checked=move || now.get() == Some(index)
                    on:change=move |_| take.run(index)
                />
                <span class="chip__word">{word}</span>
            </label>
        }
    });
    view! {
        <fieldset class="chips" data-test=test>
            <legend class="field__label">{label}</legend>
            <div class="chips__line">{buttons.collect_view()}</div>
        </fieldset>
    }
    .into_any()
}

/// A choice from a list, by the id of each entry.
pub(crate) fn select(
    app: App,
    label: &'static str,
    test: &'static str,
    options: impl Fn(&Package) -> Vec<(String, String)> + Send + Sync + 'static,
    get: impl Fn(&Package) -> String + Send + Sync + 'static,
    set: impl Fn(&mut Package, String) + Send + Sync + 'static,
) -> AnyView {
    let id = format!("f-{test}");
    let options = Memo::new(move |_| app.document.with(|package| options(package)));
    let now = Memo::new(move |_| app.document.with(|package| get(package)));
    view! {
        <div class="field">
            <label class="field__label" for=id.clone()>{label}</label>
            <select
                class="field__select" id=id data-test=test
                on:change=move |event| {
                    let chosen = event_target_value(&event);
                    app.document.edit(|package| set(package, chosen));
                }
            >
                {move || {
                    let now = now.get();
                    options
                        .get()
                        .into_iter()
                        .map(|(id, word)| {
                            let chosen = id == now;
                            view! { <option value=id selected=chosen>{word}</option> }
                        })
                        .collect_view()
                }}
            </select>
        </div>
    }
    .into_any()
}

/// A switch.
pub(crate) fn switch(
    label: impl Into<String>,
    test: impl Into<String>,
    now: Signal<bool>,
    take: Callback<bool>,
) -> AnyView {
    view! {
        <label class="switch">
            <input
                type="checkbox" class="switch__input" data-test=test.into()
                prop:checked=move || now.get()
                on:change=move |event| take.run(event_target_checked(&event))
            />
            <span class="switch__word">{label.into()}</span>
        </label>
    }
    .into_any()
}
