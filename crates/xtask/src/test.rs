//! `cargo xtask test`: everything that is checked, in order.

use std::cell::RefCell;
use std::process::Command;

use anyhow::{Context, Result};

use crate::background::Background;
use crate::route::{self, Kind};
use crate::steps::Steps;
use crate::{apt, browsers, debian, dist, fuzz, javascript, paths, process, references, tidy};

/// The crate that only runs in a browser, and the one that runs in both.
const WEB: &str = "counterpoise-web";
const JAVASCRIPT: &str = "counterpoise-js";

/// The test target that needs three browsers; plain `cargo test` leaves it out.
const BROWSERS: &str = "browsers";

/// Runs the checks and prints their table; `true` when all have passed. `quick` leaves out what needs browsers, Debian's
/// toolchain or Python.
pub(crate) fn run(quick: bool) -> bool {
    let prepared = RefCell::new(Background::start("Debian packages and Python", move || {
        if quick {
            return Ok(());
        }
        let packages = [&browsers::PACKAGES[..], &debian::PACKAGES[..]].concat();
        apt::ensure(&packages)?;
        references::ensure_python()
    }));
    let mut steps = Steps::default();
    steps.add("format", format);
    steps.add("tidy", tidy::check);
    steps.add("clippy, this machine", clippy_here);
    steps.add("clippy, browser", clippy_browser);
    steps.add("tests", tests);
    steps.add("documentation", documentation);
    steps.add("JavaScript module", || javascript::test(&route::ready()?));
    steps.add("page", || dist::build(&route::ready()?));
    if !quick {
        steps.add("forced fall-back", || {
            prepared.borrow_mut().wait()?;
            route::try_out(Kind::Debian)
        });
        steps.add("references", || {
            prepared.borrow_mut().wait()?;
            references::check()
        });
        steps.add("fuzzing", || {
            prepared.borrow_mut().wait()?;
            fuzz::run(fuzz::TEST_SECONDS)
        });
        steps.add("browsers", || {
            prepared.borrow_mut().wait()?;
            browsers::run(BROWSERS)
        });
    }
    steps.run()
}

fn format() -> Result<()> {
    ensure_component("rustfmt", "fmt")?;
    process::run(process::cargo().args(["fmt", "--all", "--check"]))?;
    process::run(process::cargo().args(["fmt", "--manifest-path", fuzz::MANIFEST, "--check"]))
}

fn clippy_here() -> Result<()> {
    ensure_component("clippy", "clippy")?;
    let mut all = process::cargo();
    all.args(["clippy", "--workspace", "--exclude", WEB, "--all-targets", "--", "-D", "warnings"]);
    process::run(&mut all)?;
    let mut browsers = process::cargo();
    browsers.args(["clippy", "--package", "checks", "--test", BROWSERS, "--", "-D", "warnings"]);
    process::run(&mut browsers)
}

fn clippy_browser() -> Result<()> {
    let mut command = process::cargo();
    command.args(["clippy", "--package", WEB, "--package", JAVASCRIPT, "--all-targets"]);
    for_browser(&mut command)?;
    process::run(command.args(["--", "-D", "warnings"]))
}

/// The page's own tests too: what they look at needs no browser.
fn tests() -> Result<()> {
    process::run(process::cargo().args(["test", "--workspace"]))
}

fn documentation() -> Result<()> {
    let strict = ("RUSTDOCFLAGS", "-D warnings");
    let mut here = process::cargo();
    here.args(["doc", "--workspace", "--exclude", WEB, "--no-deps"]).env(strict.0, strict.1);
    process::run(&mut here)?;
    let mut web = process::cargo();
    web.args(["doc", "--package", WEB, "--no-deps"]).env(strict.0, strict.1);
    for_browser(&mut web)?;
    process::run(&mut web)
}

/// Looks at the code as a browser would see it. Where only Debian's toolchain can build for browsers, which has neither
/// clippy nor rustdoc for them, the code is looked at as this machine would see it.
fn for_browser(command: &mut Command) -> Result<()> {
    route::ready()?;
    if route::has_target()? {
        command.args(["--target", route::TARGET]);
    } else {
        println!("there is no {} for this toolchain: looking at the code as this machine sees it", route::TARGET);
    }
    Ok(())
}

/// Adds a part of the toolchain that a minimal installation leaves out.
fn ensure_component(component: &str, subcommand: &str) -> Result<()> {
    if process::run_quietly(process::cargo().args([subcommand, "--version"])).is_ok() {
        return Ok(());
    }
    println!("{component} is missing: asking rustup for it");
    process::run(Command::new("rustup").current_dir(paths::root()).args(["component", "add", component]))
        .with_context(|| format!("`cargo {subcommand}` is missing: run `rustup component add {component}`"))
}
