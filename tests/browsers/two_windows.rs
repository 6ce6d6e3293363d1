//! Two windows at the same moment, or one that has gone: neither takes away what belongs to the other.

use checks::browser::{Engine, Kind, start};

use crate::at;
use crate::kept::{
    demo_in, edited_demo, enter_mass, go, in_database, is_kept, kept_masses, open_body, second_window, type_mass,
    wait_for_state,
};
use crate::windows::choice_is_offered;

/// Types another mass and leaves the field as soon as the database is asked for a record for the next time.
fn type_mass_in_between(page: &mut dyn Engine, kg: f64) {
    page.run(&format!(
        "const get = IDBObjectStore.prototype.get;
        IDBObjectStore.prototype.get = function (id) {{
            IDBObjectStore.prototype.get = get;
            queueMicrotask(() => {{
                const field = document.querySelector(\"{}\");
                field.value = '{kg}';
                field.dispatchEvent(new Event('input', {{ bubbles: true }}));
                field.dispatchEvent(new Event('blur'));
            }});
            return get.call(this, id);
        }};
        return true",
        at("part-mass")
    ));
}

/// A window follows another one, and somebody types in it at that very moment: both are kept.
#[test]
fn typed_while_following() {
    let (server, mut browser) = edited_demo(start(Kind::Chromium));
    let page = &mut *browser;
    let [first, second] = second_window(page, &server);
    type_mass_in_between(page, 4.3);
    page.go_to_tab(&first);
    enter_mass(page, 4.2);
    page.go_to_tab(&second);
    choice_is_offered(page);
    wait_for_state(page, &["saved"]);
    assert!(is_kept(page, 4.2) && is_kept(page, 4.3), "{:?}", kept_masses(page));
}

/// What is typed on while two windows are found to differ belongs to the copy that is made of it, and makes none of its
/// own.
#[test]
fn typed_on_makes_one_copy() {
    let (_server, mut browser) = edited_demo(start(Kind::Chromium));
    let page = &mut *browser;
    in_database(
        page,
        "const [record] = await done(store('packages', 'readonly').getAll());
        Object.assign(record, { rev: record.rev + 1, writer: 'other' });
        await done(store('packages', 'readwrite').put(record));
        return true",
    );
    type_mass_in_between(page, 4.3);
    type_mass(page, 4.2);
    choice_is_offered(page);
    wait_for_state(page, &["saved"]);
    page.wait("the line to end", "await new Promise(done => setTimeout(() => done(true), 500))");
    let masses = kept_masses(page);
    assert!(masses.len() == 2 && is_kept(page, 4.1) && is_kept(page, 4.3), "{masses:?}");
}

/// A window is closed with an edit that it could not write. What another one then writes does not take it away.
fn closed_before_it_was_written(kind: Kind) {
    let (server, mut browser) = edited_demo(start(kind));
    let page = &mut *browser;
    let first = page.tab();
    page.new_tab();
    page.open(&server.address("/"));
    wait_for_state(page, &["saved"]);
    assert!((open_body(page) - 4.1).abs() < 1e-9);
    page.run(
        "IDBObjectStore.prototype.put = () => { throw new DOMException('Not now.', 'UnknownError'); }; return true",
    );
    type_mass(page, 4.3);
    wait_for_state(page, &["failed"]);
    page.open("about:blank");
    page.go_to_tab(&first);
    enter_mass(page, 4.2);
    // The next visit finds both.
    page.reload();
    wait_for_state(page, &["saved"]);
    page.wait("the start", "document.documentElement.dataset.later === 'ready'");
    assert!(is_kept(page, 4.2) && is_kept(page, 4.3), "{:?}", kept_masses(page));
}

in_engines!(closed_before_it_was_written);

/// Two windows each keep what they have been told, and the later one does not put the earlier one's back.
#[test]
fn settings_of_two_windows() {
    let (server, mut browser) = demo_in(start(Kind::Chromium));
    let page = &mut *browser;
    let first = page.tab();
    let second = page.new_tab();
    page.open(&server.address("/"));
    wait_for_state(page, &["demo"]);
    page.go_to_tab(&first);
    go(page, "#/settings");
    page.tap(&at("units-1"));
    page.go_to_tab(&second);
    go(page, "#/settings");
    page.tap(&at("theme-2"));
    page.reload();
    go(page, "#/settings");
    let chosen = |test: &str| format!("document.querySelector(\"{}\")?.checked", at(test));
    page.wait("the later choice", &chosen("theme-2"));
    page.wait("the earlier choice", &chosen("units-1"));
}
