//! Words that do not stand in finished code.

use std::path::Path;

use anyhow::Result;

use super::source::code_only;
use super::{Complaint, rust_sources};

/// What is not allowed, and why.
const FORBIDDEN: [(&str, &str); 6] = [
    ("todo!", "finish it"),
    ("unimplemented!", "finish it"),
    ("dbg!", "take it out"),
    ("#[ignore", "a test that is not run is no test"),
    ("unsafe ", "nothing here needs it"),
    ("transmute", "nothing here needs it"),
];

/// Looks through every Rust source, comments and literals left out.
pub(super) fn check(root: &Path) -> Result<Vec<Complaint>> {
    Ok(rust_sources(root)?.iter().flat_map(|(name, text)| complaints(name, text)).collect())
}

fn complaints(name: &str, text: &str) -> Vec<Complaint> {
    let code = code_only(text);
    let mut complaints = Vec::new();
    for (index, line) in code.lines().enumerate() {
        for (word, why) in FORBIDDEN {
            if holds(line, word) {
                complaints.push(format!("{name}:{}: `{}`: {why}", index + 1, word.trim_end()));
            }
        }
    }
    complaints
}

/// Whether a line holds the word, and not only as the end of a longer one.
fn holds(line: &str, word: &str) -> bool {
    line.match_indices(word).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        !before.is_some_and(|letter| letter.is_alphanumeric() || letter == '_')
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forbidden_words_are_found_with_their_line() {
        let text = "fn a() {\n    todo!()\n}\n#[ignore]\nunsafe fn b() {}\n";
        let found = complaints("x.rs", text);
        assert_eq!(found.len(), 3);
        assert!(found[0].starts_with("x.rs:2: `todo!`"), "{}", found[0]);
    }

    #[test]
    fn sentences_and_longer_words_are_let_be() {
        assert_eq!(
            complaints("x.rs", "// unsafe to touch\nlet a = \"todo!\"; my_todo!(); x.not_unsafe ;"),
            Vec::<String>::new()
        );
    }
}
