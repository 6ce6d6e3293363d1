//! One package as it is kept: a plain object that a page without this program can read.

use serde::{Deserialize, Serialize};
use solver::Package;
use wasm_bindgen::{JsCast, JsValue};

/// Version of the record. A record of a newer version is shown and exported, never rewritten.
pub(crate) const SCHEMA: f64 = 0.0;

/// A package as it is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Record {
    /// Identity on this device.
    pub(crate) id: String,
    /// Name of the package, for lists.
    pub(crate) name: String,
    /// Rises by one with every write.
    pub(crate) rev: f64,
    /// When it was written, milliseconds since 1970.
    pub(crate) updated_at: f64,
    /// The window that wrote it.
    pub(crate) writer: String,
    /// Version of this record.
    pub(crate) schema: f64,
    /// When it was put into the archive, milliseconds since 1970.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) archived_at: Option<f64>,
    /// The package itself.
    pub(crate) package: Package,
    /// Links of the states before, oldest first.
    #[serde(default)]
    pub(crate) undo: Vec<String>,
    /// Links of the states undone, oldest first.
    #[serde(default)]
    pub(crate) redo: Vec<String>,
}

/// What a list shows of a record, readable even when the rest is not.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Card {
    /// Identity on this device.
    pub(crate) id: String,
    /// Name of the package.
    pub(crate) name: String,
    /// Its revision.
    pub(crate) rev: f64,
    /// When it was written, milliseconds since 1970.
    pub(crate) updated_at: f64,
    /// When it was put into the archive, milliseconds since 1970.
    pub(crate) archived_at: Option<f64>,
    /// Whether a newer version of the app wrote it.
    pub(crate) newer: bool,
}

impl Record {
    /// The record as a plain object.
    pub(crate) fn to_object(&self) -> Result<JsValue, String> {
        to_object(self)
    }

    /// A record from a plain object.
    pub(crate) fn from_object(object: JsValue) -> Result<Self, String> {
        serde_wasm_bindgen::from_value(object).map_err(|fault| fault.to_string())
    }

    /// What a list shows of it.
    pub(crate) fn card(&self) -> Card {
        Card {
            id: self.id.clone(),
            name: self.name.clone(),
            rev: self.rev,
            updated_at: self.updated_at,
            archived_at: self.archived_at,
            newer: false,
        }
    }
}

impl Card {
    /// What a list shows of an object that may be a record; `None` when it has not even an id.
    pub(crate) fn of(object: &JsValue) -> Option<Self> {
        let text = |name: &str| field(object, name).and_then(|value| value.as_string());
        let number = |name: &str| field(object, name).and_then(|value| value.as_f64());
        Some(Self {
            id: text("id")?,
            name: text("name").unwrap_or_else(|| "Unnamed".to_owned()),
            rev: number("rev").unwrap_or(0.0),
            updated_at: number("updated_at").unwrap_or(0.0),
            archived_at: number("archived_at"),
            newer: number("schema").is_some_and(|schema| schema > SCHEMA),
        })
    }
}

/// Any serialisable value as a plain object: absent options are left out, nothing becomes a `Map`.
pub(crate) fn to_object(value: &impl Serialize) -> Result<JsValue, String> {
    value.serialize(&serde_wasm_bindgen::Serializer::json_compatible()).map_err(|fault| fault.to_string())
}

/// A field of a plain object.
pub(crate) fn field(object: &JsValue, name: &str) -> Option<JsValue> {
    if !object.is_object() {
        return None;
    }
    let value = js_sys::Reflect::get(object, &JsValue::from_str(name)).ok()?;
    (!value.is_undefined() && !value.is_null()).then_some(value)
}

/// What went wrong, in the engine's own words.
pub(crate) fn reason(fault: &JsValue) -> String {
    if let Some(exception) = fault.dyn_ref::<web_sys::DomException>() {
        return format!("{}: {}", exception.name(), exception.message());
    }
    field(fault, "message").and_then(|message| message.as_string()).unwrap_or_else(|| "unknown".to_owned())
}
