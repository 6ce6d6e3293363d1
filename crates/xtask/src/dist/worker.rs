//! The service worker: the list of files that it keeps, and the version that this list makes.

use anyhow::Result;

use super::fill::{Values, fill};
use super::{Files, hash};

/// The service worker's own name: it must not be in its own list, or no update would ever be seen.
pub(crate) const NAME: &str = "sw.js";

/// The files together with the service worker that keeps every one of them.
///
/// # Errors
/// The template names something that is not there.
pub(crate) fn with_worker(mut files: Files, template: &str) -> Result<Files> {
    let values = Values::from([("version".to_owned(), version(&files, template)), ("files".to_owned(), list(&files)?)]);
    let worker = fill(NAME, template, &values)?;
    files.insert(NAME.to_owned(), worker.into_bytes());
    Ok(files)
}

/// A JSON list of every file.
fn list(files: &Files) -> Result<String> {
    let names: Vec<&String> = files.keys().collect();
    Ok(serde_json::to_string_pretty(&names)?)
}

/// Changes when any file or the worker's own text does.
fn version(files: &Files, template: &str) -> String {
    let mut all = Vec::new();
    for (name, bytes) in files {
        all.extend_from_slice(format!("{name}\n{}\n", hash::of(bytes)).as_bytes());
    }
    all.extend_from_slice(template.as_bytes());
    hash::of(&all)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEMPLATE: &str = "const VERSION = '{{version}}';\nconst FILES = {{files}};\n";

    fn files() -> Files {
        Files::from([("index.html".to_owned(), b"<p>".to_vec()), ("style-1.css".to_owned(), b"p {}".to_vec())])
    }

    fn worker(files: Files, template: &str) -> String {
        let files = with_worker(files, template).expect("the template is sound");
        String::from_utf8(files[NAME].clone()).expect("the worker is text")
    }

    #[test]
    fn the_list_holds_every_file_but_the_worker() {
        let text = worker(files(), TEMPLATE);
        let list = text.split_once("FILES = ").and_then(|(_, rest)| rest.split_once(';')).expect("the list is there").0;
        let names: Vec<String> = serde_json::from_str(list).expect("the list is JSON");
        assert_eq!(names, ["index.html", "style-1.css"]);
    }

    #[test]
    fn any_change_makes_a_new_version() {
        let before = worker(files(), TEMPLATE);
        let mut changed = files();
        changed.insert("index.html".to_owned(), b"<b>".to_vec());
        assert_ne!(worker(changed, TEMPLATE), before);
        let longer = format!("{TEMPLATE}// more\n");
        assert_ne!(worker(files(), &longer).lines().next(), before.lines().next());
        assert_eq!(worker(files(), TEMPLATE), before);
    }
}
