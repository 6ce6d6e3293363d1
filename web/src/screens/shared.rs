//! What the screens of lenses and moves have in common.

pub(crate) use solver::entering::free_id;

use std::time::Duration;

use leptos::prelude::*;
use wasm_bindgen::prelude::*;

use crate::dom::{El, div, el, span};
use crate::route::Screen;
use crate::storage::record::marked;
use crate::ui::icon::{self, Icon};

/// A framed section with its title.
pub(crate) fn section(id: &str, title: &str) -> El {
    let title = el("h2").class("sheet__title").attr("id", id).words(title);
    el("section").class("sheet").attr("aria-labelledby", id).child(title)
}

/// The way back to a list.
pub(crate) fn back(list: Screen, test: &str, words: &str) -> El {
    el("a")
        .class("button button--back")
        .attr("href", &list.hash())
        .test(test)
        .child(icon::view(Icon::Back))
        .words(words)
}

/// The way on to another screen.
pub(crate) fn link(screen: Screen, test: &str, words: &str) -> El {
    el("a").class("button").attr("href", &screen.hash()).test(test).words(words)
}

/// A button that does one thing.
pub(crate) fn button(test: &str, words: &str, pressed: impl FnMut() + 'static) -> El {
    el("button").class("button").attr("type", "button").test(test).words(words).press(pressed)
}

/// A line of a table: what it is, then what it comes to.
pub(crate) fn line(test: &str, name: &str, words: &str) -> El {
    div("cost__line").test(test).child(span("cost__name").words(name)).child(span("cost__words").words(words))
}

/// The name of a copy.
pub(crate) fn copy_name(name: &str) -> String {
    marked(name, "copy")
}

/// The name of a package's file.
pub(crate) fn file_name(name: &str) -> String {
    let plain: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let plain = if plain.is_empty() { "package" } else { &plain };
    format!("{plain}{}", codec::file::EXTENSION)
}

/// Hands the person a file with this text.
pub(crate) fn download(name: &str, text: &str) -> Result<(), String> {
    let words = |_: JsValue| "This browser cannot save a file.".to_owned();
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let blob = web_sys::Blob::new_with_str_sequence(&parts).map_err(words)?;
    let url = web_sys::Url::create_object_url_with_blob(&blob).map_err(words)?;
    let anchor = el("a").attr("href", &url).attr("download", name);
    let clicked = anchor.raw().dyn_ref::<web_sys::HtmlElement>().map(web_sys::HtmlElement::click);
    // The address may go once the click has been heard, which one engine does a while later.
    set_timeout(
        move || {
            let _ = web_sys::Url::revoke_object_url(&url);
        },
        Duration::from_mins(1),
    );
    clicked.ok_or_else(|| "This browser cannot save a file.".to_owned())
}

#[cfg(test)]
mod tests {
    use solver::bounds::MAX_NAME_BYTES;

    use super::*;

    #[test]
    fn a_copied_name_stays_within_its_length_and_between_letters() {
        assert_eq!(copy_name("Long zoom"), "Long zoom (copy)");
        let copied = copy_name(&"é".repeat(60));
        assert!(copied.len() <= MAX_NAME_BYTES && copied.ends_with("é (copy)"), "{copied}");
    }
}
