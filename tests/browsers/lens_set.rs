//! The lens set by real taps: what a change costs, one lens for the director of photography, one set of marks.

use checks::browser::{Engine, Kind, Server, start};

use crate::{at, dist};

/// A phone that has opened the demonstration for the first time and tapped its way to the lenses, and its server.
pub(crate) fn at_the_lenses(kind: Kind) -> (Server, Box<dyn Engine>) {
    let server = Server::start(&dist());
    let mut page = start(kind);
    page.like_a_phone();
    page.open(&server.address("/"));
    page.wait("the answers", "document.querySelector('[data-test=runtime][data-value]') && true");
    page.tap(&at("tab-lenses"));
    (server, page)
}

fn value(page: &mut dyn Engine, test: &str) -> f64 {
    let text = page.value_of(&at(test));
    text.parse().unwrap_or_else(|_| panic!("{test} is {text}"))
}

/// What an element says, once it is there.
pub(crate) fn words(page: &mut dyn Engine, test: &str) -> String {
    let found = page.wait(test, &format!("document.querySelector(\"{}\")?.innerText || null", at(test)));
    found.as_str().expect("text").to_owned()
}

fn numbers(page: &mut dyn Engine, script: &str) -> Vec<f64> {
    let found = page.run(script);
    found.as_array().expect("a list").iter().map(|each| each.as_f64().expect("a number")).collect()
}

/// From the list of lenses to the cheapest change, to its preview with what the lens sees, and to marks for the primes.
fn a_lens_change_is_weighed_up(kind: Kind) {
    let (server, mut page) = at_the_lenses(kind);
    page.tap(&at("to-changes"));
    page.wait("the changes", "document.querySelectorAll('[data-test=changes] > details').length === 5");
    let minutes = numbers(
        &mut *page,
        "return [...document.querySelectorAll('[data-test=changes] > details')].map(e => Number(e.dataset.value))",
    );
    assert!(minutes.is_sorted() && minutes[0] > 0.0, "quickest first: {minutes:?}");
    // A row opens into what there is to do, and its minutes into a sum.
    let first = value(&mut *page, "change-1");
    page.tap(&format!("{} > summary", at("change-1")));
    assert!(words(&mut *page, "change-1-left").contains("motors"));
    assert!(words(&mut *page, "change-1-plate").contains("to 147"));
    // The table of all has the same figure in the row of the zoom.
    page.tap(&format!("{} > summary", at("changes-all")));
    page.wait("the table", "document.querySelectorAll('[data-test=change-table] tbody tr').length === 6");
    let table = page.run("return document.querySelector('[data-test=change-table] tbody tr:last-child td').innerText");
    assert_eq!(table.as_str().and_then(|cell| cell.parse::<f64>().ok()), Some(first));
    page.tap(&at("change-preview-1"));
    page.wait("the preview", "document.querySelector('[data-test=preview-verdict][data-value]') && true");
    assert!((value(&mut *page, "preview-minutes") - first).abs() < 1e-12);
    page.enter(&at("picture-width"), "24.9");
    page.enter(&at("picture-height"), "18.7");
    let seen = page.wait(
        "what it sees",
        "document.querySelector('[data-test=preview-view] [data-value]')?.getAttribute('data-value') || null",
    );
    // 32 mm, and twice as wide.
    let across: f64 = seen.as_str().expect("a number").parse().expect("a number");
    assert!((across - 2.0 * solver::float::atan2(24.9, 32.0)).abs() < 1e-12, "{across}");
    page.tap(&at("to-lenses"));
    page.tap(&at("to-common"));
    let all = value(&mut *page, "common-mark-plate");
    page.tap(&at("common-6"));
    page.wait("the marks of the primes", &format!("Math.abs({} - {all}) > 1e-3", read("common-mark-plate")));
    let primes = value(&mut *page, "common-mark-plate");
    assert!(words(&mut *page, "common-verdict").contains("of 5 stay put"));
    page.tap(&at("common-set"));
    page.wait(
        "it set",
        &format!("document.querySelector(\"{}\").innerText.includes('as it stands')", at("common-mark-plate")),
    );
    assert!((value(&mut *page, "common-mark-plate") - primes).abs() < 1e-4);
    page.tap(&at("undo"));
    page.wait(
        "it undone",
        &format!("!document.querySelector(\"{}\").innerText.includes('as it stands')", at("common-mark-plate")),
    );
    // A body mounted further forward takes room from the zoom; holes back give it again.
    page.run("location.hash = '#/head'; return true");
    page.enter(&at("mount-ahead"), "40");
    page.run("location.hash = '#/lenses/marks'; return true");
    page.tap(&format!("{} > summary", at("room")));
    let verdict = |page: &mut dyn Engine, state: &str| {
        let wanted = format!("document.querySelector(\"{}[data-value='{state}']\") && true", at("room-verdict"));
        page.wait("the room", &wanted);
    };
    verdict(&mut *page, "no");
    page.tap(&at("room-apply"));
    verdict(&mut *page, "yes");
    assert_eq!(server.policy_reports(), Vec::<String>::new(), "the content security policy was broken");
}

/// How a script reads the number of an element.
fn read(test: &str) -> String {
    format!("Number(document.querySelector(\"{}\")?.getAttribute('data-value'))", at(test))
}

in_engines!(a_lens_change_is_weighed_up);
