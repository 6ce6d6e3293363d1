//! What a file or a link holds: the package, and sections that this version does not know.

use solver::Package;

use crate::json::Json;

/// The package with whatever else its file or link carried.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// The package.
    pub package: Package,
    /// Sections of other versions, kept as they came so that passing a document on loses nothing.
    pub foreign: Vec<Foreign>,
}

/// A section that this version does not know.
#[derive(Debug, Clone, PartialEq)]
pub struct Foreign {
    /// Its name; `#9` when a link gave only a number.
    pub name: String,
    /// Its version.
    pub version: u32,
    /// What is in it.
    pub body: Body,
}

/// The content of an unknown section.
#[derive(Debug, Clone, PartialEq)]
pub enum Body {
    /// As a file holds it.
    Json(Json),
    /// As a link holds it.
    Bytes(Vec<u8>),
}

impl From<Package> for Document {
    fn from(package: Package) -> Self {
        Self { package, foreign: Vec::new() }
    }
}

impl Document {
    /// Names of the sections that this version does not know, for a note on the screen.
    pub fn foreign_names(&self) -> impl Iterator<Item = &str> {
        self.foreign.iter().map(|section| section.name.as_str())
    }
}
