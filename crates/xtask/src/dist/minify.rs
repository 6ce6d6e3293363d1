//! Style sheets and scripts without what only people read. Nothing clever: compression does the rest.

use anyhow::{Result, ensure};

/// A style sheet without comments, and with space only where it means something.
pub(crate) fn style(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    let mut space = false;
    while let Some(letter) = rest.chars().next() {
        if let Some(comment) = rest.strip_prefix("/*") {
            rest = comment.split_once("*/").map_or("", |(_, after)| after);
            space = true;
            continue;
        }
        if letter.is_whitespace() {
            rest = &rest[letter.len_utf8()..];
            space = true;
            continue;
        }
        let length = if matches!(letter, '"' | '\'') { quoted(rest, letter) } else { letter.len_utf8() };
        let joins = matches!(letter, '{' | '}' | ';' | ',' | '>')
            || out.is_empty()
            || out.ends_with(['{', '}', ';', ':', ',', '>']);
        if space && !joins {
            out.push(' ');
        }
        if letter == '}' && out.ends_with(';') {
            out.pop();
        }
        out.push_str(&rest[..length]);
        rest = &rest[length..];
        space = false;
    }
    out
}

/// The length of the quoted text that this one begins with.
fn quoted(text: &str, quote: char) -> usize {
    let mut before = quote;
    for (at, letter) in text.char_indices().skip(1) {
        if letter == quote && before != '\\' {
            return at + 1;
        }
        before = letter;
    }
    text.len()
}

/// A script without indentation, empty lines and lines that are comments. Lines stay lines, so that nothing depends on
/// where a statement ends.
///
/// # Errors
/// A text in the script goes over several lines, where indentation would mean something.
pub(crate) fn script(text: &str) -> Result<String> {
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        ensure!(line.matches('`').count() % 2 == 0, "a text goes over several lines: {line}");
        let bare = line.trim();
        ensure!(!bare.starts_with("/*"), "only comments that begin with // are understood here: {line}");
        if !bare.is_empty() && !bare.starts_with("//") {
            out.push_str(bare);
            out.push('\n');
        }
    }
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_style_sheet_keeps_its_meaning() {
        let text = "/* Why. */\n.a > .b,\n.c :not(.d):hover {\n  width: calc(1px + 2px); /* x */ margin: 0 auto;\n}\n";
        assert_eq!(style(text), ".a>.b,.c :not(.d):hover{width:calc(1px + 2px);margin:0 auto}");
        let media = "@media (min-width: 64em) and (orientation: landscape) {\n  a::after { content: \"; }  {\"; }\n}\n";
        assert_eq!(style(media), "@media (min-width:64em) and (orientation:landscape){a::after{content:\"; }  {\"}}");
    }

    #[test]
    fn a_script_loses_its_comments_only() {
        let text = "// Why.\nfoo();\n\n  // And why.\n  bar('https://x'); // kept\n";
        assert_eq!(script(text).ok().as_deref(), Some("foo();\nbar('https://x'); // kept\n"));
        assert!(script("`over\nlines`").is_err() && script("/* x */").is_err());
    }
}
