//! A move by real taps: the state of a sea is chosen as a skipper says it, and the torque follows as in the terminal.

use checks::browser::{Kind, Server, start};
use checks::command;
use serde_json::{Value, json};

use crate::answers::{of_command_line, of_page, same};
use crate::{at, dist};

/// The demonstration with its first move in a sea of state 4: waves of 2.5 m by WMO code table 3700, 5.00·√2.5 s for a
/// sea that is fully grown. The boat leans as before.
fn in_a_moderate_sea() -> String {
    let path = checks::fixture::home().join("packages/demo.json");
    let mut demo: Value = serde_json::from_str(&std::fs::read_to_string(path).expect("the demo")).expect("JSON");
    let motion = &mut demo["sections"]["moves"]["data"][0]["motion"];
    let lean_rad = motion["own"]["lean_rad"].clone();
    *motion = json!({ "sea": { "height_m": 2.5, "period_s": 7.91, "lean_rad": lean_rad, "slam_m_s2": 0.0 } });
    demo.to_string()
}

fn a_sea_is_chosen_by_its_state(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = start(kind);
    page.like_a_phone();
    page.open(&server.address("/"));
    let before = of_page(&mut *page);
    page.tap(&at("tab-moves"));
    page.tap(&at("move-1"));
    page.tap(&format!("{} > summary", at("move-more-motion")));
    page.tap(&format!("label:has(> {})", at("move-1-motion-2")));
    page.tap(&format!("label:has(> {})", at("move-1-sea-3")));
    page.wait(
        "the highest waves of that state",
        &format!("document.querySelector(\"{}\")?.value === '2.5'", at("move-1-height_m")),
    );
    // Of waves that somebody has measured the state is told.
    page.enter(&at("move-1-height_m"), "1.2");
    let slight = format!("document.querySelector(\"{}\").checked", at("move-1-sea-2"));
    page.wait("the state of these waves", &slight);
    page.tap(&format!("label:has(> {})", at("move-1-sea-3")));
    page.tap(&at("tab-answers"));
    let shown = of_page(&mut *page);
    let path = command::scratch_file(&format!("{kind:?}-sea"), "sea.json", &in_a_moderate_sea());
    same(&shown, &of_command_line(&path.display().to_string()));
    assert!(shown["torque-1-tilt"].to_bits() != before["torque-1-tilt"].to_bits(), "the sea changes nothing");
    assert_eq!(server.policy_reports(), Vec::<String>::new(), "the content security policy was broken");
}

in_engines!(a_sea_is_chosen_by_its_state);

/// What is seldom set is folded, and every line tells what it holds; a number that cannot be taken is never out of
/// sight.
fn folded_lines_tell_what_they_hold(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = start(kind);
    page.like_a_phone();
    page.open(&server.address("/"));
    page.tap(&at("tab-moves"));
    page.tap(&at("move-1"));
    page.wait("the move", &format!("document.querySelector(\"{}\") && true", at("move-more-takes")));
    let height_px = page.run("return document.querySelector('main').scrollHeight").as_f64().expect("a height");
    assert!(height_px < 1950.0, "{height_px} px of a move");
    let line = |test: &str| format!("document.querySelector(\"{} > summary\").innerText", at(test));
    for (test, told) in [
        ("move-more-motion", "leans "),
        ("move-more-isolator", "none"),
        ("move-more-air", "sea level"),
        ("move-more-ranges", "tilt "),
        ("move-more-takes", " a minute"),
    ] {
        let words = page.run(&format!("return {}", line(test)));
        assert!(words.as_str().is_some_and(|words| words.contains(told)), "{test}: {words}");
    }
    // A line follows its field, in the field's digits.
    page.tap(&format!("{} > summary", at("move-more-air")));
    page.enter(&at("move-1-air"), "-12.5");
    page.wait("the frost in the line", &format!("/\u{2212}12\\.5.°C/.test({})", line("move-more-air")));
    // What cannot be taken is told by the closed line, until it is mended.
    page.enter(&at("move-1-air"), "warm");
    // A window that is not in front gets no event when the focus goes, so it is sent one.
    page.run(&format!(
        "document.querySelector(\"{}\").dispatchEvent(new Event('blur')); return true",
        at("move-1-air")
    ));
    page.tap(&format!("{} > summary", at("move-more-air")));
    page.wait("the fault in the line", &format!("/Check a number/.test({})", line("move-more-air")));
    page.tap(&format!("{} > summary", at("move-more-air")));
    page.enter(&at("move-1-air"), "15");
    page.wait("the number to count", &format!("/15.°C/.test({})", line("move-more-air")));
    page.run(&format!(
        "document.querySelector(\"{}\").dispatchEvent(new Event('blur')); return true",
        at("move-1-air")
    ));
    page.tap(&format!("{} > summary", at("move-more-air")));
    page.wait("no fault", &format!("/15.°C/.test({0}) && !/Check/.test({0})", line("move-more-air")));
    // It goes from its own screen, and undo brings it back into the list.
    page.tap(&at("move-remove-1"));
    page.wait(
        "the list without it",
        &format!("location.hash === '#/moves' && !document.querySelector(\"{}\")", at("move-1")),
    );
    page.tap(&at("undo"));
    page.wait("the list with it", &format!("document.querySelector(\"{}\") && true", at("move-1")));
    assert_eq!(server.policy_reports(), Vec::<String>::new(), "the content security policy was broken");
}

in_engines!(folded_lines_tell_what_they_hold);
