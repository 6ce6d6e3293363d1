//! What stays on this device. Only these files name the database and the small store.
//!
//! Every committed edit is one strict write of one record. The small store is only a mirror, written when the page is
//! hidden with an edit that the database has not confirmed yet.

pub(crate) mod database;
pub(crate) mod file;
pub(crate) mod keeper;
pub(crate) mod mirror;
pub(crate) mod persist;
pub(crate) mod plain;
mod queue;
pub(crate) mod record;
mod shelf;
pub(crate) mod snapshot;
mod windows;
