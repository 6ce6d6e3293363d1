//! From a WebAssembly module to one that JavaScript can load: wasm-bindgen's glue, and the solver as a module with types.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, ensure};
use wasm_bindgen_cli_support::Bindgen;

use crate::route::Route;
use crate::{apt, paths, process};

/// What Debian calls the program that runs JavaScript without a browser.
const NODE: &str = "nodejs";

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
    // A module for others finds its own program; the page's own start-up script says where that is.
    bindgen.omit_default_module_path(leave != Leave::Types);
    bindgen.generate(out).with_context(|| format!("wasm-bindgen cannot read {}", module.display()))
}

/// Builds the solver as a JavaScript module with types into `target/js`.
///
/// # Errors
/// As [`Route::build`] and [`bind`].
pub(crate) fn build(route: &Route) -> Result<()> {
    let module = route.build(&paths::root().join("Cargo.toml"), "counterpoise-js", "counterpoise_js")?;
    let out = home();
    bind(&module, "counterpoise", &out, Leave::Types)?;
    println!("the solver as a JavaScript module: {}", out.display());
    Ok(())
}

/// Where the module is written, and where the browser tests find it.
pub(crate) fn home() -> PathBuf {
    paths::target().join("js")
}

/// Makes sure that there is a Node.js.
///
/// # Errors
/// One sentence that says what to install when it is missing and cannot be had.
pub(crate) fn ensure_node() -> Result<()> {
    if process::on_path("node") {
        return Ok(());
    }
    apt::ensure(&[NODE]).context(
        "the JavaScript module is tested under Node.js, which is missing here: install it (on Debian the package nodejs)",
    )
}

/// Builds the module and lets Node.js compare what it answers with what the command line answers.
///
/// # Errors
/// The module cannot be built, or it answers something else.
pub(crate) fn test(route: &Route) -> Result<()> {
    ensure_node()?;
    build(route)?;
    let demo = paths::root().join("tests/packages/demo.json");
    process::run(process::cargo().args(["build", "--quiet", "--package", "counterpoise"]))?;
    let report = paths::target().join("report.json");
    std::fs::write(&report, command_line_report(&demo)?)?;
    let mut node = Command::new("node");
    node.current_dir(paths::root()).arg("crates/js/tests/module.mjs").arg(home()).arg(&demo).arg(&report);
    process::run(&mut node)
}

/// What the command line answers for a package file. A package with a no-go ends it with a status of its own, so what
/// counts is what it has written.
fn command_line_report(package: &Path) -> Result<Vec<u8>> {
    let output =
        Command::new(paths::target().join("debug/counterpoise")).arg("check").arg(package).arg("--json").output()?;
    ensure!(!output.stdout.is_empty(), "the command line answers nothing: {}", String::from_utf8_lossy(&output.stderr));
    Ok(output.stdout)
}
