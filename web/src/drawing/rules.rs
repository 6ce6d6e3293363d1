//! The rules of the slides: printed scale, open pointer at the target, filled pointer at the present mark.

use std::cell::Cell;
use std::rc::Rc;

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Event, KeyboardEvent};

use super::drag::Grip;
use super::layers::{group, on_pointer, path, text, translate};
use super::scale::Scale;
use super::scene::Scene;
use super::sheet::Sheet;
use super::symbols::pointer;
use crate::dom::{El, svg};
use crate::show::Kind;

/// Half a finger's target, px.
const FINGER: f64 = 24.0;

/// The rules of an elevation, each with a pointer to drag.
pub(crate) fn view(sheet: Sheet, scene: &Scene) -> Vec<El> {
    scene.scales.iter().map(|scale| one(sheet, &Rc::new(scale.clone()))).collect()
}

/// The fine lines from the pointers of level rules up to what the slides move: under the names, which they would strike
/// through.
pub(crate) fn witnesses(sheet: Sheet, scene: &Scene) -> Vec<El> {
    let level = scene.scales.iter().filter(|scale| scale.level && !scale.apart);
    level
        .map(|scale| {
            let rides = scale.slide;
            let carried = move || Some(translate([sheet.offset_px(rides)[0], 0.0]));
            witness(sheet, scene, &Rc::new(scale.clone())).live_attr("transform", carried)
        })
        .collect()
}

fn one(sheet: Sheet, scale: &Rc<Scale>) -> El {
    let (rides, level, apart) = (scale.slide, scale.level, scale.apart);
    let id = scale.id.clone();
    let target = Memo::new(move |_| {
        sheet
            .app
            .document
            .report(|report| report.slides.iter().find(|row| row.slide == id).map(|row| row.target_m))
            .flatten()
    });
    let at = scale.clone();
    let target_at = move || target.get().map(|target| translate(at.at(target.value)));
    let doubted = scale.clone();
    let doubt = move || target.get().map(|target| doubt(&doubted, target.value, target.u));
    let printed = scale.clone();
    let drawn = group()
        .attr("aria-hidden", "true")
        .child(group().live(move || print(sheet, &printed)))
        .child(svg("path").class("drawing__doubt").live_attr("d", doubt))
        .child(
            path("drawing__target", &pointer(level, 15.0, 6.5))
                .test("drawn-target")
                .live_class("drawing__target--none", move || target.get().is_none())
                .live_attr("transform", target_at),
        )
        .children(title(sheet, scale));
    // The rule is fixed to what carries the slide, unless it stands apart; across itself it stays where it is on the
    // sheet.
    let carried = move || {
        let [x, y] = sheet.offset_px(rides);
        Some(translate(match (apart, level) {
            (true, _) => [0.0, 0.0],
            (false, true) => [x, 0.0],
            (false, false) => [0.0, y],
        }))
    };
    group().live_attr("transform", carried).child(drawn).child(handle(sheet, scale))
}

fn mark_m(sheet: Sheet, slide: usize) -> f64 {
    sheet.marks_m.with(|marks_m| marks_m.get(slide).copied().unwrap_or_default())
}

fn print(sheet: Sheet, scale: &Scale) -> Vec<El> {
    let style = sheet.app.style();
    let print = scale.print(style.imperial());
    let class = if scale.level { "drawing__number" } else { "drawing__number drawing__number--beside" };
    let mut drawn = vec![path("drawing__ticks", &print.ticks)];
    for (at, value) in print.numbers {
        drawn.push(text(class, at).words(&style.plain(value, print.decimals)));
    }
    drawn
}

/// The band of ± round the target, on the edge of the rule.
fn doubt(scale: &Scale, target_m: f64, u_m: f64) -> String {
    let (from, to) = (scale.at(target_m - u_m), scale.at(target_m + u_m));
    if scale.level {
        format!("M{:.1} {:.1}H{:.1}V{:.1}H{:.1}Z", from[0], from[1] - 7.0, to[0], from[1], from[0])
    } else {
        format!("M{:.1} {:.1}V{:.1}H{:.1}V{:.1}Z", from[0] - 7.0, from[1], to[1], from[0], from[1])
    }
}

/// The fine line from the pointer of a level rule up to what the slide moves.
fn witness(sheet: Sheet, scene: &Scene, scale: &Rc<Scale>) -> El {
    let (top, scale) = (scale.moved_px.min(scene.ground_px), scale.clone());
    svg("path").class("drawing__witness").live_attr("d", move || {
        let [x, y] = scale.at(mark_m(sheet, scale.slide));
        Some(format!("M{x:.1} {:.1}V{top:.1}", y - 15.0))
    })
}

/// Name and present mark beside the rule.
fn title(sheet: Sheet, scale: &Scale) -> [El; 2] {
    let slide = scale.slide;
    let [low, high] = scale.range_m.map(|mark_m| scale.along(mark_m));
    let [x, y] = if scale.level {
        [low.min(high) - 14.0, scale.edge_px]
    } else {
        [scale.edge_px - 26.0, 0.5 * (low + high) - 4.0]
    };
    [
        text("drawing__word drawing__word--ends", [x, y - 2.0]).words(&scale.name),
        text("drawing__mark", [x, y + 15.0])
            .live_words(move || sheet.app.style().show(Kind::Mark, mark_m(sheet, slide))),
    ]
}

/// The pointer at the present mark: what a finger drags and arrow keys move.
fn handle(sheet: Sheet, scale: &Rc<Scale>) -> El {
    let (slide, level) = (scale.slide, scale.level);
    let millimetres = |mark_m: f64| format!("{:.0}", mark_m * 1000.0);
    let [x, y] = if level { [-FINGER, -30.0] } else { [-30.0, -FINGER] };
    let side = format!("{}", 2.0 * FINGER);
    let finger = svg("rect")
        .class("drawing__finger")
        .attr("x", &format!("{x}"))
        .attr("y", &format!("{y}"))
        .attr("width", &side)
        .attr("height", &side);
    let at = scale.clone();
    let drawn = group()
        .class(if level { "drawing__handle" } else { "drawing__handle drawing__handle--upright" })
        .attr("role", "slider")
        .attr("tabindex", "0")
        .test(&format!("handle-{}", scale.id))
        .attr("aria-label", &format!("{}: present mark", scale.name))
        .attr("aria-orientation", if level { "horizontal" } else { "vertical" })
        .attr("aria-valuemin", &millimetres(scale.range_m[0]))
        .attr("aria-valuemax", &millimetres(scale.range_m[1]))
        .live_attr("aria-valuenow", move || Some(millimetres(mark_m(sheet, slide))))
        .live_attr("aria-valuetext", move || Some(sheet.app.style().show(Kind::Mark, mark_m(sheet, slide))))
        .live_value(move || Some(mark_m(sheet, slide)))
        .live_attr("transform", move || Some(translate(at.at(mark_m(sheet, slide)))))
        .child(finger)
        .child(path("drawing__pointer", &pointer(level, 12.0, 5.5)))
        .child(path("drawing__pointer", if level { "M0 0V13" } else { "M0 0H13" }));
    listen(sheet, scale, drawn)
}

fn listen(sheet: Sheet, scale: &Rc<Scale>, handle: El) -> El {
    let grip = Rc::new(Cell::new(None::<Grip>));
    let (begun, held) = (grip.clone(), grip.clone());
    let (begin, drag, key) = (scale.clone(), scale.clone(), scale.clone());
    let drop = |cancelled: bool| {
        let (grip, scale) = (grip.clone(), scale.clone());
        move |_: Event| {
            if let Some(grip) = grip.take() {
                sheet.drop_slide(&scale, &grip, cancelled);
            }
        }
    };
    // Some engines ask only the whole drawing whether a finger scrolls the page, so the handle says no by itself.
    handle
        .on("touchstart", |event: Event| event.prevent_default())
        .on("pointerdown", on_pointer(move |event| begun.set(sheet.grip_slide(&begin, event))))
        .on(
            "pointermove",
            on_pointer(move |event| {
                if let Some(grip) = held.get() {
                    sheet.drag_slide(&drag, &grip, event);
                }
            }),
        )
        .on("pointerup", drop(false))
        .on("pointercancel", drop(true))
        .on("keydown", move |event: Event| {
            if let Some(event) = event.dyn_ref::<KeyboardEvent>() {
                sheet.key_slide(&key, event);
            }
        })
}
