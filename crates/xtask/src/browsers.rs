//! The three browser engines that the page is tried in.

use std::process::Command;

use anyhow::Result;

use crate::{javascript, paths, process};

/// What the browser tests need of Debian: three engines, their drivers, and a screen for the one that has no headless
/// mode.
pub(crate) const PACKAGES: [&str; 6] =
    ["chromium", "chromium-driver", "firefox-esr", "webkit2gtk-driver", "xvfb", "xauth"];

/// Runs one test target of the package `checks` on a screen that nobody sees. It finds the page in `COUNTERPOISE_DIST`,
/// the JavaScript module in `COUNTERPOISE_JS`, a server for it in `COUNTERPOISE_XTASK` (`serve --built --port 0`), and the command line in `COUNTERPOISE_CLI`.
///
/// # Errors
/// A test fails.
pub(crate) fn run(target: &str) -> Result<()> {
    let mut command = Command::new("xvfb-run");
    command.current_dir(paths::root()).arg("-a").arg(process::cargo().get_program());
    command.args(["test", "--package", "checks", "--test", target, "--", "--test-threads=1", "--show-output"]);
    command.env("COUNTERPOISE_DIST", paths::dist());
    command.env("COUNTERPOISE_JS", javascript::home());
    command.env("COUNTERPOISE_LOOKS", paths::target().join("looks"));
    command.env("COUNTERPOISE_XTASK", std::env::current_exe()?);
    command.env("COUNTERPOISE_CLI", paths::target().join("debug/counterpoise"));
    process::run(&mut command)
}
