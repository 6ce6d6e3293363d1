//! Power, as a technician at the truck uses it: the day read, a tap overloaded and mended with one tap, a charger told.

use checks::browser::{Kind, start};
use checks::{command, fixture};
use serde_json::Value;

use crate::at;
use crate::kept::demo_in;

/// The same package on the command line.
fn told() -> Value {
    let demo = fixture::home().join("packages/demo.json");
    let output = command::run(&["check", demo.to_str().expect("a path of letters"), "--json"]);
    serde_json::from_slice(&output.stdout).expect("JSON")
}

fn a_day_on_packs(kind: Kind) {
    let (_server, mut browser) = demo_in(start(kind));
    let page = &mut *browser;
    page.like_a_phone();
    // From the row of hours to the day.
    page.tap(&format!("{} summary", at("runtime")));
    page.tap(&at("to-power"));
    let told = told();
    let change_min: f64 = page.value_of(&at("pack-change")).parse().expect("a number");
    let expected = told["day"]["changes"][0]["at_min"]["value"].as_f64().expect("a pack change");
    assert!((change_min - expected).abs() < 1e-6, "{change_min} against {expected}");
    assert_eq!(told["power"]["change_min"]["value"].as_f64(), Some(expected), "the first screen says another time");
    let drawn = page.run(&format!("return document.querySelector(\"{}\").getAttribute('aria-label')", at("day-rule")));
    assert!(drawn.as_str().is_some_and(|words| words.contains("±")), "{drawn}");

    // Everything on one outlet is too much for it; one tap mends it, undo takes that back.
    let wiring = |state: &str| format!("document.querySelector(\"{}\")?.dataset.value === '{state}'", at("wiring"));
    page.wait("a wiring that may stay", &wiring("keep"));
    page.run(
        "for (const tap of document.querySelectorAll(\"select[data-test^='load-tap-']\")) {
            tap.value = 'aux_1';
            tap.dispatchEvent(new Event('change', { bubbles: true }));
        }
        return true",
    );
    page.wait("changes to make", &wiring("change"));
    page.tap(&at("wire"));
    page.wait("a wiring that keeps every limit", &wiring("keep"));
    page.tap(&at("undo"));
    page.wait("the wiring as it was", &wiring("change"));
    page.tap(&at("wire"));
    page.wait("a wiring that keeps every limit again", &wiring("keep"));

    // A long day comes round on fast chargers.
    page.enter(&at("day-hours"), "14");
    page.tap(&format!("{} > summary", at("charger-more")));
    page.enter(&at("charge-hours"), "1");
    let round = format!("/comes round/.test(document.querySelector(\"{}\")?.innerText)", at("chargers"));
    page.wait("sets that come round", &round);
    let count = format!("document.querySelectorAll(\"{}\").length", at("pack-change"));
    assert!(page.run(&format!("return {count}")).as_u64() > Some(2), "a long day has more pack changes");

    // What is printed on a pack decides whether it flies.
    let class = format!("document.querySelector(\"{}\")?.innerText", at("flying"));
    page.wait("packs too large for passengers", &format!("/not with passengers/.test({class})"));
    for pack in [28, 29] {
        page.tap(&format!("{} > summary", at(&format!("pack-more-{pack}"))));
        page.enter(&at(&format!("rated-{pack}")), "98");
    }
    page.wait(
        "packs for the cabin",
        &format!("/in cabin baggage, each with/.test({class}) && !/not with/.test({class})"),
    );

    // A tap is told its true limit, and the answers say so.
    page.tap(&format!("{} > summary", at("tap-more-camera")));
    page.enter(&at("tap-camera-limit"), "2");
    page.tap(&at("to-answers"));
    page.wait("the finding", "/Camera tap carries/.test(document.body.innerText)");
}

/// A battery plate with taps of its own, a lunch with the packs on the charger, and what is open stays open.
fn a_plate_and_a_lunch(kind: Kind) {
    let (_server, mut browser) = demo_in(start(kind));
    let page = &mut *browser;
    page.like_a_phone();
    page.run("location.hash = '#/power'; return true");
    page.tap(&at("add-group"));
    page.tap(&format!("{} > summary", at("group-group_1")));
    page.enter(&at("group-group_1-count"), "3");
    page.enter(&at("group-group_1-amps"), "0.2");
    let peak = |words: &str| format!("/{words}/.test(document.querySelector(\"{}\").innerText)", at("group-group_1"));
    page.wait("a fifth of an ampere at 15 V", &peak("peak 0 of 3"));
    // Something hung on its last tap: the line of the load says what is the matter, and stays open while it is mended.
    let load = page.run("return document.querySelector(\"details[data-test^='load-more-']\").dataset.test");
    let load = load.as_str().expect("a load").to_owned();
    page.tap(&format!("{} > summary", at(&load)));
    let tap = load.replace("more", "tap");
    page.run(&format!(
        "const tap = document.querySelector(\"{}\");
        tap.value = [...tap.options].at(-1).value;
        tap.dispatchEvent(new Event('change', {{ bubbles: true }}));
        return true",
        at(&tap)
    ));
    let flagged = format!("document.querySelector(\"{} > summary .flag\")?.innerText || null", at(&load));
    let word = page.wait("a mark on its line", &flagged);
    assert!(["Watch", "No-go"].iter().any(|each| word.as_str() == Some(each)), "{word}");
    let gone = format!("document.querySelector(\"{}\").disabled", at("group-group_1-remove"));
    page.wait("a group that stays", &gone);
    page.enter(&at(&format!("{}-typical", load.replace("-more", ""))), "65");
    page.wait("a line that is still open", &format!("document.querySelector(\"{}\").open", at(&load)));
    page.run(&format!(
        "const tap = document.querySelector(\"{}\");
        tap.value = tap.options[1].value;
        tap.dispatchEvent(new Event('change', {{ bubbles: true }}));
        return true",
        at(&tap)
    ));
    page.wait("a group that may go", &format!("!{gone}"));
    page.tap(&at("group-group_1-remove"));
    page.wait("no such group", &format!("!document.querySelector(\"{}\")", at("group-group_1")));

    // Lunch after the first move.
    let change = |page: &mut dyn checks::browser::Engine| -> f64 {
        page.value_of(&at("pack-change")).parse().expect("a number")
    };
    let before_min = change(page);
    let rest = page.run("return document.querySelector(\"details[data-test^='break-more-']\").dataset.test");
    let rest = rest.as_str().expect("a place between two moves").replace("-more", "");
    page.tap(&format!("{} > summary", at(&rest.replace("break", "break-more"))));
    page.tap(&at(&rest));
    page.wait("a break in the day", &format!("document.querySelectorAll(\"{}\").length === 1", at("day-break")));
    page.enter(&at(&format!("{rest}-length")), "90");
    assert!((change(page) - before_min).abs() < 1e-9, "the change falls before lunch");
    // The first move nearly empties the packs: they are changed at lunch, and the drawing has it.
    let lasts_h = (before_min - 360.0) / 60.0;
    let hours = (10.0 * 0.95 * lasts_h / 0.6).round() / 10.0;
    page.enter(&at("day-hours"), &format!("{hours}"));
    let told =
        page.wait("a change at lunch", &format!("document.querySelector(\"{}\")?.innerText", at("break-change")));
    let told = told.as_str().expect("words");
    assert!(told.starts_with("Change the packs in the break after ") && told.contains("min into "), "{told}");
    let lunch_min: f64 = page.value_of(&at("break-change")).parse().expect("a number");
    assert!((lunch_min - 360.0 - 36.0 * hours).abs() < 0.1, "{lunch_min}");
    page.wait("it drawn", &format!("document.querySelector(\"{}\") && true", at("day-planned")));
    // A break that is too short for its word bears the number under which it stands below, and nothing is cut.
    page.enter(&at(&format!("{rest}-length")), "10");
    page.wait("its number", &format!("/^2 /.test(document.querySelector(\"{}\").innerText)", at("day-break")));
    let names = page.run(
        "return [...document.querySelectorAll('.day__name')].map(each => each.textContent).filter(each => /…/.test(each))",
    );
    assert_eq!(names, serde_json::json!([]), "a word is cut");
    page.enter(&at(&format!("{rest}-length")), "90");
    page.enter(&at("day-hours"), "2");
    page.wait("a day on one set", &format!("!document.querySelector(\"{}\")", at("pack-change")));
    let day = format!("/to 09:30/.test(document.querySelector(\"{}\").innerText)", at("day"));
    page.wait("a day that ends later by the lunch", &day);
}

in_engines!(a_day_on_packs);
in_engines!(a_plate_and_a_lunch);
