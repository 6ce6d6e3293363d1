//! Whether the second module is there: whatever no first answer needs stands in it, and loads right after that answer.
//!
//! The build decides by names which functions go there (`crates/xtask/src/dist/split.rs`). The first module calls them
//! only through the doors named there, which are marked `#[inline(never)]`, and asks here before.

use std::cell::{Cell, RefCell};
use std::task::Poll;

use leptos::prelude::*;

use crate::browser::{on_window, root};

/// Something to be done once the second module is there.
type Task = Box<dyn FnOnce()>;

thread_local! {
    static READY: Cell<bool> = const { Cell::new(false) };
    static WAITING: RefCell<Vec<Task>> = const { RefCell::new(Vec::new()) };
}

/// Whether the second module is there.
pub(crate) fn is_ready() -> bool {
    READY.get()
}

/// Does something now, or as soon as the second module is there: a tap on a slow line is late and not lost.
pub(crate) fn then(task: impl FnOnce() + 'static) {
    if is_ready() {
        task();
    } else {
        WAITING.with_borrow_mut(|waiting| waiting.push(Box::new(task)));
    }
}

/// Waits until the second module is there.
pub(crate) async fn ready() {
    std::future::poll_fn(|context| {
        if is_ready() {
            return Poll::Ready(());
        }
        let waker = context.waker().clone();
        then(move || waker.wake());
        Poll::Pending
    })
    .await;
}

/// Whether it is there, as a signal.
pub(crate) fn signal() -> RwSignal<bool> {
    let there = root().is_some_and(|root| root.has_attribute("data-later"));
    READY.set(there);
    let signal = RwSignal::new(there);
    on_window("counterpoise-later-ready", move |_| {
        READY.set(true);
        signal.set(true);
        for task in WAITING.take() {
            task();
        }
    });
    signal
}
