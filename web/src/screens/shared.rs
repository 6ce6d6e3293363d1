//! What the screens of lenses and moves have in common.

pub(crate) use solver::entering::free_id;

use solver::bounds::MAX_NAME_BYTES;

use crate::dom::{El, el};
use crate::route::Screen;
use crate::ui::icon::{self, Icon};

/// Put after the name of a copy.
const COPY: &str = " (copy)";

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

/// A button that does one thing.
pub(crate) fn button(test: &str, words: &str, pressed: impl FnMut() + 'static) -> El {
    el("button").class("button").attr("type", "button").test(test).words(words).press(pressed)
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
    fn a_copied_name_stays_within_its_length_and_between_letters() {
        assert_eq!(copy_name("Long zoom"), "Long zoom (copy)");
        let copied = copy_name(&"é".repeat(60));
        assert!(copied.len() <= MAX_NAME_BYTES && copied.ends_with("é (copy)"), "{copied}");
    }
}
