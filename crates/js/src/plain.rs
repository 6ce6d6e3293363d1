//! Between Rust values and plain JavaScript objects.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_wasm_bindgen::{Deserializer, Serializer};
use wasm_bindgen::JsValue;

use crate::fault;

/// A plain object, as `JSON.parse` would make it: no `Map`, and `null` for what is absent.
pub(crate) fn from(value: &impl Serialize) -> Result<JsValue, JsValue> {
    value.serialize(&Serializer::json_compatible()).map_err(|error| fault::whole(&error.to_string()))
}

/// The Rust value of an object called `name`; a fault names the field.
pub(crate) fn into<T: DeserializeOwned>(value: JsValue, name: &str) -> Result<T, JsValue> {
    serde_path_to_error::deserialize(Deserializer::from(value)).map_err(|error| {
        let path = error.path().to_string();
        let field = fault::package_field(if path == "." { name } else { &path });
        fault::one(&field, &error.inner().to_string())
    })
}
