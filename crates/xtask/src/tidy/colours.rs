//! Colours are named once, in the tokens; no style stands in an attribute, which the content security policy drops.

use std::path::Path;

use anyhow::Result;

use super::Complaint;
use crate::paths;

/// The one file that may name colours.
const TOKENS: &str = "tokens.css";

/// Functions that make a colour. `color-mix` only mixes what has a name already.
const FUNCTIONS: [&str; 11] =
    ["rgb(", "rgba(", "hsl(", "hsla(", "hwb(", "lab(", "lch(", "oklab(", "oklch(", "color(", "device-cmyk("];

/// Named colours that come to mind (CSS Color Module Level 4, section 6.1); `transparent` and `currentcolor` are free.
const NAMES: [&str; 25] = [
    "white", "black", "red", "green", "blue", "yellow", "orange", "purple", "grey", "gray", "silver", "maroon", "navy",
    "teal", "olive", "lime", "aqua", "fuchsia", "gold", "brown", "pink", "crimson", "tomato", "beige", "ivory",
];

/// Paints in drawings that need no token.
const FREE_PAINTS: [&str; 4] = ["none", "currentColor", "inherit", "context-stroke"];

/// Looks through the style sheets and the app.
pub(super) fn check(root: &Path) -> Result<Vec<Complaint>> {
    let mut complaints = Vec::new();
    for (top, extension, judge) in
        [("web/style", "css", in_css as fn(&str) -> Option<String>), ("web/src", "rs", in_rust)]
    {
        for name in paths::files_below(&root.join(top))? {
            let judged = Path::new(&name).extension().is_some_and(|found| found == extension) && name != TOKENS;
            if !judged {
                continue;
            }
            let text = without_comments(&std::fs::read_to_string(root.join(top).join(&name))?);
            for (index, line) in text.lines().enumerate() {
                complaints.extend(judge(line).map(|fault| format!("{top}/{name}:{}: {fault}", index + 1)));
            }
        }
    }
    Ok(complaints)
}

/// The text without block comments, its lines kept.
fn without_comments(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, comment)) = rest.split_once("/*") {
        out.push_str(before);
        let (comment, after) = comment.split_once("*/").unwrap_or((comment, ""));
        out.extend(comment.chars().filter(|letter| *letter == '\n'));
        rest = after;
    }
    out.push_str(rest);
    out
}

/// A colour in the value of a declaration. A selector such as `#add` or `.red` is none.
fn in_css(line: &str) -> Option<String> {
    line.split([';', '{', '}']).filter_map(|part| part.split_once(':')).find_map(|(property, value)| {
        let declares = property.trim().bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
        let selects = line.contains('{') && line.find('{') > line.find(value);
        if !declares || selects {
            return None;
        }
        colour_function(value)
            .or_else(|| hexadecimal(value))
            .or_else(|| NAMES.iter().find(|name| has_word(value, name)).map(|name| (*name).to_owned()))
            .map(|colour| format!("`{colour}` is a colour: name it in {TOKENS}"))
    })
}

/// A colour, a painted attribute or a style attribute in the app.
fn in_rust(line: &str) -> Option<String> {
    let code = line.split("// ").next().unwrap_or(line);
    if code.match_indices("style=").any(|(at, _)| code[..at].ends_with(char::is_whitespace))
        || code.contains("\"style\"")
    {
        return Some("a style attribute is dropped by the policy: use style:name= or a class".to_owned());
    }
    for attribute in ["fill=\"", "stroke=\"", "stop-color=\""] {
        if let Some((_, rest)) = code.split_once(attribute) {
            let paint = rest.split('"').next().unwrap_or(rest);
            if !FREE_PAINTS.contains(&paint) && !paint.starts_with("url(") {
                return Some(format!("`{attribute}{paint}\"` paints: use a class and a token"));
            }
        }
    }
    let anchors_gone = code.replace("href=\"#", "href=\"");
    colour_function(code)
        .or_else(|| hexadecimal(&anchors_gone))
        .map(|colour| format!("`{colour}` is a colour: name it in {TOKENS}"))
}

fn colour_function(text: &str) -> Option<String> {
    FUNCTIONS
        .iter()
        .find(|function| has_word(text, function.trim_end_matches('(')) && text.contains(*function))
        .map(|function| format!("{function}…)"))
}

/// `#` with 3, 4, 6 or 8 hexadecimal digits and no letter after them.
fn hexadecimal(text: &str) -> Option<String> {
    text.match_indices('#').find_map(|(at, _)| {
        let word: String = text[at + 1..]
            .chars()
            .take_while(|letter| letter.is_alphanumeric() || *letter == '_' || *letter == '-')
            .collect();
        let hex = matches!(word.len(), 3 | 4 | 6 | 8) && word.bytes().all(|byte| byte.is_ascii_hexdigit());
        hex.then(|| format!("#{word}"))
    })
}

/// Whether the word stands alone, not within a longer name such as `--red-ink` or `color-mix`.
fn has_word(text: &str, word: &str) -> bool {
    let joins =
        |letter: Option<char>| letter.is_some_and(|letter| letter.is_alphanumeric() || letter == '-' || letter == '_');
    text.match_indices(word)
        .any(|(at, _)| !joins(text[..at].chars().next_back()) && !joins(text[at + word.len()..].chars().next()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_in_style_sheets_are_found() {
        for line in
            ["  color: #fff;", "a { color: red }", "  background: rgb(1 2 3);", "border: 1px solid oklch(0.5 0 0);"]
        {
            assert!(in_css(line).is_some(), "{line}");
        }
    }

    #[test]
    fn tokens_selectors_and_mixes_are_free() {
        for line in [
            "#add { gap: 8px; }",
            "a:hover, .red {",
            "  color: var(--ink-red);",
            "  fill: color-mix(in oklab, var(--ink), transparent 20%);",
            "  background: transparent;",
            "  white-space: nowrap;",
        ] {
            assert_eq!(in_css(line), None, "{line}");
        }
    }

    #[test]
    fn colours_and_styles_in_the_app_are_found() {
        for line in [
            r##"<rect fill="#123456"/>"##,
            r#"<path stroke="black"/>"#,
            r#"<div style="top:0">"#,
            "<div style=move || x>",
            r#"let c = "rgb(1,2,3)";"#,
            r#"el.set_attribute("style", x)"#,
        ] {
            assert!(in_rust(line).is_some(), "{line}");
        }
    }

    #[test]
    fn what_only_looks_like_it_is_free() {
        for line in [
            r#"<rect fill="none" class="part"/>"#,
            "let style = Style::new();",
            "<div style:width=move || w()>",
            r##"<a href="#add">"##,
            "#[component]",
        ] {
            assert_eq!(in_rust(line), None, "{line}");
        }
    }

    #[test]
    fn comments_do_not_count() {
        assert_eq!(without_comments("a /* #fff\n #000 */ b"), "a \n b");
    }
}
