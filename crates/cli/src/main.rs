//! Counterpoise on a terminal: the prep sheet of a package, its link, its schema, and inverse dynamics.
//!
//! Exit status: 0 when nothing stops the job, 1 when there is a no-go, 2 for bad input and for output that cannot be
//! written.

mod args;
mod commands;
mod sheet;

use std::io::{ErrorKind, Write as _};
use std::process::ExitCode;

use args::{Command, HELP};
use commands::Outcome;

fn main() -> ExitCode {
    // A word that is no text is the name of a file that is not there.
    let words = std::env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned());
    let done = match args::parse(words) {
        Ok(Command::Check { file, json: true, .. }) => commands::check_as_data(&file),
        Ok(Command::Check { file, json: false, style }) => commands::check(&file, style),
        Ok(Command::Schema) => commands::schema(),
        Ok(Command::Link { file }) => commands::link(&file),
        Ok(Command::Open { link }) => commands::open(&link),
        Ok(Command::Dynamics { file, states, bodies }) => commands::dynamics(&file, &states, bodies),
        Ok(Command::Help) => Ok(Outcome { text: HELP.to_owned(), go: true }),
        Err(fault) => Err(format!("{fault}\n\n{HELP}")),
    };
    let done = done.and_then(|outcome| {
        let mut out = std::io::stdout();
        match out.write_all(outcome.text.as_bytes()).and_then(|()| out.flush()) {
            // Half a sheet on a full disk is no sheet; a closed pipe (`| head`) is not a fault of ours.
            Err(fault) if fault.kind() != ErrorKind::BrokenPipe => Err(format!("standard output: {fault}\n")),
            _ => Ok(outcome.go),
        }
    });
    match done {
        Ok(go) => {
            if go {
                ExitCode::SUCCESS
            } else {
                ExitCode::from(1)
            }
        }
        Err(fault) => {
            let _ = std::io::stderr().write_all(fault.as_bytes());
            ExitCode::from(2)
        }
    }
}
