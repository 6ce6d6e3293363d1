//! The first screen: what must be known, in the order in which it is needed, without a tap.

mod findings;
mod jobs;
mod marks;
mod masses;
mod power;
mod torque;

use crate::app::App;
use crate::dom::{El, div, el};

pub(crate) use findings::summary_line;
pub(crate) use marks::{present_mark, set_to_target};

/// The answers.
pub(crate) fn view(app: App) -> El {
    div("answers")
        .child(findings::verdict(app))
        .child(masses::view(app))
        .child(marks::view(app))
        .child(torque::view(app))
        .child(power::view(app))
        .child(findings::rest(app))
        .child(findings::not_checked(app))
        .child(jobs::view())
}

/// A framed section with its title.
fn sheet(id: &str, title: &str) -> El {
    let title = el("h2").class("sheet__title").attr("id", id).attr("tabindex", "-1").words(title);
    el("section").class("sheet").attr("aria-labelledby", id).child(title)
}
