//! The small synchronous store: preferences, and the mirror of what the database may not have taken yet.

use web_sys::Storage;

fn store() -> Option<Storage> {
    web_sys::window()?.local_storage().ok().flatten()
}

/// The text under a key, if storage works and holds one.
pub(crate) fn get(key: &str) -> Option<String> {
    store()?.get_item(key).ok().flatten()
}

/// Keeps a text under a key; whether it was taken.
pub(crate) fn set(key: &str, text: &str) -> bool {
    store().is_some_and(|store| store.set_item(key, text).is_ok())
}

/// Removes a key.
pub(crate) fn remove(key: &str) {
    if let Some(store) = store() {
        // A store that refuses removal refuses nothing that matters: a stale mirror loses against a newer revision.
        let _ = store.remove_item(key);
    }
}
