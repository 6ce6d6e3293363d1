//! A list whose entries live as long as their keys.

use leptos::prelude::*;
use web_sys::Element;

use super::{El, effect};

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
    }));
}
