//! Settings of this device: units, decimal mark, theme; and who decides.

use std::rc::Rc;

use leptos::prelude::*;
use quantity::System;

use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::route::Screen;
use crate::state::prefs::Theme;
use crate::ui::choice::radios;
use crate::words::{WHO_DECIDES, WRAP};

/// The settings.
pub(crate) fn view(app: App) -> El {
    div("screen").child(choices(app)).child(about())
}

fn choices(app: App) -> El {
    let title = el("h2").class("sheet__title").attr("id", "settings-title").words("On this device");
    el("section")
        .class("sheet")
        .attr("aria-labelledby", "settings-title")
        .child(title)
        .child(radios(
            "Units",
            "units",
            vec!["kg, mm, N·m", "lb, in, lbf·ft"],
            Rc::new(move || Some(usize::from(app.prefs.with(|prefs| prefs.system == System::Imperial)))),
            Rc::new(move |choice| {
                app.prefer(|prefs| prefs.system = if choice == 1 { System::Imperial } else { System::Metric });
            }),
        ))
        .child(radios(
            "Decimal mark",
            "decimal",
            vec!["1.25", "1,25"],
            Rc::new(move || Some(usize::from(app.prefs.with(|prefs| prefs.comma)))),
            Rc::new(move |choice| app.prefer(|prefs| prefs.comma = choice == 1)),
        ))
        .child(radios(
            "Light",
            "theme",
            vec!["As the device", "Daylight", "Night"],
            Rc::new(move || {
                Some(app.prefs.with(|prefs| match prefs.theme {
                    Theme::Auto => 0,
                    Theme::Daylight => 1,
                    Theme::Night => 2,
                }))
            }),
            Rc::new(move |choice| {
                app.prefer(|prefs| {
                    prefs.theme = match choice {
                        1 => Theme::Daylight,
                        2 => Theme::Night,
                        _ => Theme::Auto,
                    };
                });
            }),
        ))
}

fn about() -> El {
    let title = el("h2").class("sheet__title").attr("id", "about-title").words("What this is");
    el("section")
        .class("sheet")
        .attr("aria-labelledby", "about-title")
        .child(title)
        .child(p("", "A calculator for the prep of a stabilised camera head. It works without a signal: after the first visit everything is on this device, and nothing leaves it unless you share a link or a file."))
        .child(p("", WRAP))
        .child(p("", WHO_DECIDES))
        .child(
            el("a").class("button").attr("href", &Screen::Guide(1).hash()).test("guide-again").words("Show me round once more"),
        )
        .child(el("a").class("button").attr("href", "rescue.html").test("to-rescue").words("Rescue page: take out what is kept"))
}
