//! Whether the second module is there: whatever no first answer needs stands in it, and loads right after that answer.
//!
//! The build decides by names which functions go there (`crates/xtask/src/dist/split`). The first module calls them only
//! through the doors named there, which are marked `#[inline(never)]`, and asks here before. Reading what is kept and
//! what a link carries stands there too, so there are two moments: the module is there, and the person may go on.

use std::cell::{Cell, RefCell};

use crate::browser::{on_window, root};

/// Something to be done once the person may go on.
type Task = Box<dyn FnOnce()>;

thread_local! {
    static THERE: Cell<bool> = const { Cell::new(false) };
    static OPEN: Cell<bool> = const { Cell::new(false) };
    static WAITING: RefCell<Vec<Task>> = const { RefCell::new(Vec::new()) };
}

/// Whether the second module is there. Until it is, nothing on the screen has been read or edited.
pub(crate) fn is_there() -> bool {
    THERE.get()
}

/// Does something now, or as soon as the second module is there and what is kept has been read: a tap on a slow line is
/// late and not lost, and none comes between storage and what it opens.
pub(crate) fn then(task: impl FnOnce() + 'static) {
    if OPEN.get() {
        task();
    } else {
        WAITING.with_borrow_mut(|waiting| waiting.push(Box::new(task)));
    }
}

/// Calls `begin`, once, as soon as the second module is there.
pub(crate) fn begin_with(begin: fn(crate::app::App), app: crate::app::App) {
    let arrive = move || {
        if !THERE.replace(true) {
            begin(app);
        }
    };
    if root().is_some_and(|root| root.has_attribute("data-later")) {
        arrive();
    }
    on_window("counterpoise-later-ready", move |_| arrive());
}

/// What is kept has been read: the person may go on.
pub(crate) fn open() {
    OPEN.set(true);
    for task in WAITING.take() {
        task();
    }
}
