//! Help where the word is: a question mark in the corner of a section that opens one sentence.

use crate::dom::{El, el, p};

/// What `about` means, in one sentence.
pub(crate) fn help(about: &str, sentence: &str) -> El {
    let sign = el("summary").class("help__sign").attr("aria-label", &format!("About {about}")).words("?");
    el("details").class("help").test("help").child(sign).child(p("help__words", sentence))
}
