//! A list whose entries live as long as their keys.

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

use super::{El, PAGE, effect};
use crate::later;

/// An entry on the page, and what lives with it.
struct Entry {
    element: El,
    owner: Owner,
}

impl Drop for Entry {
    fn drop(&mut self) {
        self.owner.cleanup();
        self.element.0.remove();
    }
}

/// Keeps one child of `parent` for each key. `parent` holds nothing else.
pub(super) fn each(parent: &Element, keys: Box<dyn Fn() -> Vec<String>>, build: Box<dyn Fn(&str) -> El>) {
    let parent = parent.clone();
    // Entries belong to whatever the list belongs to, not to one run of the effect.
    let family = Owner::current().unwrap_or_default();
    // A few dozen at most: looking through them costs less than a tree would in the download.
    let mut entries: Vec<(String, Entry)> = Vec::new();
    let mut before: Option<Vec<String>> = None;
    effect(Box::new(move || {
        let now = keys();
        if before.as_ref() == Some(&now) {
            return;
        }
        let known = before.as_deref().unwrap_or_default();
        // Nothing goes before the module is there that edits.
        let heir = if later::is_there() { heir(&entries, known, &now) } else { None };
        entries.retain(|(key, _)| now.contains(key));
        let mut place = parent.first_element_child();
        for key in &now {
            let at = entries.iter().position(|(known, _)| known == key).unwrap_or_else(|| {
                let owner = family.child();
                let element = owner.with(|| untrack(|| build(key)));
                entries.push((key.clone(), Entry { element, owner }));
                entries.len() - 1
            });
            let element = &entries[at].1.element.0;
            if place.as_ref() == Some(element) {
                place = element.next_element_sibling();
            } else {
                // Inserting fails only where a node would hold itself.
                let _ = parent.insert_before(element, place.as_ref().map(AsRef::as_ref));
            }
        }
        before = Some(now);
        if let Some(key) = heir {
            focus(&entries, &key);
        }
    }));
}

/// The entry that gets the focus where the one that has it goes, as with a button that takes its own entry away: the one
/// that follows, or the last.
#[inline(never)]
fn heir(entries: &[(String, Entry)], before: &[String], now: &[String]) -> Option<String> {
    let focused = PAGE.with(web_sys::Document::active_element)?;
    let gone = |(key, entry): &&(String, Entry)| !now.contains(key) && entry.element.0.contains(Some(&focused));
    let (key, _) = entries.iter().find(gone)?;
    let (ahead, behind) = before.split_at(before.iter().position(|known| known == key)?);
    behind.iter().chain(ahead.iter().rev()).find(|key| now.contains(key)).cloned()
}

#[inline(never)]
fn focus(entries: &[(String, Entry)], key: &str) {
    if let Some((_, entry)) = entries.iter().find(|(known, _)| known == key) {
        let element = entry.element.clone().attr("tabindex", "-1");
        // An entry that cannot take the focus leaves it where the engine puts it.
        let _ = element.0.dyn_ref::<HtmlElement>().map(HtmlElement::focus);
    }
}
