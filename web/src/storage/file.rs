//! The package as the text of a file, by the browser's own JSON. In the module that loads later.

use codec::Document;
use serde::Serialize;
use wasm_bindgen::JsValue;

/// The document as a plain object of the shape that a file has.
#[inline(never)]
pub(crate) fn object(document: &Document) -> Result<JsValue, String> {
    document.serialize(&serde_wasm_bindgen::Serializer::json_compatible()).map_err(|fault| fault.to_string())
}

/// The document as the text of a file.
pub(crate) fn write(document: &Document) -> Result<String, String> {
    let rounded = Document { package: document.package.quantised(), foreign: document.foreign.clone() };
    let text =
        js_sys::JSON::stringify_with_replacer_and_space(&object(&rounded)?, &JsValue::NULL, &JsValue::from_f64(2.0))
            .map_err(|_| "This package cannot be written as a file.".to_owned())?;
    Ok(String::from(text) + "\n")
}

/// Reads the text of a file; every number must lie in its range.
pub(crate) fn read(text: &str) -> Result<Document, String> {
    let object = js_sys::JSON::parse(text)
        .map_err(|_| "This is not a package file: it is not JSON, or its end is missing.".to_owned())?;
    let document: Document =
        serde_wasm_bindgen::from_value(object).map_err(|fault| format!("This is not a package file: {fault}"))?;
    let document = Document { package: document.package.quantised(), foreign: document.foreign };
    solver::validate(&document.package).map_err(|faults| {
        let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
        format!("The file holds what cannot be: {}", words.join("; "))
    })?;
    Ok(document)
}
