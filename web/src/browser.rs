//! The little that the app asks of the browser around it.

use leptos::prelude::*;
use wasm_bindgen::prelude::*;

/// The time, milliseconds since 1970.
pub(crate) fn now_ms() -> f64 {
    js_sys::Date::now()
}

/// An id that no other record has.
pub(crate) fn fresh_id() -> String {
    match web_sys::window().and_then(|window| window.crypto().ok()) {
        Some(crypto) if js_sys::Reflect::has(&crypto, &"randomUUID".into()).unwrap_or(false) => crypto.random_uuid(),
        _ => format!("{:x}-{:x}", now_ms().to_bits(), js_sys::Math::random().to_bits()),
    }
}

/// Lets so many milliseconds pass.
pub(crate) async fn pause(ms: i32) {
    let passed = js_sys::Promise::new(&mut |resolve, _| {
        if let Some(window) = web_sys::window() {
            // Setting a timer fails only for a window that is being torn down.
            let _ = window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, ms);
        }
    });
    // It is never rejected.
    let _ = wasm_bindgen_futures::JsFuture::from(passed).await;
}

/// A time (milliseconds since 1970) as a person reads it, with day and minute.
pub(crate) fn day_and_time(ms: f64) -> String {
    let options = js_sys::Object::new();
    for (part, form) in
        [("weekday", "short"), ("day", "numeric"), ("month", "short"), ("hour", "2-digit"), ("minute", "2-digit")]
    {
        // A fresh object takes every field.
        let _ = js_sys::Reflect::set(&options, &part.into(), &form.into());
    }
    js_sys::Date::new(&JsValue::from_f64(ms)).to_locale_string("en-GB", &options).into()
}

/// Whether the page is a tab of the engine that clears what a page keeps after seven days without a visit. As an app on
/// the home screen it is let be.
///
/// Source: WebKit's blog, "Full third-party cookie blocking and more", 2020, section "7-day cap on all script-writeable
/// storage".
pub(crate) fn clears_after_seven_days() -> bool {
    let Some(window) = web_sys::window() else { return false };
    let navigator = window.navigator();
    let get = |name: &str| js_sys::Reflect::get(&navigator, &name.into()).unwrap_or_default();
    let webkit = get("vendor").as_string().is_some_and(|vendor| vendor.starts_with("Apple"));
    let alone = window.match_media("(display-mode: standalone)").ok().flatten().is_some_and(|query| query.matches());
    webkit && !alone && !get("standalone").is_truthy()
}

/// Calls `heard` whenever the window gets the event, for as long as the page lives.
pub(crate) fn on_window(event: &str, heard: impl FnMut(web_sys::Event) + 'static) {
    let heard = Closure::<dyn FnMut(web_sys::Event)>::new(heard);
    if let Some(window) = web_sys::window() {
        // Adding a listener fails only for a detached target, which the window is not.
        let _ = window.add_event_listener_with_callback(event, heard.as_ref().unchecked_ref());
    }
    heard.forget();
}

/// Whether a media query holds, followed for as long as the page lives.
pub(crate) fn follow_media(query: &str) -> RwSignal<bool> {
    let list = web_sys::window().and_then(|window| window.match_media(query).ok().flatten());
    let holds = RwSignal::new(list.as_ref().is_some_and(web_sys::MediaQueryList::matches));
    if let Some(list) = list {
        let asked = list.clone();
        let heard = Closure::<dyn FnMut()>::new(move || holds.set(asked.matches()));
        list.set_onchange(Some(heard.as_ref().unchecked_ref()));
        heard.forget();
        // The list would be dropped, and its listener with it, once nobody holds it.
        std::mem::forget(list);
    }
    holds
}

/// Sends the window an event that the start-up script listens to.
pub(crate) fn tell_window(event: &str, detail: &str) {
    let init = web_sys::CustomEventInit::new();
    init.set_detail(&JsValue::from_str(detail));
    if let (Some(window), Ok(event)) = (web_sys::window(), web_sys::CustomEvent::new_with_event_init_dict(event, &init))
    {
        // Nobody listening is no fault.
        let _ = window.dispatch_event(&event);
    }
}

/// The element `<html>`.
pub(crate) fn root() -> Option<web_sys::HtmlElement> {
    web_sys::window()?.document()?.document_element()?.dyn_into().ok()
}

/// The text of the field that an event came from.
pub(crate) fn event_value(event: &web_sys::Event) -> String {
    event_property(event, "value").as_string().unwrap_or_default()
}

/// Whether the switch that an event came from is on.
pub(crate) fn event_checked(event: &web_sys::Event) -> bool {
    event_property(event, "checked").is_truthy()
}

fn event_property(event: &web_sys::Event, name: &str) -> JsValue {
    let target = event.target().map(JsValue::from).unwrap_or_default();
    js_sys::Reflect::get(&target, &name.into()).unwrap_or_default()
}

/// The element with this id.
pub(crate) fn by_id(id: &str) -> Option<web_sys::Element> {
    web_sys::window()?.document()?.get_element_by_id(id)
}
