//! Earlier states of a package, to go back to after undo has been lost or a day has gone wrong.

use serde::{Deserialize, Serialize};
use solver::Package;

/// An earlier state.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Snapshot {
    /// Package id, a space, and the time: sorts by time within a package.
    pub(crate) key: String,
    /// When it was taken, milliseconds since 1970.
    pub(crate) taken_at: f64,
    /// Why: "as opened", "while working".
    pub(crate) why: String,
    /// The package as it was.
    pub(crate) package: Package,
}

impl Snapshot {
    /// A state of the package with id `id` at `taken_at`, in milliseconds since 1970.
    pub(crate) fn new(id: &str, taken_at: f64, why: &str, package: Package) -> Self {
        Self { key: format!("{id} {taken_at:015.0}"), taken_at, why: why.to_owned(), package }
    }
}
