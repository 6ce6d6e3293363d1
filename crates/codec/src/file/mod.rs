//! The package as a file: JSON, SI units, one section per part of the package.
//!
//! ```json
//! { "format": 0, "sections": { "package": { "version": 0, "data": { "name": "…" } }, "head": { … }, "parts": { … } } }
//! ```
//!
//! [`Document`](crate::Document) has this shape in serde, so a browser's own JSON reader serves as well as the feature `json`.

pub(crate) mod form;
#[cfg(feature = "json")]
mod text;

#[cfg(feature = "json")]
pub use text::{FileError, FileFault, from_json, to_json};

/// Format of the files that this program writes, and the newest that it opens.
pub const FORMAT: u32 = 0;
/// Version of every section that this program writes.
pub const SECTION_VERSION: u32 = 0;
/// Ending of a file name.
pub const EXTENSION: &str = ".counterpoise.json";
/// Sections that this version reads: none that it does not know may bear such a name.
pub const SECTIONS: [&str; 10] =
    ["package", "head", "parts", "lenses", "moves", "day", "tune", "logs", "balancing", "structure"];
/// Sections without which there is no package.
pub const REQUIRED: [&str; 2] = ["package", "head"];
