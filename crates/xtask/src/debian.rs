//! The fall-back: Debian's Rust toolchain, which carries the source of the standard library, and its WebAssembly linker.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Result, ensure};

use crate::{apt, paths};

/// What the fall-back needs of Debian.
pub(crate) const PACKAGES: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "lld-19"];

/// Builds the standard library along with the crate; Debian does not ship it compiled for browsers.
pub(crate) const STANDARD_LIBRARY: [&str; 2] =
    ["-Zbuild-std=std,panic_abort", "-Zbuild-std-features=optimize_for_size"];

/// Where Debian keeps the source of the standard library.
const SOURCE: &str = "/usr/lib/rustlib/src/rust/library/Cargo.lock";

/// What cargo and rustup leave in the environment of a program they start, and what would lead Debian's cargo back to
/// their toolchain.
const FOREIGN: [&str; 9] = [
    "RUSTUP_TOOLCHAIN",
    "RUSTUP_HOME",
    "CARGO",
    "RUSTC",
    "RUSTC_WRAPPER",
    "RUSTC_WORKSPACE_WRAPPER",
    "RUSTFLAGS",
    "RUSTDOC",
    "LD_LIBRARY_PATH",
];

/// Installs the packages where they are missing.
///
/// # Errors
/// One sentence with what to do.
pub(crate) fn ensure() -> Result<()> {
    apt::ensure(&PACKAGES)?;
    ensure!(Path::new(SOURCE).is_file(), "{SOURCE} is missing: reinstall the Debian package rust-web-src");
    Ok(())
}

/// A target directory of its own: artefacts of two compilers in one directory are rebuilt at every change of hands.
pub(crate) fn target_dir() -> PathBuf {
    paths::target().join("debian")
}

/// Debian's cargo, with nothing of another toolchain in its environment.
pub(crate) fn cargo() -> Command {
    let mut command = Command::new("/usr/bin/cargo");
    command.current_dir(paths::root());
    for name in FOREIGN {
        command.env_remove(name);
    }
    command
        .env("PATH", "/usr/bin:/bin")
        .env("RUSTC", "/usr/bin/rustc")
        .env("RUSTDOC", "/usr/bin/rustdoc")
        // Building the standard library is an unstable option of cargo; this lets a stable one take it.
        .env("RUSTC_BOOTSTRAP", "1")
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", "wasm-ld-19");
    command
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_of_another_toolchain_is_passed_on() {
        let command = cargo();
        let removed: Vec<_> = command.get_envs().filter(|(_, value)| value.is_none()).map(|(name, _)| name).collect();
        assert!(removed.iter().any(|name| *name == "RUSTUP_TOOLCHAIN"));
        assert!(removed.iter().any(|name| *name == "RUSTC_WRAPPER"));
        assert!(
            command.get_envs().any(|(name, value)| name == "RUSTC" && value.is_some_and(|v| v == "/usr/bin/rustc"))
        );
    }
}
