//! `cargo xtask quality`: the page judged by Lighthouse, as a mid-range phone on a slow network would load it.
//!
//! It needs Node.js, which nothing else here does, and is therefore no step of the tests.

use std::path::PathBuf;
use std::process::Command;

use anyhow::{Context, Result, ensure};
use serde_json::Value;

use crate::{apt, dist, paths, process, route, serve};

/// The judge, and the runtime that it asks for; Debian's own is older.
const LIGHTHOUSE: &str = "lighthouse@13.5.0";
const NODE: &str = "node@22";

/// What is judged.
const CATEGORIES: [&str; 4] = ["performance", "accessibility", "best-practices", "seo"];

/// Builds the page, judges it and prints the scores; `true` when every one is 100.
///
/// # Errors
/// Lighthouse cannot be installed or run.
pub(crate) fn run() -> Result<bool> {
    dist::build(&route::ready()?)?;
    apt::ensure(&["chromium"])?;
    install()?;
    let address = serve::in_background(paths::dist())?;
    let report = paths::target().join("lighthouse.json");
    let mut command = Command::new(home().join("node_modules/.bin/node"));
    command.arg(home().join("node_modules/lighthouse/cli/index.js")).arg(format!("http://{address}/"));
    command.args(["--quiet", "--output=json"]).arg(format!("--output-path={}", report.display()));
    command.arg("--chrome-flags=--headless=new --no-sandbox --disable-dev-shm-usage");
    command.env("CHROME_PATH", "/usr/bin/chromium");
    process::run(&mut command)?;
    let text = std::fs::read_to_string(&report).with_context(|| format!("Lighthouse left no {}", report.display()))?;
    let report: Value = serde_json::from_str(&text).context("Lighthouse's report is not JSON")?;
    let mut perfect = true;
    for (category, score) in scores(&report)? {
        println!("{category:<16} {score:>3.0}");
        if score < 100.0 {
            perfect = false;
            for fault in faults(&report, category) {
                println!("    {fault}");
            }
        }
    }
    Ok(perfect)
}

/// Kept outside the tree, so that it outlives `cargo clean`.
fn home() -> PathBuf {
    paths::cache().join("quality")
}

fn install() -> Result<()> {
    if home().join("node_modules/lighthouse").is_dir() && home().join("node_modules/.bin/node").exists() {
        return Ok(());
    }
    ensure!(process::on_path("npm"), "npm is missing: install Node.js with npm, then try again");
    std::fs::create_dir_all(home())?;
    let npm = |words: &[&str]| {
        let mut command = Command::new("npm");
        command.current_dir(home()).args(["install", "--no-audit", "--no-fund", "--prefix", "."]).args(words);
        process::run_quietly(&mut command)
    };
    npm(&[NODE])?;
    npm(&["--ignore-scripts", LIGHTHOUSE])
}

/// Scores from 0 to 100 by category.
fn scores(report: &Value) -> Result<Vec<(&'static str, f64)>> {
    let score = |category| {
        let score = report["categories"][category]["score"].as_f64();
        score.map(|score| (category, score * 100.0)).with_context(|| format!("Lighthouse did not judge {category}"))
    };
    CATEGORIES.into_iter().map(score).collect()
}

/// What cost points in a category.
fn faults(report: &Value, category: &str) -> Vec<String> {
    let audits = report["categories"][category]["auditRefs"].as_array().into_iter().flatten();
    let costly = audits.filter(|audit| audit["weight"].as_f64().is_some_and(|weight| weight > 0.0));
    costly
        .map(|audit| &report["audits"][audit["id"].as_str().unwrap_or_default()])
        .filter(|audit| audit["score"].as_f64().is_some_and(|score| score < 1.0))
        .map(|audit| {
            let word = |field: &str| audit[field].as_str().unwrap_or_default().to_owned();
            format!("{} {}", word("title"), word("displayValue"))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn scores_and_what_cost_them_are_read() {
        let good = json!({"score": 1.0, "auditRefs": []});
        let report = json!({
            "categories": {
                "performance": {"score": 0.93, "auditRefs": [{"id": "paint", "weight": 10}, {"id": "hint", "weight": 0}]},
                "accessibility": good, "best-practices": good, "seo": good
            },
            "audits": {
                "paint": {"score": 0.8, "title": "Largest paint", "displayValue": "2.6 s"},
                "hint": {"score": 0.0, "title": "Hint"}
            }
        });
        let scores = scores(&report).expect("every category is there");
        assert_eq!(scores[0], ("performance", 93.0));
        assert_eq!(faults(&report, "performance"), ["Largest paint 2.6 s"]);
    }

    #[test]
    fn a_category_that_was_not_judged_is_told() {
        assert!(scores(&json!({"categories": {}})).is_err());
    }
}
