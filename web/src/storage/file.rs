//! The package as the text of a file, by the browser's own JSON. In the module that loads later.

use codec::Document;
use js_sys::Array;
use wasm_bindgen::JsValue;

use super::record::{field, file_object, object, text};

/// The document as the text of a file.
pub(crate) fn write(document: &Document) -> Result<String, String> {
    let rounded = Document { package: document.package.quantised(), foreign: document.foreign.clone() };
    written(&file_object(&rounded)?)
}

/// Version of the file of everything.
const BACKUP: f64 = 0.0;
/// What of a record goes into the file of everything: all that another device can use.
const BACKED_UP: [&str; 6] = ["name", "updated_at", "archived_at", "schema", "link", "file"];

/// The records of this device as the text of one file. What cannot be read goes along as it is.
pub(crate) fn write_all(records: &[JsValue]) -> Result<String, String> {
    let packages: Array = records
        .iter()
        .map(|record| {
            let fields = BACKED_UP.map(|name| (name, field(record, name).unwrap_or(JsValue::NULL)));
            object(&fields)
        })
        .collect();
    written(&object(&[("counterpoise_backup", BACKUP.into()), ("packages", packages.into())]))
}

/// Whatever packages a text holds: a link, a message around one, a package file, a file of everything, or what the
/// rescue page has written. What cannot be read is named beside them.
pub(crate) fn read_any(text: &str) -> Result<(Vec<Document>, Vec<String>), String> {
    if !text.trim_start().starts_with(['{', '[']) {
        return codec::link::decode(text)
            .map(|document| (vec![document], Vec::new()))
            .map_err(|fault| fault.to_string());
    }
    let (mut documents, mut faults) = (Vec::new(), Vec::new());
    collect(&parse(text)?, &mut documents, &mut faults);
    if documents.is_empty() && faults.is_empty() {
        return Err("There is no package in this file.".to_owned());
    }
    Ok((documents, faults))
}

/// Collects the packages of a file's object: the file itself, a record with its link and its file, or a list of such.
fn collect(object: &JsValue, documents: &mut Vec<Document>, faults: &mut Vec<String>) {
    if let Some(list) = field(object, "packages").filter(Array::is_array) {
        for entry in Array::from(&list).iter() {
            collect(&entry, documents, faults);
        }
        return;
    }
    if Array::is_array(object) {
        for entry in Array::from(object).iter() {
            collect(&entry, documents, faults);
        }
        return;
    }
    if let Some(record) = field(object, "value") {
        return collect(&record, documents, faults);
    }
    let read = match (text(object, "link"), field(object, "file")) {
        (Some(link), file) => {
            codec::link::decode(&link).map_err(|fault| fault.to_string()).or_else(|fault| match file {
                // The same package in words: a link may have been hurt where the words were not.
                Some(file) => read_object(file),
                None => Err(fault),
            })
        }
        (None, Some(file)) => read_object(file),
        (None, None) if object.is_object() => read_object(object.clone()),
        (None, None) => return,
    };
    match read {
        Ok(document) => documents.push(document),
        Err(fault) => {
            faults.push(text(object, "name").map_or_else(|| fault.clone(), |name| format!("{name}: {fault}")));
        }
    }
}

/// So deep may the objects and lists of a file stand in one another; one of ours needs a quarter of that. Each level
/// that is read stands on the stack, which no file may exhaust.
const DEEPEST: usize = 64;

/// How deep the objects and lists of a text of JSON stand in one another.
fn depth(text: &str) -> usize {
    let (mut now, mut deepest) = (0_usize, 0_usize);
    let (mut quoted, mut escaped) = (false, false);
    for byte in text.bytes() {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if quoted => escaped = true,
            b'"' => quoted = !quoted,
            b'[' | b'{' if !quoted => {
                now += 1;
                deepest = deepest.max(now);
            }
            b']' | b'}' if !quoted => now = now.saturating_sub(1),
            _ => {}
        }
    }
    deepest
}

fn parse(text: &str) -> Result<JsValue, String> {
    if depth(text) > DEEPEST {
        return Err("This is not a package file: it goes too deep.".to_owned());
    }
    let parsed = js_sys::JSON::parse(text).ok();
    parsed.ok_or_else(|| "This is not a package file: it is not JSON, or its end is missing.".to_owned())
}

/// An object as the text of a file.
pub(crate) fn written(object: &JsValue) -> Result<String, String> {
    let text = js_sys::JSON::stringify_with_replacer_and_space(object, &JsValue::NULL, &JsValue::from_f64(2.0))
        .ok()
        .ok_or("This package cannot be written as a file.")?;
    Ok(String::from(text) + "\n")
}

/// Reads what was the text of a file; every number must lie in its range.
fn read_object(object: JsValue) -> Result<Document, String> {
    let document: Document =
        serde_wasm_bindgen::from_value(object).map_err(|fault| format!("This is not a package file: {fault}"))?;
    let document = Document { package: document.package.quantised(), foreign: document.foreign };
    solver::validate(&document.package).map_err(|faults| {
        let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
        format!("The file holds what cannot be: {}", words.join("; "))
    })?;
    Ok(document)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn depth_counts_what_stands_in_one_another() {
        assert_eq!(depth("{}"), 1);
        assert_eq!(depth(r#"{"a": [1, [2]], "b": [[3]]}"#), 3);
        // Brackets in a text are none, whatever is escaped before its end.
        assert_eq!(depth(r#"{"a[[": "\"[[[\\"}"#), 1);
        assert_eq!(depth(&"[".repeat(100_000)), 100_000);
    }

    #[test]
    fn the_demonstration_is_far_from_too_deep() {
        let text = include_str!("../../../tests/packages/demo.json");
        assert!(depth(text) <= DEEPEST / 4, "{}", depth(text));
    }
}
