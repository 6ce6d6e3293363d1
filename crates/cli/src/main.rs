//! Counterpoise on a terminal: the prep sheet of a package, its link, its schema, and inverse dynamics.
//!
//! Exit status: 0 when nothing stops the job, 1 when there is a no-go, 2 for bad input.

mod args;
mod commands;
mod sheet;

use std::io::Write as _;
use std::process::ExitCode;

use args::{Command, HELP};
use commands::Outcome;

fn main() -> ExitCode {
    let done = match args::parse(std::env::args().skip(1)) {
        Ok(Command::Check { file, json: true, .. }) => commands::check_as_data(&file),
        Ok(Command::Check { file, json: false, style }) => commands::check(&file, style),
        Ok(Command::Schema) => commands::schema(),
        Ok(Command::Link { file }) => commands::link(&file),
        Ok(Command::Open { link }) => commands::open(&link),
        Ok(Command::Dynamics { file, states, bodies }) => commands::dynamics(&file, &states, bodies),
        Ok(Command::Help) => Ok(Outcome { text: HELP.to_owned(), go: true }),
        Err(fault) => Err(format!("{fault}\n\n{HELP}")),
    };
    // A closed pipe (`| head`) is not a fault of ours.
    match done {
        Ok(outcome) => {
            let _ = std::io::stdout().write_all(outcome.text.as_bytes());
            if outcome.go { ExitCode::SUCCESS } else { ExitCode::from(1) }
        }
        Err(fault) => {
            let _ = std::io::stderr().write_all(fault.as_bytes());
            ExitCode::from(2)
        }
    }
}
