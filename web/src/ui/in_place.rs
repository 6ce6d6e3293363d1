//! What comes late and pushes nothing that a finger is about to touch.

use leptos::prelude::request_animation_frame;
use web_sys::{Element, Window};

/// Changes the page without moving what is in view, where the person has gone down it; at the top, what comes is what
/// they look for. Most engines see to that by themselves (scroll anchoring of CSS), that of the iPhone does not.
pub(crate) fn in_place(change: impl FnOnce()) {
    let held = held();
    change();
    let Some((window, element, top)) = held else { return };
    // By then the effects have run, and nothing has been painted.
    request_animation_frame(move || {
        let moved = element.get_bounding_client_rect().top() - top;
        if moved.abs() > 0.5 {
            window.scroll_by_with_x_and_y(0.0, moved);
        }
    });
}

/// The section in the middle of the window and where it stands; `None` where nothing needs to be held.
fn held() -> Option<(Window, Element, f64)> {
    let window = web_sys::window()?;
    if window.scroll_y().ok()? <= 0.0 || web_sys::css::supports_with_value("overflow-anchor", "auto").unwrap_or(true) {
        return None;
    }
    let middle = |size: Result<wasm_bindgen::JsValue, _>| size.ok()?.as_f64().map(|size| 0.5 * size);
    #[expect(clippy::cast_possible_truncation, reason = "a place on a screen")]
    let (x, y) = (middle(window.inner_width())? as f32, middle(window.inner_height())? as f32);
    let section = window.document()?.element_from_point(x, y)?.closest("section").ok()??;
    let top = section.get_bounding_client_rect().top();
    Some((window, section, top))
}
