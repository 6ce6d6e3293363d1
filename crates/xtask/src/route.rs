//! Which way leads to WebAssembly on this machine.
//!
//! Three are tried in turn: the toolchain's own target, `rustup target add`, and Debian's toolchain with the standard
//! library built from source. `rustc --print target-libdir` prints a path even where the target is missing, so the test
//! is whether the compiled core library stands in it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use anyhow::{Context, Result, bail, ensure};

use crate::{debian, paths, process};

/// The name of the target that browsers run.
pub(crate) const TARGET: &str = "wasm32-unknown-unknown";

/// The profile that everything for the page is built with. It is not called after `target/dist`, where cargo would then put its
/// own files too.
const PAGE: &str = "page";

/// The profile for looking at a change at once: large, and built again in seconds.
const DRAFT: &str = "draft";

/// Panics do not say where in the source they happened. Thousands of such places, each with a record of its own, are a
/// twentieth of the download; the draft keeps them.
const NO_LOCATIONS: &str = "-Zlocation-detail=none";

/// How long `rustup target add` may take before the fall-back is tried.
const RUSTUP_LIMIT: Duration = Duration::from_mins(1);

/// The kinds of route, as the command line names them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// The toolchain that runs us has the target.
    Installed,
    /// Debian's toolchain, with the standard library built from source.
    Debian,
}

impl Kind {
    /// The kind of that name.
    pub(crate) fn named(name: &str) -> Option<Self> {
        match name {
            "installed" => Some(Self::Installed),
            "debian" => Some(Self::Debian),
            _ => None,
        }
    }
}

/// A way to build WebAssembly that has been found to work.
#[derive(Debug)]
pub(crate) struct Route {
    kind: Kind,
    profile: &'static str,
}

impl Route {
    fn of(kind: Kind) -> Self {
        Self { kind, profile: PAGE }
    }

    /// The same way, but large and quick to build: for looking at a change, never for publishing.
    pub(crate) fn draft(self) -> Self {
        Self { profile: DRAFT, ..self }
    }

    /// Builds the package with `manifest` and returns the module called `artefact`.
    ///
    /// # Errors
    /// The build fails, or what it leaves is not a WebAssembly module.
    pub(crate) fn build(&self, manifest: &Path, package: &str, artefact: &str) -> Result<PathBuf> {
        let (mut command, target_dir) = match self.kind {
            Kind::Installed => (process::cargo(), paths::target()),
            Kind::Debian => (debian::cargo(), debian::target_dir()),
        };
        let module = target_dir.join(TARGET).join(self.profile).join(artefact).with_extension("wasm");
        command.args(["build", "--package", package, "--profile", self.profile, "--target", TARGET]);
        command.arg("--manifest-path").arg(manifest).arg("--target-dir").arg(&target_dir);
        if self.kind == Kind::Debian {
            command.args(debian::STANDARD_LIBRARY);
        }
        let mut flags = rust_flags();
        if self.profile == PAGE {
            flags.push(NO_LOCATIONS.to_owned());
            // The flag is not stable: a compiler takes it only when told that this is known.
            command.env("RUSTC_BOOTSTRAP", "1");
        }
        command.env("CARGO_ENCODED_RUSTFLAGS", flags.join("\u{1f}"));
        process::run(&mut command)?;
        check_module(&module)?;
        Ok(module)
    }
}

/// The same artefact wherever the tree and cargo's home stand: their paths, which panic messages carry, are renamed. And
/// what the split of the page goes by: names that no two functions share, and the linker's relocations.
fn rust_flags() -> Vec<String> {
    let mut flags = vec!["-Csymbol-mangling-version=v0".to_owned(), "-Clink-arg=--emit-relocs".to_owned()];
    flags.push(format!("--remap-path-prefix={}=/counterpoise", paths::root().display()));
    let home = std::env::var_os("CARGO_HOME").map(PathBuf::from);
    if let Some(home) = home.or_else(|| std::env::var_os("HOME").map(|home| PathBuf::from(home).join(".cargo"))) {
        flags.push(format!("--remap-path-prefix={}=/cargo", home.display()));
    }
    flags
}

/// Finds a route, installing what is missing. `COUNTERPOISE_WASM_ROUTE` forces one.
///
/// # Errors
/// One sentence with what to do when no route can be had.
pub(crate) fn ready() -> Result<Route> {
    match std::env::var("COUNTERPOISE_WASM_ROUTE") {
        Ok(name) => {
            let kind = Kind::named(&name).with_context(|| {
                format!("COUNTERPOISE_WASM_ROUTE is `{name}`; it may be `installed` or `debian`, or not set at all")
            })?;
            forced(kind)
        }
        Err(_) => find(),
    }
}

/// The first route that works here.
fn find() -> Result<Route> {
    if has_target()? {
        return Ok(Route::of(Kind::Installed));
    }
    if process::on_path("rustup") {
        println!("the WebAssembly target is missing: asking rustup for it");
        let added = process::run_within(Command::new("rustup").args(["target", "add", TARGET]), RUSTUP_LIMIT);
        if added.is_ok() && has_target()? {
            return Ok(Route::of(Kind::Installed));
        }
    }
    println!("taking Debian's toolchain for WebAssembly instead");
    debian::ensure().with_context(|| {
        format!(
            "there is no way to build WebAssembly here: make `rustup target add {TARGET}` work, or install Debian's {}",
            debian::PACKAGES.join(" ")
        )
    })?;
    Ok(Route::of(Kind::Debian))
}

/// The route of that kind, or why it cannot be had.
fn forced(kind: Kind) -> Result<Route> {
    match kind {
        Kind::Installed if !has_target()? => bail!("the toolchain has no {TARGET}: run `rustup target add {TARGET}`"),
        Kind::Installed => {}
        Kind::Debian => debian::ensure()?,
    }
    Ok(Route::of(kind))
}

/// Whether the toolchain on the path has the compiled core library for the target.
pub(crate) fn has_target() -> Result<bool> {
    let mut rustc = Command::new("rustc");
    rustc.current_dir(paths::root()).args(["--print", "target-libdir", "--target", TARGET]);
    Ok(holds_core(Path::new(process::capture(&mut rustc)?.trim())))
}

/// Whether a compiled core library stands in this directory.
fn holds_core(libdir: &Path) -> bool {
    let Ok(entries) = std::fs::read_dir(libdir) else { return false };
    entries.flatten().any(|entry| {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        name.starts_with("libcore-") && Path::new(&*name).extension().is_some_and(|extension| extension == "rlib")
    })
}

/// Every WebAssembly module begins with these four bytes (WebAssembly core specification, section 5.5.16).
fn check_module(module: &Path) -> Result<()> {
    let bytes = std::fs::read(module).with_context(|| format!("the build left no {}", module.display()))?;
    ensure!(bytes.starts_with(b"\0asm"), "{} is not a WebAssembly module", module.display());
    Ok(())
}

/// Says which route is taken here; when one is forced, tries it on the smallest crate.
///
/// # Errors
/// As [`ready`] and [`try_out`].
pub(crate) fn show(kind: Option<Kind>) -> Result<()> {
    if let Some(kind) = kind {
        try_out(kind)
    } else {
        println!("{:?}", ready()?.kind);
        Ok(())
    }
}

/// Builds the smallest crate by a forced route and puts it through wasm-bindgen, so that a machine that has the other
/// route hides nothing. What an earlier run left is deleted first: a failed build must not pass for a good one.
///
/// # Errors
/// The route cannot be had, or what it built is not what wasm-bindgen wrote the glue for.
pub(crate) fn try_out(kind: Kind) -> Result<()> {
    let route = forced(kind)?;
    let target_dir = if kind == Kind::Debian { debian::target_dir() } else { paths::target() };
    let left_over = target_dir.join(TARGET).join(PAGE).join("tiny_wasm.wasm");
    if left_over.exists() {
        std::fs::remove_file(&left_over)?;
    }
    let manifest = paths::root().join("crates/xtask/fixtures/tiny-wasm/Cargo.toml");
    let module = route.build(&manifest, "tiny-wasm", "tiny_wasm")?;
    let out = paths::target().join("tiny-wasm");
    crate::javascript::bind(&module, "tiny", &out, crate::javascript::Leave::Nothing)?;
    let glue = std::fs::read_to_string(out.join("tiny.js"))?;
    ensure!(glue.contains("export function reversed("), "wasm-bindgen found no `reversed` in the tiny module");
    check_module(&out.join("tiny_bg.wasm"))?;
    println!("the {kind:?} route builds WebAssembly that wasm-bindgen understands");
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_directory_without_the_core_library_is_no_target() {
        assert!(!holds_core(Path::new("/there/is/nothing/here")));
        assert!(!holds_core(&paths::root()));
    }

    #[test]
    fn what_is_no_module_is_refused() {
        let manifest = paths::root().join("crates/xtask/Cargo.toml");
        assert!(check_module(&manifest).unwrap_err().to_string().contains("is not a WebAssembly module"));
    }

    #[test]
    fn artefacts_carry_no_path_of_this_machine() {
        let root = paths::root().display().to_string();
        assert!(rust_flags().iter().any(|flag| flag.ends_with("=/counterpoise") && flag.contains(&root)));
    }
}
