//! The glue between module and browser, as wasm-bindgen writes it, made small and cut like the module itself.
//!
//! What the first module does not call goes into a script of its own, which loads after it. Comments, indentation,
//! and names that carry a hash or a signature, are not for the page. wasm-bindgen is pinned to one version; glue of
//! another shape fails the build.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use anyhow::{Context, Result, bail, ensure};

/// What makes the functions that the module imports.
const IMPORTS: &str = "__wbg_get_imports";
/// Under this name the modules import from the glue.
pub(crate) const FROM_GLUE: &str = "g";

/// Glue, taken apart.
#[derive(Debug)]
pub(crate) struct Glue {
    /// Functions that the module imports, by the names that wasm-bindgen gave them.
    imports: Vec<(String, String)>,
    /// Everything else at the top level, in order.
    items: Vec<Item>,
    /// New names of exports of the module.
    renamed: BTreeMap<String, String>,
}

/// A statement or declaration at the top level.
#[derive(Debug)]
struct Item {
    /// What it declares, if it does.
    name: Option<String>,
    text: String,
}

/// The glue of each module.
#[derive(Debug)]
pub(crate) struct Scripts {
    pub(crate) first: String,
    /// Still to be told where the first is: `{{glue}}`.
    pub(crate) later: String,
}

impl Glue {
    /// Takes apart what wasm-bindgen wrote.
    pub(crate) fn read(text: &str) -> Result<Self> {
        let (text, renamed) = with_short_names(text);
        let (mut imports, mut items) = (Vec::new(), Vec::new());
        let mut classes: Vec<String> = Vec::new();
        for lines in top_level(&text)? {
            let first = lines[0];
            let of_class = |class: &String| {
                first.contains(&format!("{class}.prototype")) || first.contains(&format!("{class}Finalization"))
            };
            if let Some(class) = first.strip_prefix("export class ") {
                // Classes of a library for streams, which the page never makes.
                classes.extend(class.split(' ').next().map(str::to_owned));
            } else if first.starts_with(&format!("function {IMPORTS}(")) {
                imports = entries(&lines)?;
            } else if !classes.iter().any(of_class)
                && !first.starts_with("function initSync(")
                && !first.starts_with("export {")
            {
                items.push(Item { name: declared(first), text: short(&lines) });
            }
        }
        ensure!(!imports.is_empty(), "the glue has no {IMPORTS}");
        let texts = || imports.iter().map(|(_, text)| text).chain(items.iter().map(|item| &item.text));
        for class in classes {
            ensure!(!texts().any(|text| mentions(text, &class)), "the glue makes a {class}");
        }
        Ok(Self { imports, items, renamed })
    }

    /// The exports of the module that the glue uses, by the names that wasm-bindgen gave them.
    pub(crate) fn called(&self) -> BTreeSet<String> {
        let texts = self.imports.iter().map(|(_, text)| text).chain(self.items.iter().map(|item| &item.text));
        let called = texts.flat_map(|text| text.split("wasm.").skip(1)).map(leading_word);
        let before: BTreeMap<&str, &str> =
            self.renamed.iter().map(|(long, short)| (short.as_str(), long.as_str())).collect();
        called.map(|name| before.get(name).copied().unwrap_or(name).to_owned()).collect()
    }

    /// New names of exports of the module, by their old ones.
    pub(crate) fn renamed(&self) -> &BTreeMap<String, String> {
        &self.renamed
    }

    /// The glue of each module: what each imports, by the names that wasm-bindgen gave it, and its new name.
    pub(crate) fn write(&self, first: &BTreeMap<String, String>, later: &BTreeMap<String, String>) -> Result<Scripts> {
        let own: BTreeMap<String, String> = later
            .iter()
            .filter(|(name, _)| !first.contains_key(*name))
            .map(|(name, new)| (name.clone(), new.clone()))
            .collect();
        let (first_entries, later_entries) = (self.object(first)?, self.object(&own)?);

        // What the first needs of the top level, and what only the second does.
        let needed = self.needed(&first_entries);
        let moved: Vec<&Item> = self.items.iter().filter(|item| !needed.contains(item.text.as_str())).collect();
        let mut script = String::new();
        for item in self.items.iter().filter(|item| needed.contains(item.text.as_str())) {
            script.push_str(&item.text);
        }
        writeln!(script, "function {IMPORTS}() {{\nreturn {{ {FROM_GLUE}: {{\n{first_entries}}} }};\n}}")?;

        let mut rest = String::new();
        for item in &moved {
            rest.push_str(&item.text);
        }
        writeln!(rest, "export default {{ {FROM_GLUE}: {{\n...{IMPORTS}().{FROM_GLUE},\n{later_entries}}} }};")?;
        let there = self
            .items
            .iter()
            .filter(|item| needed.contains(item.text.as_str()))
            .filter_map(|item| item.name.as_deref());
        let names: Vec<&str> =
            there.flat_map(|names| names.split(',')).chain([IMPORTS]).filter(|name| mentions(&rest, name)).collect();
        for name in &names {
            let set = rest.lines().any(|line| line.trim_start().starts_with(&format!("{name} = ")));
            ensure!(!set, "the glue of later modules sets `{name}`, which is the first's");
        }
        writeln!(script, "export {{ __wbg_init as default, {} }};", names.join(", "))?;
        Ok(Scripts {
            first: script,
            later: format!("import {{ {} }} from './{{{{glue}}}}';\n{rest}", names.join(", ")),
        })
    }

    /// Functions to import, under their new names.
    fn object(&self, names: &BTreeMap<String, String>) -> Result<String> {
        let known: BTreeSet<&str> = self.imports.iter().map(|(name, _)| name.as_str()).collect();
        if let Some(missing) = names.keys().find(|name| !known.contains(name.as_str())) {
            bail!("the glue has no `{missing}`");
        }
        let named = self.imports.iter().filter_map(|(name, text)| names.get(name).map(|new| format!("{new}: {text}")));
        Ok(named.collect())
    }

    /// The texts of the items that the first module's glue needs: every statement, and whatever it or its imports
    /// mention.
    fn needed(&self, entries: &str) -> BTreeSet<&str> {
        let mut needed: BTreeSet<&str> = BTreeSet::new();
        let mut waiting: Vec<&str> = vec![entries, "__wbg_init"];
        waiting.extend(self.items.iter().filter(|item| item.name.is_none()).map(|item| item.text.as_str()));
        while let Some(text) = waiting.pop() {
            for item in &self.items {
                let names = item.name.as_deref().unwrap_or_default();
                let wanted = item.text == text || names.split(',').any(|name| mentions(text, name));
                if wanted && needed.insert(&item.text) {
                    waiting.push(&item.text);
                }
            }
        }
        needed
    }
}

/// The text with short names for the functions that are called by their mangled ones, and those names.
fn with_short_names(text: &str) -> (String, BTreeMap<String, String>) {
    let mut names: BTreeMap<String, String> = BTreeMap::new();
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find("_R") {
        out.push_str(&rest[..at]);
        let name = leading_word(&rest[at..]);
        if ends_in_word(&out) || name.len() < 20 {
            out.push_str(name);
        } else {
            let next = format!("c{}", names.len());
            out.push_str(names.entry(name.to_owned()).or_insert(next));
        }
        rest = &rest[at + name.len()..];
    }
    out.push_str(rest);
    (out, names)
}

/// The lines of each item at the top level, without comments.
fn top_level(text: &str) -> Result<Vec<Vec<&str>>> {
    let mut items: Vec<Vec<&str>> = Vec::new();
    let mut comment = false;
    for line in text.lines() {
        let bare = line.trim();
        ensure!(line.matches('`').count() % 2 == 0, "a text in the glue goes over several lines: {line}");
        if comment || bare.starts_with("/*") {
            comment = !bare.ends_with("*/");
        } else if !bare.is_empty() && !bare.starts_with("//") {
            match items.last_mut() {
                Some(item) if line.starts_with([' ', '}', ')']) => item.push(line),
                _ => items.push(vec![line]),
            }
        }
    }
    Ok(items)
}

/// The functions in the object that `__wbg_get_imports` makes, each with what stands behind its name.
fn entries(lines: &[&str]) -> Result<Vec<(String, String)>> {
    const DEPTH: &str = "        ";
    let mut entries: Vec<(String, Vec<&str>)> = Vec::new();
    for line in lines {
        let own = line.strip_prefix(DEPTH).filter(|line| !line.starts_with(' '));
        match own.and_then(|line| line.split_once(": ")) {
            Some((name, rest)) if rest.starts_with("function(") => entries.push((name.to_owned(), vec![rest])),
            Some(("__proto__" | "\"./app_bg.js\"", _)) => {}
            Some(_) => bail!("the glue imports what is no function: {line}"),
            None if line.starts_with(DEPTH) => {
                entries.last_mut().context("the glue's imports begin in the middle")?.1.push(line);
            }
            None => {}
        }
    }
    Ok(entries.into_iter().map(|(name, lines)| (name, short(&lines))).collect())
}

/// Lines without indentation, and without a name for what is returned at once.
fn short(lines: &[&str]) -> String {
    let mut text = String::new();
    let mut lines = lines.iter().map(|line| line.trim()).peekable();
    while let Some(line) = lines.next() {
        let value = line.strip_prefix("const ret = ").filter(|_| lines.peek() == Some(&"return ret;"));
        match value {
            Some(value) => {
                lines.next();
                text.push_str("return ");
                text.push_str(value);
            }
            None => text.push_str(line),
        }
        text.push('\n');
    }
    text
}

/// What a line at the top level declares, several names with commas between.
fn declared(line: &str) -> Option<String> {
    let after = |word: &str| line.strip_prefix(word);
    if let Some(rest) = after("function ").or_else(|| after("async function ")).or_else(|| after("const ")) {
        return Some(leading_word(rest).to_owned());
    }
    let names = after("let ")?.trim_end_matches(';').split(',');
    Some(names.map(|name| leading_word(name.trim())).collect::<Vec<_>>().join(","))
}

fn is_word(letter: char) -> bool {
    letter.is_ascii_alphanumeric() || letter == '_' || letter == '$'
}

fn leading_word(text: &str) -> &str {
    text.split(|letter| !is_word(letter)).next().unwrap_or_default()
}

fn ends_in_word(text: &str) -> bool {
    text.chars().next_back().is_some_and(is_word)
}

/// Whether a text has this name as a word of its own.
fn mentions(text: &str, name: &str) -> bool {
    !name.is_empty()
        && text.match_indices(name).any(|(at, _)| !ends_in_word(&text[..at]) && leading_word(&text[at..]) == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    const GLUE: &str = r#"export class Stream {
    free() {
        wasm.__wbg_stream_free(ptr, 0);
    }
}
if (Symbol.dispose) Stream.prototype[Symbol.dispose] = Stream.prototype.free;
function __wbg_get_imports() {
    const import0 = {
        __proto__: null,
        __wbg_now_0123456789abcdef: function() {
            // A comment.
            const ret = Date.now();
            return ret;
        },
        __wbg_write_0123456789abcdef: function() { return handleError(function (arg0) {
            write(text(arg0));
        }, arguments); },
    };
    return {
        __proto__: null,
        "./app_bg.js": import0,
    };
}
function _RINvNvNtNt_a_long_name_of_a_closure(arg0) {
    wasm._RINvNvNtNt_a_long_name_of_a_closure(arg0);
}
const StreamFinalization = (typeof FinalizationRegistry === 'undefined')
    ? {}
    : new FinalizationRegistry(() => {});
function text(at) {
    return lasting + at;
}
function handleError(f, args) {
    _RINvNvNtNt_a_long_name_of_a_closure(f);
}
let lasting = 0;
function initSync(module) {
}
async function __wbg_init(module) {
    wasm.__wbindgen_start(lasting);
}
export { initSync, __wbg_init as default };
"#;

    fn names(pairs: &[(&str, &str)]) -> BTreeMap<String, String> {
        pairs.iter().map(|(name, new)| ((*name).to_owned(), (*new).to_owned())).collect()
    }

    #[test]
    fn what_only_the_second_module_calls_goes_with_it() {
        let glue = Glue::read(GLUE).expect("this is glue");
        let called: Vec<String> = glue.called().into_iter().collect();
        assert_eq!(called, ["_RINvNvNtNt_a_long_name_of_a_closure", "__wbindgen_start"]);
        assert_eq!(glue.renamed()["_RINvNvNtNt_a_long_name_of_a_closure"], "c0");
        let now = names(&[("__wbg_now_0123456789abcdef", "a")]);
        let both = names(&[("__wbg_now_0123456789abcdef", "a"), ("__wbg_write_0123456789abcdef", "b")]);
        let scripts = glue.write(&now, &both).expect("both are there");
        assert_eq!(
            scripts.first,
            "let lasting = 0;\nasync function __wbg_init(module) {\nwasm.__wbindgen_start(lasting);\n}\nfunction __wbg_get_imports() {\nreturn { g: {\na: function() {\nreturn Date.now();\n},\n} };\n}\nexport { __wbg_init as default, lasting, __wbg_get_imports };\n"
        );
        assert!(
            scripts
                .later
                .starts_with("import { lasting, __wbg_get_imports } from './{{glue}}';\nfunction c0(arg0) {\nwasm.c0"),
            "{}",
            scripts.later
        );
        assert!(scripts.later.contains(
            "\nb: function() { return handleError(function (arg0) {\nwrite(text(arg0));\n}, arguments); },\n"
        ));
    }

    #[test]
    fn glue_of_another_shape_is_refused() {
        assert!(Glue::read("export default {};\n").is_err());
        let read = |from: &str, to: &str| Glue::read(&GLUE.replace(from, to));
        assert!(read("function handleError", "function made() { new Stream(); }\nfunction handleError").is_err());
        assert!(read("__wbg_now_0123456789abcdef: function()", "__wbg_now_0123456789abcdef: Date.now").is_err());
        let missing = names(&[("__wbg_other_0123456789abcdef", "a")]);
        assert!(Glue::read(GLUE).expect("this is glue").write(&missing, &missing).is_err());
    }
}
