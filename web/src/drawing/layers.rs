//! The layers of an elevation, from the back: the head, the parts, centre lines, centre of gravity, names, wind, rules.

use std::cell::Cell;
use std::rc::Rc;

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Event, PointerEvent};

use super::drag::Grip;
use super::head::Axis;
use super::labels::{Label, Named};
use super::projection::{Frame, plus};
use super::rules;
use super::scene::{Drawn, Scene};
use super::sheet::Sheet;
use super::symbols;
use crate::dom::{El, svg};
use crate::show::Kind;

/// Everything inside the frame of an elevation.
pub(crate) fn drawing(sheet: Sheet, scene: &Scene) -> Vec<El> {
    let parts = scene.parts.iter().enumerate().map(|(figure, part)| one_part(sheet, figure, part));
    let picture = group()
        .attr("aria-hidden", "true")
        .children(head(sheet, scene))
        .children(parts)
        .children(scene.before.iter().map(|case| riding(sheet, case.rides, path("drawing__before", &case.path))))
        .children(scene.axes.iter().map(|axis| centre_line(sheet, axis)))
        .children(rules::witnesses(sheet, scene))
        .child(centre_of_gravity(sheet))
        .child(group().live(move || sheet.labels.get().into_iter().flat_map(|label| name(sheet, label)).collect()))
        .child(wind(sheet, scene.right_px))
        .child(bar(sheet, scene));
    let mut layers = vec![picture];
    layers.extend(rules::view(sheet, scene));
    layers
}

/// A group of a drawing.
pub(crate) fn group() -> El {
    svg("g")
}

/// A path of a class.
pub(crate) fn path(class: &str, data: &str) -> El {
    svg("path").class(class).attr("d", data)
}

/// Words of a class at a place.
pub(crate) fn text(class: &str, [x, y]: [f64; 2]) -> El {
    svg("text").class(class).attr("x", &format!("{x:.1}")).attr("y", &format!("{y:.1}"))
}

/// The attribute that moves what rides on slides.
pub(crate) fn translate([x, y]: [f64; 2]) -> String {
    format!("translate({x:.2} {y:.2})")
}

/// An element that moves with what rides inboard of so many slides.
fn riding(sheet: Sheet, rides: usize, element: El) -> El {
    element.live_attr("transform", move || Some(translate(sheet.offset_px(rides))))
}

fn head(sheet: Sheet, scene: &Scene) -> Vec<El> {
    let thickness = scene.arm_px;
    let mut drawn = Vec::new();
    if let Some(clear) = &scene.clear {
        let radius_m = clear.radius_m;
        let words = text("drawing__note", clear.words_at)
            .live_words(move || format!("clear {}", sheet.app.style().show(Kind::Mark, radius_m)));
        drawn.push(riding(sheet, clear.rides, group().child(path("drawing__clear", &clear.path)).child(words)));
    }
    if let Some(fixed) = &scene.fixed {
        drawn.push(path("drawing__fine", fixed));
    }
    // All edges before all fills: arms that meet become one.
    let widths = [("drawing__arm-edge", thickness), ("drawing__arm", (thickness - 2.0).max(1.0))];
    for (class, width) in widths {
        for arm in &scene.arms {
            let stroke = path(class, &arm.path).attr("stroke-width", &format!("{width:.1}"));
            drawn.push(riding(sheet, arm.rides, stroke));
        }
    }
    drawn.extend(scene.cases.iter().map(|case| riding(sheet, case.rides, path("drawing__case", &case.path))));
    drawn
}

fn one_part(sheet: Sheet, figure: usize, part: &Drawn) -> El {
    let (of, rides) = (part.of, part.rides);
    let grip = Rc::new(Cell::new(None::<Grip>));
    let drawn = group()
        .class(if part.spread { "drawing__part drawing__part--spread" } else { "drawing__part" })
        .test("drawn-part")
        .attr("data-name", &part.name)
        .live_attr("transform", move || Some(translate(sheet.figure_px(figure, rides))))
        .child(svg("title").words(&part.name))
        .child(path("drawing__touch", &part.figure.outline))
        .child(path("drawing__outline", &part.figure.outline))
        .child(path("drawing__tone", &part.figure.tone))
        .child(path("drawing__fine", &part.figure.fine));
    let (begin, drag, dragged) = (grip.clone(), grip.clone(), grip.clone());
    let drop = move |cancelled: bool| {
        let grip = grip.clone();
        move |_: Event| {
            if let Some(grip) = grip.take() {
                sheet.drop_part(of, &grip, cancelled);
            }
        }
    };
    // A finger that drags a part across must not scroll the page as well; one that goes up or down only scrolls.
    drawn
        .on("touchmove", move |event: Event| {
            if dragged.get().is_some_and(|grip| grip.drags_across()) && event.cancelable() {
                event.prevent_default();
            }
        })
        .on("pointerdown", on_pointer(move |event| begin.set(sheet.grip_part(of, event))))
        .on(
            "pointermove",
            on_pointer(move |event| {
                if let Some(mut now) = drag.get() {
                    sheet.drag_part(of, &mut now, event);
                    drag.set(Some(now));
                }
            }),
        )
        .on("pointerup", drop(false))
        .on("pointercancel", drop(true))
}

/// A listener that wants the finger's own event.
pub(crate) fn on_pointer(heard: impl Fn(&PointerEvent) + 'static) -> impl FnMut(Event) {
    move |event| {
        if let Some(event) = event.dyn_ref::<PointerEvent>() {
            heard(event);
        }
    }
}

fn centre_line(sheet: Sheet, axis: &Axis) -> El {
    let word = axis.word_at.map(|place| {
        let class = if place.ends { "drawing__word drawing__word--ends" } else { "drawing__word" };
        text(class, place.at).words(&axis.word)
    });
    let drawn = group().child(path("drawing__axis", &axis.path));
    let drawn = drawn.children(axis.staff.as_ref().map(|staff| path("drawing__leader", staff))).children(word);
    let (rides, moves) = (axis.rides, axis.moves);
    drawn.live_attr("transform", move || {
        let by = sheet.offset_px(rides);
        Some(translate([0, 1].map(|along| if moves[along] { by[along] } else { 0.0 })))
    })
}

/// A name on its leader line. While something is dragged the name stays and the foot of the leader follows.
fn name(sheet: Sheet, label: Label) -> [El; 3] {
    let Label { named, text: words, foot, head: [x, y], leftwards } = label;
    let rides = sheet.scene.with_untracked(|scene| match named {
        Named::Figure(figure) => scene.parts.get(figure).map_or(0, |part| part.rides),
        Named::Axis(axis) => scene.axes.get(axis).map_or(0, |axis| axis.rides),
    });
    let stands = move || match named {
        Named::Figure(figure) => sheet.figure_px(figure, rides),
        Named::Axis(_) => sheet.offset_px(rides),
    };
    let placed = untrack(stands);
    let foot_now = move || {
        let now = stands();
        plus(foot, [now[0] - placed[0], now[1] - placed[1]])
    };
    // The leader is the staff of the flag: it runs past the name on the far side.
    let past = if foot[1] > y { y - 10.0 } else { y + 3.0 };
    let class = match (named, leftwards) {
        (Named::Figure(_), true) => "drawing__name drawing__name--ends",
        (Named::Figure(_), false) => "drawing__name",
        (Named::Axis(_), true) => "drawing__word drawing__word--ends",
        (Named::Axis(_), false) => "drawing__word",
    };
    let words_x = if leftwards { x - 4.0 } else { x + 4.0 };
    [
        svg("path").class("drawing__leader").live_attr("d", move || {
            let [foot_x, foot_y] = foot_now();
            Some(format!("M{x:.1} {past:.1}V{y:.1}L{foot_x:.1} {foot_y:.1}"))
        }),
        svg("circle")
            .class("drawing__foot")
            .attr("r", "1.8")
            .live_attr("transform", move || Some(translate(foot_now()))),
        text(class, [words_x, y]).words(&words),
    ]
}

fn centre_of_gravity(sheet: Sheet) -> El {
    let [ring, quarters] = symbols::quartered_disc();
    let cg = Memo::new(move |_| sheet.cg_px());
    let dimension = Memo::new(move |_| {
        let (at, _) = cg.get()?;
        Some(symbols::dimension(sheet.flange_px(), at, sheet.dimension_px()))
    });
    let figure = move || {
        let across = sheet.view.get().axes()[0];
        let cg_m = sheet.app.document.report(|report| report.mass.camera_cg_from_flange_m).flatten();
        cg_m.map_or_else(String::new, |cg_m| sheet.app.style().show(Kind::Mark, cg_m[across].value.abs()))
    };
    let half = move |axis: usize| cg.get().map(|(_, u)| format!("{:.1}", u[axis].max(symbols::DISC)));
    let figure_at = move |axis: usize| dimension.get().map(|drawn| format!("{:.1}", drawn.figure_at[axis]));
    let disc = group()
        .test("drawn-cg")
        .live_attr("transform", move || cg.get().map(|(at, _)| translate(at)))
        .child(svg("ellipse").class("drawing__doubt").live_attr("rx", move || half(0)).live_attr("ry", move || half(1)))
        .child(path("drawing__ring", &ring))
        .child(path("drawing__quarters", &quarters));
    group()
        .class("drawing__cg")
        .live_class("drawing__cg--none", move || cg.get().is_none())
        .child(svg("path").class("drawing__extension").live_attr("d", move || dimension.get().map(|drawn| drawn.lines)))
        .child(svg("path").class("drawing__arrow").live_attr("d", move || dimension.get().map(|drawn| drawn.arrows)))
        .child(
            svg("text")
                .class("drawing__figure")
                .live_attr("x", move || figure_at(0))
                .live_attr("y", move || figure_at(1))
                .live_words(figure),
        )
        .child(disc)
}

/// The wind of the move that has most of it, with its force on everything. It may come from any side: it is drawn from the right of the sheet.
fn wind(sheet: Sheet, width: f64) -> El {
    let strongest = Memo::new(move |_| {
        let windiest = sheet.app.document.with(|package| {
            let moves = package.moves.iter().filter(|each| each.airspeed_m_s > 0.0);
            let windiest = moves.max_by(|a, b| a.airspeed_m_s.total_cmp(&b.airspeed_m_s));
            windiest.map(|each| (each.id, each.airspeed_m_s))
        });
        let (id, speed_m_s) = windiest?;
        let force_n = sheet.app.document.report(|report| {
            let torque = report.torque.known()?;
            torque.moves.iter().find(|each| each.move_id == id).map(|each| each.wind_force_n)
        });
        Some((speed_m_s, force_n.flatten()))
    });
    let frame = Frame { left: width - 62.0, top: 8.0, right: width - 12.0, bottom: 28.0 };
    let arrow = symbols::open_arrow(&frame);
    group().live(move || {
        let Some((speed_m_s, force_n)) = strongest.get() else { return Vec::new() };
        let style = sheet.app.style();
        let force = force_n.map_or_else(String::new, |force_n| format!(", {}", style.show(Kind::Force, force_n)));
        let words = format!("Wind {}{force}", style.show(Kind::Speed, speed_m_s));
        vec![
            path("drawing__wind", &arrow),
            text("drawing__note drawing__note--ends", [width - 12.0, 42.0]).words(&words),
        ]
    })
}

/// A round length to the scale of the drawing.
fn bar(sheet: Sheet, scene: &Scene) -> El {
    let px_per_m = scene.paper.px_per_m;
    group().live(move || {
        let (length_m, words) = if sheet.app.style().imperial() { (0.1016, "4 in") } else { (0.1, "100 mm") };
        let length = length_m * px_per_m;
        let [lines, filled] = symbols::scale_bar(12.0, 16.0, length);
        vec![
            path("drawing__fine", &lines),
            path("drawing__quarters", &filled),
            text("drawing__figure", [18.0 + length, 22.0]).words(words),
        ]
    })
}
