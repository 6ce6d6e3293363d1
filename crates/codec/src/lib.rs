//! The package outside the solver: file, link, built-in library, schema.
//!
//! The page uses [`link`], [`library`] and the serde forms in [`mod@file`]; the features `json` and `schema` add what only
//! a terminal needs.

pub mod document;
pub mod file;
pub mod json;
pub mod library;
pub mod link;
#[cfg(feature = "schema")]
pub mod schema;
mod sections;
mod wire;

pub use document::{Body, Document, Foreign};
