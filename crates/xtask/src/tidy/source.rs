//! Rust text without comments and literals, so that a word in a sentence is not taken for code.

/// The source with every comment, string and character literal blanked out; lines keep their numbers and columns.
pub(super) fn code_only(source: &str) -> String {
    let chars: Vec<char> = source.chars().collect();
    let mut out = String::with_capacity(source.len());
    let mut at = 0;
    while at < chars.len() {
        let end = literal_end(&chars, at);
        if end == at {
            out.push(chars[at]);
            at += 1;
        } else {
            out.extend(chars[at..end].iter().map(|&letter| if letter == '\n' { '\n' } else { ' ' }));
            at = end;
        }
    }
    out
}

/// Where the comment or literal that begins at `at` ends; `at` itself if none begins there.
fn literal_end(chars: &[char], at: usize) -> usize {
    let next = |offset: usize| chars.get(at + offset).copied();
    match chars[at] {
        '/' if next(1) == Some('/') => find(chars, at, |rest| rest[0] == '\n').unwrap_or(chars.len()),
        '/' if next(1) == Some('*') => block_comment_end(chars, at),
        '"' => quoted_end(chars, at + 1),
        'r' if !follows_word(chars, at) && matches!(next(1), Some('"' | '#')) => raw_string_end(chars, at),
        '\'' => char_end(chars, at),
        _ => at,
    }
}

/// The first place from `from` on where `test` holds of the rest.
fn find(chars: &[char], from: usize, test: impl Fn(&[char]) -> bool) -> Option<usize> {
    (from..chars.len()).find(|&at| test(&chars[at..]))
}

/// Whether the letter before belongs to a name: the `r` of `for"` begins no raw string, the one of `br"` does.
fn follows_word(chars: &[char], at: usize) -> bool {
    let before = |back: usize| at.checked_sub(back).and_then(|index| chars.get(index));
    let word = |letter: Option<&char>| letter.is_some_and(|letter| letter.is_alphanumeric() || *letter == '_');
    match before(1) {
        Some('b' | 'c') => word(before(2)),
        letter => word(letter),
    }
}

/// Block comments nest in Rust.
fn block_comment_end(chars: &[char], at: usize) -> usize {
    let (mut depth, mut place) = (0_usize, at);
    while place < chars.len() {
        match (chars[place], chars.get(place + 1)) {
            ('/', Some('*')) => {
                depth += 1;
                place += 2;
            }
            ('*', Some('/')) => {
                depth -= 1;
                place += 2;
                if depth == 0 {
                    return place;
                }
            }
            _ => place += 1,
        }
    }
    chars.len()
}

/// After the quote that closes a string whose text begins at `at`.
fn quoted_end(chars: &[char], mut at: usize) -> usize {
    while at < chars.len() {
        match chars[at] {
            '\\' => at += 2,
            '"' => return at + 1,
            _ => at += 1,
        }
    }
    chars.len()
}

fn raw_string_end(chars: &[char], at: usize) -> usize {
    let hashes = chars[at + 1..].iter().take_while(|letter| **letter == '#').count();
    if chars.get(at + 1 + hashes) != Some(&'"') {
        return at;
    }
    let closes =
        |rest: &[char]| rest[0] == '"' && rest.len() > hashes && rest[1..=hashes].iter().all(|letter| *letter == '#');
    find(chars, at + 2 + hashes, closes).map_or(chars.len(), |quote| quote + 1 + hashes)
}

/// A character literal; a lifetime (`'a` without a closing quote) is none.
fn char_end(chars: &[char], at: usize) -> usize {
    match (chars.get(at + 1), chars.get(at + 2)) {
        (Some('\\'), _) => find(chars, at + 3, |rest| rest[0] == '\'').map_or(chars.len(), |quote| quote + 1),
        (Some(_), Some('\'')) => at + 3,
        _ => at,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The words that are left.
    fn words(source: &str) -> Vec<String> {
        code_only(source).split_whitespace().map(str::to_owned).collect()
    }

    #[test]
    fn comments_go() {
        assert_eq!(words("a // b\nc /* d /* e */ f */ g"), ["a", "c", "g"]);
    }

    #[test]
    fn strings_and_characters_go() {
        assert_eq!(words(r#"a "b \" c" d"#), ["a", "d"]);
        assert_eq!(words("a r#\"b \" c\"# d"), ["a", "d"]);
        assert_eq!(words("a '\"' b '\\'' c"), ["a", "b", "c"]);
        assert_eq!(words("f(b\"x y\")"), ["f(b", ")"]);
    }

    #[test]
    fn lifetimes_and_raw_names_stay() {
        assert_eq!(words("fn f<'a>(x: &'a str) r#type"), ["fn", "f<'a>(x:", "&'a", "str)", "r#type"]);
    }

    #[test]
    fn lines_keep_their_numbers() {
        let source = "one /* a\nb */ two \"c\nd\" three";
        assert_eq!(code_only(source).lines().count(), source.lines().count());
    }
}
