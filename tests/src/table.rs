//! Published tables: rows in the units of the book, each with its source.

use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::fixture::home;

/// A row of a published table.
#[derive(Debug, Deserialize)]
pub struct Row<T> {
    /// What the row shows.
    pub name: String,
    /// Where it is printed, and how the number came to us.
    pub source: String,
    /// Inputs and printed results.
    #[serde(flatten)]
    pub data: T,
}

#[derive(Deserialize)]
#[serde(bound(deserialize = "T: Deserialize<'de>"))]
struct Table<T> {
    row: Vec<Row<T>>,
}

/// Runs every row of `tests/published/NAME.toml`; a row answers with what is wrong, and all wrong rows are told at once.
#[track_caller]
pub fn run<T: DeserializeOwned>(name: &str, row: impl Fn(&T) -> Result<(), String>) {
    let path = home().join("published").join(format!("{name}.toml"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|fault| panic!("{}: {fault}", path.display()));
    let table: Table<T> = toml::from_str(&text).unwrap_or_else(|fault| panic!("{}: {fault}", path.display()));
    assert!(!table.row.is_empty(), "{} holds no row", path.display());
    let faults: Vec<String> = table
        .row
        .iter()
        .filter_map(|each| row(&each.data).err().map(|fault| format!("{} ({}): {fault}", each.name, each.source)))
        .collect();
    assert!(faults.is_empty(), "{name}: {} of {} rows differ\n{}", faults.len(), table.row.len(), faults.join("\n"));
}

/// Compares a computed number with a printed one.
///
/// # Errors
/// Both numbers, where they differ by more than `tolerance`.
pub fn near(what: &str, computed: f64, printed: f64, tolerance: f64) -> Result<(), String> {
    // Written so that not-a-number is a difference.
    if (computed - printed).abs() <= tolerance {
        Ok(())
    } else {
        Err(format!("{what}: computed {computed}, printed {printed}, tolerance {tolerance}"))
    }
}
