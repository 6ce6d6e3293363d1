//! Generating the reference fixtures again, with other people's programs, and comparing with what is committed.
//!
//! Every `tests/references/NAME.py` whose name does not begin with `_` takes one argument, a directory, and writes its
//! JSON files there under the names that they have in `tests/references`. The programs it needs stand with their
//! versions in `tests/references/requirements.txt`.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail, ensure};
use serde_json::Value;

use crate::{apt, paths, process};

/// Largest difference between a committed and a regenerated number, relative to 1, to the number, or to the largest of
/// the list that it stands in: a small torque beside large ones is a difference of large ones.
const TOLERANCE: f64 = 1e-12;

/// A fixture says here what made it; this may differ from machine to machine.
const GENERATED_WITH: &str = "generated_with";

/// Where scripts and fixtures stand.
fn home() -> PathBuf {
    paths::root().join("tests/references")
}

/// Python with the reference programs: kept outside the tree, so that it outlives `cargo clean`.
fn environment() -> PathBuf {
    paths::cache().join("venv")
}

/// The interpreter of [`environment`].
pub(crate) fn python() -> PathBuf {
    environment().join("bin/python")
}

/// Makes Python with the reference programs where it is missing or of other versions than asked for.
///
/// # Errors
/// Python or the network is missing.
pub(crate) fn ensure_python() -> Result<()> {
    let wanted_path = home().join("requirements.txt");
    let wanted =
        std::fs::read_to_string(&wanted_path).with_context(|| format!("cannot read {}", wanted_path.display()))?;
    let marker = environment().join("requirements.txt");
    if python().is_file() && std::fs::read_to_string(&marker).is_ok_and(|has| has == wanted) {
        return Ok(());
    }
    if !python().is_file() {
        make_environment()?;
    }
    let mut install = Command::new(python());
    install.args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--requirement"]).arg(&wanted_path);
    process::run_quietly(&mut install)?;
    std::fs::write(&marker, wanted).with_context(|| format!("cannot write {}", marker.display()))
}

/// Python's own virtual environment; Debian keeps the module for it in a package of its own.
fn make_environment() -> Result<()> {
    let make = || process::run_quietly(Command::new("python3").args(["-m", "venv"]).arg(environment()));
    if make().is_ok() {
        return Ok(());
    }
    apt::ensure(&["python3", "python3-venv"])?;
    make()
}

/// Runs every script and compares what it writes with what is committed.
///
/// # Errors
/// A script fails, a fixture is missing on either side, or a number differs.
pub(crate) fn check() -> Result<()> {
    ensure_python()?;
    let fresh = paths::target().join("references");
    if fresh.exists() {
        std::fs::remove_dir_all(&fresh)?;
    }
    std::fs::create_dir_all(&fresh)?;
    let before = contents(&home())?;
    let scripts = scripts()?;
    ensure!(!scripts.is_empty(), "there is no script in {}", home().display());
    for script in scripts {
        println!("{script}");
        let mut command = Command::new(python());
        // Without this Python writes byte code beside the scripts.
        command.current_dir(home()).env("PYTHONDONTWRITEBYTECODE", "1").arg(&script).arg(&fresh);
        process::run(&mut command)?;
    }
    ensure!(
        contents(&home())? == before,
        "a script wrote into {}; it must write where it is told to",
        home().display()
    );
    compare_directories(&fresh, &home())
}

/// Every file of a directory with its bytes.
fn contents(dir: &Path) -> Result<BTreeMap<String, Vec<u8>>> {
    paths::files_below(dir)?.into_iter().map(|name| Ok((name.clone(), std::fs::read(dir.join(name))?))).collect()
}

fn scripts() -> Result<Vec<String>> {
    let mut names = paths::files_below(&home())?;
    names.retain(|name| has_extension(name, "py") && !name.starts_with('_') && !name.contains('/'));
    Ok(names)
}

fn has_extension(name: &str, wanted: &str) -> bool {
    Path::new(name).extension().is_some_and(|extension| extension == wanted)
}

/// Compares two directories of fixtures, both ways round.
fn compare_directories(fresh: &Path, committed: &Path) -> Result<()> {
    let json = |dir: &Path| -> Result<Vec<String>> {
        let mut names = paths::files_below(dir)?;
        names.retain(|name| has_extension(name, "json"));
        Ok(names)
    };
    let (new, old) = (json(fresh)?, json(committed)?);
    if let Some(name) = old.iter().find(|name| !new.contains(name)) {
        bail!("no script writes {name} any more");
    }
    for name in new {
        let read = |dir: &Path| -> Result<Value> {
            let text = std::fs::read_to_string(dir.join(&name))
                .with_context(|| format!("{name} is not in {}", dir.display()))?;
            serde_json::from_str(&text).with_context(|| format!("{name} is not JSON"))
        };
        compare(&read(fresh)?, &read(committed)?, 1.0, "").map_err(|place| place.context(name.clone()))?;
        println!("{name}: the same within {TOLERANCE:e}");
    }
    Ok(())
}

/// Compares two values, numbers at least relative to `scale`; the fault names the place of the first difference.
fn compare(new: &Value, old: &Value, scale: f64, place: &str) -> Result<()> {
    match (new, old) {
        (Value::Number(new), Value::Number(old)) => {
            let (Some(a), Some(b)) = (new.as_f64(), old.as_f64()) else {
                bail!("at {place}: {new} or {old} is no number")
            };
            let scale = a.abs().max(b.abs()).max(scale);
            ensure!((a - b).abs() <= TOLERANCE * scale, "at {place}: now {a:e}, committed {b:e}");
        }
        (Value::Array(new), Value::Array(old)) => {
            ensure!(new.len() == old.len(), "at {place}: now {} entries, committed {}", new.len(), old.len());
            let scale = old.iter().filter_map(Value::as_f64).fold(1.0, |scale, number| number.abs().max(scale));
            for (index, (new, old)) in new.iter().zip(old).enumerate() {
                compare(new, old, scale, &format!("{place}/{index}"))?;
            }
        }
        (Value::Object(new), Value::Object(old)) => {
            let same = new.len() == old.len() && new.keys().all(|key| old.contains_key(key));
            ensure!(same, "at {place}: the fields have other names");
            for (key, new) in new.iter().filter(|(key, _)| *key != GENERATED_WITH) {
                compare(new, &old[key], 1.0, &format!("{place}/{key}"))?;
            }
        }
        _ => ensure!(new == old, "at {place}: now {new}, committed {old}"),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn only_differences_above_the_tolerance_count() {
        let old = json!({"rows": [1.0, 1e9, 1e-9], "small": [1.0, 1e-9], "name": "a", GENERATED_WITH: "x 1"});
        let near = json!({"rows": [1.0 + 5e-4, 1e9 + 5e-4, 5e-4], "small": [1.0, 1e-9 + 5e-13], "name": "a",
            GENERATED_WITH: "x 2"});
        assert!(compare(&near, &old, 1.0, "").is_ok());
        let far = json!({"rows": [1.0, 1e9, 1e-9], "small": [1.0, 3e-9], "name": "a", GENERATED_WITH: "x 1"});
        let fault = compare(&far, &old, 1.0, "").unwrap_err().to_string();
        assert!(fault.starts_with("at /small/1: now 3e-9"), "{fault}");
    }

    #[test]
    fn other_shapes_are_told() {
        assert!(compare(&json!([1]), &json!([1, 2]), 1.0, "").is_err());
        assert!(compare(&json!({"a": 1}), &json!({"b": 1}), 1.0, "").is_err());
        assert!(compare(&json!({"a": "1"}), &json!({"a": 1}), 1.0, "").is_err());
    }
}
