//! One package as it is kept: a plain object that a page without this program can read.

use codec::Document;
use js_sys::Array;
use serde::Serialize;
use solver::bounds::MAX_NAME_BYTES;
use wasm_bindgen::{JsCast, JsValue};

/// Version of the record. A record of a newer version is shown and exported, never rewritten.
pub(crate) const SCHEMA: f64 = 0.0;

/// A package as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Record {
    /// Identity on this device.
    pub(crate) id: String,
    /// Rises by one with every write.
    pub(crate) rev: f64,
    /// When it was written, milliseconds since 1970.
    pub(crate) updated_at: f64,
    /// The window that wrote it.
    pub(crate) writer: String,
    /// When it was put into the archive, milliseconds since 1970.
    pub(crate) archived_at: Option<f64>,
    /// The package, and whatever else it was opened with.
    pub(crate) document: Document,
    /// Links of the states before, oldest first.
    pub(crate) undo: Vec<String>,
    /// Links of the states undone, oldest first.
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
    /// Whether the package in it can be read.
    pub(crate) readable: bool,
}

impl Record {
    /// The record as a plain object: `link` is what this program reads again, `file` the same for everybody else. Wait for
    /// [`crate::later`] before.
    #[inline(never)]
    pub(crate) fn to_object(&self) -> Result<JsValue, String> {
        let link = codec::link::encode_whole(&self.document).map_err(|fault| fault.to_string())?;
        let texts = |texts: &[String]| texts.iter().map(|text| JsValue::from_str(text)).collect::<Array>().into();
        let file = file_object(&self.document)?;
        let fields: [(&str, JsValue); 11] = [
            ("id", self.id.as_str().into()),
            ("name", self.document.package.name.as_str().into()),
            ("rev", self.rev.into()),
            ("updated_at", self.updated_at.into()),
            ("writer", self.writer.as_str().into()),
            ("schema", SCHEMA.into()),
            ("archived_at", self.archived_at.map_or(JsValue::NULL, JsValue::from_f64)),
            ("link", link.into()),
            ("file", file),
            ("undo", texts(&self.undo)),
            ("redo", texts(&self.redo)),
        ];
        Ok(object(&fields))
    }

    /// A record from a plain object.
    pub(crate) fn from_object(object: &JsValue) -> Result<Self, String> {
        let card = Card::of(object).ok_or("it has no id")?;
        let link = text(object, "link").ok_or("its package is missing")?;
        let document = codec::link::decode(&link).map_err(|fault| fault.to_string())?;
        let texts = |name: &str| {
            let list = field(object, name).map(|list| Array::from(&list)).unwrap_or_default();
            list.iter().filter_map(|text| text.as_string()).collect()
        };
        Ok(Self {
            id: card.id,
            rev: card.rev,
            updated_at: card.updated_at,
            writer: text(object, "writer").unwrap_or_default(),
            archived_at: card.archived_at,
            document,
            undo: texts("undo"),
            redo: texts("redo"),
        })
    }

    /// What a list shows of it.
    pub(crate) fn card(&self) -> Card {
        Card {
            id: self.id.clone(),
            name: self.document.package.name.clone(),
            rev: self.rev,
            updated_at: self.updated_at,
            archived_at: self.archived_at,
            newer: false,
            readable: true,
        }
    }
}

impl Card {
    /// What a list shows of an object that may be a record; `None` when it has not even an id.
    pub(crate) fn of(object: &JsValue) -> Option<Self> {
        let number = |name: &str| number(object, name);
        Some(Self {
            id: text(object, "id")?,
            name: text(object, "name").unwrap_or_else(|| "Unnamed".to_owned()),
            rev: number("rev").unwrap_or(0.0),
            updated_at: number("updated_at").unwrap_or(0.0),
            archived_at: number("archived_at"),
            newer: number("schema").is_some_and(|schema| schema > SCHEMA),
            readable: text(object, "link").is_some_and(|link| codec::link::decode(&link).is_ok()),
        })
    }
}

/// A name with a word after it, no longer than a name may be.
pub(crate) fn marked(name: &str, word: &str) -> String {
    let room = MAX_NAME_BYTES.saturating_sub(word.len() + 3);
    let ends = name.char_indices().map(|(at, letter)| at + letter.len_utf8());
    let kept = ends.take_while(|end| *end <= room).last().unwrap_or(0);
    format!("{} ({word})", name.get(..kept).unwrap_or_default())
}

/// So many packages of one name are told apart.
const MOST_OF_A_NAME: u32 = 99;

/// A name that is not `taken`: where this one is, the same with the next free number, "Long zoom (2)".
pub(crate) fn distinct(name: &str, taken: impl Fn(&str) -> bool) -> String {
    if !taken(name) {
        return name.to_owned();
    }
    let plain = without_number(name);
    let free = (2..=MOST_OF_A_NAME).map(|number| marked(plain, &number.to_string())).find(|name| !taken(name));
    free.unwrap_or_else(|| name.to_owned())
}

/// A name without the number that [`distinct`] gave it. More digits than two are a year.
fn without_number(name: &str) -> &str {
    let number = |digits: &str| (1..=2).contains(&digits.len()) && digits.bytes().all(|digit| digit.is_ascii_digit());
    let parts = name.strip_suffix(')').and_then(|open| open.rsplit_once(" ("));
    parts.filter(|(_, digits)| number(digits)).map_or(name, |(plain, _)| plain)
}

/// A document as a file holds it, as a plain object.
pub(crate) fn file_object(document: &Document) -> Result<JsValue, String> {
    document.serialize(&serde_wasm_bindgen::Serializer::json_compatible()).map_err(|fault| fault.to_string())
}

/// A plain object of these fields.
pub(crate) fn object(fields: &[(&str, JsValue)]) -> JsValue {
    let object = js_sys::Object::new();
    for (name, value) in fields {
        // A fresh object takes every field.
        let _ = js_sys::Reflect::set(&object, &JsValue::from_str(name), value);
    }
    object.into()
}

/// A text in a field of a plain object.
pub(crate) fn text(object: &JsValue, name: &str) -> Option<String> {
    field(object, name)?.as_string()
}

/// A number in a field of a plain object.
pub(crate) fn number(object: &JsValue, name: &str) -> Option<f64> {
    field(object, name)?.as_f64()
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
    text(fault, "message").unwrap_or_else(|| "unknown".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_marked_name_stays_within_its_length_and_between_letters() {
        assert_eq!(marked("Long zoom", "copy"), "Long zoom (copy)");
        let copied = marked(&"é".repeat(60), "copy");
        assert!(copied.len() <= MAX_NAME_BYTES && copied.ends_with("é (copy)"), "{copied}");
    }

    #[test]
    fn a_name_that_is_taken_gets_the_next_free_number() {
        let kept = ["Regatta", "Regatta (2)", "Film (2027)"];
        let named = |name: &str| distinct(name, |name| kept.contains(&name));
        assert_eq!(named("Dusk"), "Dusk");
        assert_eq!(named("Regatta"), "Regatta (3)");
        assert_eq!(named("Regatta (2)"), "Regatta (3)");
        assert_eq!(named("Film (2027)"), "Film (2027) (2)");
        let long = "é".repeat(60);
        let second = distinct(&long, |name| *name == *long);
        assert!(second.len() <= MAX_NAME_BYTES && second.ends_with("é (2)"), "{second}");
    }
}
