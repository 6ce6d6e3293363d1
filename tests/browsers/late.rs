//! A slow line: the first answer needs the first module only, and whatever is tapped before the others are there is late
//! and not lost.

use std::path::{Path, PathBuf};

use checks::browser::{Engine, Kind, Server, WebDriver, start};

use crate::at;
use crate::kept::{link_of, wait_for_state};

/// The modules that load after the first.
const LATER: [&str; 2] = ["reader-", "later-"];

/// A copy of the page that another test does not see.
fn copied(name: &str) -> PathBuf {
    let home = std::env::temp_dir().join(format!("counterpoise-late-{}-{name}", std::process::id()));
    std::fs::create_dir_all(&home).expect("a directory for the page");
    bring(&home, "");
    home
}

/// Copies the files of the page whose names begin so.
fn bring(home: &Path, stem: &str) {
    for entry in std::fs::read_dir(crate::dist()).expect("the page").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let late = stem.is_empty() && LATER.iter().any(|late| name.starts_with(late));
        if name.starts_with(stem) && !late {
            std::fs::copy(entry.path(), home.join(name)).expect("a copy");
        }
    }
}

fn answered(page: &mut dyn Engine) {
    page.wait("the first answer", "document.querySelector('[data-test=runtime][data-value]') && true");
}

#[test]
fn the_first_answer_needs_the_first_module_only() {
    let home = copied("answer");
    let server = Server::start(&home);
    let mut page = WebDriver::chromium();
    let page: &mut dyn Engine = &mut page;
    page.open(&server.address("/"));
    answered(page);
    // What is worked out by the last module says so, and keeps its place.
    let row = format!("document.querySelector(\"{}\")", at("stiffness"));
    assert_eq!(page.run(&format!("return {row}.innerText.includes('Being worked out')")), true);
    let height = page.run(&format!("return {row}.offsetHeight"));
    // Another screen says that it is coming, and comes.
    page.tap(&at("tab-parts"));
    page.wait("the word that it is coming", "document.querySelector('main').innerText.includes('Opening…')");
    bring(&home, LATER[0]);
    bring(&home, LATER[1]);
    page.wait("the parts", "document.querySelectorAll('main .list__link').length > 3");
    page.tap(&at("tab-answers"));
    answered(page);
    page.wait("how stiff it is", &format!("{row}?.getAttribute('data-value') && true"));
    assert_eq!(page.run(&format!("return {row}.offsetHeight")), height, "nothing below it has moved");
    std::fs::remove_dir_all(home).expect("the page goes");
}

#[test]
fn a_link_needs_the_reader_and_nothing_is_shown_before() {
    let home = copied("link");
    let server = Server::start(&home);
    let mut page = WebDriver::chromium();
    let page: &mut dyn Engine = &mut page;
    page.open(
        &server.address(&format!(
            "/#{}",
            link_of(|file| file["sections"]["package"]["data"]["name"] = "Sent along".into())
        )),
    );
    page.wait("the page to start", "document.documentElement.dataset.started && true");
    assert_eq!(page.run("return !document.querySelector('[data-test=runtime]')"), true, "whose numbers are these?");
    bring(&home, LATER[0]);
    wait_for_state(page, &["preview"]);
    answered(page);
    assert_eq!(page.run("return document.querySelector('[data-test=package-name]').innerText"), "Sent along");
    std::fs::remove_dir_all(home).expect("the page goes");
}

/// That a body is too wide for the head is known late and told at the top; whoever has gone down the page keeps the row
/// under the finger where it is.
fn what_comes_late_pushes_nothing(kind: Kind) {
    let home = copied(&format!("push-{kind:?}"));
    bring(&home, LATER[0]);
    let server = Server::start(&home);
    let mut page = start(kind);
    let page = &mut *page;
    page.like_a_phone();
    let wide = |file: &mut serde_json::Value| {
        let parts = file["sections"]["parts"]["data"].as_array_mut().expect("parts");
        let body = parts.iter_mut().find(|part| part["kind"] == "body").expect("a body");
        body["size_m"][1] = 0.5.into();
    };
    page.open(&server.address(&format!("/#{}", link_of(wide))));
    answered(page);
    let row = format!("document.querySelector(\"{}\")", at("runtime"));
    let place = format!("return Math.round({row}.getBoundingClientRect().top)");
    page.run(&format!("{row}.scrollIntoView({{ block: 'center' }}); return true"));
    let before = page.run(&place);
    assert!(page.run("return scrollY").as_f64().is_some_and(|down| down > 100.0));
    bring(&home, LATER[1]);
    page.wait(
        "the late no-go",
        "document.querySelector('[data-test=verdict]')?.getAttribute('data-value') === 'no-go'",
    );
    page.wait("the page to be painted", "new Promise(done => requestAnimationFrame(() => setTimeout(done, 0, true)))");
    let after = page.run(&place);
    assert!(
        (after.as_f64().expect("a place") - before.as_f64().expect("a place")).abs() <= 2.0,
        "from {before} to {after}"
    );
    std::fs::remove_dir_all(home).expect("the page goes");
}

in_engines!(what_comes_late_pushes_nothing);
