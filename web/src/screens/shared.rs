//! What the screens of lenses and moves have in common.

use std::time::Duration;

use leptos::prelude::*;
use wasm_bindgen::prelude::*;

use crate::dom::{El, div, el, span};
use crate::route::Screen;
use crate::storage::record::marked;

/// A framed section with its title.
pub(crate) fn section(id: &str, title: &str) -> El {
    let title = el("h2").class("sheet__title").attr("id", id).words(title);
    el("section").class("sheet").attr("aria-labelledby", id).child(title)
}

/// The way back to a list.
pub(crate) fn back(list: Screen, test: &str, words: &str) -> El {
    el("a").class("button").attr("href", &list.hash()).test(test).words(words)
}

/// A button that does one thing.
pub(crate) fn button(test: &str, words: &str, pressed: impl FnMut() + 'static) -> El {
    el("button").class("button").attr("type", "button").test(test).words(words).press(pressed)
}

/// A line of a table: what it is, then what it comes to.
pub(crate) fn line(test: &str, name: &str, words: &str) -> El {
    div("cost__line").test(test).child(span("cost__name").words(name)).child(span("cost__words").words(words))
}

/// An id that none of `ids` is: one more than the largest, so that what has been removed is not mistaken for it.
pub(crate) fn free_id(ids: impl Iterator<Item = u32> + Clone) -> u32 {
    let next = ids.clone().max().unwrap_or(0).checked_add(1);
    next.unwrap_or_else(|| (1..u32::MAX).find(|id| ids.clone().all(|known| known != *id)).unwrap_or(0))
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
    use super::*;

    #[test]
    fn a_new_id_is_no_known_one() {
        assert_eq!(free_id([].into_iter()), 1);
        assert_eq!(free_id([3, 7, 5].into_iter()), 8);
        assert_eq!(free_id([1, u32::MAX, 2].into_iter()), 3);
    }
}
