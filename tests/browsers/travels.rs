//! What is kept comes back: undo and redo, earlier states, archive, backup; and what comes in replaces nothing.

use checks::browser::{Engine, Kind, Server, start};
use serde_json::Value;

use crate::answers::{of_command_line, of_page, same};
use crate::kept::{
    SNAPSHOTS, body_kg, demo_file, demo_in, edited_demo, enter_mass, go, in_database, is_kept, link_of, mass,
    open_body, records, wait_for_state,
};
use crate::{at, dist};

/// The demonstration's link in a browser that has never seen the page: the answers of the command line, to the last
/// digit.
fn the_link_of_the_demonstration(kind: Kind) {
    let server = Server::start(&dist());
    let mut browser = start(kind);
    let page = &mut *browser;
    let link = link_of(|_| ());
    assert!(link.len() <= 1_000, "{} characters", link.len());
    page.open(&server.address(&format!("/#{link}")));
    wait_for_state(page, &["preview"]);
    same(&of_page(page), &of_command_line(demo_file().to_str().expect("a path of letters")));
    // Looking at it has kept nothing.
    assert!(records(page).is_empty(), "something is kept");
    // A link that has lost its end says so, and what was on the screen stays.
    page.run(&format!("location.hash = '#{}'; return true", &link[..link.len() - 30]));
    page.wait(
        "the page to say so",
        &format!("document.querySelector(\"{}\")?.innerText.includes('This link is incomplete')", at("notice")),
    );
    same(&of_page(page), &of_command_line(demo_file().to_str().expect("a path of letters")));
    assert!(records(page).is_empty(), "something is kept");
}

in_engines!(the_link_of_the_demonstration);

fn press_and_read(page: &mut dyn Engine, button: &str, kg: f64) {
    page.tap(&at(button));
    page.wait(
        &format!("{kg} kg after {button}"),
        &format!("Math.abs(document.querySelector(\"{}\")?.dataset.value - {kg}) < 1e-9", at("part-mass")),
    );
    wait_for_state(page, &["saved"]);
}

/// Loads the page anew and goes back to the camera body.
fn reload(page: &mut dyn Engine) -> f64 {
    page.reload();
    wait_for_state(page, &["saved"]);
    open_body(page)
}

fn undo_across_reloads(kind: Kind) {
    let (_server, mut browser) = demo_in(start(kind));
    let page = &mut *browser;
    let first = open_body(page);
    for kg in [4.1, 4.2, 4.3] {
        enter_mass(page, kg);
    }
    reload(page);
    press_and_read(page, "undo", 4.2);
    reload(page);
    press_and_read(page, "undo", 4.1);
    press_and_read(page, "redo", 4.2);
    assert!((reload(page) - 4.2).abs() < 1e-9);
    press_and_read(page, "redo", 4.3);
    for kg in [4.2, 4.1, first] {
        press_and_read(page, "undo", kg);
    }
    // Nothing is before the demonstration; the way forward is still open after one more reload.
    reload(page);
    let undo = page.run(&format!("return document.querySelector(\"{}\").disabled", at("undo")));
    assert_eq!(undo, Value::Bool(true));
    press_and_read(page, "redo", 4.1);
}

in_engines!(undo_across_reloads);

/// Earlier states: written while working, never more than twenty, shown with what changed, looked at, taken back.
fn earlier_states(kind: Kind) {
    let (_server, mut browser) = edited_demo(start(kind));
    let page = &mut *browser;
    // Five and twenty more than an hour old, as if many days had gone by.
    in_database(
        page,
        "const [record] = await done(store('packages', 'readonly').getAll());
        for (let each = 0; each < 25; each += 1) {
            const taken_at = Date.now() - (40 - each) * 3600000;
            const key = `${record.id} ${String(taken_at).padStart(15, '0')}`;
            await done(store('snapshots', 'readwrite').put({ key, taken_at, why: 'while working', link: record.link }));
        }
        return true",
    );
    reload(page);
    enter_mass(page, 4.2);
    page.wait(
        "the state as opened",
        &format!("(all => all.length === 20 && all.at(-1).why === 'as opened')({SNAPSHOTS})"),
    );
    go(page, "#/packages");
    page.wait("twenty states", &format!("document.querySelectorAll(\"{}\").length === 20", at("snapshot")));
    let newest = page.wait(
        "what has changed since",
        &format!("document.querySelector(\"{} {}\")?.innerText", at("snapshot"), at("earlier-changes")),
    );
    let newest = newest.as_str().expect("text");
    assert!(newest.contains("4.10") && newest.contains("4.20"), "{newest}");
    page.tap(&format!("{} {}", at("snapshot"), at("earlier-look")));
    wait_for_state(page, &["preview"]);
    assert!((open_body(page) - 4.1).abs() < 1e-9);
    assert_eq!(records(page).len(), 1, "looking keeps nothing");
    // Back to the package, and the state taken back beside it.
    go(page, "#/packages");
    let id = records(page)[0]["id"].as_str().expect("an id").to_owned();
    page.tap(&at(&format!("open-{id}")));
    wait_for_state(page, &["saved"]);
    go(page, "#/packages");
    page.tap(&format!("{} {}", at("snapshot"), at("earlier-restore")));
    wait_for_state(page, &["saved"]);
    assert!(is_kept(page, 4.1) && is_kept(page, 4.2) && records(page).len() == 2);
}

in_engines!(earlier_states);

/// Collects the text of every file that the page hands out.
fn collect_files(page: &mut dyn Engine) {
    page.run(
        "window.files = [];
        const make = URL.createObjectURL;
        URL.createObjectURL = blob => { blob.text().then(text => window.files.push(text)); return make.call(URL, blob); };
        return true",
    );
}

fn newest_file(page: &mut dyn Engine) -> String {
    page.wait("a file", "window.files?.length ? window.files.at(-1) : null").as_str().expect("text").to_owned()
}

fn paste(page: &mut dyn Engine, text: &str) {
    go(page, "#/packages");
    page.wait("the field", &format!("document.querySelector(\"{}\") && true", at("paste")));
    page.run(&format!(
        "const field = document.querySelector(\"{}\");
        field.value = {};
        field.dispatchEvent(new Event('input', {{ bubbles: true }}));
        return true",
        at("paste"),
        Value::from(text)
    ));
    page.tap(&at("paste-open"));
}

/// A file of everything is taken, comes in again beside what has changed since, and opens in another browser.
fn backup_and_back(kind: Kind) {
    let (server, mut browser) = edited_demo(start(kind));
    let page = &mut *browser;
    go(page, "#/packages");
    let state = |page: &mut dyn Engine, words: &str| {
        page.wait(words, &format!("document.querySelector(\"{}\")?.innerText.includes('{words}')", at("safety-state")));
    };
    state(page, "no backup yet");
    page.tap("[data-test^='more-']");
    page.tap("[data-test^='copy-']");
    wait_for_state(page, &["saved"]);
    open_body(page);
    enter_mass(page, 4.5);
    go(page, "#/packages");
    collect_files(page);
    page.tap(&at("backup"));
    let backup = newest_file(page);
    state(page, "backup today");

    // The persistent store is asked for at a tap; whatever the browser answers, and if it never does, work goes on.
    let asked = page.run(&format!("return document.querySelector(\"{}\")?.hidden === false", at("persist")));
    if asked == Value::Bool(true) {
        page.tap(&at("persist"));
    }
    open_body(page);
    enter_mass(page, 4.6);
    let before = records(page);

    paste(page, &backup);
    page.wait("both packages", &format!("document.querySelectorAll(\"{}\").length === 2", at("found-package")));
    page.wait(
        "what differs",
        &format!(
            "[...document.querySelectorAll(\"{}\")].some(e => /difference.? from/.test(e.innerText))",
            at("beside")
        ),
    );
    let lines = page.run(&format!(
        "document.querySelectorAll(\"{} details\").forEach(e => {{ e.open = true; }});
        return [...document.querySelectorAll(\"{}\")].map(e => e.innerText).join('\\n')",
        at("beside"),
        at("difference")
    ));
    assert!(lines.as_str().is_some_and(|lines| lines.contains("4.60") && lines.contains("4.50")), "{lines}");
    assert!(records(page) == before, "seeing what is in a file has changed what is kept");
    page.tap(&format!("{} {}", at("found"), at("found-keep")));
    page.wait("the copy", &format!("document.querySelector(\"{}\")?.innerText.includes('kept')", at("kept-copies")));
    let after = records(page);
    assert_eq!(after.len(), before.len() + 1);
    assert!(before.iter().all(|record| after.contains(record)), "an import has replaced something");
    // A name of the list stands in it once: a copy of the same name gets a number.
    let mut names: Vec<&str> = after.iter().filter_map(|record| record["name"].as_str()).collect();
    names.sort_unstable();
    assert!(names.windows(2).all(|pair| pair[0] != pair[1]), "two packages are called alike: {names:?}");
    assert!(names.iter().any(|name| name.ends_with(" (2)")), "{names:?}");
    let told = page.run(&format!("return document.querySelector(\"{}\").innerText", at("kept-copies")));
    assert!(told.as_str().is_some_and(|told| told.contains(" (2)")), "the copy is told under another name: {told}");

    // What is no package says so and changes nothing.
    for wrong in ["no link at all", "{\"format\": 0, ", "{\"packages\": []}", "{\"format\": 7, \"sections\": {}}"] {
        paste(page, wrong);
        page.wait("the fault", &format!("document.querySelector(\"{} p\")?.innerText", at("paste-fault")));
    }
    assert!(records(page) == after, "what is no package has changed what is kept");

    // Another browser takes everything from the file itself.
    let mut other = start(kind);
    let page = &mut *other;
    page.open(&server.address("/#/packages"));
    wait_for_state(page, &["demo"]);
    page.wait("the field", &format!("document.querySelector(\"{}\") && true", at("import")));
    page.run(&format!(
        "const files = new DataTransfer();
        files.items.add(new File([{}], 'backup.json', {{ type: 'application/json' }}));
        const field = document.querySelector(\"{}\");
        field.files = files.files;
        field.dispatchEvent(new Event('change', {{ bubbles: true }}));
        return true",
        Value::from(backup),
        at("import")
    ));
    page.tap(&at("keep-all"));
    page.wait("the copies", &format!("document.querySelector(\"{}\")?.innerText.startsWith('2 ')", at("kept-copies")));
    let mut kept: Vec<f64> = records(page).iter().map(body_kg).collect();
    kept.sort_by(f64::total_cmp);
    assert!((kept[0] - 4.1).abs() < 1e-9 && (kept[1] - 4.5).abs() < 1e-9, "{kept:?}");
    // The rule of seven days is told where it applies, and nowhere else.
    let told = page.run(&format!("return document.querySelector(\"{}\").hidden === false", at("seven-days")));
    assert_eq!(told, Value::Bool(kind == Kind::WebKit));
}

in_engines!(backup_and_back);

/// Archive, restore, and nothing removed before thirty days are over.
#[test]
fn nothing_goes_within_thirty_days() {
    let (_server, mut browser) = edited_demo(start(Kind::Chromium));
    let page = &mut *browser;
    go(page, "#/packages");
    let id = records(page)[0]["id"].as_str().expect("an id").to_owned();
    let press = |page: &mut dyn Engine, what: &str| {
        page.wait("the fold", &format!("document.querySelector(\"{}\") && true", at(&format!("more-{id}"))));
        page.run(&format!(
            "document.querySelector(\"{}\").parentElement.open = true; return true",
            at(&format!("more-{id}"))
        ));
        page.tap(&at(&format!("{what}-{id}")));
    };
    let in_list = |page: &mut dyn Engine, list: &str| {
        page.wait(list, &format!("document.querySelector(\"{} {}\") && true", at(list), at(&format!("package-{id}"))));
    };
    press(page, "archive");
    in_list(page, "packages-archive");
    let hidden = format!("return document.querySelector(\"{}\").hidden", at(&format!("remove-{id}")));
    assert_eq!(page.run(&hidden), Value::Bool(true), "it may be removed at once");
    press(page, "archive");
    in_list(page, "packages-list");
    open_body(page);
    enter_mass(page, 4.2);
    go(page, "#/packages");
    press(page, "archive");
    in_list(page, "packages-archive");
    in_database(
        page,
        "const [record] = await done(store('packages', 'readonly').getAll());
        record.archived_at -= 31 * 86400000;
        await done(store('packages', 'readwrite').put(record));
        return true",
    );
    page.reload();
    go(page, "#/packages");
    in_list(page, "packages-archive");
    press(page, "remove");
    page.wait("it to be gone", &format!("!document.querySelector(\"{}\")", at(&format!("package-{id}"))));
    assert!(records(page).is_empty(), "something is kept");
    let left = in_database(page, "return (await done(store('snapshots', 'readonly').getAllKeys())).length");
    assert_eq!(left, Value::from(0), "its earlier states are still there");
}

/// When the program cannot start, or has broken, a page without it hands out what is kept.
fn rescue(kind: Kind) {
    let (server, mut browser) = edited_demo(start(kind));
    let page = &mut *browser;
    assert!((mass(page) - 4.1).abs() < 1e-9);
    // As after a panic.
    page.run("dispatchEvent(new CustomEvent('counterpoise-panic', { detail: 'on purpose' })); return true");
    page.wait("the page to say so", "document.querySelector('#broken').hidden === false");
    page.tap("#broken a");
    page.wait("what is kept", "document.querySelectorAll('#rescue-records section').length > 0");
    let programs =
        page.run("return performance.getEntriesByType('resource').map(e => e.name).filter(n => n.endsWith('.wasm'))");
    assert_eq!(programs, serde_json::json!([]), "the rescue page needs the program");
    collect_files(page);
    page.tap("#rescue-all");
    let file = newest_file(page);
    // Another browser opens that file.
    let mut other = start(kind);
    let page = &mut *other;
    page.open(&server.address("/"));
    wait_for_state(page, &["demo"]);
    paste(page, &file);
    page.tap(&format!("{} {}", at("found"), at("found-keep")));
    page.wait("the copy", &format!("document.querySelector(\"{}\")?.innerText.includes('kept')", at("kept-copies")));
    assert!(is_kept(page, 4.1));
}

in_engines!(rescue);

/// A file made to exhaust the stack is refused in words.
fn a_file_that_goes_too_deep(kind: Kind) {
    let (_server, mut browser) = demo_in(start(kind));
    let page = &mut *browser;
    paste(page, "[]");
    page.run(&format!(
        "const field = document.querySelector(\"{}\");
        field.value = '[' + '{{\"value\":'.repeat(300000) + '0' + '}}'.repeat(300000) + ']';
        field.dispatchEvent(new Event('input', {{ bubbles: true }}));
        document.querySelector(\"{}\").click();
        return true",
        at("paste"),
        at("paste-open")
    ));
    page.wait(
        "the page to say so",
        &format!("document.querySelector(\"{}\")?.innerText.includes('too deep')", at("paste-fault")),
    );
    assert_eq!(page.run("return document.getElementById('broken').hidden"), Value::Bool(true));
}

in_engines!(a_file_that_goes_too_deep);

/// Over a line that anybody can read a page may not copy: it says so, and the link is there to be marked.
#[test]
fn a_link_without_a_clipboard() {
    let (_server, mut browser) = demo_in(start(Kind::Chromium));
    let page = &mut *browser;
    page.run("Object.defineProperty(navigator, 'clipboard', { value: undefined }); return true");
    go(page, "#/share");
    page.tap(&at("share-copy"));
    page.wait("the page to say so", "document.querySelector('main').innerText.includes('mark the text')");
}

/// A name that is not taken does not stay in its field as if it were.
#[test]
fn an_empty_name_is_not_left_standing() {
    let (_server, mut browser) = demo_in(start(Kind::Chromium));
    let page = &mut *browser;
    go(page, "#/packages");
    let field = format!("document.querySelector(\"{}\")", at("package-rename"));
    page.wait("the name", &format!("{field}?.value"));
    let left = |typed: &str| {
        format!(
            "const field = {field};
            field.focus();
            field.value = {};
            field.dispatchEvent(new Event('input', {{ bubbles: true }}));
            field.blur();
            field.dispatchEvent(new Event('blur'));
            return [field.value, document.querySelector(\"{}\").innerText]",
            Value::from(typed),
            at("package-name")
        )
    };
    for typed in ["", &"é".repeat(200)] {
        let shown = page.run(&left(typed));
        assert!(shown[0] == shown[1] && shown[0] != typed, "{typed:?} leaves {shown}");
    }
}
