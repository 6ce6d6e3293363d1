//! From a WebAssembly module to one that JavaScript can load: wasm-bindgen's glue, and the solver as a module with types.

use std::path::Path;

use anyhow::{Context, Result};
use wasm_bindgen_cli_support::Bindgen;

use crate::paths;
use crate::route::Route;

/// What wasm-bindgen leaves beside the glue and the module.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Leave {
    /// Nothing.
    Nothing,
    /// Types for TypeScript.
    Types,
    /// The names of the module's functions.
    Names,
}

/// Writes `name.js` and `name_bg.wasm` into `out`, emptied first, for browsers that load ES modules.
///
/// # Errors
/// wasm-bindgen does not understand the module, or a file cannot be written.
pub(crate) fn bind(module: &Path, name: &str, out: &Path, leave: Leave) -> Result<()> {
    if out.exists() {
        std::fs::remove_dir_all(out).with_context(|| format!("cannot empty {}", out.display()))?;
    }
    let mut bindgen = Bindgen::new();
    bindgen.input_path(module).out_name(name).web(true)?.typescript(leave == Leave::Types);
    bindgen.remove_name_section(leave != Leave::Names).remove_producers_section(true).demangle(false);
    bindgen.generate(out).with_context(|| format!("wasm-bindgen cannot read {}", module.display()))
}

/// Builds the solver as a JavaScript module with types into `target/js`.
///
/// # Errors
/// As [`Route::build`] and [`bind`].
pub(crate) fn build(route: &Route) -> Result<()> {
    let module = route.build(&paths::root().join("Cargo.toml"), "counterpoise-js", "counterpoise_js")?;
    let out = paths::target().join("js");
    bind(&module, "counterpoise", &out, Leave::Types)?;
    println!("the solver as a JavaScript module: {}", out.display());
    Ok(())
}
