//! The digits that the page shows beside those of the command line.

use std::collections::BTreeMap;

use checks::command;
use serde_json::Value;

use checks::browser::Engine;

/// The answers by the name under which the page shows them.
pub(crate) type Answers = BTreeMap<String, f64>;

/// Every answer on the screen, with all its digits.
pub(crate) fn of_page(page: &mut dyn Engine) -> Answers {
    page.wait("the answers", "document.querySelector('[data-test=runtime][data-value]') && true");
    // A row builds what is inside when it is opened; before and after that it is as it was.
    page.wait("what the rows open into", "document.documentElement.hasAttribute('data-later')");
    page.run("window.opened = [...document.querySelectorAll('[data-test^=torque-]:not([open])')]; for (const row of opened) row.open = true; return true");
    page.wait(
        "every axis",
        "opened.every(row => row.localName !== 'details' || row.querySelector('.rows > *, .terms'))",
    );
    let shown = page.run(
        "return [...document.querySelectorAll('[data-test][data-value]')]
            .map(e => [e.dataset.test, e.dataset.value])
            .filter(([name]) => /^(mark|mass|torque|tap)-|^runtime$|^fastest-air$/.test(name))",
    );
    page.run("for (const row of opened) row.open = false; return true");
    let rows = shown.as_array().expect("a list").iter().map(|row| {
        let text = |index: usize| row[index].as_str().expect("two texts").to_owned();
        let value = text(1).parse().unwrap_or_else(|_| panic!("{row} is no number"));
        (text(0), value)
    });
    rows.collect()
}

/// The same answers as the command line gives for a package file.
pub(crate) fn of_command_line(file: &str) -> Answers {
    let output = command::run(&["check", file, "--json"]);
    let report: Value = serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|fault| panic!("{fault}: {}", String::from_utf8_lossy(&output.stderr)));
    let mut answers = Answers::new();
    let mut add = |name: String, value: &Value| {
        if let Some(value) = value.as_f64() {
            answers.insert(name, value);
        }
    };
    add("mass-camera".to_owned(), &report["mass"]["camera_kg"]["value"]);
    add("mass-arm".to_owned(), &report["mass"]["all_up_kg"]["value"]);
    add("runtime".to_owned(), &report["power"]["runtime_h"]["known"]["value"]);
    for slide in list(&report["slides"]) {
        add(format!("mark-{}", text(&slide["slide"])), &slide["target_m"]["value"]);
    }
    for tap in list(&report["power"]["taps"]) {
        add(format!("tap-{}", text(&tap["tap"])), &tap["peak_a"]);
    }
    let torque = &report["torque"]["known"];
    add("torque-tightest".to_owned(), &torque["tightest"]["headroom"]["value"]);
    let speeds = list(&torque["moves"]).iter().filter_map(|each| each["fastest_air_m_s"].as_f64());
    add("fastest-air".to_owned(), &speeds.min_by(f64::total_cmp).into());
    for each in list(&torque["moves"]) {
        for axis in list(&each["axes"]) {
            add(format!("torque-{}-{}", each["move_id"], text(&axis["joint"])), &axis["peak_nm"]["value"]);
        }
    }
    answers
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

/// Every answer of the page that the command line gives as well is the same to the last digit, and none of the
/// important ones is missing.
#[track_caller]
pub(crate) fn same(page: &Answers, command_line: &Answers) {
    let differing: Vec<String> = command_line
        .iter()
        .filter(|(name, value)| page.get(*name).is_none_or(|shown| shown.to_bits() != value.to_bits()))
        .map(|(name, value)| format!("{name}: page {:?}, command line {value}", page.get(name)))
        .collect();
    assert!(differing.is_empty(), "{}", differing.join("\n"));
    for name in ["mark-plate", "mass-camera", "mass-arm", "runtime", "torque-tightest"] {
        assert!(command_line.contains_key(name), "{name} is compared nowhere: {command_line:?}");
    }
}
