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
    page.enter(&at("charge-hours"), "1");
    let round = format!("/comes round/.test(document.querySelector(\"{}\")?.innerText)", at("chargers"));
    page.wait("sets that come round", &round);
    let count = format!("document.querySelectorAll(\"{}\").length", at("pack-change"));
    assert!(page.run(&format!("return {count}")).as_u64() > Some(2), "a long day has more pack changes");

    // What is printed on a pack decides whether it flies.
    let class = format!("document.querySelector(\"{}\")?.innerText", at("flying"));
    page.wait("packs too large for passengers", &format!("/not with passengers/.test({class})"));
    page.enter(&at("rated-28"), "98");
    page.enter(&at("rated-29"), "98");
    page.wait(
        "packs for the cabin",
        &format!("/in cabin baggage, each with/.test({class}) && !/not with/.test({class})"),
    );

    // A tap is told its true limit, and the answers say so.
    page.tap(&format!("{} summary", at("tap-more-camera")));
    page.enter(&at("tap-camera-limit"), "2");
    page.tap(&at("to-answers"));
    page.wait("the finding", "/Camera tap carries/.test(document.body.innerText)");
}

in_engines!(a_day_on_packs);
