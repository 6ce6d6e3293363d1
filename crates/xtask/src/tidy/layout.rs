//! The shape of the tree: what stands at the top, and how long a file may be.

use std::path::Path;

use anyhow::Result;

use super::{Complaint, rust_sources};

/// What stands at the top of the tree, besides names with a leading dot and licences.
const TOP: [&str; 8] =
    ["Cargo.toml", "Cargo.lock", "README.md", "DEVELOPERS.md", "crates", "web", "tests", "index.html"];

/// Where cargo builds unless told otherwise; it is not part of the tree.
const BUILD_OUTPUT: &str = "target";

/// Longest Rust file in lines: one concept fits, two do not.
const LONGEST: usize = 450;

/// Nothing but the known names stands at the top.
pub(super) fn top_level(root: &Path) -> Result<Vec<Complaint>> {
    let mut complaints = Vec::new();
    for entry in std::fs::read_dir(root)? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        if !belongs(&name) {
            complaints.push(format!("{name} does not belong at the top of the tree"));
        }
    }
    complaints.sort();
    Ok(complaints)
}

fn belongs(name: &str) -> bool {
    TOP.contains(&name) || name == BUILD_OUTPUT || name.starts_with('.') || name.starts_with("LICENSE")
}

/// No Rust file is longer than [`LONGEST`].
pub(super) fn lengths(root: &Path) -> Result<Vec<Complaint>> {
    let too_long = |(name, text): (String, String)| {
        let lines = text.lines().count();
        (lines > LONGEST).then(|| format!("{name} has {lines} lines; more than {LONGEST} is two concepts in one file"))
    };
    Ok(rust_sources(root)?.into_iter().filter_map(too_long).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strangers_at_the_top_are_seen() {
        assert!(belongs("Cargo.toml") && belongs(".gitignore") && belongs("LICENSE-MIT"));
        assert!(!belongs("notes.txt") && !belongs("dist"));
    }
}
