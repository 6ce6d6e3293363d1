//! The small synchronous store: preferences, and the mirror of what the database may not have taken yet.
//!
//! Where it is full or blocked, the store of this tab steps in: it ends with the tab, but outlives a reload.

use web_sys::Storage;

fn lasting() -> Option<Storage> {
    web_sys::window()?.local_storage().ok().flatten()
}

fn of_tab() -> Option<Storage> {
    web_sys::window()?.session_storage().ok().flatten()
}

/// The text under a key, if storage works and holds one. What only the tab has kept is the newer.
pub(crate) fn get(key: &str) -> Option<String> {
    let read = |store: Option<Storage>| store?.get_item(key).ok().flatten();
    read(of_tab()).or_else(|| read(lasting()))
}

/// Keeps a text under a key; whether it was taken.
pub(crate) fn set(key: &str, text: &str) -> bool {
    let write = |store: Option<Storage>| store.is_some_and(|store| store.set_item(key, text).is_ok());
    if write(lasting()) {
        forget(of_tab(), key);
        return true;
    }
    write(of_tab())
}

/// Removes a key.
pub(crate) fn remove(key: &str) {
    forget(lasting(), key);
    forget(of_tab(), key);
}

fn forget(store: Option<Storage>, key: &str) {
    if let Some(store) = store {
        // A store that refuses removal refuses nothing that matters: a stale mirror loses against a newer revision.
        let _ = store.remove_item(key);
    }
}
