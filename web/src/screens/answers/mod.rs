//! The first screen: what must be known, in the order in which it is needed, without a tap.

mod findings;
mod jobs;
mod marks;
mod masses;
mod power;
mod stiffness;
mod torque;

use solver::explain::AnswerId;

use crate::app::App;
use crate::dom::{El, div, el};

pub(crate) use findings::{Fits, of_severity, summary_line};
pub(crate) use marks::{MarkReader, present_mark, set_to_target};
pub(crate) use stiffness::Stiff;
pub(crate) use torque::{used, with_move};

/// The answers. What hangs and where the marks go is painted first, when the page has just come up; the rest stands below
/// the fold of a phone and follows in a task of its own.
pub(crate) fn view(app: App) -> El {
    // The marks of a bare head are true and of no use: what to do first would stand among them.
    let once_it_rides = move |sheet: El| sheet.hidden(move || nothing_rides(app));
    let rest = move || {
        vec![
            once_it_rides(torque::view(app)),
            once_it_rides(power::view(app)),
            once_it_rides(stiffness::view(app)),
            findings::rest(app),
            findings::not_checked(app),
            jobs::view(),
        ]
    };
    div("answers")
        .child(findings::verdict(app))
        .child(once_it_rides(masses::view(app)))
        .child(once_it_rides(marks::view(app)))
        .once(app.painted, rest)
}

/// Whether the package has neither a part nor a lens yet.
fn nothing_rides(app: App) -> bool {
    app.document.with(|package| package.parts.is_empty() && package.lenses.is_empty())
}

/// What a row opens into; built by [`super::inside`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Inside {
    /// Mass on the camera side.
    CameraMass,
    /// Mass on the arm.
    ArmMass,
    /// The mark of the slide with this id.
    Mark(String),
    /// The torque of a move.
    Move(u32),
    /// How far a move can go.
    Reach(u32),
    /// Hours.
    Runtime,
    /// The arithmetic of an answer and no more.
    Answer(AnswerId),
}

/// A framed section with its title.
fn sheet(id: &str, title: &str) -> El {
    let title = el("h2").class("sheet__title").attr("id", id).attr("tabindex", "-1").words(title);
    el("section").class("sheet").attr("aria-labelledby", id).child(title)
}
