//! Arrows between crates point one way, and nothing of the web reaches the solver.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use anyhow::{Context, Result};
use serde_json::Value;

use super::Complaint;
use crate::process;

/// Which of our own crates each may use, whatever for. `checks` looks at everything and nothing uses it.
const ALLOWED: [(&str, &[&str]); 9] = [
    ("solver", &[]),
    ("quantity", &[]),
    ("codec", &["solver"]),
    ("counterpoise", &["solver", "codec", "quantity"]),
    ("counterpoise-js", &["solver", "codec"]),
    ("counterpoise-web", &["solver", "codec", "quantity"]),
    ("xtask", &[]),
    ("checks", &["solver", "codec", "quantity", "counterpoise"]),
    ("bench-page", &["solver", "codec"]),
];

/// The crates that work without a web, and what must not be found behind any of their dependencies.
const PURE: [&str; 3] = ["solver", "quantity", "codec"];
const IMPURE: [&str; 8] = ["wasm-bindgen", "js-sys", "web-sys", "leptos", "getrandom", "log", "rand", "tokio"];

/// Asks cargo who uses whom. `--locked` also finds a lock file that has not kept up.
pub(super) fn check(root: &Path) -> Result<Vec<Complaint>> {
    let text =
        process::capture(process::cargo().current_dir(root).args(["metadata", "--format-version", "1", "--locked"]))
            .context(
                "cargo cannot read the workspace; if it speaks of the lock file, commit Cargo.lock as cargo writes it",
            )?;
    Ok(complaints(&Graph::read(&serde_json::from_str(&text)?)?))
}

/// Who uses whom, by name.
#[derive(Default)]
struct Graph {
    ours: BTreeSet<String>,
    /// Dependencies of any kind.
    all: BTreeMap<String, BTreeSet<String>>,
    /// Dependencies that end up in what is shipped.
    shipped: BTreeMap<String, BTreeSet<String>>,
}

impl Graph {
    /// Reads what `cargo metadata` prints.
    fn read(metadata: &Value) -> Result<Self> {
        let mut graph = Self::default();
        let mut names = BTreeMap::new();
        for package in list(&metadata["packages"])? {
            names.insert(word(&package["id"])?, word(&package["name"])?);
        }
        let named =
            |id: &Value| -> Result<&str> { names.get(word(id)?).copied().context("cargo names an unknown package") };
        for member in list(&metadata["workspace_members"])? {
            graph.ours.insert(named(member)?.to_owned());
        }
        for node in list(&metadata["resolve"]["nodes"])? {
            let user = named(&node["id"])?;
            for dependency in list(&node["deps"])? {
                let used = named(&dependency["pkg"])?.to_owned();
                // The kind of an ordinary dependency is null; the others are "dev" and "build".
                if list(&dependency["dep_kinds"])?.iter().any(|kind| kind["kind"].is_null()) {
                    graph.shipped.entry(user.to_owned()).or_default().insert(used.clone());
                }
                graph.all.entry(user.to_owned()).or_default().insert(used);
            }
        }
        Ok(graph)
    }

    /// Everything that is shipped along with a crate.
    fn behind(&self, name: &str) -> BTreeSet<&str> {
        let mut seen = BTreeSet::new();
        let mut open = vec![name];
        while let Some(user) = open.pop() {
            for used in self.shipped.get(user).into_iter().flatten() {
                if seen.insert(used.as_str()) {
                    open.push(used);
                }
            }
        }
        seen
    }
}

fn list(value: &Value) -> Result<&Vec<Value>> {
    value.as_array().context("cargo metadata has another shape than expected")
}

fn word(value: &Value) -> Result<&str> {
    value.as_str().context("cargo metadata has another shape than expected")
}

fn complaints(graph: &Graph) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for name in &graph.ours {
        let Some((_, allowed)) = ALLOWED.iter().find(|(known, _)| known == name) else {
            complaints.push(format!("{name} is new: say in tidy/arrows.rs which crates it may use"));
            continue;
        };
        for used in graph.all.get(name).into_iter().flatten() {
            if graph.ours.contains(used) && !allowed.contains(&used.as_str()) {
                complaints.push(format!("{name} must not use {used}"));
            }
        }
    }
    for name in PURE {
        let behind = graph.behind(name);
        for impure in IMPURE.iter().filter(|impure| behind.contains(*impure)) {
            complaints.push(format!("{name} reaches {impure}, and must work without web, clock and chance"));
        }
    }
    complaints
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    /// Metadata in which `arrows` are the dependencies: user, used, kind.
    fn graph(arrows: &[(&str, &str, Option<&str>)]) -> Graph {
        let names: BTreeSet<&str> = arrows.iter().flat_map(|(user, used, _)| [*user, *used]).collect();
        let nodes: Vec<Value> = names
            .iter()
            .map(|name| {
                let used = arrows.iter().filter(|(user, _, _)| user == name);
                let deps: Vec<Value> =
                    used.map(|(_, used, kind)| json!({"pkg": used, "dep_kinds": [{"kind": kind}]})).collect();
                json!({"id": name, "deps": deps})
            })
            .collect();
        let packages: Vec<Value> = names.iter().map(|name| json!({"id": name, "name": name})).collect();
        let members: Vec<&&str> = names.iter().filter(|name| ALLOWED.iter().any(|(known, _)| known == *name)).collect();
        Graph::read(&json!({"packages": packages, "workspace_members": members, "resolve": {"nodes": nodes}}))
            .expect("the shape is cargo's")
    }

    #[test]
    fn arrows_that_point_the_right_way_pass() {
        let sound = graph(&[
            ("codec", "solver", None),
            ("counterpoise", "codec", None),
            ("solver", "proptest", Some("dev")),
            ("proptest", "rand", None),
        ]);
        assert_eq!(complaints(&sound), Vec::<String>::new());
    }

    #[test]
    fn an_arrow_back_is_told_even_in_tests() {
        let back = graph(&[("solver", "codec", Some("dev"))]);
        assert_eq!(complaints(&back), ["solver must not use codec"]);
    }

    #[test]
    fn the_web_behind_a_library_is_found() {
        let web = graph(&[("solver", "middle", None), ("middle", "js-sys", None)]);
        let found = complaints(&web);
        assert_eq!(found.len(), 1);
        assert!(found[0].starts_with("solver reaches js-sys"));
    }
}
