//! Remedies, the grip's numbers, measuring, fit, stiffness and a head of one's own, by real taps.

use checks::browser::{Engine, Kind, Server, start};
use checks::command;
use serde_json::Value;

use crate::{at, dist};

/// The page open on the demo, on one of its screens.
fn open_at(server: &Server, kind: Kind, screen: &str) -> Box<dyn Engine> {
    let mut page = start(kind);
    page.like_a_phone();
    page.open(&server.address("/"));
    page.wait("the answers", "document.querySelector('[data-test=runtime][data-value]') && true");
    go(&mut *page, screen);
    page
}

fn go(page: &mut dyn Engine, screen: &str) {
    page.run(&format!("location.hash = '#/{screen}'; return true"));
    page.wait("the screen", &format!("location.hash === '#/{screen}'"));
}

fn value(page: &mut dyn Engine, test: &str) -> f64 {
    let text = page.value_of(&at(test));
    text.parse().unwrap_or_else(|_| panic!("{test} is {text}"))
}

/// Waits until the state of the remedies is one of these, and says which.
fn remedies_are(page: &mut dyn Engine, states: &[&str]) -> String {
    let wanted = Value::from(states);
    let found = page.wait(
        "the search to end",
        &format!("(value => {wanted}.includes(value) && value)(document.querySelector(\"[data-test='remedies']\")?.getAttribute('data-value'))"),
    );
    found.as_str().expect("a state").to_owned()
}

fn count(page: &mut dyn Engine, selector: &str) -> u64 {
    let found = page.run(&format!("return document.querySelectorAll({}).length", Value::from(selector)));
    found.as_u64().expect("a count")
}

/// A camera too far ahead runs out of travel; the way to the remedies stands beside the no-go, the first of the list makes
/// it hang, and undo brings the fault back.
fn the_first_remedy_makes_it_hang(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = open_at(&server, kind, "head");
    page.tap(&at("mount-ahead-way-0"));
    page.enter(&at("mount-ahead"), "120");
    page.tap(&at("tab-answers"));
    page.wait("a no-go", "document.querySelector(\"[data-test='verdict']\")?.getAttribute('data-value') === 'no-go'");
    page.tap(&format!("[data-test='verdict'] {}", at("to-remedies")));
    assert_eq!(remedies_are(&mut *page, &["found", "none"]), "found");
    assert!(count(&mut *page, &at("matter")) > 0);
    // What still fits comes first and what does not says so; either is ranked by mass.
    let fitting = count(&mut *page, "li.remedy[data-fits='yes']");
    let all = count(&mut *page, "li.remedy");
    assert!(fitting > 0 && fitting < all, "{fitting} of {all} fit");
    assert_eq!(count(&mut *page, "li.remedy[data-fits='no'] ~ li.remedy[data-fits='yes']"), 0);
    assert_eq!(count(&mut *page, "li.remedy[data-fits='no']:not(:has([data-test='remedy-but']))"), 0);
    let added: Vec<f64> = (0..all).map(|place| value(&mut *page, &format!("remedy-{place}")).abs()).collect();
    let (with, without) = added.split_at(usize::try_from(fitting).expect("a few"));
    for alike in [with, without] {
        assert!(alike.is_sorted_by(|one, next| *one <= next + 1e-9), "ranked by mass: {added:?}");
    }
    page.tap(&at("apply-0"));
    assert_eq!(remedies_are(&mut *page, &["hangs", "found", "none"]), "hangs");
    assert_eq!(count(&mut *page, &at("matter")), 0);
    page.tap(&at("undo"));
    assert_eq!(remedies_are(&mut *page, &["found", "none"]), "found");
    page.tap(&at("redo"));
    page.tap(&at("tab-answers"));
    page.wait("no no-go", "document.querySelector(\"[data-test='verdict']\")?.getAttribute('data-value') === 'clear'");
}

/// Counterweight, its change with another lens, and the arm in the package's own link.
fn the_grip_weights_an_arm(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = open_at(&server, kind, "grip");
    let all_up_kg = value(&mut *page, "grip-mass");
    page.tap(&at("arm-state"));
    page.enter(&at("arm-head"), "4");
    page.enter(&at("arm-weights"), "1.6");
    page.enter(&at("arm-empty"), "12");
    // Law of the lever, written out once more.
    let exact_kg = 12.0 + all_up_kg * 4.0 / 1.6;
    assert!((value(&mut *page, "arm-exact") - exact_kg).abs() < 1e-9);
    assert!((value(&mut *page, "arm-moment") - all_up_kg * 9.806_65 * 4.0).abs() < 1e-9);
    page.tap(&at("arm-weighted"));
    assert!(value(&mut *page, "arm-change").abs() < 2e-3);
    go(&mut *page, "lenses");
    page.tap(&at("lens-on-1"));
    go(&mut *page, "grip");
    let lighter_kg = all_up_kg - value(&mut *page, "grip-mass");
    assert!(lighter_kg > 1.0, "a prime weighs less than the long zoom");
    assert!((value(&mut *page, "arm-change") + lighter_kg * 4.0 / 1.6).abs() < 2e-3);
    go(&mut *page, "share");
    let link = page.wait("the link", "document.querySelector(\"[data-test='share-link-text']\")?.value || null");
    let opened = command::run(&["open", link.as_str().expect("text")]);
    let file: Value = serde_json::from_slice(&opened.stdout).expect("a package file");
    assert_eq!(file["sections"]["package"]["data"]["arm"]["head_length_m"], 4.0);
}

/// A lens weighed on two scales: both values go into the package with their provenance, and undo takes them back.
fn a_weighed_lens_is_written(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = open_at(&server, kind, "measure");
    for (field, text) in [("scales-r1", "2.1"), ("scales-x1", "40"), ("scales-r2", "3.4"), ("scales-x2", "260")] {
        page.enter(&at(field), text);
    }
    let ahead_m = (2.1 * 0.04 + 3.4 * 0.26) / 5.5;
    assert!((value(&mut *page, "scales-mass") - 5.5).abs() < 1e-9);
    assert!((value(&mut *page, "scales-cg") - ahead_m).abs() < 1e-9);
    page.tap(&at("scales-use-mass"));
    page.wait("it to be said", "document.querySelector(\"[data-test='written']\")?.innerText.includes('mass written')");
    page.tap(&at("scales-use-cg"));
    page.wait(
        "it to be said",
        "document.querySelector(\"[data-test='written']\")?.innerText.includes('gravity written')",
    );
    // The long zoom is on in the demo, and stands first on the list.
    go(&mut *page, "lenses/6");
    assert!((value(&mut *page, "lens-6-mass") - 5.5).abs() < 1e-9);
    assert!((value(&mut *page, "lens-6-cg") - ahead_m).abs() < 5e-5);
    // What is told once of a lens is folded, and its line says it.
    let focal = format!("document.querySelector(\"{} > summary\").innerText", at("lens-more-focal"));
    page.tap(&format!("{} > summary", at("lens-more-focal")));
    page.enter(&at("lens-6-focal-longest"), "435");
    page.wait("its range in the line", &format!("/ to 435.mm/.test({focal})"));
    page.tap(&at("undo"));
    page.tap(&at("undo"));
    page.tap(&at("undo"));
    assert!((value(&mut *page, "lens-6-mass") - 5.5).abs() > 1e-3, "undone");
}

/// Rods too short for the lens are named with the length that they need, whatever way the head is mounted.
fn fit_names_what_does_not_reach(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = open_at(&server, kind, "parts/6");
    page.tap("[data-test='part-more-size'] > summary");
    page.enter(&at("part-size-0"), "200");
    go(&mut *page, "fit");
    page.wait(
        "the rods to be named",
        "[...document.querySelectorAll(\"[data-test='fit-finding']\")].some(e => e.innerText.includes('Rods') && e.innerText.includes('short'))",
    );
    let needed_m = value(&mut *page, "rods-needed");
    assert!(needed_m > 0.2 && needed_m < 0.8, "{needed_m}");
    let hung = value(&mut *page, "fit-tilt-plus");
    let outline = |page: &mut dyn Engine| {
        page.run("return document.querySelector(\"[data-test='turning-tilt'] .turning__platform\").getAttribute('d')")
    };
    let above = outline(&mut *page);
    page.tap(&at("fit-mounting-1"));
    page.wait("the head to be turned over", "document.querySelector(\"[data-test='fit-mounting-1']\").checked");
    assert_ne!(outline(&mut *page), above, "the platform is drawn below");
    assert!((value(&mut *page, "fit-tilt-plus") - hung).abs() < 1e-12);
    // The first screen says so too, and leads here.
    page.tap(&at("tab-answers"));
    page.wait(
        "the rods among what stops the job",
        "document.querySelector(\"[data-test='verdict'][data-value='no-go']\")?.innerText.includes('short of')",
    );
    page.tap("[data-test='verdict'] a[href='#/fit']");
    page.wait("the fit again", "location.hash === '#/fit'");
}

/// The medium head, described from nothing by taps, has the marks of the built-in one.
fn a_head_of_ones_own(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = open_at(&server, kind, "");
    let slides = ["plate", "height", "side", "pan_slide"];
    let marks = |page: &mut dyn Engine| slides.map(|slide| value(page, &format!("mark-{slide}")));
    let built_in = marks(&mut *page);
    go(&mut *page, "head/own");
    page.tap(&at("own-begin"));
    for (slide, high, zero) in
        [("plate", "220", "110"), ("height", "90", "45"), ("side", "50", "25"), ("pan_slide", "140", "70")]
    {
        page.tap(&format!("[data-test='own-slide-{slide}'] > summary"));
        page.enter(&at(&format!("own-{slide}-high")), high);
        page.enter(&at(&format!("own-{slide}-zero")), zero);
    }
    page.tap("[data-test='own-axis-of-roll'] > summary");
    page.enter(&at("own-roll-below"), "360");
    page.enter(&at("own-plate-below"), "130");
    page.enter(&at("own-packs-below"), "180");
    page.tap(&at("own-to-answers"));
    let own = marks(&mut *page);
    for (slide, (own, built_in)) in slides.iter().zip(own.iter().zip(&built_in)) {
        assert!((own - built_in).abs() < 1e-9, "{slide}: {own} against {built_in}");
    }
    // It travels: the link carries a head that no library knows.
    go(&mut *page, "share");
    let link = page.wait("the link", "document.querySelector(\"[data-test='share-link-text']\")?.value || null");
    let opened = command::run(&["open", link.as_str().expect("text")]);
    let file: Value = serde_json::from_slice(&opened.stdout).expect("a package file");
    assert_eq!(file["sections"]["head"]["data"]["name"], "My head");
}

/// The screen says what the first screen says; stiffer rods lift the mode, a change of the list does what it promised, and
/// undo brings the package back.
fn stiffer_rods_lift_the_first_mode(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = open_at(&server, kind, "");
    let first_hz = value(&mut *page, "stiffness");
    let row = page.run(&format!("return document.querySelector(\"{}\").innerText", at("stiffness")));
    assert!(row.as_str().is_some_and(|row| row.contains("× the loop crossover")), "{row}");
    page.tap(&at("to-stiffness"));
    let verdict = |page: &mut dyn Engine| value(page, "stiffness-verdict");
    assert!((verdict(&mut *page) - first_hz).abs() < 1e-12);
    assert_eq!(count(&mut *page, "svg.swing"), 2, "both planes are drawn");
    page.enter(&at("rod-wall"), "4");
    page.wait("a stiffer package", &format!("Number({}) > {first_hz} + 0.1", read("stiffness-verdict")));
    let walled_hz = verdict(&mut *page);
    let promised_hz = value(&mut *page, "stiffer-0");
    // Typing is kept a moment after the last letter: what is put on then is a step of its own.
    page.wait("the wall to be kept", &format!("!document.querySelector(\"{}\").disabled", at("undo")));
    page.tap(&at("stiffer-apply-0"));
    page.wait("the change", &format!("Math.abs(Number({}) - {promised_hz}) < 1e-3", read("stiffness-verdict")));
    page.tap(&at("undo"));
    page.wait("it undone", &format!("Math.abs(Number({}) - {walled_hz}) < 1e-9", read("stiffness-verdict")));
    page.tap(&at("structure-typical"));
    page.wait("typical figures", &format!("Math.abs(Number({}) - {first_hz}) < 1e-9", read("stiffness-verdict")));
    // What was entered travels: a file of the package has a section for it.
    page.enter(&at("lens-mount"), "22");
    go(&mut *page, "share");
    let link = page.wait("the link", "document.querySelector(\"[data-test='share-link-text']\")?.value || null");
    let opened = command::run(&["open", link.as_str().expect("text")]);
    let file: Value = serde_json::from_slice(&opened.stdout).expect("a package file");
    assert_eq!(file["sections"]["structure"]["data"]["lens_mount_nm_rad"], 22_000.0);
}

/// How a script reads the number of an element.
fn read(test: &str) -> String {
    format!("document.querySelector(\"{}\")?.getAttribute('data-value')", at(test))
}

/// No screen of these has anything too small for a thumb, or wider than a phone.
fn screens_suit_a_phone(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = open_at(&server, kind, "grip");
    page.tap(&at("arm-state"));
    for screen in [
        "remedies",
        "grip",
        "measure",
        "fit",
        "stiffness",
        "head/own",
        "lenses/changes",
        "lenses/marks",
        "lenses/preview/6",
    ] {
        go(&mut *page, screen);
        let found = page.run(
            "await new Promise(done => setTimeout(done, 300));
            const small = [...document.querySelectorAll('main a[href],main button,main input,main select,main summary')]
                .filter(e => e.getClientRects().length && !e.closest('svg'))
                .map(e => [e, e.getBoundingClientRect()])
                .filter(([, box]) => box.width < 47.99 || box.height < 47.99)
                .map(([e, box]) => `${e.tagName} ${e.dataset.test ?? e.className} ${box.width} x ${box.height}`);
            const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
            return wide > 0 ? [...small, `${wide} px too wide`] : small",
        );
        assert_eq!(found, serde_json::json!([]), "{screen}");
    }
    assert_eq!(server.policy_reports(), Vec::<String>::new(), "the content security policy was broken");
}

/// Whatever may lie either way is typed without a sign and told by a tap which way it goes: a phone's number pad has no
/// minus. What cannot go that far stops at the end of its range.
fn no_minus_has_to_be_typed(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = open_at(&server, kind, "head");
    // In the demo the lens mount is 20 mm behind the middle of the seat, and tilt goes from 45° down.
    assert_eq!(page.value_of(&at("mount-ahead")), "0.02");
    page.enter(&at("mount-ahead"), "40");
    // Nothing lies on no side: the one that was tapped counts for what is typed next.
    page.tap(&at("mount-left-way-1"));
    page.enter(&at("mount-left"), "3");
    go(&mut *page, "moves/1");
    page.tap("[data-test='move-more-ranges'] > summary");
    page.enter(&at("move-1-range-from-tilt"), "20");
    page.enter(&at("move-1-range-to-tilt"), "35");
    page.tap("[data-test='move-more-air'] > summary");
    page.tap(&at("move-1-air-way-1"));
    let link = |page: &mut dyn Engine| {
        go(page, "share");
        let link = page.wait("the link", "document.querySelector(\"[data-test='share-link-text']\")?.value || null");
        let opened = command::run(&["open", link.as_str().expect("text")]);
        serde_json::from_slice::<Value>(&opened.stdout).expect("a package file")["sections"].take()
    };
    let near = |found: &Value, wanted: f64| (found.as_f64().expect("a number") - wanted).abs() < 1e-5;
    let entered = link(&mut *page);
    let (mount, first) = (&entered["package"]["data"]["mount"], &entered["moves"]["data"][0]);
    assert!(near(&mount["flange_ahead_m"], -0.04) && near(&mount["flange_left_m"], -0.003), "{mount}");
    // Tilt down is positive about its axis; the demo's morning has 12 °C.
    let range = &first["ranges"][0]["range_rad"];
    assert!(near(&range[0], -35.0_f64.to_radians()) && near(&range[1], 20.0_f64.to_radians()), "{range}");
    assert!(near(&first["air_k"], 273.15 - 12.0), "{first}");
    go(&mut *page, "moves/1");
    page.tap("[data-test='move-more-air'] > summary");
    page.enter(&at("move-1-air"), "58");
    assert!(near(&link(&mut *page)["moves"]["data"][0]["air_k"], 223.15), "as cold as it may get");
}

in_engines!(no_minus_has_to_be_typed);
in_engines!(the_first_remedy_makes_it_hang);
in_engines!(the_grip_weights_an_arm);
in_engines!(a_weighed_lens_is_written);
in_engines!(fit_names_what_does_not_reach);
in_engines!(a_head_of_ones_own);
in_engines!(screens_suit_a_phone);
in_engines!(stiffer_rods_lift_the_first_mode);
