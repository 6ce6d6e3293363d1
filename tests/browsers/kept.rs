//! What the tests of storage share: the page at a part, an edit, what the database holds.

use std::path::PathBuf;

use checks::browser::{Engine, Server};
use checks::{command, fixture};
use serde_json::{Value, json};

use crate::{at, dist};

/// A browser that has just opened the page for the first time, and the server that it came from.
pub(crate) fn demo_in(mut browser: Box<dyn Engine>) -> (Server, Box<dyn Engine>) {
    let server = Server::start(&dist());
    browser.open(&server.address("/"));
    wait_for_state(&mut *browser, &["demo"]);
    (server, browser)
}

/// The same, open on the camera body, which now weighs 4.1 kg: the demonstration has become a package that is kept.
pub(crate) fn edited_demo(browser: Box<dyn Engine>) -> (Server, Box<dyn Engine>) {
    let (server, mut browser) = demo_in(browser);
    open_body(&mut *browser);
    enter_mass(&mut *browser, 4.1);
    (server, browser)
}

/// The demonstration as a file.
pub(crate) fn demo_file() -> PathBuf {
    fixture::home().join("packages/demo.json")
}

/// The demonstration's link with another name and note, as another window would have written it.
pub(crate) fn link_of(change: impl FnOnce(&mut Value)) -> String {
    let text = std::fs::read_to_string(demo_file()).expect("the demonstration");
    let mut file: Value = serde_json::from_str(&text).expect("JSON");
    change(&mut file);
    let path = command::scratch_file("kept", "changed.json", &file.to_string());
    let output = command::run(&["link", path.to_str().expect("a path of letters")]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).expect("text");
    text.split_whitespace().next().expect("a link").to_owned()
}

/// A script's expression for every earlier state that the database holds, oldest first.
pub(crate) const SNAPSHOTS: &str = "await (async () => {
    const base = await new Promise(yes => {
        const opening = indexedDB.open('counterpoise');
        opening.onsuccess = () => yes(opening.result);
    });
    const all = await new Promise(yes => {
        const reading = base.transaction('snapshots').objectStore('snapshots').getAll();
        reading.onsuccess = () => yes(reading.result);
    });
    base.close();
    return all;
})()";

/// A second window on the edited demonstration, with the body open in it: the first window and the second.
pub(crate) fn second_window(page: &mut dyn Engine, server: &Server) -> [String; 2] {
    let first = page.tab();
    let second = page.new_tab();
    page.open(&server.address("/"));
    wait_for_state(page, &["saved"]);
    assert!((open_body(page) - 4.1).abs() < 1e-9);
    [first, second]
}

/// Waits until the header says so of the package on the screen.
pub(crate) fn wait_for_state(page: &mut dyn Engine, states: &[&str]) -> String {
    let list = json!(states);
    let state = page.wait(
        &format!("the state to be one of {states:?}"),
        &format!("{list}.find(s => s === document.querySelector(\"{}\")?.dataset.value)", at("kept")),
    );
    state.as_str().expect("a word").to_owned()
}

/// Goes to a screen by its address.
pub(crate) fn go(page: &mut dyn Engine, screen: &str) {
    page.run(&format!("location.hash = {}; return true", Value::from(screen)));
}

/// Opens the screen of the camera body and waits for its mass, which is given back.
pub(crate) fn open_body(page: &mut dyn Engine) -> f64 {
    go(page, "#/parts");
    let hook = page.wait(
        "the camera body",
        "[...document.querySelectorAll(\"main a[data-test^='part-']\")].find(e => /body/i.test(e.innerText))?.dataset.test",
    );
    let id = hook.as_str().and_then(|hook| hook.strip_prefix("part-")).expect("a hook").to_owned();
    go(page, &format!("#/parts/{id}"));
    mass(page)
}

/// The mass in the field, kg.
pub(crate) fn mass(page: &mut dyn Engine) -> f64 {
    page.value_of(&at("part-mass")).parse().expect("a number")
}

/// Types another mass into the field, as fast as a script can; what is typed is kept a moment later, or when the field
/// is left.
pub(crate) fn type_mass(page: &mut dyn Engine, kg: f64) {
    page.run(&format!(
        "const field = document.querySelector(\"{}\");
        field.focus();
        field.value = '{kg}';
        field.dispatchEvent(new Event('input', {{ bubbles: true }}));
        return true",
        at("part-mass")
    ));
}

/// Types another mass, leaves the field and waits until it is kept. A window that is not in front gets no event when a
/// script takes the focus away, so it is sent one.
pub(crate) fn enter_mass(page: &mut dyn Engine, kg: f64) {
    type_mass(page, kg);
    page.run(&format!(
        "document.querySelector(\"{}\").dispatchEvent(new FocusEvent('blur')); return true",
        at("part-mass")
    ));
    wait_for_state(page, &["saved"]);
    assert!((mass(page) - kg).abs() < 1e-9, "the field does not hold {kg}");
    assert!(is_kept(page, kg), "{kg} kg is said to be kept and is not");
}

/// Runs a script with `store(name, mode)` and `done(request)` at hand, on the database that the app has made.
pub(crate) fn in_database(page: &mut dyn Engine, script: &str) -> Value {
    page.run(&format!(
        "const done = request => new Promise((yes, no) => {{
            request.onsuccess = () => yes(request.result);
            request.onerror = () => no(request.error);
        }});
        const base = await done(indexedDB.open('counterpoise'));
        const store = (name, mode) => base.transaction(name, mode).objectStore(name);
        try {{ {script} }} finally {{ base.close(); }}"
    ))
}

/// Every record.
pub(crate) fn records(page: &mut dyn Engine) -> Vec<Value> {
    let all = in_database(page, "return await done(store('packages', 'readonly').getAll())");
    all.as_array().expect("a list").clone()
}

/// The mass of the first camera body of a record, by way of its file.
pub(crate) fn body_kg(record: &Value) -> f64 {
    let parts = record["file"]["sections"]["parts"]["data"].as_array().expect("parts");
    let body = parts.iter().find(|part| part["kind"] == "body").expect("a body");
    body["mass"]["own"]["kg"].as_f64().expect("a mass of its own")
}

/// Names and masses of what is kept, for messages.
pub(crate) fn kept_masses(page: &mut dyn Engine) -> Vec<f64> {
    records(page).iter().map(body_kg).collect()
}

/// Whether one of the kept packages has this mass.
pub(crate) fn is_kept(page: &mut dyn Engine, kg: f64) -> bool {
    kept_masses(page).iter().any(|kept| (kept - kg).abs() < 1e-9)
}
