//! Set-up, build, serve, test, bench and tidy: `cargo xtask help` lists the commands.
//!
//! The two commands of the README stand on everything here: `serve` prepares a fresh machine, builds the page and serves
//! it; `test` runs every check there is, in order, and stops at the first that fails.

#![allow(clippy::disallowed_methods, reason = "a tool that times its steps needs a clock; the solver does not")]

mod apt;
mod args;
mod background;
mod bench;
mod browsers;
mod debian;
mod dist;
mod fuzz;
mod javascript;
mod paths;
mod process;
mod quality;
mod references;
mod route;
mod serve;
mod steps;
mod test;
mod tidy;

use std::process::ExitCode;

use anyhow::Result;
use args::Command;

fn main() -> ExitCode {
    let command = match args::parse(std::env::args().skip(1)) {
        Ok(command) => command,
        Err(fault) => {
            eprintln!("{fault}\n\n{}", args::HELP);
            return ExitCode::from(2);
        }
    };
    match run(&command) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(fault) => {
            eprintln!("error: {fault:#}");
            ExitCode::FAILURE
        }
    }
}

/// Carries one command out; `false` says that a check failed and has already been reported.
fn run(command: &Command) -> Result<bool> {
    match *command {
        Command::Help => println!("{}", args::HELP),
        Command::Build { draft } => {
            let route = route::ready()?;
            dist::build(&if draft { route.draft() } else { route })?;
        }
        Command::Serve { port, built } => serve::serve(port, built)?,
        Command::Test { quick } => return Ok(test::run(quick)),
        Command::Tidy => return tidy::report(),
        Command::Bench => bench::run()?,
        Command::Looks => looks()?,
        Command::Quality => return quality::run(),
        Command::References => references::check()?,
        Command::Fuzz { seconds } => fuzz::run(seconds)?,
        Command::Javascript => {
            let route = route::ready()?;
            javascript::build(&route)?;
        }
        Command::WasmRoute { forced } => route::show(forced)?,
    }
    Ok(true)
}

/// Builds the page and draws every screen of it.
fn looks() -> Result<()> {
    dist::build(&route::ready()?)?;
    apt::ensure(&browsers::PACKAGES)?;
    browsers::run("looks")?;
    println!("pictures of every screen: {}", paths::target().join("looks").display());
    Ok(())
}
