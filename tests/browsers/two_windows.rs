//! Two windows at the same moment, or one that has gone: neither takes away what belongs to the other.

use checks::browser::{Engine, Kind, start};

use crate::kept::{edited_demo, enter_mass, is_kept, kept_masses, open_body, type_mass, wait_for_state};

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
