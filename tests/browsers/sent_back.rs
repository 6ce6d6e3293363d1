//! A package that comes by a link: its lenses judged as the director of photography is told, one mass mended, sent back.

use std::time::Duration;

use checks::browser::{Engine, Kind, Server, start};
use checks::command;
use serde_json::{Value, json};

use crate::kept::{go, link_of, mass, open_body, type_mass, wait_for_state};
use crate::{at, dist};

/// Rods on which the demonstration's long zoom has no room for its matte box.
fn with_short_rods(file: &mut Value) {
    for part in file["sections"]["parts"]["data"].as_array_mut().expect("parts") {
        if part["kind"] == json!("rods") {
            part["size_m"][0] = json!(0.15);
        }
    }
}

/// What the list of lenses says of each, and what its preview says.
fn list_and_previews(page: &mut dyn Engine) -> Vec<(String, String)> {
    go(page, "#/lenses");
    let read = "[...document.querySelectorAll(\"main [data-test^='lens-verdict-']\")].map(e => [e.dataset.test.slice(13), e.innerText])";
    let said = page.wait("the verdicts", &format!("{read}.length ? {read} : null"));
    let said: Vec<(String, String)> = serde_json::from_value(said).expect("pairs");
    said.into_iter()
        .map(|(lens, words)| {
            go(page, &format!("#/lenses/preview/{lens}"));
            let verdict = page.value_of(&at("preview-verdict"));
            (words, verdict)
        })
        .collect()
}

fn a_mass_mended_and_sent_back(kind: Kind) {
    let server = Server::start(&dist());
    let mut browser = start(kind);
    let page = &mut *browser;
    page.like_a_phone();
    page.open(&server.address(&format!("/#{}", link_of(with_short_rods))));
    wait_for_state(page, &["preview"]);

    // No list says yes where the preview says no.
    let told = list_and_previews(page);
    assert!(told.iter().any(|(_, verdict)| verdict == "no"), "{told:?}");
    for (words, verdict) in told {
        let begins = match verdict.as_str() {
            "no" => ["No, because", "It is on, and this stops"],
            "yes-if" => ["Yes, ", "It is on, if"],
            _ => ["Yes, ", "It is on."],
        };
        assert!(begins.iter().any(|begin| words.starts_with(begin)), "the list: {words}; the preview: {verdict}");
    }

    // One mass is wrong. Mended, it is not yet kept, and the page says so and leads to keeping it.
    open_body(page);
    type_mass(page, 4.4);
    let state = format!("/Changed, not kept/.test(document.querySelector(\"{}\").innerText)", at("kept"));
    page.wait("the change to be told", &state);
    page.tap(&at("tab-answers"));
    page.tap(&at("whose"));
    page.tap(&at("keep"));
    wait_for_state(page, &["saved"]);

    // Under a name of its own it goes back: the link holds the name as soon as it is typed, and the mass.
    go(page, "#/share");
    page.enter(&at("share-name"), "Mended");
    let link = format!("document.querySelector(\"{}\").value", at("share-link-text"));
    let sent = |page: &mut dyn Engine| {
        let link = page.run(&format!("return {link}"));
        let opened = command::run(&["open", link.as_str().expect("a link is text")]);
        String::from_utf8(opened.stdout).expect("a file is text")
    };
    // What is typed is committed a moment after a letter; until then the link holds what was.
    let mut file = sent(page);
    for _ in 0..100 {
        if file.contains("\"Mended\"") {
            break;
        }
        std::thread::sleep(Duration::from_millis(100));
        file = sent(page);
    }
    assert!(file.contains("\"Mended\"") && file.contains("4.4"), "{file}");
    open_body(page);
    assert!((mass(page) - 4.4).abs() < 1e-9);
}

in_engines!(a_mass_mended_and_sent_back);
