//! Entering: a whole package by taps and a number pad; what was weighed is at hand again; places without coordinates.

use checks::browser::{Engine, Kind, Look, Server, WebDriver, start};
use checks::command;
use serde_json::Value;

use crate::answers::{of_command_line, of_page};
use crate::at;
use crate::kept::{demo_in, go, mass, open_body};

/// The most taps that entering a package may take: a tap is whatever a finger does outside the number pad.
const MOST_TAPS: u32 = 70;

/// The enter key of the number pad, as drivers write it.
const ENTER: char = '\u{E007}';

/// Somebody with the page on a phone, whose taps are counted.
struct Person {
    server: Server,
    page: WebDriver,
    taps: u32,
}

impl Person {
    fn new() -> Self {
        let server = Server::start(&crate::dist());
        let mut page = WebDriver::chromium();
        page.look(Look::PHONE);
        page.open(&server.address("/"));
        let mut this = Self { server, page, taps: 0 };
        this.page().wait("the page to start", "document.querySelector('[data-test=runtime][data-value]') && true");
        this
    }

    fn page(&mut self) -> &mut dyn Engine {
        &mut self.page
    }

    fn tap(&mut self, test: &str) {
        self.taps += 1;
        self.page().tap(&at(test));
    }

    /// Types on the number pad that has come up: digits, a decimal point, and the key that goes on.
    fn type_number(&mut self, number: &str) {
        assert!(number.chars().all(|key| key.is_ascii_digit() || key == '.'), "{number} is more than a number");
        self.page().press(number);
        self.page().press(&ENTER.to_string());
    }

    fn text(&mut self, test: &str) -> String {
        let text = format!("document.querySelector(\"{}\")?.innerText", at(test));
        self.page().wait(test, &text).as_str().unwrap_or_default().to_owned()
    }
}

/// What is entered: the number of the typical part in the library, and what the scale said.
const PARTS: [(u32, &str, f64); 12] = [
    (2, "body", 2.915),
    (4, "sliding plate", 0.512),
    (8, "15 mm rods", 0.108),
    (19, "clip-on matte box", 0.466),
    (21, "a filter", 0.152),
    (21, "a second filter", 0.149),
    (12, "focus motor", 0.203),
    (13, "iris motor", 0.204),
    (15, "lens-control receiver", 0.247),
    (17, "video transmitter", 0.341),
    (16, "rangefinder", 0.395),
    (29, "pack", 0.655),
];

/// The prime, in the library of lenses, and its mass.
const PRIME: (u32, f64) = (2, 1.735);

#[test]
fn a_package_of_thirteen_takes_few_taps() {
    let mut person = Person::new();
    person.tap("guide-never");
    person.tap("to-packages");
    person.tap("new-package");
    person.tap("tab-parts");
    person.tap("add-part");
    for (number, _, _) in PARTS {
        person.tap(&format!("add-part-{number}"));
    }
    person.tap("add-done");
    person.tap("tab-lenses");
    person.tap("add-lens");
    person.tap(&format!("add-lens-{}", PRIME.0));
    person.tap("add-lens-weigh");
    // One tap brings the number pad; its enter key goes on to the next field.
    person.tap("weigh-part-1");
    for (_, _, kg) in PARTS {
        person.type_number(&kg.to_string());
    }
    person.type_number(&PRIME.1.to_string());
    person.tap("weigh-answers");
    let shown = of_page_without_day(&mut person);
    println!("{} taps for a package of {} parts and a lens, of at most {MOST_TAPS}", person.taps, PARTS.len());
    assert!(person.taps <= MOST_TAPS, "{} taps", person.taps);

    // Whatever was typed is in the package, and the marks are those of the command line.
    person.page().run("location.hash = '#/share'; return true");
    let link = person
        .page()
        .wait("the link", &format!("document.querySelector(\"{}\")?.value || null", at("share-link-text")));
    let opened = command::run(&["open", link.as_str().expect("a link is text")]);
    let text = String::from_utf8(opened.stdout).expect("a package file is text");
    let package: Value = serde_json::from_str(&text).expect("a package file is JSON");
    let parts = package["sections"]["parts"]["data"].as_array().expect("parts");
    let masses: Vec<f64> = parts.iter().filter_map(|part| part["mass"]["own"]["kg"].as_f64()).collect();
    assert_eq!(masses, PARTS.map(|(_, _, kg)| kg), "{text}");
    assert!(parts.iter().all(|part| part["mass"]["own"]["from"] == "bench_scale"), "{text}");
    let camera_kg: f64 = PARTS[..11].iter().map(|(_, _, kg)| kg).sum::<f64>() + PRIME.1;
    assert!((shown["mass-camera"] - camera_kg).abs() < 1e-9, "{shown:?} is not {camera_kg}");
    let file = command::scratch_file("browsers", "entered.json", &text);
    let terminal = of_command_line(file.to_str().expect("a path of letters"));
    for (name, value) in terminal.iter().filter(|(name, _)| name.starts_with("mark-") || name.starts_with("mass-")) {
        assert_eq!(shown.get(name).map(|shown| shown.to_bits()), Some(value.to_bits()), "{name}");
    }
    assert_eq!(terminal.keys().filter(|name| name.starts_with("mark-")).count(), 4, "{terminal:?}");

    // No two things stand in one place, and nothing stops the job that entering could have avoided.
    let places: Vec<String> =
        parts.iter().map(|part| format!("{} {}", part["at"]["from"], part["at"]["offset_m"])).collect();
    let mut once = places.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), places.len(), "{places:?}");
    assert_eq!(person.server.policy_reports(), Vec::<String>::new());
}

/// The answers of a package without moves: there are marks and masses, torque is not known.
fn of_page_without_day(person: &mut Person) -> crate::answers::Answers {
    person.page().wait("the marks", "document.querySelectorAll('.mark[data-value]').length === 4");
    of_page(person.page())
}

#[test]
fn what_was_weighed_is_in_the_persons_own_kit() {
    let mut person = Person::new();
    person.tap("to-packages");
    person.tap("new-package");
    person.tap("tab-parts");
    person.tap("add-part");
    assert!(person.text("own-kit").contains("Empty so far"));
    person.tap("add-part-18");
    person.tap("add-weigh");
    person.tap("weigh-part-1");
    person.type_number("0.478");
    person
        .page()
        .wait("it to be kept", &format!("document.querySelector(\"{}\")?.dataset.value === 'saved'", at("kept")));
    // Another package, another day: the monitor is offered with the mass that the scale gave.
    person.page().reload();
    person.tap("to-packages");
    person.tap("new-package");
    person.tap("tab-parts");
    person.tap("add-part");
    person
        .page()
        .wait("the kit", &format!("document.querySelector(\"{}\")?.innerText.includes('0.48')", at("own-kit")));
    assert!(person.text("own-kit").contains("bench scale"));
    person.tap("own-part-5-inch monitor");
    person.tap("add-done");
    person.tap("part-1");
    person
        .page()
        .wait("the mass", &format!("document.querySelector(\"{}\")?.dataset.value === '0.478'", at("part-mass")));
}

#[test]
fn the_library_is_found_by_words_and_by_kind() {
    let mut person = Person::new();
    person.tap("tab-parts");
    person.tap("add-part");
    let seen =
        "[...document.querySelectorAll('.list__add')].filter(e => e.getClientRects().length).map(e => e.dataset.test)";
    person.page().enter(&at("find-part"), "box clip");
    person.page().wait("one box", &format!("JSON.stringify({seen}) === '[\"add-part-19\"]'"));
    person.page().enter(&at("find-part"), "no such thing");
    person.page().wait("nothing", &format!("{seen}.length === 0"));
    person.page().run(&format!(
        "const field = document.querySelector(\"{}\"); field.value = ''; field.dispatchEvent(new Event('input'))",
        at("find-part")
    ));
    person.tap("add-kind-3");
    person.page().wait("rods only", &format!("{seen}.length === 3 && {seen}.every(test => /-(8|9|32)$/.test(test))"));
}

#[test]
fn a_place_is_measured_without_a_minus() {
    let mut person = Person::new();
    let before = of_page(person.page());
    // The demo's transmitter sits on top of the body, some way behind its middle.
    person.page().run("location.hash = '#/parts'; return true");
    let found = person.page().wait(
        "the transmitter",
        "[...document.querySelectorAll('.list__link')].find(e => e.innerText.includes('Video transmitter'))?.dataset.test",
    );
    person.tap(found.as_str().expect("a hook"));
    // To measure it from the lens mount instead changes the distance and moves nothing.
    let chosen = "const list = document.querySelector('[data-test=part-anchor]'); \
        list.value = [...list.options].find(o => o.text === 'The lens mount').value; list.dispatchEvent(new Event('change'))";
    person.page().run(chosen);
    person.page().wait(
        "the sentence",
        &format!("document.querySelector(\"{}\")?.innerText.includes('behind the lens mount')", at("part-where")),
    );
    person.page().run("location.hash = '#/'; return true");
    // Storage steps are a tenth of a millimetre: whoever re-measures loses at most that.
    let moved = of_page(person.page());
    for name in ["mark-plate", "mark-height", "mark-side"] {
        assert!((before[name] - moved[name]).abs() < 2e-5, "{name}: {} became {}", before[name], moved[name]);
    }
    person.page().run("history.back()");
    person.page().wait("the part", &format!("document.querySelector(\"{}\") && true", at("part-offset-0")));
    // The other way round: the same distance, ahead.
    let value = person.page().value_of(&at("part-offset-0"));
    person.tap("part-offset-0-way-0");
    person.page().wait(
        "the sentence",
        &format!("document.querySelector(\"{}\")?.innerText.includes('ahead of the lens mount')", at("part-where")),
    );
    assert_eq!(person.page().value_of(&at("part-offset-0")), value);
    assert!(value.parse::<f64>().expect("a number") > 0.0);
}

#[test]
fn rods_that_are_too_short_are_cut_to_length_in_one_tap() {
    let mut person = Person::new();
    person.tap("to-packages");
    person.tap("new-package");
    person.tap("tab-lenses");
    person.tap("add-lens");
    person.tap("add-lens-5");
    person.tap("add-lens-done");
    person.tap("tab-parts");
    person.tap("add-part");
    for number in [2, 8, 12] {
        person.tap(&format!("add-part-{number}"));
    }
    person.tap("add-done");
    // The focus ring of the long zoom is 285 mm ahead of the mount; half a motor and 10 mm make 337.5; the rods' tail is
    // 90 mm behind it: 427.5, cut at 430.
    assert!(person.text("part-2").contains("130\u{a0}mm too short"), "{}", person.text("part-2"));
    person.tap("part-2");
    person.tap("rods-cut");
    person.page().wait(
        "the rods to be long enough",
        &format!("document.querySelector(\"{}\")?.innerText.includes('430\\u00a0mm is long enough')", at("rods-need")),
    );
    // A name that tells the length tells the new one.
    let renamed = format!("document.querySelector(\"{}\").value.includes('430 long')", at("part-name"));
    person.page().wait("the name to follow", &renamed);
}

#[test]
fn units_are_typed_with_the_number_and_where_it_is_from_takes_one_tap() {
    let mut person = Person::new();
    person.tap("tab-parts");
    person.page().tap("main a[data-test^='part-']");
    // One pound is 0.45359237 kg (international yard and pound agreement, 1959); stored to 0.1 g.
    for (typed, kg) in [("2.3 lb", "1.0433"), ("1,25", "1.25"), ("950 g", "0.95")] {
        person.page().enter(&at("part-mass"), typed);
        let stored = format!("document.querySelector(\"{}\")?.dataset.value === '{kg}'", at("part-mass"));
        person.page().wait(&format!("{typed} to be {kg} kg"), &stored);
    }
    let taps = person.taps;
    person.tap("part-mass-from-1");
    assert_eq!(person.taps - taps, 1);
    // A luggage scale is good to 50 g or 1 %, whichever is more: common practice, no source.
    person.page().wait("the \u{b1}", "document.body.innerText.includes('Good to \u{b1}0.05 kg.')");
}

/// What is typed into the mass of the camera body, the field left or not, and what the field then shows.
fn body_after(page: &mut dyn Engine, typed: &[&str]) -> String {
    for text in typed {
        page.run(&format!(
            "const field = document.querySelector(\"{}\");
            field.focus();
            field.value = {};
            field.dispatchEvent(new Event('input', {{ bubbles: true }}));
            // Long enough for it to be kept.
            await new Promise(done => setTimeout(done, 400));
            return true",
            at("part-mass"),
            Value::from(*text)
        ));
    }
    shown_mass(page)
}

fn shown_mass(page: &mut dyn Engine) -> String {
    let shown = page.run(&format!("return document.querySelector(\"{}\").value", at("part-mass")));
    shown.as_str().expect("text").to_owned()
}

fn leave_mass(page: &mut dyn Engine) {
    page.run(&format!(
        "const field = document.querySelector(\"{}\");
        field.blur();
        field.dispatchEvent(new Event('blur'));
        await new Promise(done => setTimeout(done, 400));
        return true",
        at("part-mass")
    ));
}

/// A number that cannot be taken leaves the one before, and not its own first digits; undo has nothing to take back.
#[test]
fn a_number_out_of_range_leaves_the_one_before() {
    let (_server, mut browser) = demo_in(start(Kind::Chromium));
    let page = &mut *browser;
    let before = open_body(page);
    assert_eq!(body_after(page, &["9", "99", "999"]), "999");
    assert!((mass(page) - 99.0).abs() < 1e-9, "the answers follow what can be read");
    leave_mass(page);
    assert_eq!(shown_mass(page), "999", "what is to be mended has gone");
    assert!((mass(page) - before).abs() < 1e-9, "the package holds {} kg", mass(page));
    page.wait("nothing to undo", &format!("document.querySelector(\"{}\")?.disabled", at("undo")));
    // Mended, it is one step.
    body_after(page, &["99"]);
    leave_mass(page);
    assert!((mass(page) - 99.0).abs() < 1e-9);
    page.tap(&at("undo"));
    page.wait("the mass before", &format!("document.querySelector(\"{}\")?.disabled", at("undo")));
    assert!((mass(page) - before).abs() < 1e-9);
}

/// Some phones leave a field its focus when a button is tapped: undo must show in it all the same.
#[test]
fn undo_shows_in_the_field_that_is_being_typed_in() {
    let (_server, mut browser) = demo_in(start(Kind::Chromium));
    let page = &mut *browser;
    open_body(page);
    let before = shown_mass(page);
    assert_eq!(body_after(page, &["4.2"]), "4.2");
    page.run(&format!("document.querySelector(\"{}\").click(); return true", at("undo")));
    page.wait(
        "the mass before",
        &format!("document.querySelector(\"{}\").value === {} || null", at("part-mass"), Value::from(before.as_str())),
    );
    // Typing on is typed over what undo brought back.
    assert_eq!(body_after(page, &["4.3"]), "4.3");
    page.run(&format!("document.querySelector(\"{}\").click(); return true", at("undo")));
    page.wait(
        "the mass before",
        &format!("document.querySelector(\"{}\").value === {} || null", at("part-mass"), Value::from(before.as_str())),
    );
}

/// The end of a scale takes a mark along that lies beyond it. Its first digits do not.
#[test]
fn half_a_number_moves_no_mark() {
    let (_server, mut browser) = demo_in(start(Kind::Chromium));
    let page = &mut *browser;
    go(page, "#/head/own");
    page.tap(&at("own-begin"));
    go(page, "#/head");
    let mark = page.wait(
        "a mark",
        "[...document.querySelectorAll(\"main input[data-test^='head-mark-']\")].find(e => e.dataset.value)?.dataset.test",
    );
    let mark = mark.as_str().expect("a hook").to_owned();
    let slide = mark.trim_start_matches("head-mark-").to_owned();
    page.enter(&at(&mark), "31");
    page.wait("the mark", &format!("document.querySelector(\"{}\")?.dataset.value === '0.031'", at(&mark)));
    go(page, "#/head/own");
    page.tap(&format!("[data-test='own-slide-{slide}'] > summary"));
    // Key by key, as fingers do.
    page.enter(&at(&format!("own-{slide}-high")), "240");
    go(page, "#/head");
    page.wait(
        "the mark where it was",
        &format!("document.querySelector(\"{}\")?.dataset.value === '0.031'", at(&mark)),
    );
}
