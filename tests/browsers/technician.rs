//! The main job: a package entered by taps, its answers read, the signal lost, the page opened again.

use checks::{command, fixture};

use crate::answers::{of_command_line, of_page, same};
use crate::{at, dist};
use checks::browser::Server;
use checks::browser::{Engine, Kind, start};

/// Begins to collect what the content security policy forbids; what happens before is reported to the server.
fn watch_policy(page: &mut dyn Engine) {
    page.run(
        "window.forbidden = [];
        addEventListener('securitypolicyviolation', event =>
            window.forbidden.push(`${event.violatedDirective} ${event.blockedURI} ${event.sample}`));",
    );
}

fn assert_nothing_forbidden(page: &mut dyn Engine, server: &Server) {
    let seen = page.run("return window.forbidden ?? null");
    assert_eq!(seen, serde_json::json!([]), "the page broke its own policy");
    let reports = server.policy_reports();
    assert!(reports.is_empty(), "the page broke its own policy while it started: {reports:?}");
}

/// Whatever can be tapped is as large as a thumb in a glove: 48 px each way.
fn assert_targets_are_large(page: &mut dyn Engine, screen: &str) {
    let small = page.run(
        "return [...document.querySelectorAll('a[href],button,input,select,textarea,summary')]
            .filter(e => e.getClientRects().length && !e.matches('.skip,.unseen'))
            .map(e => [e, e.getBoundingClientRect()])
            .filter(([, box]) => box.width < 47.99 || box.height < 47.99)
            .map(([e, box]) => `${e.tagName} ${e.dataset.test ?? e.className} '${e.innerText}' ${box.width} x ${box.height}`)",
    );
    assert_eq!(small, serde_json::json!([]), "too small to tap on {screen}");
}

/// A package file with what the page shows, by way of the page's own link.
fn file_of_page(page: &mut dyn Engine, name: &str) -> (String, String) {
    page.run("location.hash = '#/share'");
    let link = page.wait("the link", &format!("document.querySelector(\"{}\")?.value || null", at("share-link-text")));
    let link = link.as_str().expect("a link is text").to_owned();
    let opened = command::run(&["open", &link]);
    assert!(opened.status.success(), "{}", String::from_utf8_lossy(&opened.stderr));
    let file = command::scratch_file("browsers", name, &String::from_utf8_lossy(&opened.stdout));
    (link, file.to_str().expect("a path of letters").to_owned())
}

fn the_main_job(kind: Kind) {
    let mut server = Server::start(&dist());
    let mut page = start(kind);
    let page = page.as_mut();
    page.like_a_phone();
    page.open(&server.address("/"));
    page.wait("the page to start", "document.querySelector('[data-test=runtime][data-value]') && true");
    watch_policy(page);

    // The demonstration answers at once, as the command line does.
    let demo = fixture::home().join("packages/demo.json");
    same(&of_page(page), &of_command_line(demo.to_str().expect("a path of letters")));
    assert_targets_are_large(page, "the answers");

    enter_a_package(page);
    page.tap(&at("tab-answers"));
    let shown = of_page(page);
    let (link, file) = file_of_page(page, &format!("{kind:?}.json"));
    let stored = std::fs::read_to_string(&file).expect("the file just written");
    assert!(stored.contains("4.321"), "the mass that was typed is not in the package");
    same(&shown, &of_command_line(&file));

    // Whoever opens the link in a browser that has never seen the page gets the same answers.
    {
        let mut other = start(kind);
        other.open(&link.replace(&server.address("/"), &server.address("/?x=1")));
        same(&of_page(other.as_mut()), &shown);
    }

    page.wait(
        "the package to be kept",
        &format!("document.querySelector(\"{}\")?.dataset.value === 'saved'", at("kept")),
    );
    page.wait(
        "the page to be kept",
        "(await navigator.serviceWorker.ready).active?.state === 'activated' && !!(await caches.keys()).length",
    );
    assert_nothing_forbidden(page, &server);

    // The signal is lost, the browser comes back.
    server.stop();
    page.run("location.hash = '#/'");
    page.reload();
    watch_policy(page);
    assert_eq!(of_page(page), shown, "not the same after the reload");
    let seen = page.run("return window.forbidden");
    assert_eq!(seen, serde_json::json!([]), "the page broke its own policy after the reload");
}

/// By taps and keys alone: a part's mass corrected, a part added from the library, a mark set.
fn enter_a_package(page: &mut dyn Engine) {
    page.tap(&at("tab-parts"));
    page.tap("main a[data-test^='part-']");
    page.wait("the part", &format!("document.querySelector(\"{}\") && true", at("part-mass")));
    assert_targets_are_large(page, "a part");
    page.enter(&at("part-mass"), "4.321");
    page.tap(&at("to-parts"));
    assert_targets_are_large(page, "the parts");
    page.tap(&at("add-part"));
    page.enter(&at("find-part"), "monitor");
    assert_targets_are_large(page, "the typical parts");
    page.tap("button[data-test^='add-part-']:not([hidden])");
    page.wait(
        "the part to be on the list",
        &format!("document.querySelector(\"{}\")?.innerText.includes('added')", at("added")),
    );
    page.tap(&at("add-done"));
    page.tap(&at("tab-answers"));
    page.tap(&at("set-all"));
    page.wait("every mark to be set", &format!("document.querySelector(\"{}\")?.disabled", at("set-all")));
}

in_engines!(the_main_job);
