//! What the app holds while it is open.

pub(crate) mod document;
pub(crate) mod history;
pub(crate) mod prefs;
