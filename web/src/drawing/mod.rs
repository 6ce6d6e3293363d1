//! Side, front and top elevations to scale, drawn from the chain and the parts.
//!
//! Mount with [`fn@view`], which needs nothing but the app: it follows the package and the report, opens the screen of a
//! part that is touched, and edits the package while a slide's pointer or a part is dragged. The look stands in
//! `web/style/drawing.css`. No first answer needs it, so it may load after the first screen.
//!
//! `skeleton` lays the chain out in metres, `projection` turns metres into pixels, `scene` composes an elevation from
//! `figure` (parts), `arms` and `head` (the head), `scale` and `rows` (rules); none of these knows the browser. `sheet` holds the signals,
//! `drag` the fingers, `layers` and `rules` what is drawn where.

mod arms;
mod drag;
mod figure;
mod head;
mod labels;
mod layers;
pub(crate) mod pen;
pub(crate) mod projection;
mod rows;
mod rules;
mod scale;
mod scene;
mod sheet;
mod skeleton;
mod symbols;

use std::rc::Rc;

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::Element;

use crate::app::App;
use crate::dom::{El, div, el, span, svg};
use crate::ui::choice::radios;
use projection::View;
use sheet::Sheet;

/// Narrowest and widest sheet, px.
const WIDTH_PX: [f64; 2] = [300.0, 960.0];

/// The elevations, with the choice between them.
#[inline(never)]
pub(crate) fn view(app: App) -> El {
    let sheet = Sheet::new(app);
    let drawing = svg("svg").class("drawing__sheet").attr("role", "group");
    let drawing = drawing
        .live_attr("viewBox", move || {
            let [width, height] = sheet.scene.with(|scene| scene.size_px);
            Some(format!("0 0 {width:.0} {height:.0}"))
        })
        .live_attr("aria-label", move || Some(format!("{} elevation", sheet.view.get().word())))
        .live(move || layers::drawing(sheet, &sheet.scene.get()));
    let wrapper = div("drawing__wrap").child(drawing);
    follow_width(wrapper.raw(), sheet.width_px);
    let chosen = move || View::ALL.iter().position(|view| *view == sheet.view.get());
    let choose = move |index: usize| {
        if let Some(view) = View::ALL.get(index) {
            sheet.view.set(*view);
        }
    };
    let words = View::ALL.map(View::word).to_vec();
    el("figure")
        .class("drawing")
        .test("drawing")
        .live_attr("data-view", move || Some(sheet.view.get().word().to_lowercase()))
        .child(radios("Seen from", "elevation", words, Rc::new(chosen), Rc::new(choose)))
        .child(wrapper)
        .child(
            el("figcaption")
                .class("drawing__caption")
                .child(span("drawing__read").test("drawing-read").live_words(move || sheet.words()))
                .child(
                    span("drawing__seen")
                        .live_words(move || sheet.view.get().caption().to_owned())
                        .words(" Drag a pointer or a part, and every answer follows; touch a part to edit it."),
                ),
        )
}

/// One unit of a drawing is one pixel of the screen, so that names and line weights keep their size: `width_px` follows
/// how wide the element is.
pub(crate) fn follow_width(element: &Element, width_px: RwSignal<f64>) {
    let measured = element.clone();
    let measure = move || {
        // Without its border, as the drawing in it is.
        let now = f64::from(measured.client_width());
        if now > 0.0 {
            width_px.set(now.clamp(WIDTH_PX[0], WIDTH_PX[1]));
        }
    };
    let observed = Closure::<dyn FnMut()>::new(measure);
    if let Ok(observer) = web_sys::ResizeObserver::new(observed.as_ref().unchecked_ref()) {
        observer.observe(element);
        let observer = StoredValue::new_local(observer);
        on_cleanup(move || {
            // Gone already when its owner was released first: then nobody calls it either.
            let _ = observer.try_with_value(web_sys::ResizeObserver::disconnect);
        });
    }
    StoredValue::new_local(observed);
}
