//! Whether the browser has promised not to clear what is kept here.

use js_sys::{Function, Promise, Reflect};
use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

/// What the browser says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Promised {
    /// Nothing yet.
    Unknown,
    /// It has been asked and may be asking the person.
    Asked,
    /// It keeps everything until the person clears it.
    Yes,
    /// It may clear everything when it needs the room.
    No,
    /// It cannot be asked.
    Mute,
}

/// Reads what was promised before. That asks nobody.
pub(crate) fn look(promised: RwSignal<Promised>) {
    answer("persisted", promised);
}

/// Asks for the promise. One engine asks the person first and may never answer, so nobody waits for it: `promised`
/// follows whenever there is an answer.
pub(crate) fn ask(promised: RwSignal<Promised>) {
    promised.set(Promised::Asked);
    answer("persist", promised);
}

fn answer(method: &'static str, promised: RwSignal<Promised>) {
    let Some(answer) = call(method) else {
        promised.set(Promised::Mute);
        return;
    };
    spawn_local(async move {
        let yes = JsFuture::from(answer).await.is_ok_and(|yes| yes.is_truthy());
        // The screen may have gone in the meantime.
        promised.try_set(if yes { Promised::Yes } else { Promised::No });
    });
}

/// Not every engine has `navigator.storage`, and the bindings take it for granted.
fn call(method: &str) -> Option<Promise> {
    let navigator = web_sys::window()?.navigator();
    let storage = Reflect::get(&navigator, &"storage".into()).ok().filter(JsValue::is_object)?;
    let method: Function = Reflect::get(&storage, &method.into()).ok()?.dyn_into().ok()?;
    method.call0(&storage).ok()?.dyn_into().ok()
}
