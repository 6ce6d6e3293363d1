//! The client itself, tried on a page that is not ours: when this fails, the tools are broken and not the app.

use std::path::PathBuf;

use checks::browser::Server;
use checks::browser::{Kind, start};

const PAGE: &str = r#"<!doctype html>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'self'; connect-src 'self'">
<title>Plain</title>
<style>p { color: red }</style>
<div style="height: 3000px"></div>
<input id="field" value="12">
<button id="button" data-value="0">add</button>
<script src="page.js"></script>
"#;

const SCRIPT: &str = "
    const button = document.querySelector('#button');
    button.addEventListener('click', () => {
        const sum = Number(button.dataset.value) + Number(document.querySelector('#field').value);
        button.setAttribute('data-value', String(sum));
    });
";

fn site(kind: Kind) -> PathBuf {
    let home = std::env::temp_dir().join(format!("counterpoise-plain-{}-{kind:?}", std::process::id()));
    std::fs::create_dir_all(&home).expect("a directory for the page");
    std::fs::write(home.join("index.html"), PAGE).expect("the page");
    std::fs::write(home.join("page.js"), SCRIPT).expect("its script");
    home
}

fn taps_types_and_reads(kind: Kind) {
    let home = site(kind);
    let mut server = Server::start(&home);
    let mut browser = start(kind);
    browser.like_a_phone();
    browser.open(&server.address("/"));
    browser.tap("#button");
    assert_eq!(browser.value_of("#button[data-value='12']"), "12");
    browser.enter("#field", "30.5");
    browser.tap("#button");
    assert_eq!(browser.value_of("#button[data-value='42.5']"), "42.5");
    let fault = browser.try_run("throw new Error('on purpose')").expect_err("the script throws");
    assert!(fault.contains("on purpose"), "{fault}");
    // The style element is forbidden by the page's own policy: that must have been told.
    browser.run("await new Promise(done => setTimeout(done, 300))");
    assert!(!server.policy_reports().is_empty(), "{kind:?} reported nothing: {:?}", server.requests());
    browser.reload();
    assert_eq!(browser.value_of("#button"), "0");
    let fetched = "return fetch('/page.js?' + Math.random()).then(() => 'there', () => 'gone')";
    assert_eq!(browser.run(fetched), "there");
    server.stop();
    assert_eq!(browser.run(fetched), "gone");
    std::fs::remove_dir_all(home).expect("the page goes");
}

#[test]
fn chromium() {
    taps_types_and_reads(Kind::Chromium);
}

#[test]
fn firefox() {
    taps_types_and_reads(Kind::Firefox);
}

#[test]
fn webkit() {
    taps_types_and_reads(Kind::WebKit);
}
