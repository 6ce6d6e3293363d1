//! The command line, read by hand: a handful of commands do not need a parser crate.

use std::fmt;

use crate::fuzz::TEST_SECONDS;
use crate::route::Kind;

/// What `cargo xtask help` prints.
pub(crate) const HELP: &str = "\
cargo xtask serve [--port N] [--built]   set up, build, serve on 127.0.0.1 and rebuild on change (default port 8127);
                                         --built serves target/dist as it stands
cargo xtask build [--draft]              target/dist, ready for any static host; --draft is large and quick to build
cargo xtask test [--quick]               every check; --quick leaves out browsers, forced fall-back and regeneration
cargo xtask tidy                         what a machine can check about the tree
cargo xtask bench                        one table: budget, measured, ratio
cargo xtask looks                        target/looks: every screen at three sizes in both themes, to be looked at
cargo xtask quality                      the page judged by Lighthouse (needs npm)
cargo xtask references                   generate the reference fixtures again and compare them with the committed ones
cargo xtask fuzz [--seconds N]           damage without end: link, file and every section (default 30 s each)
cargo xtask js                           target/js: the solver as a JavaScript module with types
cargo xtask wasm-route [--force debian]  which way leads to WebAssembly here; --force tries the fall-back on a small crate

COUNTERPOISE_WASM_ROUTE=debian makes every command take the Debian fall-back.";

/// Where the page is served unless told otherwise.
pub(crate) const DEFAULT_PORT: u16 = 8127;

/// One command with its options.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Command {
    Help,
    Build { draft: bool },
    Serve { port: u16, built: bool },
    Test { quick: bool },
    Tidy,
    Bench,
    Looks,
    Quality,
    References,
    Fuzz { seconds: u32 },
    Javascript,
    WasmRoute { forced: Option<Kind> },
}

/// What is wrong with a command line, in words for the person who typed it.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Fault {
    UnknownCommand(String),
    UnknownOption { command: &'static str, option: String },
    BadValue { option: &'static str, value: String, wanted: &'static str },
    MissingValue { option: &'static str, wanted: &'static str },
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownCommand(word) => write!(out, "there is no command `{word}`"),
            Self::UnknownOption { command, option } => write!(out, "`{command}` has no option `{option}`"),
            Self::BadValue { option, value, wanted } => write!(out, "{option} `{value}`: wanted {wanted}"),
            Self::MissingValue { option, wanted } => write!(out, "{option} needs {wanted}"),
        }
    }
}

/// Reads the words after `cargo xtask`.
///
/// # Errors
/// The first word that cannot be understood.
pub(crate) fn parse(words: impl Iterator<Item = String>) -> Result<Command, Fault> {
    let mut words = words.peekable();
    let Some(command) = words.next() else { return Ok(Command::Help) };
    match command.as_str() {
        "help" | "--help" | "-h" => Ok(Command::Help),
        "build" => build(words),
        "tidy" => none("tidy", words, Command::Tidy),
        "bench" => none("bench", words, Command::Bench),
        "looks" => none("looks", words, Command::Looks),
        "quality" => none("quality", words, Command::Quality),
        "references" => none("references", words, Command::References),
        "fuzz" => fuzz(words),
        "js" => none("js", words, Command::Javascript),
        "serve" => serve(words),
        "test" => test(words),
        "wasm-route" => wasm_route(words),
        _ => Err(Fault::UnknownCommand(command)),
    }
}

/// A command that takes no options.
fn none(name: &'static str, mut words: impl Iterator<Item = String>, command: Command) -> Result<Command, Fault> {
    match words.next() {
        None => Ok(command),
        Some(option) => Err(Fault::UnknownOption { command: name, option }),
    }
}

fn serve(mut words: impl Iterator<Item = String>) -> Result<Command, Fault> {
    let (mut port, mut built) = (DEFAULT_PORT, false);
    while let Some(word) = words.next() {
        match word.as_str() {
            "--built" => built = true,
            "--port" => port = value("--port", words.next(), "a port from 0 to 65535", |text| text.parse().ok())?,
            _ => return Err(Fault::UnknownOption { command: "serve", option: word }),
        }
    }
    Ok(Command::Serve { port, built })
}

fn fuzz(mut words: impl Iterator<Item = String>) -> Result<Command, Fault> {
    let mut seconds = TEST_SECONDS;
    while let Some(word) = words.next() {
        match word.as_str() {
            "--seconds" => seconds = value("--seconds", words.next(), "a number of seconds", |text| text.parse().ok())?,
            _ => return Err(Fault::UnknownOption { command: "fuzz", option: word }),
        }
    }
    Ok(Command::Fuzz { seconds })
}

fn build(words: impl Iterator<Item = String>) -> Result<Command, Fault> {
    Ok(Command::Build { draft: flag("build", "--draft", words)? })
}

fn test(words: impl Iterator<Item = String>) -> Result<Command, Fault> {
    Ok(Command::Test { quick: flag("test", "--quick", words)? })
}

/// Whether the only option of a command has been given.
fn flag(command: &'static str, flag: &str, words: impl Iterator<Item = String>) -> Result<bool, Fault> {
    let mut given = false;
    for option in words {
        if option != flag {
            return Err(Fault::UnknownOption { command, option });
        }
        given = true;
    }
    Ok(given)
}

fn wasm_route(mut words: impl Iterator<Item = String>) -> Result<Command, Fault> {
    let mut forced = None;
    while let Some(word) = words.next() {
        match word.as_str() {
            "--force" => forced = Some(value("--force", words.next(), "`installed` or `debian`", Kind::named)?),
            _ => return Err(Fault::UnknownOption { command: "wasm-route", option: word }),
        }
    }
    Ok(Command::WasmRoute { forced })
}

/// The value that follows an option.
fn value<T>(
    option: &'static str,
    word: Option<String>,
    wanted: &'static str,
    read: impl FnOnce(&str) -> Option<T>,
) -> Result<T, Fault> {
    let word = word.ok_or(Fault::MissingValue { option, wanted })?;
    read(&word).ok_or(Fault::BadValue { option, value: word, wanted })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Result<Command, Fault> {
        parse(line.split_whitespace().map(str::to_owned))
    }

    #[test]
    fn commands_and_options_are_understood() {
        assert_eq!(read(""), Ok(Command::Help));
        assert_eq!(read("serve"), Ok(Command::Serve { port: DEFAULT_PORT, built: false }));
        assert_eq!(read("serve --port 9000 --built"), Ok(Command::Serve { port: 9000, built: true }));
        assert_eq!(read("fuzz"), Ok(Command::Fuzz { seconds: TEST_SECONDS }));
        assert_eq!(read("fuzz --seconds 3600"), Ok(Command::Fuzz { seconds: 3_600 }));
        assert_eq!(read("build --draft"), Ok(Command::Build { draft: true }));
        assert_eq!(read("test --quick"), Ok(Command::Test { quick: true }));
        assert_eq!(read("wasm-route --force debian"), Ok(Command::WasmRoute { forced: Some(Kind::Debian) }));
    }

    #[test]
    fn faults_name_the_word_that_is_wrong() {
        assert_eq!(read("sing").unwrap_err().to_string(), "there is no command `sing`");
        assert_eq!(read("build --fast").unwrap_err().to_string(), "`build` has no option `--fast`");
        assert_eq!(
            read("serve --port 70000").unwrap_err().to_string(),
            "--port `70000`: wanted a port from 0 to 65535"
        );
        assert_eq!(read("serve --port").unwrap_err().to_string(), "--port needs a port from 0 to 65535");
        assert_eq!(
            read("wasm-route --force x").unwrap_err().to_string(),
            "--force `x`: wanted `installed` or `debian`"
        );
    }

    #[test]
    fn help_names_every_command() {
        for command in
            ["serve", "build", "test", "tidy", "bench", "looks", "quality", "references", "fuzz", "js", "wasm-route"]
        {
            assert!(HELP.contains(&format!("cargo xtask {command}")), "{command} is missing from the help");
        }
    }
}
