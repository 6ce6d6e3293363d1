//! Reading and writing the file as JSON text, with every fault that can be found at once.

use core::fmt;

use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use super::form::{Sections, unknown};
use super::{FORMAT, REQUIRED, SECTION_VERSION};
use crate::document::Document;
use crate::json::Json;

/// Why a text is no package file.
#[derive(Debug, Clone, PartialEq)]
pub enum FileError {
    /// Not JSON.
    NotJson {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What stands there.
        problem: String,
    },
    /// JSON, but not a package file.
    NotOurs,
    /// Made by a newer version.
    TooNew {
        /// Version found.
        found: u64,
        /// Newest version that this program opens.
        newest: u32,
    },
    /// Fields that are missing, misspelt or of the wrong kind: all that were found.
    Faults(Vec<FileFault>),
}

/// One field of the wrong kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileFault {
    /// The field, such as `parts[3].mass.own.kg`.
    pub field: String,
    /// What is wrong with it, in words.
    pub problem: String,
}

impl fmt::Display for FileFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: {}", self.field, self.problem)
    }
}

impl fmt::Display for FileError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotJson { line, column, problem } => {
                write!(out, "not JSON: {problem} (line {line}, column {column})")
            }
            Self::NotOurs => write!(out, "not a package file: `format` and `sections` are missing"),
            Self::TooNew { found, newest } => {
                write!(out, "made by a newer version (format {found}; this one opens up to {newest})")
            }
            Self::Faults(faults) => {
                for (index, fault) in faults.iter().enumerate() {
                    write!(out, "{}{fault}", if index == 0 { "" } else { "\n" })?;
                }
                Ok(())
            }
        }
    }
}

impl std::error::Error for FileError {}

/// The document as the text of a file, numbers rounded to their storage steps.
///
/// # Errors
/// Never for a document that has passed validation; JSON has no word for a number that is not finite.
pub fn to_json(document: &Document) -> Result<String, serde_json::Error> {
    let rounded = Document { package: document.package.quantised(), foreign: document.foreign.clone() };
    serde_json::to_string_pretty(&rounded).map(|text| text + "\n")
}

/// Reads the text of a file. Numbers are rounded to their storage steps, as when they are typed in; whether they are
/// within their ranges is for [`solver::validate`].
///
/// # Errors
/// See [`FileError`].
pub fn from_json(text: &str) -> Result<Document, FileError> {
    let file: Value = serde_json::from_str(text).map_err(|error| FileError::NotJson {
        line: error.line(),
        column: error.column(),
        problem: plain_words(&error.to_string()),
    })?;
    let format = file.get("format").and_then(Value::as_u64).ok_or(FileError::NotOurs)?;
    if format > u64::from(FORMAT) {
        return Err(FileError::TooNew { found: format, newest: FORMAT });
    }
    let Value::Object(mut file) = file else { return Err(FileError::NotOurs) };
    let Some(Value::Object(sections)) = file.remove("sections") else { return Err(FileError::NotOurs) };

    let mut faults = Vec::new();
    for name in REQUIRED.iter().filter(|name| !sections.contains_key(**name)) {
        fault(&mut faults, format!("sections.{name}"), "is missing".to_owned());
    }
    let read = read_sections(sections, &mut faults);
    match read.into_document() {
        Some(document) if faults.is_empty() => {
            Ok(Document { package: document.package.quantised(), foreign: document.foreign })
        }
        _ => Err(FileError::Faults(faults)),
    }
}

fn read_sections(given: Map<String, Value>, faults: &mut Vec<FileFault>) -> Sections {
    let mut read = Sections::default();
    for (name, section) in given {
        match name.as_str() {
            "package" => read.package = data(&name, section, faults).and_then(|data| value("", data, faults)),
            "head" => read.head = data(&name, section, faults).and_then(|data| value(&name, data, faults)),
            "parts" => read.parts = list(&name, section, faults),
            "lenses" => read.lenses = list(&name, section, faults),
            "moves" => read.moves = list(&name, section, faults),
            "day" => {
                read.day = data(&name, section, faults).and_then(|data| value(&name, data, faults)).unwrap_or_default();
            }
            "structure" => {
                let found = data(&name, section, faults).and_then(|data| value(&name, data, faults));
                read.structure = found.unwrap_or_default();
            }
            "tune" => read.tune = data(&name, section, faults).and_then(|data| value(&name, data, faults)),
            "logs" => read.logs = list(&name, section, faults),
            "balancing" => {
                read.balancing = data(&name, section, faults).and_then(|data| value(&name, data, faults));
            }
            _ => match serde_json::from_value::<Json>(section).map(|json| unknown(name.clone(), json)) {
                Ok(Some(foreign)) => read.foreign.push(foreign),
                Ok(None) => fault(faults, format!("sections.{name}"), "needs a version and data".to_owned()),
                Err(error) => fault(faults, format!("sections.{name}"), plain_words(&error.to_string())),
            },
        }
    }
    read
}

/// What is in a section, once its version is one that this program reads.
fn data(name: &str, section: Value, faults: &mut Vec<FileFault>) -> Option<Value> {
    let Value::Object(mut section) = section else {
        fault(faults, format!("sections.{name}"), "needs a version and data".to_owned());
        return None;
    };
    match section.get("version").and_then(Value::as_u64) {
        Some(version) if version <= u64::from(SECTION_VERSION) => {}
        Some(version) => {
            let problem =
                format!("made by a newer version (section version {version}; this one opens up to {SECTION_VERSION})");
            fault(faults, format!("sections.{name}"), problem);
            return None;
        }
        None => {
            fault(faults, format!("sections.{name}.version"), "must be a whole number".to_owned());
            return None;
        }
    }
    let found = section.remove("data");
    if found.is_none() {
        fault(faults, format!("sections.{name}.data"), "is missing".to_owned());
    }
    found
}

/// A list, item by item, so that every item's fault is found.
fn list<T: DeserializeOwned>(name: &str, section: Value, faults: &mut Vec<FileFault>) -> Vec<T> {
    match data(name, section, faults) {
        Some(Value::Array(items)) => {
            let read = |(index, item)| value(&format!("{name}[{index}]"), item, faults);
            items.into_iter().enumerate().filter_map(read).collect()
        }
        Some(_) => {
            fault(faults, name.to_owned(), "must be a list".to_owned());
            Vec::new()
        }
        None => Vec::new(),
    }
}

fn value<T: DeserializeOwned>(at: &str, value: Value, faults: &mut Vec<FileFault>) -> Option<T> {
    match serde_path_to_error::deserialize(value) {
        Ok(value) => Some(value),
        Err(error) => {
            let inner = error.path().to_string();
            let field = match (at, inner.as_str()) {
                ("", inner) => inner.to_owned(),
                (at, ".") => at.to_owned(),
                (at, inner) if inner.starts_with('[') => format!("{at}{inner}"),
                (at, inner) => format!("{at}.{inner}"),
            };
            fault(faults, field, plain_words(&error.inner().to_string()));
            None
        }
    }
}

fn fault(faults: &mut Vec<FileFault>, field: String, problem: String) {
    faults.push(FileFault { field, problem });
}

/// The reader's own sentence in words for people who do not program.
fn plain_words(sentence: &str) -> String {
    let sentence = sentence.split(" at line ").next().unwrap_or(sentence);
    let words = [
        ("expected f64", "expected a number"),
        ("expected u32", "expected a whole number"),
        ("expected a string", "expected a text in quotes"),
        ("expected a sequence", "expected a list"),
        ("EOF while parsing", "the text ends in the middle of"),
        ("invalid type: floating point", "invalid type: number"),
        ("invalid type: integer", "invalid type: number"),
    ];
    words.iter().fold(sentence.to_owned(), |sentence, (from, to)| sentence.replace(from, to))
}
