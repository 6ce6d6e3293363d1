//! A short guided tour over the answers of whatever is on the screen: the demo, on a first visit.

use wasm_bindgen::JsCast;

use super::answers;
use crate::app::App;
use crate::browser::by_id;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;

/// One step: the section that it points at by the id of its title, its heading and its words.
struct Step {
    at: Option<&'static str>,
    title: &'static str,
    words: &'static str,
}

/// The steps, in the order of the first screen.
const STEPS: [Step; 4] = [
    Step {
        at: None,
        title: "The first line is the verdict",
        words: "If anything stops the job it stands here, before all else. This is the demo, a rowing regatta: change whatever you like.",
    },
    Step {
        at: Some("marks-title"),
        title: "Where the marks go",
        words: "One row for each scale on the head. The large number is where to set it; the filled pointer is where it stands now. Touch a row for the arithmetic.",
    },
    Step {
        at: Some("torque-title"),
        title: "What the motors have in hand",
        words: "The tightest axis and move, and how fast one may go. Hours and the pack change follow below.",
    },
    Step {
        at: None,
        title: "Now your own",
        words: "Parts, Lenses, Moves and Head, below, hold what you enter. The name at the top opens your packages: start an empty one there.",
    },
];

/// The answers with one step of the tour over them.
pub(crate) fn view(app: App, step: u32) -> El {
    let index = (step as usize).clamp(1, STEPS.len()) - 1;
    // Whoever has begun is never asked again.
    app.prefer(|prefs| prefs.guided = true);
    let shown = &STEPS[index];
    if let Some(id) = shown.at {
        point_at(id);
    }
    div("guided").child(card(index, shown)).child(answers::view(app))
}

fn card(index: usize, step: &Step) -> El {
    let count = STEPS.len();
    let number = u32::try_from(index).unwrap_or_default() + 1;
    let link = |screen: Screen, test: &str, words: &str| {
        el("a").class("button").attr("href", &screen.hash()).test(test).words(words)
    };
    let buttons = if index + 1 < count {
        vec![
            link(Screen::Answers, "guide-skip", "Skip"),
            link(Screen::Guide(number + 1), "guide-next", "Next").class("button--main"),
        ]
    } else {
        vec![
            link(Screen::Packages, "guide-own", "Packages"),
            link(Screen::Answers, "guide-done", "Done").class("button--main"),
        ]
    };
    el("section")
        .class("guide")
        .attr("aria-labelledby", "guide-title")
        .test("guide")
        .attr("data-step", &number.to_string())
        .child(
            el("h2")
                .class("guide__title")
                .attr("id", "guide-title")
                .child(span("guide__count").words(&format!("{number} of {count}")))
                .child(span("").words(step.title)),
        )
        .child(p("guide__words", step.words))
        .child(div("guide__buttons").children(buttons))
}

/// Brings the section with this title into view and frames it, once it is on the page.
fn point_at(id: &'static str) {
    leptos::task::spawn_local(async move {
        let Some(title) = by_id(id) else { return };
        let Some(section) = title.closest("section").ok().flatten() else { return };
        // The class only frames it; a page without it is still right.
        let _ = section.class_list().add_1("pointed-at");
        if let Ok(section) = section.dyn_into::<web_sys::HtmlElement>() {
            section.scroll_into_view();
        }
    });
}
