//! A store that is full, blocked, hurt or newer: the page says so, and nothing is lost.

use checks::browser::{Engine, Kind, Setup, start, start_with};
use serde_json::Value;

use crate::at;
use crate::kept::{
    SNAPSHOTS, body_kg, demo_in, edited_demo, go, in_database, is_kept, mass, open_body, records, type_mass,
    wait_for_state,
};

/// Types an edit that cannot be written, and sees that the page says so and hands out what it holds.
fn cannot_be_written(page: &mut dyn Engine, kg: f64) {
    type_mass(page, kg);
    wait_for_state(page, &["failed"]);
    page.wait("the page to say so", &format!("document.querySelector(\"{}\")?.hidden === false", at("unsaved")));
    // The way out is one tap away: link and file.
    page.tap(&at("unsaved-file"));
    let link = page.wait("a link", &format!("document.querySelector(\"{}\")?.value || null", at("share-link-text")));
    assert!(link.as_str().expect("text").contains("#c0."), "{link}");
    page.wait("a file", &format!("document.querySelector(\"{}\") && true", at("export")));
    assert!((open_body(page) - kg).abs() < 1e-9, "the edit has gone from the screen");
}

/// Another page of the same origin has filled all the room there is: what was kept stays, and the edit is written as soon
/// as there is room again. Firefox alone can be told how much room that is.
#[test]
fn a_full_store_in_firefox() {
    let (_server, mut browser) =
        edited_demo(start_with(Kind::Firefox, Setup { room_kib: Some(12_288), ..Setup::default() }));
    let page = &mut *browser;
    let fault = page.run(
        "const done = request => new Promise((yes, no) => {
            request.onsuccess = () => yes(request.result);
            request.onerror = () => no(request.error);
        });
        const faults = new Set();
        // Coarse first, then whatever still fits between. A connection may be lost over it.
        for (const size of [2000000, 200000, 20000, 2000]) {
            try {
                const opening = indexedDB.open('filler');
                opening.onupgradeneeded = () => opening.result.createObjectStore('stuff', { autoIncrement: true });
                const base = await done(opening);
                const noise = crypto.getRandomValues(new Uint8Array(size % 65536));
                for (let each = 0; each < 100; each += 1) {
                    const writing = base.transaction('stuff', 'readwrite');
                    const written = new Promise((yes, no) => {
                        writing.oncomplete = yes;
                        writing.onabort = () => no(writing.error);
                    });
                    const piece = new Uint8Array(size).map((_, at) => noise[at % noise.length] + (at >> 12) + each);
                    writing.objectStore('stuff').add(piece);
                    await written;
                }
            } catch (fault) {
                faults.add(fault.name);
            }
        }
        return [...faults]",
    );
    let faults = fault.as_array().expect("a list");
    assert!(faults.contains(&Value::from("QuotaExceededError")), "the room is not filled: {faults:?}");
    cannot_be_written(page, 4.2);
    assert!(is_kept(page, 4.1), "what was kept before is gone");
    // A reload in this state: the mirror has the edit.
    page.reload();
    assert!((open_body(page) - 4.2).abs() < 1e-9, "the edit is lost with the page");
    page.run("indexedDB.deleteDatabase('filler'); return true");
    page.wait("the edit to be written", "document.querySelector(\"[data-test='kept']\")?.dataset.value === 'saved'");
    assert!(is_kept(page, 4.2), "the edit was not written when there was room again");
}

/// Engines in which no test can fill the room: the page's own writes are refused as a full disk would refuse them.
fn a_refused_write(kind: Kind) {
    let (_server, mut browser) = edited_demo(start(kind));
    let page = &mut *browser;
    page.run(
        "window.whole = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = () => { throw new DOMException('The disk is full.', 'QuotaExceededError'); };
        return true",
    );
    cannot_be_written(page, 4.2);
    page.run("IDBObjectStore.prototype.put = window.whole; return true");
    wait_for_state(page, &["saved"]);
    assert!(is_kept(page, 4.2), "the edit was not written when there was room again");
}

in_engines!(a_refused_write: chromium = Chromium, webkit = WebKit);

/// An edit waits to be written while another package is opened: the state before it is kept with its own package.
#[test]
fn an_earlier_state_stays_with_its_package() {
    let (_server, mut browser) = edited_demo(start(Kind::Chromium));
    let page = &mut *browser;
    let first = records(page)[0].clone();
    let first_id = first["id"].as_str().expect("an id").to_owned();
    go(page, "#/packages");
    page.tap(&at("new-package"));
    wait_for_state(page, &["saved"]);
    let second = records(page).into_iter().find(|record| record["id"] != first["id"]).expect("the new package");
    let second_id = second["id"].as_str().expect("an id").to_owned();
    let open = |page: &mut dyn Engine, id: &str| {
        go(page, "#/packages");
        page.tap(&at(&format!("open-{id}")));
        page.wait("the answers", "location.hash === '#/'");
    };
    open(page, &first_id);
    page.run(
        "window.whole = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = () => { throw new DOMException('The disk is full.', 'QuotaExceededError'); };
        return true",
    );
    open_body(page);
    type_mass(page, 4.2);
    wait_for_state(page, &["failed"]);
    open(page, &second_id);
    page.run("IDBObjectStore.prototype.put = window.whole; return true");
    let states = page.wait(
        "the state as opened",
        &format!("(all => {{ const opened = all.filter(state => state.why === 'as opened'); return opened.length ? opened : null }})({SNAPSHOTS})"),
    );
    let states = states.as_array().expect("a list");
    assert_eq!(states.len(), 1);
    assert!(states[0]["key"].as_str().is_some_and(|key| key.starts_with(&first_id)), "{}", states[0]["key"]);
    assert!(states[0]["link"] == first["link"], "another package stands among its earlier states");
    let written = records(page).into_iter().find(|record| record["id"] == first["id"]).expect("the first package");
    assert!((body_kg(&written) - 4.2).abs() < 1e-9);
}

/// A file of everything that lacks what could not be read is no backup.
#[test]
fn half_a_backup_is_none() {
    let (_server, mut browser) = edited_demo(start(Kind::Chromium));
    let page = &mut *browser;
    go(page, "#/packages");
    page.run(
        "window.whole = IDBObjectStore.prototype.getAll;
        IDBObjectStore.prototype.getAll = () => { throw new DOMException('Not now.', 'UnknownError'); };
        return true",
    );
    let backed_up = "return localStorage.getItem('counterpoise-prefs').includes('backup=')";
    page.tap(&at("backup"));
    page.wait(
        "the page to say so",
        &format!("document.querySelector(\"{}\")?.innerText.includes('Not everything')", at("notice")),
    );
    assert_eq!(page.run(backed_up), Value::Bool(false), "it is remembered as a backup");
    page.run("IDBObjectStore.prototype.getAll = window.whole; return true");
    page.tap(&at("backup"));
    page.wait("the backup to be remembered", &backed_up.replace("return ", ""));
}

/// A person has forbidden pages to keep anything: all answers are there, and the page says that nothing is kept.
fn a_blocked_store(kind: Kind) {
    let (_server, mut browser) = demo_in(start_with(kind, Setup { keeps_nothing: true, ..Setup::default() }));
    let page = &mut *browser;
    page.value_of(&at("runtime"));
    page.wait(
        "the page to say so",
        &format!("document.querySelector(\"{}\")?.innerText.includes('Nothing can be kept')", at("notice")),
    );
    open_body(page);
    cannot_be_written(page, 4.2);
}

in_engines!(a_blocked_store: chromium = Chromium, firefox = Firefox);

/// One record is hurt: it stays as it is, says so and can be taken out; the others open, and so do its earlier states.
fn a_hurt_record(kind: Kind) {
    let (server, mut browser) = edited_demo(start(kind));
    let page = &mut *browser;
    let hurt = in_database(
        page,
        "const [record] = await done(store('packages', 'readonly').getAll());
        record.link = record.link.slice(0, 40) + 'AAAA' + record.link.slice(44);
        await done(store('packages', 'readwrite').put(record));
        await done(store('packages', 'readwrite').put({ id: 'second', name: 'Only a shell', rev: 7, schema: 0 }));
        return record",
    );
    page.reload();
    // Neither of the two opens: the demonstration is shown, and the page says why.
    wait_for_state(page, &["demo"]);
    page.wait(
        "the page to say so",
        &format!("document.querySelector(\"{}\")?.innerText.includes('cannot be read')", at("notice")),
    );
    go(page, "#/packages");
    let id = hurt["id"].as_str().expect("an id").to_owned();
    for id in [id.as_str(), "second"] {
        let card = at(&format!("package-{id}"));
        page.wait(
            "the damage to be named",
            &format!("document.querySelector(\"{card}\")?.innerText.includes('Damaged')"),
        );
    }
    // Its earlier states are there, and one of them is taken back.
    page.tap(&at(&format!("more-{id}")));
    page.tap(&at(&format!("earlier-{id}")));
    page.tap(&at("earlier-restore"));
    wait_for_state(page, &["saved"]);
    let all = records(page);
    assert_eq!(all.len(), 3, "{:?}", all.iter().map(|record| &record["name"]).collect::<Vec<_>>());
    assert!(all.contains(&hurt), "the hurt record was touched");
    // The rescue page hands it out without the app.
    page.open(&server.address("/rescue.html"));
    page.wait("the rescue page", &format!("document.body.innerText.includes('Package {id}')"));
}

in_engines!(a_hurt_record);

/// What a newer version has written is shown and never rewritten, neither record by record nor as a whole.
fn newer_data(kind: Kind) {
    let (_server, mut browser) = edited_demo(start(kind));
    let page = &mut *browser;
    let newer = in_database(
        page,
        "const [record] = await done(store('packages', 'readonly').getAll());
        Object.assign(record, { schema: 1, rev: record.rev + 1, tomorrow: { kept: true } });
        await done(store('packages', 'readwrite').put(record));
        return record",
    );
    // The window that is still open has not heard of it: its next edit must not overwrite it.
    type_mass(page, 4.15);
    page.wait("both to be kept", &format!("document.querySelector(\"{}\")?.hidden === false", at("choice")));
    wait_for_state(page, &["saved"]);
    assert!(records(page).contains(&newer), "the newer record was rewritten by an open window");
    assert!(is_kept(page, 4.15), "the edit beside it is lost");
    page.tap(&at("choice-both"));
    // Opened on purpose it is shown, and an edit of it stays on the screen.
    let id = newer["id"].as_str().expect("an id").to_owned();
    go(page, "#/packages");
    page.tap(&at(&format!("open-{id}")));
    wait_for_state(page, &["read-only"]);
    page.wait("the answers", "location.hash === '#/'");
    assert!((open_body(page) - 4.1).abs() < 1e-9);
    type_mass(page, 4.3);
    page.run("document.activeElement.blur(); await new Promise(done => setTimeout(done, 600)); return true");
    assert_eq!(wait_for_state(page, &["read-only"]), "read-only");
    assert!(records(page).contains(&newer), "the newer record was rewritten");

    // The whole database is of a newer version.
    let before = page.run(
        "const opening = indexedDB.open('counterpoise', 2);
        const base = await new Promise((yes, no) => {
            opening.onupgradeneeded = () => opening.result.createObjectStore('tomorrow');
            opening.onsuccess = () => yes(opening.result);
            opening.onerror = () => no(opening.error);
        });
        base.close();
        return true",
    );
    assert_eq!(before, Value::Bool(true));
    let all = records(page);
    page.reload();
    wait_for_state(page, &["read-only"]);
    go(page, "#/packages");
    let other = all.iter().find(|record| record["id"] != newer["id"]).expect("the copy").clone();
    page.tap(&at(&format!("open-{}", other["id"].as_str().expect("an id"))));
    // The state is no sign here: it was read-only before.
    page.wait("the answers", "location.hash === '#/'");
    wait_for_state(page, &["read-only"]);
    assert!((open_body(page) - body_kg(&other)).abs() < 1e-9);
    type_mass(page, 4.4);
    page.run("document.activeElement.blur(); await new Promise(done => setTimeout(done, 600)); return true");
    assert!((mass(page) - 4.4).abs() < 1e-9);
    assert!(records(page) == all, "an old build wrote into a newer database");
    // Keeping a copy is refused in words, and the page still holds it.
    go(page, "#/packages");
    page.tap(&at("keep"));
    wait_for_state(page, &["failed"]);
    assert!(records(page) == all, "an old build wrote into a newer database");
}

in_engines!(newer_data);
