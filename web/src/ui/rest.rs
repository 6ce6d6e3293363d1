//! What waits until the answers have come to rest.

use std::time::Duration;

use leptos::prelude::*;

use crate::app::App;
use crate::dom::effect;

/// So long after the last change: a held stepper is not kept waiting for what takes longer than the answers.
const REST: Duration = Duration::from_millis(120);

/// Does something whenever package or units have changed and have then rested; not at once. Ends with its owner.
pub(crate) fn when_rested(app: App, act: impl Fn() + Clone + 'static) {
    let timer = StoredValue::new(None::<TimeoutHandle>);
    let stop = move || {
        if let Some(timer) = timer.try_update_value(Option::take).flatten() {
            timer.clear();
        }
    };
    let mut first = true;
    effect(Box::new(move || {
        let (_, _) = (app.document.package(), app.style());
        if !std::mem::take(&mut first) {
            stop();
            let act = act.clone();
            timer.set_value(set_timeout_with_handle(move || untrack(act), REST).ok());
        }
    }));
    on_cleanup(stop);
}
