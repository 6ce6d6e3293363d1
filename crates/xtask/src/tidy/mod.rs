//! `cargo xtask tidy`: what a machine can check about the tree.

mod arrows;
mod colours;
mod layout;
mod source;
mod words;

use std::path::Path;

use anyhow::{Result, bail};

use crate::paths;

/// One thing that is not as it should be: where, and what to do.
type Complaint = String;

/// Looks at the tree below a directory.
type Check = fn(&Path) -> Result<Vec<Complaint>>;

/// Every check with its name.
const CHECKS: [(&str, Check); 5] = [
    ("arrows between crates", arrows::check),
    ("colours and styles", colours::check),
    ("top level", layout::top_level),
    ("length of files", layout::lengths),
    ("words that are not allowed", words::check),
];

/// Runs every check and prints what it found; `true` when nothing is wrong.
///
/// # Errors
/// The tree cannot be read.
pub(crate) fn report() -> Result<bool> {
    let mut clean = true;
    for (name, check) in CHECKS {
        let complaints = check(&paths::root())?;
        if complaints.is_empty() {
            println!("{name}: as it should be");
            continue;
        }
        clean = false;
        println!("{name}:");
        for complaint in complaints {
            println!("  {complaint}");
        }
    }
    Ok(clean)
}

/// [`report`] as a step of the tests.
///
/// # Errors
/// Something is not as it should be.
pub(crate) fn check() -> Result<()> {
    if report()? {
        return Ok(());
    }
    bail!("the tree is not tidy")
}

/// The Rust sources of the workspace, as paths relative to `root` with their texts.
fn rust_sources(root: &Path) -> Result<Vec<(String, String)>> {
    let mut sources = Vec::new();
    for top in ["crates", "web", "tests"] {
        for name in paths::files_below(&root.join(top))? {
            if Path::new(&name).extension().is_some_and(|extension| extension == "rs") {
                let text = std::fs::read_to_string(root.join(top).join(&name))?;
                sources.push((format!("{top}/{name}"), text));
            }
        }
    }
    Ok(sources)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sources_are_found() {
        let sources = rust_sources(&paths::root()).expect("the tree can be read");
        assert!(sources.iter().any(|(name, _)| name == "crates/xtask/src/tidy/mod.rs"));
        assert!(sources.iter().any(|(name, _)| name == "web/src/main.rs"));
    }
}
