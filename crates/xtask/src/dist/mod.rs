//! The finished page: `target/dist`, ready for any static host.
//!
//! Everything but the entry points carries the hash of its content in its name, so a browser may keep it for ever. The
//! entry points (`index.html`, `rescue.html`, `sw.js`, `manifest.webmanifest`) keep their names and refer to the rest.

mod compress;
mod fill;
mod glue;
mod hash;
mod minify;
mod page;
pub(crate) mod policy;
mod split;
mod worker;

use std::collections::BTreeMap;
use std::path::Path;

use anyhow::{Context, Result};

use crate::route::Route;
use crate::{javascript, paths};

pub(crate) use compress::{BROTLI, GZIP};
pub(crate) use hash::is_hashed;

/// Files of the page by name, relative to its top, with forward slashes.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// Builds the page from source into `target/dist` and says how much goes over the air.
///
/// # Errors
/// The build fails, a file is missing or a template names something that is not there.
pub(crate) fn build(route: &Route) -> Result<()> {
    let root = paths::root();
    let module = route.build(&root.join("Cargo.toml"), "counterpoise-web", "counterpoise-web")?;
    let bound = paths::target().join("bound");
    javascript::bind(&module, page::GLUE_STEM, &bound, javascript::Leave::Names)?;
    split_bound(&std::fs::read(&module)?, &bound)?;
    let page = page::assemble(&root, &bound)?;
    let files = worker::with_worker(page, &read_text(&root.join("web/public/sw.js"))?)?;
    write(&files, &paths::dist())?;
    let first_load = first_load_bytes(&paths::dist())?;
    println!(
        "{}: {} files, first load {:.1} kB in brotli",
        paths::dist().display(),
        files.len(),
        first_load as f64 / 1e3
    );
    Ok(())
}

/// Cuts the module that wasm-bindgen left in `bound` there in three and its glue in two, without names.
fn split_bound(linked: &[u8], bound: &Path) -> Result<()> {
    let path = bound.join(format!("{}_bg.wasm", page::GLUE_STEM));
    let glue_path = bound.join(format!("{}.js", page::GLUE_STEM));
    let glue = glue::Glue::read(&read_text(&glue_path)?)?;
    let [first, reader, later] = split::split(linked, &std::fs::read(&path)?, &glue)?;
    let not_first = reader.imports.into_iter().chain(later.imports).collect();
    let scripts = glue.write(&first.imports, &not_first)?;
    std::fs::write(&path, first.wasm)?;
    std::fs::write(bound.join(page::READER), reader.wasm)?;
    std::fs::write(bound.join(page::LATER), later.wasm)?;
    std::fs::write(&glue_path, scripts.first)?;
    std::fs::write(bound.join(page::READER_GLUE), scripts.later)?;
    Ok(())
}

/// What a first visit transfers before the first answer, in bytes of brotli: the page, its style, start-up script, glue
/// and module. Icons, manifest and rescue page follow after it.
///
/// # Errors
/// The page has not been built.
pub(crate) fn first_load_bytes(dist: &Path) -> Result<u64> {
    let mut bytes = 0;
    for name in paths::files_below(dist).context("build the page first: `cargo xtask build`")? {
        let Some(plain) = name.strip_suffix(BROTLI) else { continue };
        if plain == "index.html" || ["app-", "boot-", "style-"].iter().any(|stem| plain.starts_with(stem)) {
            bytes += std::fs::metadata(dist.join(&name))?.len();
        }
    }
    Ok(bytes)
}

/// Writes the files and their compressed forms beside `out`, then puts them in its place in one step: a server that is
/// running never sees half a page.
fn write(files: &Files, out: &Path) -> Result<()> {
    let fresh = out.with_extension("new");
    let old = out.with_extension("old");
    for dir in [&fresh, &old] {
        if dir.exists() {
            std::fs::remove_dir_all(dir)?;
        }
    }
    for (name, bytes) in files {
        let path = fresh.join(name);
        if let Some(dir) = path.parent() {
            std::fs::create_dir_all(dir)?;
        }
        std::fs::write(&path, bytes).with_context(|| format!("cannot write {}", path.display()))?;
        for (suffix, packed) in compress::both(name, bytes)? {
            std::fs::write(fresh.join(format!("{name}{suffix}")), packed)?;
        }
    }
    if out.exists() {
        std::fs::rename(out, &old)?;
    }
    std::fs::rename(&fresh, out).with_context(|| format!("cannot put {} in place", out.display()))?;
    if old.exists() {
        std::fs::remove_dir_all(&old)?;
    }
    Ok(())
}

fn read_text(path: &Path) -> Result<String> {
    std::fs::read_to_string(path).with_context(|| format!("cannot read {}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_page_takes_the_place_of_the_old_one() {
        let out = std::env::temp_dir().join(format!("counterpoise-dist-{}", std::process::id()));
        let page = |name: &str| Files::from([(name.to_owned(), b"a a a a a a a a a a a a a a a a a a a a".to_vec())]);
        write(&page("one.css"), &out).expect("the temporary directory can be written");
        write(&page("deep/two.css"), &out).expect("the temporary directory can be written");
        let found = paths::files_below(&out).expect("the page has been written");
        std::fs::remove_dir_all(&out).expect("the page is there");
        assert_eq!(found, ["deep/two.css", "deep/two.css.br", "deep/two.css.gz"]);
    }
}
