//! A package that comes by a link: its lenses judged as the director of photography is told, one mass mended, sent back.

use std::time::Duration;

use checks::browser::{Engine, Kind, Server, start};
use checks::command;
use serde_json::{Value, json};

use crate::kept::{demo_in, go, is_kept, kept_masses, link_of, mass, open_body, records, type_mass, wait_for_state};
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

/// What a link has brought and somebody has changed is theirs: going back does not open the link once more, and another
/// package does not take its place before it is kept.
fn a_changed_package_of_a_link(kind: Kind) {
    let (_server, mut browser) = demo_in(start(kind));
    let page = &mut *browser;
    let sent = |name: &str| {
        let link = link_of(|file| {
            file["sections"]["package"]["data"]["name"] = name.into();
            file["sections"]["package"]["data"]["demo"] = false.into();
        });
        format!("#{link}")
    };
    let named = |name: &str| format!("document.querySelector(\"{}\")?.innerText === '{name}'", at("package-name"));
    go(page, &sent("Sent"));
    page.wait("the package", &named("Sent"));
    open_body(page);
    type_mass(page, 4.3);
    page.run("history.go(-2); return true");
    page.wait("the link in the address", "location.hash.startsWith('#c0.')");
    page.wait("the first screen", &format!("!document.querySelector(\"{}\")", at("part-mass")));
    assert!((open_body(page) - 4.3).abs() < 1e-9, "going back has undone it");
    assert_eq!(wait_for_state(page, &["preview"]), "preview");
    assert!(records(page).is_empty(), "nothing is kept until there is need");

    go(page, &sent("Sent later"));
    page.wait("the package", &named("Sent later"));
    page.wait(
        "what was changed to be kept",
        &format!("document.querySelector(\"{}\")?.hidden === false", at("notice")),
    );
    open_body(page);
    type_mass(page, 4.4);
    // So is it before the page is loaded anew for a new version.
    page.run(&format!("document.querySelector(\"{}\").click(); return true", at("update-take")));
    wait_for_state(page, &["saved"]);
    assert!(is_kept(page, 4.3) && is_kept(page, 4.4), "{:?}", kept_masses(page));
    assert_eq!(records(page).len(), 2);
}

in_engines!(a_changed_package_of_a_link);
