//! Where things stand in the tree.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};

/// The top of the workspace, two levels above this crate.
pub(crate) fn root() -> PathBuf {
    let mut root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    root.pop();
    root.pop();
    root
}

/// Build output: `CARGO_TARGET_DIR` where set, else `target`.
pub(crate) fn target() -> PathBuf {
    match std::env::var_os("CARGO_TARGET_DIR") {
        Some(dir) => root().join(dir),
        None => root().join("target"),
    }
}

/// The finished page, ready for any static host.
pub(crate) fn dist() -> PathBuf {
    target().join("dist")
}

/// Where tools that took long to fetch are kept, outside the tree.
pub(crate) fn cache() -> PathBuf {
    match (std::env::var_os("XDG_CACHE_HOME"), std::env::var_os("HOME")) {
        (Some(cache), _) => PathBuf::from(cache).join("counterpoise"),
        (None, Some(home)) => PathBuf::from(home).join(".cache/counterpoise"),
        (None, None) => target().join("cache"),
    }
}

/// Every file below `dir`, as sorted paths relative to it with forward slashes.
///
/// # Errors
/// A directory that cannot be read.
pub(crate) fn files_below(dir: &Path) -> Result<Vec<String>> {
    fn walk(dir: &Path, prefix: &str, found: &mut Vec<String>) -> Result<()> {
        for entry in std::fs::read_dir(dir).with_context(|| format!("cannot list {}", dir.display()))? {
            let entry = entry?;
            let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
            if entry.file_type()?.is_dir() {
                walk(&entry.path(), &format!("{name}/"), found)?;
            } else {
                found.push(name);
            }
        }
        Ok(())
    }
    let mut found = Vec::new();
    walk(dir, "", &mut found)?;
    found.sort();
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_root_holds_the_workspace() {
        assert!(root().join("crates/xtask/src/paths.rs").is_file());
    }

    #[test]
    fn files_below_are_sorted_and_relative() {
        let files = files_below(&root().join("crates/xtask/fixtures/tiny-wasm/src")).expect("the fixture is there");
        assert_eq!(files, ["lib.rs"]);
    }
}
