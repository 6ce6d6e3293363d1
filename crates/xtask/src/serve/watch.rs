//! Seeing that a source has changed: the times and sizes of all of them, taken anew and compared.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// What the page is made from, below the root of the workspace.
const SOURCES: [&str; 8] = [
    "index.html",
    "Cargo.toml",
    "Cargo.lock",
    "web",
    "crates/solver",
    "crates/quantity",
    "crates/codec",
    "tests/packages",
];

/// Time and size of every source file. Two that are equal mean that nothing has changed.
pub(crate) type Snapshot = BTreeMap<PathBuf, (Option<SystemTime>, u64)>;

/// How the sources stand now. A file that vanishes while it is looked at is simply not in it.
pub(crate) fn snapshot(root: &Path) -> Snapshot {
    let mut seen = Snapshot::new();
    for source in SOURCES {
        look(&root.join(source), &mut seen);
    }
    seen
}

fn look(path: &Path, seen: &mut Snapshot) {
    let Ok(metadata) = std::fs::metadata(path) else { return };
    if metadata.is_dir() {
        let entries = std::fs::read_dir(path).into_iter().flatten().flatten();
        entries.for_each(|entry| look(&entry.path(), seen));
    } else {
        seen.insert(path.to_owned(), (metadata.modified().ok(), metadata.len()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_and_a_new_file_are_seen() {
        let root = std::env::temp_dir().join(format!("counterpoise-watch-{}", std::process::id()));
        std::fs::create_dir_all(root.join("web/src")).expect("the temporary directory can be written");
        let main = root.join("web/src/main.rs");
        std::fs::write(&main, "one").expect("the temporary directory can be written");
        let first = snapshot(&root);
        assert_eq!(snapshot(&root), first);
        std::fs::write(&main, "one more").expect("the temporary directory can be written");
        let second = snapshot(&root);
        std::fs::write(root.join("web/style.css"), "p {}").expect("the temporary directory can be written");
        let third = snapshot(&root);
        std::fs::remove_dir_all(&root).expect("the directory is there");
        assert_ne!(first, second);
        assert_ne!(second, third);
        assert_eq!(third.len(), 2);
    }
}
