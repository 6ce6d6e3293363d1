//! The lens set by real taps: what a change costs, one lens for the director of photography, one set of marks.

use checks::browser::{Engine, Kind, Server, start};

use crate::kept::{link_of, wait_for_state};
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
    page.tap(&at("mount-ahead-way-0"));
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

/// Rods that end short stop every lens: from the list and from a preview leads a way to where that is told, and on to the
/// rods, whose length cures it.
fn a_lens_that_does_not_fit_has_a_way_to_its_cure(kind: Kind) {
    let (server, mut page) = at_the_lenses(kind);
    let no = |test: &str| {
        format!("document.querySelector(\"{}\")?.innerText.startsWith('No, because of this') || null", at(test))
    };
    let yes = "document.querySelector(\"[data-test='preview-verdict']\")?.getAttribute('data-value') !== 'no'";
    assert_eq!(page.run(&format!("return {}", no("lens-verdict-1"))), serde_json::Value::Null);
    page.tap(&at("lens-on-1"));
    page.run("location.hash = '#/fit'; return true");
    let needed_m = value(&mut *page, "rods-needed");
    let rods = codec::library::demo().parts.into_iter().find(|part| part.kind == solver::package::PartKind::Rods);
    let rods = rods.expect("the demo has rods");
    assert!(needed_m <= rods.size_m[0] && needed_m > 0.16, "{needed_m}");
    page.run(&format!("location.hash = '#/parts/{}'; return true", rods.id));
    page.tap("[data-test='part-more-size'] > summary");
    page.enter(&at("part-size-0"), "150");
    page.run("location.hash = '#/lenses'; return true");
    page.tap(&at("lens-off-1"));
    page.wait("that it does not fit", &no("lens-verdict-1"));

    // From the list, which puts it on.
    page.tap(&at("lens-1-to-fit"));
    page.wait("the finding", "location.hash === '#/fit' && document.querySelector('[data-test=fit-finding]') && true");
    page.tap(&at("fit-to-part"));
    page.wait("the rods", &format!("location.hash === '#/parts/{}'", rods.id));
    page.tap(&at("undo"));

    // From the preview; once it is on, the way is a link.
    page.run("location.hash = '#/lenses/preview/1'; return true");
    page.tap(&at("lens-1-to-fit"));
    page.wait("the fit", "location.hash === '#/fit'");
    page.run("location.hash = '#/lenses/preview/1'; return true");
    page.wait("a link", &format!("document.querySelector(\"a{}\") && true", at("lens-1-to-fit")));

    // Longer rods cure it, and the way goes.
    page.run(&format!("location.hash = '#/parts/{}'; return true", rods.id));
    page.tap("[data-test='part-more-size'] > summary");
    page.enter(&at("part-size-0"), &format!("{}", 1e3 * rods.size_m[0]));
    page.run("location.hash = '#/lenses/preview/1'; return true");
    page.wait("that it fits", yes);
    page.wait("no way", &format!("!document.querySelector(\"{}\")", at("lens-1-to-fit")));
    assert_eq!(server.policy_reports(), Vec::<String>::new(), "the content security policy was broken");
}

/// Nearly the lens that is on: of one known to half a millimetre the marks may stay, of one as well known as usual they may
/// not. The chance stands in the list, in the preview with its arithmetic, among the changes and on the prep sheet.
fn the_chance_that_every_axis_stays_put_is_told(kind: Kind) {
    let server = Server::start(&dist());
    let mut browser = start(kind);
    let page = &mut *browser;
    page.like_a_phone();
    for (known_m, list, sheet) in [
        (None, "Yes, with its own marks. With the marks left, every axis stays put: ", ": yes, new marks"),
        (
            Some(0.000_5),
            "Yes, and the marks may stay where they are; every axis stays put: ",
            ": yes, marks may stay (stays put: ",
        ),
    ] {
        let link = link_of(|file| nearly_the_zoom(file, known_m));
        page.open(&server.address(&format!("/#{link}")));
        wait_for_state(page, &["preview"]);
        page.tap(&at("tab-lenses"));
        let told = words(page, "lens-verdict-99");
        let percent = told.strip_prefix(list).unwrap_or_else(|| panic!("{told}")).trim_end_matches('.');
        page.tap(&at("lens-preview-99"));
        let chance = value(page, "change-99-stays");
        assert_eq!(percent.replace('\u{a0}', " "), format!("{:.0} %", 100.0 * chance), "{chance}");
        assert_eq!(chance >= 0.5, known_m.is_some(), "{chance}");
        assert!(words(page, "preview-verdict").starts_with(list));
        page.tap(&format!("{} > summary", at("change-99-stays")));
        assert!(words(page, "change-99-stays").contains("Tilt stays put"));
        page.run("location.hash = '#/lenses/changes'; return true");
        assert!((value(page, "change-99-stays") - chance).abs() < 1e-12);
        page.run("location.hash = '#/sheet'; return true");
        let row = "[...document.querySelectorAll('th')].find(e => e.innerText.includes('Twin'))?.innerText";
        let row = page.wait("the sheet", row);
        assert!(row.as_str().is_some_and(|row| row.contains(sheet)), "{row}");
    }
    assert_eq!(server.policy_reports(), Vec::<String>::new(), "the content security policy was broken");
}

/// Puts a twin of the zoom into the demonstration that hangs two millimetres further forward.
fn nearly_the_zoom(file: &mut serde_json::Value, known_m: Option<f64>) {
    let lenses = file["sections"]["lenses"]["data"].as_array_mut().expect("lenses");
    let zoom = lenses.iter_mut().find(|lens| lens["id"] == 6).expect("the zoom");
    if let Some(known_m) = known_m {
        (zoom["cg_u_m"], zoom["mass"]["u_kg"]) = (known_m.into(), known_m.into());
    }
    let mut twin = zoom.clone();
    twin["cg_ahead_m"] = (twin["cg_ahead_m"].as_f64().expect("a length") + 0.002).into();
    (twin["id"], twin["name"]) = (99.into(), "Twin".into());
    lenses.push(twin);
}

in_engines!(a_lens_change_is_weighed_up);
in_engines!(the_chance_that_every_axis_stays_put_is_told);
in_engines!(a_lens_that_does_not_fit_has_a_way_to_its_cure);
