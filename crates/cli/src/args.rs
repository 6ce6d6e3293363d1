//! The words after the program's name.

use quantity::{DecimalMark, Style, System};

/// What `help` prints.
pub(crate) const HELP: &str = "\
Counterpoise: will this camera package hang still, where do the marks go, is there torque in hand, how long does it run

  counterpoise check FILE [--json] [--imperial] [--comma]
                                   the prep sheet, or every answer as data in SI
  counterpoise schema              the JSON Schema of a package file
  counterpoise link FILE           the package as a link: what stands after the # of an address
  counterpoise open LINK           a link, or a text with one in it, as a package file
  counterpoise dynamics FILE STATES [--bodies]
                                   torque of every drive for every state, at the present marks, and the links

A FILE called - is read from standard input.
Exit status: 0 nothing stops the job, 1 a no-go, 2 bad input, with every fault on a line of its own, or output that
cannot be written.
";

/// A command with what it works on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Command {
    Check { file: String, json: bool, style: Style },
    Schema,
    Link { file: String },
    Open { link: String },
    Dynamics { file: String, states: String, bodies: bool },
    Help,
}

/// Reads the command line; `Err` holds what is wrong with it.
pub(crate) fn parse(words: impl Iterator<Item = String>) -> Result<Command, String> {
    // A link or a lone - is no option.
    let (mut options, mut plain): (Vec<String>, Vec<String>) = words.partition(|word| word.starts_with("--"));
    let mut option = |name: &str| {
        let before = options.len();
        options.retain(|word| word != name);
        options.len() < before
    };
    if option("--help") || plain.is_empty() {
        return Ok(Command::Help);
    }
    let name = plain.remove(0);
    let command = match (name.as_str(), plain.as_slice()) {
        ("check", [file]) => {
            let system = if option("--imperial") { System::Imperial } else { System::Metric };
            let mark = if option("--comma") { DecimalMark::Comma } else { DecimalMark::Point };
            Command::Check { file: file.clone(), json: option("--json"), style: Style { system, mark } }
        }
        ("schema", []) => Command::Schema,
        ("link", [file]) => Command::Link { file: file.clone() },
        ("open", [_, ..]) => Command::Open { link: plain.join(" ") },
        ("dynamics", [file, states]) => {
            Command::Dynamics { file: file.clone(), states: states.clone(), bodies: option("--bodies") }
        }
        ("help", _) => Command::Help,
        ("check" | "schema" | "link" | "open" | "dynamics", _) => return Err(format!("{name}: see the help below")),
        _ => return Err(format!("there is no command \"{name}\"")),
    };
    match options.first() {
        None => Ok(command),
        Some(unknown) => Err(format!("{name} has no option {unknown}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Result<Command, String> {
        parse(line.split_whitespace().map(str::to_owned))
    }

    #[test]
    fn options_stand_anywhere() {
        let metric = Style::default();
        let check = |json, style| Ok(Command::Check { file: "a.json".to_owned(), json, style });
        assert_eq!(read("check a.json"), check(false, metric));
        assert_eq!(read("check a.json --json"), check(true, metric));
        assert_eq!(read("--json check a.json"), check(true, metric));
        let imperial = Style { system: System::Imperial, mark: DecimalMark::Comma };
        assert_eq!(read("check --comma --imperial a.json"), check(false, imperial));
    }

    #[test]
    fn a_message_round_a_link_needs_no_quotes() {
        assert_eq!(read("open see c0.abc tonight"), Ok(Command::Open { link: "see c0.abc tonight".to_owned() }));
    }

    #[test]
    fn what_is_not_understood_is_named() {
        assert_eq!(read("check"), Err("check: see the help below".to_owned()));
        assert_eq!(read("chekc a.json"), Err("there is no command \"chekc\"".to_owned()));
        assert_eq!(read("link a.json --json"), Err("link has no option --json".to_owned()));
        assert_eq!(read(""), Ok(Command::Help));
    }
}
