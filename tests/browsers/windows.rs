//! More than one window, and a new version of the app while somebody is typing: nothing that was entered is given up.

use std::path::{Path, PathBuf};

use checks::browser::{Engine, Kind, Server, start};
use serde_json::Value;

use crate::kept::{
    body_kg, edited_demo, enter_mass, go, in_database, is_kept, kept_masses, link_of, mass, open_body, records,
    second_window, type_mass, wait_for_state,
};
use crate::{at, dist};

pub(crate) fn choice_is_offered(page: &mut dyn Engine) {
    page.wait("the choice", &format!("document.querySelector(\"{}\")?.hidden === false", at("choice")));
}

/// Another window has written the record, and this one has not heard of it: both are kept, and the person may choose.
fn both_are_kept(kind: Kind) {
    let (_server, mut browser) = edited_demo(start(kind));
    let page = &mut *browser;
    let link = link_of(|file| {
        file["sections"]["package"]["data"]["name"] = "From the other window".into();
        file["sections"]["package"]["data"]["demo"] = false.into();
    });
    let other = in_database(
        page,
        &format!(
            "const [record] = await done(store('packages', 'readonly').getAll());
            Object.assign(record, {{ name: 'From the other window', rev: record.rev + 1, writer: 'other', link: {} }});
            await done(store('packages', 'readwrite').put(record));
            return record",
            Value::from(link)
        ),
    );
    type_mass(page, 4.2);
    choice_is_offered(page);
    wait_for_state(page, &["saved"]);
    assert!(records(page).contains(&other), "the other window's package was overwritten");
    assert!(is_kept(page, 4.2), "this window's edit is lost");
    // What differs is shown, and the other one is chosen: this one goes into the archive and is not lost either.
    page.tap(&at("choice-look"));
    page.wait(
        "what differs",
        &format!(
            "[...document.querySelectorAll(\"{} {}\")].some(e => e.innerText.includes('4.20'))",
            at("choose-differences"),
            at("difference")
        ),
    );
    page.tap(&at("choose-other"));
    page.wait(
        "the other package",
        &format!("document.querySelector(\"{}\")?.innerText === 'From the other window'", at("package-name")),
    );
    page.wait("the choice to be made", &format!("document.querySelector(\"{}\")?.hidden", at("choice")));
    let archived: Vec<Value> = records(page).into_iter().filter(|record| !record["archived_at"].is_null()).collect();
    assert_eq!(archived.len(), 1);
    assert!((body_kg(&archived[0]) - 4.2).abs() < 1e-9);
}

in_engines!(both_are_kept);

/// Two real windows: one cannot write for a moment, the other writes meanwhile.
fn two_tabs(kind: Kind) {
    let (server, mut browser) = edited_demo(start(kind));
    let page = &mut *browser;
    let [first, second] = second_window(page, &server);
    // A window that has nothing unwritten follows the other one.
    enter_mass(page, 4.15);
    page.go_to_tab(&first);
    page.wait(
        "the first window to follow",
        &format!("document.querySelector(\"{}\")?.dataset.value === '4.15'", at("part-mass")),
    );
    page.go_to_tab(&second);
    page.run(
        "const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function () {
            IDBObjectStore.prototype.put = put;
            throw new DOMException('Not now.', 'UnknownError');
        };
        return true",
    );
    type_mass(page, 4.3);
    wait_for_state(page, &["failed"]);
    page.go_to_tab(&first);
    enter_mass(page, 4.2);
    page.go_to_tab(&second);
    choice_is_offered(page);
    wait_for_state(page, &["saved"]);
    let masses = kept_masses(page);
    assert!(is_kept(page, 4.2) && is_kept(page, 4.3), "{masses:?}");
    assert_eq!(masses.len(), 2, "{masses:?}");
}

in_engines!(two_tabs);

/// A copy of the finished page that a test may change, as a host changes when a new version is put there.
struct Host(PathBuf);

impl Host {
    fn new(name: &str) -> Self {
        let home = std::env::temp_dir().join(format!("counterpoise-host-{}-{name}", std::process::id()));
        copy(&dist(), &home);
        Self(home)
    }

    /// Puts the next version there: another page, and a service worker that names it.
    fn publish(&self, version: &str) {
        self.change("index.html", |page| {
            page.replace("<title>", &format!("<meta name=\"test-version\" content=\"{version}\"><title>"))
        });
        self.change("sw.js", |worker| {
            let (before, rest) = worker.split_once("const VERSION = '").expect("the worker names its version");
            let (_, after) = rest.split_once('\'').expect("a version in quotes");
            format!("{before}const VERSION = '{version}'{after}")
        });
    }

    fn change(&self, name: &str, change: impl FnOnce(&str) -> String) {
        let path = self.0.join(name);
        let text = std::fs::read_to_string(&path).expect("a file of the page");
        for packed in ["br", "gz"] {
            drop(std::fs::remove_file(self.0.join(format!("{name}.{packed}"))));
        }
        std::fs::write(path, change(&text)).expect("the next version");
    }
}

impl Drop for Host {
    fn drop(&mut self) {
        drop(std::fs::remove_dir_all(&self.0));
    }
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a directory");
    for entry in std::fs::read_dir(from).expect("a directory") {
        let entry = entry.expect("an entry");
        if entry.file_type().expect("its type").is_dir() {
            copy(&entry.path(), &to.join(entry.file_name()));
        } else {
            std::fs::copy(entry.path(), to.join(entry.file_name())).expect("a copy");
        }
    }
}

fn wait_for_worker(page: &mut dyn Engine) {
    page.wait(
        "the copy for when there is no signal",
        "await navigator.serviceWorker.getRegistration().then(known => known?.active?.state === 'activated')",
    );
}

fn look_for_update(page: &mut dyn Engine) {
    page.run(
        "const known = await navigator.serviceWorker.getRegistration(); known.update().catch(() => {}); return true",
    );
}

const IS_NEXT: &str =
    "document.querySelector('meta[name=test-version]')?.content === 'next' && document.readyState === 'complete'";

/// Marks the page, and sees a while later that it is still the same: it was not loaded again.
fn stays(page: &mut dyn Engine) {
    let same =
        page.run("window.stays = 1; await new Promise(done => setTimeout(done, 1500)); return window.stays === 1");
    assert_eq!(same, Value::Bool(true), "the page was loaded twice");
}

/// A new version comes while somebody types in a second window. The first window takes it: both are loaded once, nothing
/// that was typed is lost, and of the old version nothing is left.
fn update_in_mid_edit(kind: Kind) {
    let host = Host::new(&format!("update-{kind:?}"));
    let server = Server::start(&host.0);
    let mut browser = start(kind);
    let page = &mut *browser;
    page.open(&server.address("/"));
    wait_for_state(page, &["demo"]);
    wait_for_worker(page);
    page.reload();
    open_body(page);
    enter_mass(page, 4.1);
    let first = page.tab();
    let second = page.new_tab();
    page.open(&server.address("/"));
    wait_for_state(page, &["saved"]);
    open_body(page);
    enter_mass(page, 4.2);

    host.publish("next");
    page.go_to_tab(&first);
    look_for_update(page);
    page.wait(
        "the new version to be announced",
        &format!("document.querySelector(\"{}\")?.hidden === false", at("update")),
    );
    // It waits for the person.
    stays(page);
    page.go_to_tab(&second);
    page.run(&format!(
        "let grams = 4200;
        const field = document.querySelector(\"{}\");
        field.focus();
        setInterval(() => {{
            grams += 1;
            field.value = String(grams / 1000);
            sessionStorage.typed = field.value;
            field.dispatchEvent(new Event('input', {{ bubbles: true }}));
        }}, 60);
        await new Promise(done => setTimeout(done, 700));
        return true",
        at("part-mass")
    ));
    page.go_to_tab(&first);
    page.tap(&at("update-take"));
    page.wait("the new version", IS_NEXT);
    stays(page);
    page.go_to_tab(&second);
    page.wait("the new version in the other window", IS_NEXT);
    stays(page);
    let typed = page.run("return Number(sessionStorage.typed)").as_f64().expect("a number");
    let shown = mass(page);
    assert!((shown - typed).abs() < 1e-9, "typed {typed}, and {shown} is there");
    wait_for_state(page, &["saved"]);
    assert!(is_kept(page, typed), "{typed} is not among {:?}", kept_masses(page));
    assert_eq!(records(page).len(), 1, "an update is no conflict");
    let caches = page.run("return (await caches.keys()).filter(name => name.startsWith('counterpoise'))");
    let caches = caches.as_array().expect("a list");
    assert!(caches.len() == 1 && caches[0].as_str().is_some_and(|name| name.ends_with("-next")), "{caches:?}");
}

in_engines!(update_in_mid_edit);

/// Before anybody has touched the page, a new version is taken without a word.
fn silent_update(kind: Kind) {
    let host = Host::new(&format!("silent-{kind:?}"));
    let server = Server::start(&host.0);
    let mut browser = start(kind);
    let page = &mut *browser;
    page.open(&server.address("/"));
    wait_for_state(page, &["demo"]);
    wait_for_worker(page);
    open_body(page);
    enter_mass(page, 4.1);
    host.publish("next");
    page.reload();
    page.wait("the new version", IS_NEXT);
    stays(page);
    wait_for_state(page, &["saved"]);
    assert!((open_body(page) - 4.1).abs() < 1e-9);
    go(page, "#/");
    page.value_of(&at("runtime"));
}

in_engines!(silent_update);
