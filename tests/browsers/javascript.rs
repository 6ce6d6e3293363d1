//! The JavaScript module in a page: the same digits as the command line, and the example page as it stands.

use std::path::{Path, PathBuf};

use checks::browser::{Kind, Server, start};
use checks::{command, fixture};
use serde_json::Value;

use crate::kept::demo_file;

const PAGE: &str =
    "<!doctype html><meta charset=\"utf-8\"><title>Module</title><script type=\"module\" src=\"page.js\"></script>";

const SCRIPT: &str = "
    import init, * as counterpoise from './target/js/counterpoise.js';
    await init();
    window.counterpoise = counterpoise;
";

/// The module as `cargo xtask js` made it.
fn module() -> PathBuf {
    let home = std::env::var_os("COUNTERPOISE_JS").map_or_else(|| fixture::home().join("../target/js"), PathBuf::from);
    assert!(home.join("counterpoise.js").is_file(), "{} holds no module: run `cargo xtask js`", home.display());
    home
}

/// A site with the module and the example where they stand in the tree.
fn site(kind: Kind) -> PathBuf {
    let home = std::env::temp_dir().join(format!("counterpoise-module-{}-{kind:?}", std::process::id()));
    let (built, example) = (home.join("target/js"), home.join("crates/js/example"));
    for directory in [&built, &example] {
        std::fs::create_dir_all(directory).expect("a directory");
    }
    let copy =
        |from: &Path, to: &Path| assert!(std::fs::copy(from, to).expect("a copy") > 0, "{} is empty", from.display());
    for name in ["counterpoise.js", "counterpoise_bg.wasm"] {
        copy(&module().join(name), &built.join(name));
    }
    copy(&fixture::home().join("../crates/js/example/index.html"), &example.join("index.html"));
    std::fs::write(home.join("index.html"), PAGE).expect("a page");
    std::fs::write(home.join("page.js"), SCRIPT).expect("its script");
    home
}

/// Where two reports differ. A whole number is written with and without its point; as a number it is the same.
fn differences(one: &Value, other: &Value, at: &str) -> Vec<String> {
    match (one, other) {
        (Value::Number(a), Value::Number(b)) if a.as_f64() == b.as_f64() => Vec::new(),
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            let pairs = a.iter().zip(b).enumerate();
            pairs.flat_map(|(index, (a, b))| differences(a, b, &format!("{at}[{index}]"))).collect()
        }
        (Value::Object(a), Value::Object(b)) if a.keys().eq(b.keys()) => {
            a.iter().zip(b.values()).flat_map(|((key, a), b)| differences(a, b, &format!("{at}.{key}"))).collect()
        }
        _ if one == other => Vec::new(),
        _ => vec![format!("{at}: {one} and {other}")],
    }
}

fn the_module_answers(kind: Kind) {
    let home = site(kind);
    let server = Server::start(&home);
    let mut browser = start(kind);
    browser.open(&server.address("/"));
    browser.wait("the module", "!!window.counterpoise");
    let file = std::fs::read_to_string(demo_file()).expect("the demonstration");
    // Trim weights are a call of their own.
    let script = format!(
        "const file = {file}; const lenses = file.sections.lenses.data.map(lens => lens.id);
        return {{ ...counterpoise.check(file), trim: counterpoise.trimWeights(file, lenses) }}"
    );
    let mut report = browser.run(&script);
    for list in ["/findings", "/fit", "/stiffness/known/findings"] {
        for finding in report.pointer_mut(list).and_then(Value::as_array_mut).expect("findings") {
            let text = finding.as_object_mut().and_then(|finding| finding.remove("text"));
            assert!(
                text.is_some_and(|text| text.as_str().is_some_and(|text| text.len() > 10)),
                "a finding without words"
            );
        }
    }
    let output = command::run(&["check", demo_file().to_str().expect("a path of letters"), "--json"]);
    let expected: Value = serde_json::from_slice(&output.stdout).expect("a report");
    let differing = differences(&report, &expected, "report");
    assert!(differing.is_empty(), "the module answers something else than the command line:\n{}", differing.join("\n"));
    // A fault is a real Error with the field at fault.
    let fault = browser.run(&format!(
        "const file = {file};
        file.sections.parts.data[3].mass.own.kg = 1200;
        try {{ counterpoise.check(file); }} catch (fault) {{
            return [fault instanceof Error, fault.name, fault.field];
        }}"
    ));
    assert_eq!(fault, serde_json::json!([true, "PackageError", "parts[3].mass.kg"]));

    browser.open(&server.address("/crates/js/example/index.html"));
    let shown = browser.wait("the example", "document.querySelector('#out').textContent.match(/^Plate: .*$/m)?.[0]");
    let plate = &expected["slides"][0]["target_m"]["value"];
    let millimetres = format!("Plate: {:.0} mm", 1000.0 * plate.as_f64().expect("a number"));
    assert!(shown.as_str().expect("text").starts_with(&millimetres), "{shown} is not {millimetres}");
    std::fs::remove_dir_all(home).expect("the site goes");
}

in_engines!(the_module_answers);
