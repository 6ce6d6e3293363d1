//! The app as a person uses it: read, change, close, lose the signal, open again; and the same digits as the terminal.

use std::path::{Path, PathBuf};

use checks::command;
use serde_json::Value;

use checks::browser::Server;
use checks::browser::{Engine, Kind, start};

/// The finished page: what `cargo xtask build` wrote.
fn page() -> PathBuf {
    std::env::var_os("COUNTERPOISE_DIST")
        .map_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/dist"), PathBuf::from)
}

fn demo() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("packages/demo.json");
    serde_json::from_str(&std::fs::read_to_string(path).expect("the demo")).expect("JSON")
}

/// What the terminal answers for a package file.
fn terminal(kind: Kind, name: &str, file: &str) -> Value {
    let path = command::scratch_file(&format!("{kind:?}"), name, file);
    let output = command::run(&["check", &path.display().to_string(), "--json"]);
    serde_json::from_slice(&output.stdout).unwrap_or_else(|fault| {
        panic!("{fault}: {}", String::from_utf8_lossy(&output.stderr));
    })
}

/// Every mark on the first screen against the terminal's, to the last digit.
fn same_digits(browser: &mut dyn Engine, report: &Value) {
    for slide in report["slides"].as_array().expect("slides") {
        let target = slide["target_m"]["value"].as_f64().expect("a number");
        let row = format!("[data-test='mark-{}']", slide["slide"].as_str().expect("an id"));
        let wanted = Value::from(format!("{target}"));
        let found = browser
            .wait(&row, &format!("document.querySelector({})?.getAttribute('data-value')", Value::from(row.as_str())));
        if found != wanted {
            // The answers follow within a moment of the last letter.
            browser.wait(
                &format!("{row} to be {wanted}, it is {found}"),
                &format!("document.querySelector({})?.getAttribute('data-value') === {wanted}", Value::from(row)),
            );
        }
    }
}

fn works_without_signal(browser: &mut dyn Engine) {
    browser.wait(
        "the copy for when there is no signal",
        "await navigator.serviceWorker.getRegistration().then(known => known?.active?.state === 'activated')",
    );
}

fn kept(browser: &mut dyn Engine) {
    browser.wait(
        "the edit to be kept",
        "document.querySelector(\"[data-test='kept']\")?.getAttribute('data-value') === 'saved'",
    );
}

/// A change by hand survives the loss of the signal, with the digits that the terminal gives for it.
fn a_change_survives(kind: Kind) {
    let mut server = Server::start(&page());
    let mut browser = start(kind);
    browser.like_a_phone();
    browser.open(&server.address("/"));
    let mut file = demo();
    same_digits(&mut *browser, &terminal(kind, "demo.json", &file.to_string()));

    let parts = file["sections"]["parts"]["data"].as_array_mut().expect("parts");
    let body = parts.iter_mut().find(|part| part["kind"] == "body").expect("a body");
    let id = body["id"].clone();
    body["mass"]["own"]["kg"] = Value::from(4.4);
    browser.tap("[data-test='tab-parts']");
    browser.tap(&format!("[data-test='part-{id}']"));
    browser.enter("[data-test='part-mass']", "4.4");
    kept(&mut *browser);
    browser.tap("[data-test='tab-answers']");
    let changed = terminal(kind, "changed.json", &file.to_string());
    same_digits(&mut *browser, &changed);

    works_without_signal(&mut *browser);
    server.stop();
    browser.reload();
    same_digits(&mut *browser, &changed);
    kept(&mut *browser);
    // One step back is the demo again, without a signal too.
    browser.tap("[data-test='undo']");
    same_digits(&mut *browser, &terminal(kind, "demo.json", &demo().to_string()));
    assert_eq!(server.policy_reports(), Vec::<String>::new(), "the content security policy was broken");
}

/// A package entered from nothing by taps gives the answers that the terminal gives for its link.
fn a_package_by_taps(kind: Kind) {
    let server = Server::start(&page());
    let mut browser = start(kind);
    browser.like_a_phone();
    browser.open(&server.address("/"));
    browser.tap("[data-test='to-packages']");
    browser.tap("[data-test='new-package']");
    browser.tap("[data-test='tab-parts']");
    browser.tap("[data-test='add-part']");
    for words in ["Large-format body", "Sliding plate"] {
        let found = browser.wait(
            words,
            &format!(
                "[...document.querySelectorAll('.list__add')].find(e => e.innerText.includes({}))?.dataset.test",
                Value::from(words)
            ),
        );
        browser.tap(&format!("[data-test='{}']", found.as_str().expect("a hook")));
        browser.wait(
            "the part to be on the list",
            &format!("document.querySelector(\"[data-test='added']\")?.innerText.startsWith({})", Value::from(words)),
        );
    }
    browser.tap("[data-test='add-done']");
    kept(&mut *browser);
    browser.tap("[data-test='to-packages']");
    browser.tap("[data-test='to-share']");
    let link = browser.wait("the link", "document.querySelector(\"[data-test='share-link-text']\")?.value || null");
    let link = link.as_str().expect("text").to_owned();
    let opened = command::run(&["open", &link]);
    let file = String::from_utf8(opened.stdout).expect("text");
    let report = terminal(kind, "tapped.json", &file);
    assert!(report["mass"]["camera_kg"]["value"].as_f64().expect("a number") > 4.0, "{file}");
    browser.tap("[data-test='tab-answers']");
    same_digits(&mut *browser, &report);

    // The link in another browser, which has kept nothing, gives the same.
    let mut other = start(kind);
    let fragment = link.split_once('#').map_or(link.as_str(), |(_, fragment)| fragment);
    other.open(&server.address(&format!("/#{fragment}")));
    same_digits(&mut *other, &report);
}

in_engines!(a_change_survives);
in_engines!(a_package_by_taps);
