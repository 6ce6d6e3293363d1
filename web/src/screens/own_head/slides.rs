//! The third step: what slides where, and its scale.

use solver::bounds::{self, MAX_SLIDES};
use solver::own_head::{add_slide, carrier, move_slide};
use solver::package::{Element, Package, Slide};

use super::field;
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::screens::shared::{button, section};
use crate::show::{Kind, Style};
use crate::ui::choice::{chips, select, switch};
use crate::ui::text::name_field;

/// Where a larger mark carries the camera: the choice's word, the direction, and the word for a smaller one.
const SENSES: [(&str, [f64; 3], &str); 6] = [
    ("forward", [1.0, 0.0, 0.0], "back"),
    ("back", [-1.0, 0.0, 0.0], "forward"),
    ("left", [0.0, 1.0, 0.0], "right"),
    ("right", [0.0, -1.0, 0.0], "left"),
    ("up", [0.0, 0.0, 1.0], "down"),
    ("down", [0.0, 0.0, -1.0], "up"),
];

const SENSE_WORDS: &[(usize, &str)] = &[(0, "Forward"), (1, "Back"), (2, "Left"), (3, "Right"), (4, "Up"), (5, "Down")];

/// One fold for each slide, innermost first.
pub(super) fn view(app: App) -> El {
    let ids = move || app.document.with(|package| package.head.slides().rev().map(|slide| slide.id.clone()).collect());
    let full = move || app.document.with(|package| package.head.slides().count() >= MAX_SLIDES);
    section("own-slides", "3. What slides, and its scale")
        .child(p("quiet", "Read the scale at both ends of travel, and at the mark where it stands in its middle."))
        .child(div("own-slides").each(ids, move |id| one(app, id)))
        .child(
            button("own-slide-add", "Another slide", move || {
                app.document.edit(|package| {
                    let innermost = package.head.joints().next_back().map(|joint| joint.id.clone()).unwrap_or_default();
                    add_slide(&mut package.head, &innermost);
                });
            })
            .live_flag("disabled", full),
        )
}

fn slide_of<'a>(package: &'a Package, id: &str) -> Option<&'a Slide> {
    package.head.slides().find(|slide| slide.id == id)
}

fn change(package: &mut Package, id: &str, change: impl FnOnce(&mut Slide)) {
    if let Some(slide) = package.head.slides_mut().find(|slide| slide.id == id) {
        let middle = |slide: &Slide| 0.5 * (slide.range_m[0] + slide.range_m[1]);
        let before_m = middle(slide);
        change(slide);
        // What stood in the middle of the scale stays there while its ends are typed; the rest stays on the scale.
        let ([low, high], after_m) = (slide.range_m, middle(slide));
        for mark_m in [&mut slide.mark_m, &mut slide.zero_m] {
            let was_in_the_middle = (*mark_m - before_m).abs() < 1e-9;
            *mark_m = if was_in_the_middle { after_m } else { mark_m.clamp(low, high) };
        }
    }
}

fn one(app: App, id: &str) -> El {
    let owned = || id.to_owned();
    let name = {
        let id = owned();
        move || app.document.with(|package| slide_of(package, &id).map(|slide| slide.name.clone()).unwrap_or_default())
    };
    let told = {
        let id = owned();
        move || {
            let style = app.style();
            app.document
                .with(|package| slide_of(package, &id).map(|slide| scale_words(style, slide)).unwrap_or_default())
        }
    };
    let number = |label: &str, test: &str, get: fn(&Slide) -> Option<f64>, set: fn(&mut Slide, f64)| {
        let (read, write) = (owned(), owned());
        field(
            label,
            Kind::Length,
            &bounds::MARK_M,
            &format!("{id}-{test}"),
            move |package| slide_of(package, &read).and_then(get),
            move |package, value| change(package, &write, |slide| set(slide, value)),
        )
    };
    let scale = [
        number(
            "Largest mark",
            "high",
            |slide| Some(slide.range_m[1]),
            |slide, m| slide.range_m[1] = m.max(slide.range_m[0]),
        ),
        number(
            "Smallest mark",
            "low",
            |slide| Some(slide.range_m[0]),
            |slide, m| slide.range_m[0] = m.min(slide.range_m[1]),
        ),
        number("Mark in its middle", "zero", |slide| Some(slide.zero_m), |slide, m| slide.zero_m = m),
    ];
    el("details")
        .class("row")
        .test(&format!("own-slide-{id}"))
        .child(
            el("summary")
                .class("row__summary")
                .child(span("row__name").live_words(name))
                .child(span("row__value").live_words(told)),
        )
        .child(
            div("row__inside")
                .child(named(app, owned()))
                .child(sense(app, owned()))
                .child(carries(app, owned()))
                .child(div("fields").children(scale.map(|field| field.view(app))))
                .child(holes(app, owned()))
                .child(remove(app, owned())),
        )
}

/// The scale in one line: its ends, and where a larger mark carries the camera.
fn scale_words(style: Style, slide: &Slide) -> String {
    let [low, high] = slide.range_m;
    let low = style.typed(Kind::Length, low, &bounds::MARK_M);
    format!("{low} to {}, {} with a larger mark", style.figure(Kind::Length, high, &bounds::MARK_M), slide.plus)
}

fn named(app: App, id: String) -> El {
    let hook = format!("own-{id}-name");
    let (read, write) = (id.clone(), id);
    name_field(
        app,
        "Name",
        hook,
        move |package| slide_of(package, &read).map(|slide| slide.name.clone()).unwrap_or_default(),
        move |package, name| change(package, &write, |slide| slide.name = name),
    )
}

fn sense(app: App, id: String) -> El {
    let test = format!("own-{id}-sense");
    let write = id.clone();
    chips(
        app,
        "A larger mark carries the camera",
        &test,
        SENSE_WORDS,
        move |package| {
            let direction = slide_of(package, &id)?.direction;
            SENSES.iter().position(|(_, known, _)| known.iter().zip(direction).all(|(a, b)| (a - b).abs() < 1e-3))
        },
        move |package, index| {
            let (plus, direction, minus) = SENSES[index];
            change(package, &write, |slide| {
                slide.direction = direction;
                (slide.plus, slide.minus) = (plus.to_owned(), minus.to_owned());
            });
        },
    )
}

fn carries(app: App, id: String) -> El {
    let test = format!("own-{id}-carrier");
    let write = id.clone();
    let options = |package: &Package| {
        package.head.joints().map(|joint| (joint.id.clone(), format!("Everything inside of {}", joint.name))).collect()
    };
    select(
        app,
        "It carries",
        &test,
        options,
        move |package| carrier(&package.head, &id).unwrap_or_default().to_owned(),
        move |package, joint| move_slide(&mut package.head, &write, &joint),
    )
}

fn holes(app: App, id: String) -> El {
    let (test, spacing_test) = (format!("own-{id}-holes"), format!("{id}-spacing"));
    let (read, write, number) = (id.clone(), id.clone(), id);
    let stops = {
        let read = read.clone();
        move || {
            app.document.with(|package| slide_of(package, &read).is_some_and(|slide| slide.hole_spacing_m.is_some()))
        }
    };
    let spacing = field(
        "Hole spacing",
        Kind::Length,
        &bounds::HOLE_SPACING_M,
        &spacing_test,
        move |package| slide_of(package, &read).and_then(|slide| slide.hole_spacing_m),
        move |package, m| change(package, &number, |slide| slide.hole_spacing_m = Some(m)),
    );
    let shown = stops.clone();
    div("own-holes")
        .child(switch("It only stops at holes", &test, stops, move |on| {
            app.document.edit(|package| change(package, &write, |slide| slide.hole_spacing_m = on.then_some(0.01)));
        }))
        .child(div("fields").hidden(move || !shown()).child(spacing.view(app)))
}

fn remove(app: App, id: String) -> El {
    let test = format!("own-{id}-remove");
    button(&test, "The head has no such slide", move || {
        app.document.edit(|package| {
            package.head.chain.retain(|element| !matches!(element, Element::Slide(slide) if slide.id == id));
        });
    })
}
