//! Fixtures that reference programs wrote.

use std::path::PathBuf;

use serde::Deserialize;
use serde::de::DeserializeOwned;

/// What a generator in `tests/references` wrote.
#[derive(Debug, Deserialize)]
pub struct Fixture<T> {
    /// One answer of the reference each.
    pub cases: Vec<T>,
}

/// Reads `tests/references/fixtures/NAME.json`.
pub fn read<T: DeserializeOwned>(name: &str) -> Vec<T> {
    let path = home().join("references/fixtures").join(format!("{name}.json"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|fault| panic!("{}: {fault}", path.display()));
    let fixture: Fixture<T> = serde_json::from_str(&text).unwrap_or_else(|fault| panic!("{}: {fault}", path.display()));
    assert!(!fixture.cases.is_empty(), "{} holds no case", path.display());
    fixture.cases
}

/// The directory of the checks.
pub fn home() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}
