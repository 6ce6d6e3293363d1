//! Which of the modules are there that load after the first: the reader, for what is kept or sent, then all the rest.
//!
//! The build decides by names which functions go there (`crates/xtask/src/dist/split`). Code that is there earlier calls
//! them only through the doors named there, which are marked `#[inline(never)]`, and asks here before.

use std::cell::{Cell, RefCell};
use std::task::Poll;

use crate::app::App;
use crate::browser::{on_window, root};

/// Something to be done once the person may go on.
type Task = Box<dyn FnOnce()>;

thread_local! {
    static READER: Cell<bool> = const { Cell::new(false) };
    static ALL: Cell<bool> = const { Cell::new(false) };
    static READ: Cell<bool> = const { Cell::new(false) };
    static WAITING: RefCell<Vec<Task>> = const { RefCell::new(Vec::new()) };
    /// What needs all modules and comes before what is kept has been read.
    static AWAITING: RefCell<Vec<std::task::Waker>> = const { RefCell::new(Vec::new()) };
}

/// Whether the reader is there. Until it is, nothing but the demo has been on the screen.
pub(crate) fn reader_is_there() -> bool {
    READER.get()
}

/// Whether all modules are there. Until they are, nothing on the screen has been edited.
pub(crate) fn is_there() -> bool {
    ALL.get()
}

/// Does something now, or as soon as all modules are there and what is kept has been read: a tap on a slow line is late
/// and not lost, and none comes between storage and what it opens.
pub(crate) fn then(task: impl FnOnce() + 'static) {
    if ALL.get() && READ.get() {
        task();
    } else {
        WAITING.with_borrow_mut(|waiting| waiting.push(Box::new(task)));
    }
}

/// Waits until all modules are there.
pub(crate) async fn there() {
    std::future::poll_fn(|context| {
        if ALL.get() {
            return Poll::Ready(());
        }
        AWAITING.with_borrow_mut(|awaiting| awaiting.push(context.waker().clone()));
        Poll::Pending
    })
    .await;
}

/// Calls `begin`, once, as soon as the reader is there, and `app.later` follows whether the person may go on.
pub(crate) fn begin_with(begin: fn(App), app: App) {
    when("reader", move || {
        if !READER.replace(true) {
            begin(app);
        }
    });
    when("later", move || {
        ALL.set(true);
        for waker in AWAITING.take() {
            waker.wake();
        }
        go_on(app);
    });
}

/// What is kept has been read.
pub(crate) fn has_read(app: App) {
    READ.set(true);
    go_on(app);
}

fn go_on(app: App) {
    use leptos::prelude::Set;
    if ALL.get() && READ.get() {
        app.later.set(true);
        for task in WAITING.take() {
            task();
        }
    }
}

/// Calls `arrived` when the start-up script says that a module is there, or now if it has said so.
fn when(module: &str, mut arrived: impl FnMut() + 'static) {
    if root().is_some_and(|root| root.has_attribute(&format!("data-{module}"))) {
        arrived();
    }
    on_window(&format!("counterpoise-{module}-ready"), move |_| arrived());
}
