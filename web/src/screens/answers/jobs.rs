//! What is done next with a package: the way to every screen that no tab leads to.

use super::sheet;
use crate::dom::{El, el, span};
use crate::route::Screen;

/// Each job: its screen, its name, and what comes of it.
const JOBS: [(Screen, &str, &str); 11] = [
    (
        Screen::Balance,
        "Balance step by step",
        "One axis at a time: set the mark, say what it does. What is found makes the next prediction better.",
    ),
    (
        Screen::Head,
        "See it to scale",
        "Side, front and top, with the centre of gravity. Drag a slide and the answers follow.",
    ),
    (
        Screen::Remedies,
        "Make it hang",
        "What mends a mark out of travel, and what each filter, lens or pack does to the marks.",
    ),
    (Screen::Fit, "Fit", "Rods, opening, and how far everything turns before it meets an arm or the platform."),
    (Screen::Stiffness, "Stiffness", "How the package swings, what bends, and the single change that helps most."),
    (Screen::Power, "Power", "The day on its packs, every load, tap and cable, chargers, flying the packs."),
    (
        Screen::Measure,
        "Weigh and measure",
        "Two scales, a knife edge, a spring gauge, a stopwatch: each value goes into the package with its ±.",
    ),
    (Screen::Grip, "For the grip", "Mass and moment on the arm, counterweights, side wind, lifting by hand, the wrap."),
    (
        Screen::OwnHead,
        "A head of your own",
        "Describe it from its data sheet, a tape and a spring gauge; it travels with the package.",
    ),
    (Screen::Sheet, "Prep sheet", "Marks, torque, power and cautions on one or two pages, to read or to print."),
    (Screen::Share, "Send this package", "As a link or a file. Whoever opens it sees the same numbers."),
];

/// The jobs, as links.
pub(super) fn view() -> El {
    sheet("jobs", "Next").children(JOBS.iter().map(|(screen, name, what)| {
        el("a")
            .class("list__item")
            .attr("href", &screen.hash())
            .test(&format!("job-{}", screen.hash().strip_prefix("#/").unwrap_or_default()))
            .child(
                el("span")
                    .class("list__link")
                    .child(span("list__name").words(name))
                    .child(span("list__detail").words(what)),
            )
    }))
}
