//! Putting the page together: style, scripts, icons and entry points, each under its final name.

use std::path::Path;

use anyhow::{Context, Result};

use super::fill::{Values, fill};
use super::{Files, hash, minify, policy, read_text};
use crate::paths;

/// What wasm-bindgen calls the glue; the module is called after it.
pub(crate) const GLUE_STEM: &str = "app";

/// What the second module is called.
pub(crate) const READER: &str = "reader.wasm";

/// What the third module is called.
pub(crate) const LATER: &str = "later.wasm";

/// What the glue of both is called.
pub(crate) const READER_GLUE: &str = "reader.js";

/// The style sheet that names every colour and size comes before those that use them.
const FIRST_STYLE: &str = "tokens.css";

/// Files of `web/public` that are templates or entry points and therefore handled one by one.
const HANDLED: [&str; 5] = ["boot.js", "rescue.js", "rescue.html", "manifest.webmanifest", "sw.js"];

/// Puts the page, but for its service worker, together from the tree at `root` and from what wasm-bindgen left in `bound`.
///
/// # Errors
/// A file is missing, or a template names something that is not there.
pub(crate) fn assemble(root: &Path, bound: &Path) -> Result<Files> {
    let public = root.join("web/public");
    let mut files = Files::new();
    let mut values = Values::from([("csp".to_owned(), policy::PAGE.to_owned())]);

    for name in paths::files_below(&public)?.into_iter().filter(|name| !HANDLED.contains(&name.as_str())) {
        let bytes = std::fs::read(public.join(&name))?;
        keep(&mut files, &mut values, &format!("asset:{name}"), &name, bytes);
    }
    let style = fill("the style sheets", &styles(&root.join("web/style"))?, &values)?;
    keep(&mut files, &mut values, "css", "style.css", minify::style(&style).into_bytes());

    add_bound(&mut files, &mut values, bound)?;
    for (key, name) in [("boot", "boot.js"), ("rescue", "rescue.js")] {
        let script = fill(name, &read_text(&public.join(name))?, &values)?;
        keep(&mut files, &mut values, key, name, minify::script(&script)?.into_bytes());
    }
    let entries = [
        ("index.html", root.join("index.html")),
        ("rescue.html", public.join("rescue.html")),
        ("manifest.webmanifest", public.join("manifest.webmanifest")),
    ];
    for (name, path) in entries {
        files.insert(name.to_owned(), fill(name, &read_text(&path)?, &values)?.into_bytes());
    }
    Ok(files)
}

/// Keeps a file under its hashed name and lets templates refer to it by `key`.
fn keep(files: &mut Files, values: &mut Values, key: &str, name: &str, bytes: Vec<u8>) {
    let hashed = hash::named(name, &bytes);
    values.insert(key.to_owned(), hashed.clone());
    files.insert(hashed, bytes);
}

/// The module, its glue, and the scripts that the glue brings along. Those stand under names that already carry a hash,
/// which the glue refers to.
fn add_bound(files: &mut Files, values: &mut Values, bound: &Path) -> Result<()> {
    let (glue, module) = (format!("{GLUE_STEM}.js"), format!("{GLUE_STEM}_bg.wasm"));
    let mut reader_glue = Vec::new();
    for name in paths::files_below(bound).with_context(|| format!("wasm-bindgen left no {}", bound.display()))? {
        let bytes = std::fs::read(bound.join(&name))?;
        if name == glue {
            keep(files, values, "glue", &name, bytes);
        } else if name == LATER {
            keep(files, values, "later", &name, bytes);
        } else if name == READER {
            keep(files, values, "reader", &name, bytes);
        } else if name == READER_GLUE {
            reader_glue = bytes;
        } else if name == module {
            keep(files, values, "wasm", &format!("{GLUE_STEM}.wasm"), bytes);
        } else {
            files.insert(name, bytes);
        }
    }
    // It refers to the glue of the first module, whose name is known by now.
    let script = fill(READER_GLUE, &String::from_utf8(reader_glue)?, values)?;
    keep(files, values, "reader-glue", READER_GLUE, script.into_bytes());
    Ok(())
}

/// All style sheets in one: tokens first, the others by name.
fn styles(dir: &Path) -> Result<String> {
    let mut names = paths::files_below(dir)?;
    names.retain(|name| Path::new(name).extension().is_some_and(|extension| extension == "css"));
    names.sort_by_key(|name| (name != FIRST_STYLE, name.clone()));
    let mut all = String::new();
    for name in names {
        all.push_str(&read_text(&dir.join(name))?);
        all.push('\n');
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    /// The real templates with a stand-in for what wasm-bindgen and the split leave.
    fn assembled() -> Files {
        static CALLS: AtomicUsize = AtomicUsize::new(0);
        let call = CALLS.fetch_add(1, Ordering::Relaxed);
        let bound = std::env::temp_dir().join(format!("counterpoise-bound-{}-{call}", std::process::id()));
        std::fs::create_dir_all(bound.join("snippets/lib-1")).expect("the temporary directory can be written");
        let left = [
            ("app.js", "glue"),
            ("app_bg.wasm", "\0asm"),
            (READER, "\0asm"),
            (LATER, "\0asm"),
            (READER_GLUE, "import './{{glue}}'"),
            ("snippets/lib-1/inline0.js", "bit"),
        ];
        for (name, text) in left {
            std::fs::write(bound.join(name), text).expect("the temporary directory can be written");
        }
        let page = assemble(&paths::root(), &bound);
        std::fs::remove_dir_all(&bound).expect("the stand-in is there");
        page.expect("the templates are sound")
    }

    fn text(files: &Files, name: &str) -> String {
        String::from_utf8(files[name].clone()).expect("the file is text")
    }

    fn find<'a>(files: &'a Files, stem: &str, extension: &str) -> &'a str {
        let found = files.keys().find(|name| name.starts_with(stem) && name.ends_with(extension));
        found.map_or_else(|| panic!("there is no {stem}…{extension}"), String::as_str)
    }

    #[test]
    fn the_page_refers_to_what_is_there() {
        let files = assembled();
        let index = text(&files, "index.html");
        for (stem, extension) in [("boot-", ".js"), ("app-", ".js"), ("app-", ".wasm"), ("style-", ".css")] {
            assert!(index.contains(find(&files, stem, extension)), "index.html does not name {stem}…{extension}");
        }
        assert!(index.contains(policy::PAGE));
        assert!(text(&files, "rescue.html").contains(find(&files, "rescue-", ".js")));
        let boot = text(&files, find(&files, "boot-", ".js"));
        assert!(boot.contains(find(&files, "app-", ".js")) && boot.contains(find(&files, "app-", ".wasm")));
        assert!(boot.contains(find(&files, "reader-", ".wasm")));
        assert!(boot.contains(find(&files, "reader-", ".js")) && boot.contains(find(&files, "later-", ".wasm")));
        assert!(text(&files, find(&files, "reader-", ".js")).contains(find(&files, "app-", ".js")));
        assert!(files.contains_key("snippets/lib-1/inline0.js"));
    }

    #[test]
    fn entry_points_keep_their_names_and_all_else_is_hashed() {
        let plain: Vec<String> =
            assembled().into_keys().filter(|name| !hash::is_hashed(name) && !name.starts_with("snippets/")).collect();
        assert_eq!(plain, ["index.html", "manifest.webmanifest", "rescue.html"]);
    }

    #[test]
    fn the_manifest_can_be_installed() {
        let files = assembled();
        let manifest: serde_json::Value =
            serde_json::from_str(&text(&files, "manifest.webmanifest")).expect("the manifest is JSON");
        let icons = manifest["icons"].as_array().expect("the manifest lists icons");
        for icon in icons {
            let source = icon["src"].as_str().expect("an icon has a source");
            assert!(files.contains_key(source), "{source} is missing");
        }
        assert!(icons.iter().any(|icon| icon["sizes"] == "512x512" && icon["purpose"] == "maskable"));
        assert!(icons.iter().any(|icon| icon["sizes"] == "192x192"));
    }

    #[test]
    fn nothing_inline_stands_in_the_pages() {
        let files = assembled();
        for name in ["index.html", "rescue.html"] {
            let page = text(&files, name);
            assert!(!page.contains(" style=") && !page.contains("<style") && !page.contains(" onclick="), "{name}");
            for script in page.split("<script").skip(1) {
                assert!(
                    script.split('>').next().is_some_and(|tag| tag.contains(" src=")),
                    "{name} has an inline script"
                );
            }
        }
    }
}
