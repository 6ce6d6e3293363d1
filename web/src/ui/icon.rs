//! The drawn signs: one stroke weight, square ends, as a ruling pen leaves them.

use crate::dom::{El, svg};

/// A sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Icon {
    /// Less of it.
    Less,
    /// More of it.
    More,
    /// One step back.
    Undo,
    /// One step forward.
    Redo,
    /// Preferences.
    Settings,
    /// Go back to the list.
    Back,
}

/// The sign as a picture that a screen reader passes over.
pub(crate) fn view(icon: Icon) -> El {
    let path = match icon {
        Icon::Less => "M5 12H19",
        Icon::More => "M5 12H19M12 5V19",
        Icon::Undo => "M9 5 4 10l5 5M4 10h9a6 6 0 0 1 6 6v3",
        Icon::Redo => "M15 5l5 5-5 5M20 10h-9a6 6 0 0 0-6 6v3",
        Icon::Settings => "M4 7h8M18 7h2M15 4v6M4 17h2M12 17h8M9 14v6",
        Icon::Back => "M14 5l-7 7 7 7",
    };
    picture("icon", "0 0 24 24").child(svg("path").attr("d", path))
}

/// Our mark: a quartered disc that hangs from a short beam.
pub(crate) fn mark() -> El {
    picture("brand__mark", "0 0 32 32")
        .child(svg("path").class("brand__ink").attr("d", "M5 3h22v3H5zM15 6h2v5h-2z"))
        .child(svg("circle").class("brand__ring").attr("cx", "16").attr("cy", "19.5").attr("r", "9"))
        .child(svg("path").class("brand__ink").attr("d", "M16 19.5v-9a9 9 0 0 1 9 9zM16 19.5v9a9 9 0 0 1-9-9z"))
}

fn picture(class: &str, view_box: &str) -> El {
    svg("svg").class(class).attr("viewBox", view_box).attr("aria-hidden", "true").attr("focusable", "false")
}
