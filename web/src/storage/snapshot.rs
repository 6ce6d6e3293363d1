//! Earlier states of a package, to go back to after undo has been lost or a day has gone wrong.

use codec::Document;
use wasm_bindgen::JsValue;

use super::record::{number, object, text};

/// An earlier state.
#[derive(Debug, Clone)]
pub(crate) struct Snapshot {
    /// When it was taken, milliseconds since 1970.
    pub(crate) taken_at: f64,
    /// Why: "as opened", "while working".
    pub(crate) why: String,
    /// The package as it was, with whatever else it was opened with.
    pub(crate) document: Document,
}

impl Snapshot {
    /// The snapshot as a plain object. Its key, package id and time, sorts by time within a package.
    pub(crate) fn to_object(&self, id: &str) -> Result<JsValue, String> {
        let link = codec::link::encode_whole(&self.document).map_err(|fault| fault.to_string())?;
        Ok(object(&[
            ("key", format!("{id} {:015.0}", self.taken_at).into()),
            ("taken_at", self.taken_at.into()),
            ("why", self.why.as_str().into()),
            ("link", link.into()),
        ]))
    }

    /// A snapshot from a plain object; `None` where it cannot be read.
    pub(crate) fn from_object(object: &JsValue) -> Option<Self> {
        Some(Self {
            taken_at: number(object, "taken_at")?,
            why: text(object, "why").unwrap_or_default(),
            document: codec::link::decode(&text(object, "link")?).ok()?,
        })
    }
}
