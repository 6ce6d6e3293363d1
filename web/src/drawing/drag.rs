//! Fingers on the drawing: a slide's pointer that is dragged or moved by keys, a part that is touched or dragged.
//!
//! While something is held the package is only sketched, so every answer follows; letting go commits one step of undo.

use leptos::prelude::*;
use solver::Package;
use solver::layout::Of;
use solver::package::{Anchor, PartKind};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Element, KeyboardEvent, PointerEvent};

use super::scale::Scale;
use super::sheet::{Held, Sheet};
use crate::route::Screen;

/// A finger that moves less than this touches; one that moves more drags, px.
const TOUCH: f64 = 8.0;

/// A finger on the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Grip {
    pointer: i32,
    from: [f64; 2],
    /// Mark when it was gripped, m, or offset of the part.
    start_m: [f64; 3],
    /// The one direction in which a part is dragged, once it is known: across or down the sheet.
    along: Option<usize>,
}

impl Grip {
    /// Grips what is under the pointer; later events come to it wherever the finger goes.
    fn new(event: &PointerEvent, start_m: [f64; 3]) -> Option<Self> {
        if !event.is_primary() || event.button() != 0 {
            return None;
        }
        if let Some(target) = target(event) {
            // Without capture the drag ends at the edge of the handle: no reason to refuse it.
            let _ = target.set_pointer_capture(event.pointer_id());
        }
        Some(Self { pointer: event.pointer_id(), from: at(event), start_m, along: None })
    }

    /// Whether it drags a part across the sheet.
    pub(crate) fn drags_across(&self) -> bool {
        self.along == Some(0)
    }

    /// How far the finger has gone, px; `None` for another finger.
    fn moved(&self, event: &PointerEvent) -> Option<[f64; 2]> {
        let [x, y] = at(event);
        (event.pointer_id() == self.pointer).then(|| [x - self.from[0], y - self.from[1]])
    }
}

/// What the event was listened for on.
fn target(event: &PointerEvent) -> Option<Element> {
    event.current_target()?.dyn_into().ok()
}

/// Focus makes the arrow keys work on what was gripped. Drawn elements can be focused as others can, but are not
/// `HtmlElement`s, which alone have the method in the bindings.
fn focus(element: &Element) {
    let method = js_sys::Reflect::get(element, &JsValue::from_str("focus")).ok();
    if let Some(method) = method.and_then(|method| method.dyn_into::<js_sys::Function>().ok()) {
        // A page that refuses the focus loses only the arrow keys.
        let _ = method.call0(element);
    }
}

fn at(event: &PointerEvent) -> [f64; 2] {
    [f64::from(event.client_x()), f64::from(event.client_y())]
}

impl Sheet {
    /// Puts a mark in the live package.
    fn sketch_mark(self, slide: usize, mark_m: f64) {
        self.app.document.sketch(|package| {
            if let Some(slide) = package.head.slides_mut().nth(slide) {
                slide.mark_m = mark_m;
            }
        });
    }

    fn mark_now_m(self, slide: usize) -> f64 {
        self.marks_m.with_untracked(|marks_m| marks_m.get(slide).copied().unwrap_or_default())
    }

    /// A finger on the pointer of a slide.
    pub(crate) fn grip_slide(self, scale: &Scale, event: &PointerEvent) -> Option<Grip> {
        event.prevent_default();
        if let Some(handle) = target(event) {
            focus(&handle);
        }
        let grip = Grip::new(event, [self.mark_now_m(scale.slide), 0.0, 0.0])?;
        self.held.set(Some(Held::Slide(scale.slide)));
        Some(grip)
    }

    /// The finger on the pointer of a slide has moved.
    pub(crate) fn drag_slide(self, scale: &Scale, grip: &Grip, event: &PointerEvent) {
        if let Some(by) = grip.moved(event) {
            let mark_m = scale.dragged(grip.start_m[0], by[usize::from(!scale.level)]);
            if mark_m != self.mark_now_m(scale.slide) {
                self.sketch_mark(scale.slide, mark_m);
            }
        }
    }

    /// The finger has let go, or was taken away: then everything is as it was.
    pub(crate) fn drop_slide(self, scale: &Scale, grip: &Grip, cancelled: bool) {
        if cancelled {
            self.sketch_mark(scale.slide, grip.start_m[0]);
        }
        self.app.document.settle(None);
        self.held.set(None);
    }

    /// Arrow keys move a mark by a millimetre or a hole, with shift or page keys by ten; home and end to the ends.
    pub(crate) fn key_slide(self, scale: &Scale, event: &KeyboardEvent) {
        let step_m = scale.step_m() * if event.shift_key() { 10.0 } else { 1.0 };
        let now_m = self.mark_now_m(scale.slide);
        let mark_m = match event.key().as_str() {
            "ArrowRight" | "ArrowUp" => now_m + step_m,
            "ArrowLeft" | "ArrowDown" => now_m - step_m,
            "PageUp" => now_m + 10.0 * scale.step_m(),
            "PageDown" => now_m - 10.0 * scale.step_m(),
            "Home" => scale.range_m[0],
            "End" => scale.range_m[1],
            _ => return,
        };
        event.prevent_default();
        self.sketch_mark(scale.slide, scale.settle(mark_m));
        self.app.document.settle(Some(&format!("slide {}", scale.id)));
    }

    /// A finger on a part.
    pub(crate) fn grip_part(self, of: Of, event: &PointerEvent) -> Option<Grip> {
        Grip::new(event, self.app.document.now(|package| offset_m(package, of)))
    }

    /// The finger on a part has moved: beyond a touch it drags the part, across the sheet or up and down it.
    pub(crate) fn drag_part(self, of: Of, grip: &mut Grip, event: &PointerEvent) {
        let Some(by) = grip.moved(event) else { return };
        if grip.along.is_none() && by[0].abs().max(by[1].abs()) >= TOUCH {
            grip.along = Some(usize::from(by[1].abs() > by[0].abs()));
            self.held.set(Some(Held::Figure(of)));
        }
        let Some(along) = grip.along else { return };
        let mut only = [0.0; 2];
        only[along] = by[along];
        let by_m = self.scene.with_untracked(|scene| scene.paper.metres(only));
        let to_m = core::array::from_fn(|axis| ((grip.start_m[axis] + by_m[axis]) * 1000.0).round() / 1000.0);
        self.app.document.sketch(|package| set_offset_m(package, of, to_m, by_m.map(|part| part != 0.0)));
    }

    /// The finger has let go of a part: a touch opens it, a drag is committed.
    pub(crate) fn drop_part(self, of: Of, grip: &Grip, cancelled: bool) {
        if grip.along.is_none() {
            if !cancelled {
                self.open(of);
            }
            return;
        }
        if cancelled {
            self.app.document.sketch(|package| set_offset_m(package, of, grip.start_m, [true; 3]));
        }
        self.app.document.settle(None);
        self.held.set(None);
    }

    fn open(self, of: Of) {
        let screen = self.app.document.now(|package| match of {
            Of::Part(index) => package.parts.get(index).map(|part| Screen::Part(part.id)),
            Of::Lens(index) => package.lenses.get(index).map(|lens| Screen::Lens(lens.id)),
            Of::Yoke(_) => Some(Screen::Head),
        });
        if let Some(screen) = screen {
            screen.open();
        }
    }
}

/// Whether it is the camera itself: body and lens move with the hole that the body is screwed to.
fn is_camera(package: &Package, of: Of) -> bool {
    match of {
        Of::Lens(_) => true,
        Of::Part(index) => package.parts.get(index).is_some_and(|part| part.kind == PartKind::Body),
        Of::Yoke(_) => false,
    }
}

/// The offset that dragging a thing changes, m.
fn offset_m(package: &Package, of: Of) -> [f64; 3] {
    match of {
        _ if is_camera(package, of) => [package.mount.flange_ahead_m, package.mount.flange_left_m, 0.0],
        Of::Part(index) => package.parts.get(index).map_or([0.0; 3], |part| part.at.offset_m),
        _ => [0.0; 3],
    }
}

/// Changes the offset of a thing along the axes that were dragged. The stack gives heights: those are not dragged.
fn set_offset_m(package: &mut Package, of: Of, to_m: [f64; 3], along: [bool; 3]) {
    if is_camera(package, of) {
        if along[0] {
            package.mount.flange_ahead_m = to_m[0];
        }
        if along[1] {
            package.mount.flange_left_m = to_m[1];
        }
        return;
    }
    let Of::Part(index) = of else { return };
    let Some(part) = package.parts.get_mut(index) else { return };
    let stacked = part.at.from == Anchor::Stack;
    for axis in 0..3 {
        if along[axis] && !(stacked && axis == 2) {
            part.at.offset_m[axis] = to_m[axis];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dragged_part_moves_along_the_dragged_axis_only() {
        let mut package = codec::library::demo();
        let index = package.parts.iter().position(|part| part.name == "Rangefinder").expect("a rangefinder");
        let before = package.parts[index].at.offset_m;
        set_offset_m(&mut package, Of::Part(index), [0.5, 0.5, 0.5], [true, false, false]);
        assert_eq!(package.parts[index].at.offset_m, [0.5, before[1], before[2]]);
    }

    #[test]
    fn a_plate_keeps_its_height_in_the_stack() {
        let mut package = codec::library::demo();
        let index = package.parts.iter().position(|part| part.at.from == Anchor::Stack).expect("a plate");
        let before = package.parts[index].at.offset_m;
        set_offset_m(&mut package, Of::Part(index), [0.1, 0.1, 0.1], [false, false, true]);
        assert_eq!(package.parts[index].at.offset_m, before);
    }

    #[test]
    fn dragging_the_lens_moves_the_camera_on_its_plate() {
        let mut package = codec::library::demo();
        set_offset_m(&mut package, Of::Lens(0), [0.03, 0.9, 0.9], [true, false, false]);
        assert_eq!(offset_m(&package, Of::Lens(0)), [0.03, 0.0, 0.0]);
    }
}
