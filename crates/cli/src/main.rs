//! Counterpoise on a terminal: the prep sheet of a package, its link, its schema, and inverse dynamics.
//!
//! Exit status: 0 when nothing stops the job, 1 when there is a no-go, 2 for bad input.

mod commands;
mod sheet;

use std::process::ExitCode;

const HELP: &str = "\
Counterpoise: will this camera package hang still, where do the marks go, is there torque in hand, how long does it run

  counterpoise check FILE [--json]            the prep sheet, or every answer as data
  counterpoise schema                         the JSON Schema of a package file
  counterpoise link FILE                      the package as a link
  counterpoise open LINK                      a link as a package file
  counterpoise dynamics FILE STATES [--bodies]
                                              torque of every drive for every state, at the present marks

Exit status: 0 nothing stops the job, 1 a no-go, 2 bad input.
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let done = match arguments.as_slice() {
        ["check", file] => commands::check(file, false),
        ["check", file, "--json"] | ["check", "--json", file] => commands::check(file, true),
        ["schema"] => commands::schema(),
        ["link", file] => commands::link(file),
        ["open", link] => commands::open(link),
        ["dynamics", file, states] => commands::dynamics(file, states, false),
        ["dynamics", file, states, "--bodies"] => commands::dynamics(file, states, true),
        ["help" | "--help" | "-h"] => Ok(commands::Outcome { text: HELP.to_owned(), go: true }),
        _ => Err(HELP.to_owned()),
    };
    match done {
        Ok(outcome) => {
            write_out(&outcome.text);
            if outcome.go { ExitCode::SUCCESS } else { ExitCode::from(1) }
        }
        Err(fault) => {
            write_err(&fault);
            ExitCode::from(2)
        }
    }
}

/// A closed pipe (`| head`) is not a fault of ours.
fn write_out(text: &str) {
    use std::io::Write as _;
    let _ = std::io::stdout().write_all(text.as_bytes());
}

fn write_err(text: &str) {
    use std::io::Write as _;
    let _ = std::io::stderr().write_all(text.as_bytes());
}
