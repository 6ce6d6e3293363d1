//! What the screens of lenses and moves have in common.

use solver::bounds::MAX_NAME_BYTES;

use crate::dom::{El, div, el, span};
use crate::route::Screen;

/// Put after the name of a copy.
const COPY: &str = " (copy)";

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

/// The name of a copy: the same and a word, no longer than a name may be.
pub(crate) fn copy_name(name: &str) -> String {
    let room = MAX_NAME_BYTES - COPY.len();
    let ends = name.char_indices().map(|(at, letter)| at + letter.len_utf8());
    let kept = ends.take_while(|end| *end <= room).last().unwrap_or(0);
    format!("{}{COPY}", &name[..kept])
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

    #[test]
    fn a_copied_name_stays_within_its_length_and_between_letters() {
        assert_eq!(copy_name("Long zoom"), "Long zoom (copy)");
        let copied = copy_name(&"é".repeat(60));
        assert!(copied.len() <= MAX_NAME_BYTES && copied.ends_with("é (copy)"), "{copied}");
    }
}
