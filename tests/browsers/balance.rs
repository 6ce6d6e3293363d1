//! Balance step by step, by taps alone: a person who knows only what the head does, a reload in the middle, a log, and
//! what was learned.

use checks::browser::{Engine, Kind, Server, start};
use serde_json::Value;
use std::collections::BTreeMap;

use crate::{at, dist};

/// How far the true mark lies from the first one shown, m.
const OFF_M: [(&str, f64); 4] = [("plate", 0.0072), ("height", -0.0041), ("side", 0.0), ("pan_slide", 0.0105)];
/// Friction holds the slides of the demonstration at least so far, m.
const ZONE_M: f64 = 0.0012;
/// And the slide of its pan axis, m.
const PAN_ZONE_M: f64 = 0.008;

fn text(page: &mut dyn Engine, test: &str) -> String {
    let found = page.wait(test, &format!("document.querySelector(\"{}\")?.innerText", at(test)));
    found.as_str().expect("words").to_owned()
}

/// The step on the screen: joint, slide or `look`, and the mark if one is to be set.
fn step(page: &mut dyn Engine) -> Option<(String, String, Option<f64>)> {
    let found = page.run(
        "const step = document.querySelector(\"[data-test='balance-step']\");
        const mark = document.querySelector(\"[data-test='balance-mark']\");
        return step && [...step.dataset.value.split(' '), mark?.dataset.value ?? null]",
    );
    let part = |index: usize| found.get(index).and_then(Value::as_str).map(str::to_owned);
    Some((part(0)?, part(1)?, part(2).and_then(|mark| mark.parse().ok())))
}

/// What a head does whose true mark lies so far above the one that is set: common practice, no source. A camera that is
/// too far back drops its tail, one that hangs too low tips forward from lens up, one too far right drops its right side,
/// and a nose that is too light swings uphill.
fn behaviour(slide: &str, above_m: f64) -> &'static str {
    match (slide, above_m > 0.0) {
        ("plate", true) => "tail drops",
        ("plate", false) => "nose drops",
        ("height", true) => "lens tips forward",
        ("height", false) => "lens tips back",
        ("side", true) => "right side drops",
        ("side", false) => "left side drops",
        (_, true) => "uphill",
        (_, false) => "downhill",
    }
}

/// Taps the answer that says so.
fn say(page: &mut dyn Engine, words: &str) {
    let answer = page.wait(
        words,
        &format!(
            "[...document.querySelectorAll(\"[data-test^='answer-']\")]
                .find(e => e.innerText.toLowerCase().includes({}))?.dataset.test",
            Value::from(words)
        ),
    );
    let tried = format!("document.querySelector(\"{}\")", at("balance-step"));
    page.run(&format!("{tried}.seen = true; return true"));
    page.tap(&at(answer.as_str().expect("a name")));
    page.wait("the answer to be taken", &format!("!{tried}?.seen"));
}

/// Answers the step on the screen as the true head would.
fn answer(page: &mut dyn Engine, true_m: &mut BTreeMap<String, f64>) {
    let (joint, slide, mark_m) = step(page).expect("a step");
    answer_at(page, &slide, mark_m, true_m);
    // How the head must stand for another step is what is seen first, however far down the last answer was.
    if step(page).is_some_and(|(next_joint, next, _)| (next_joint, next) != (joint, slide)) {
        let pose = format!("document.querySelector(\"{}\")?.getBoundingClientRect().top >= 0", at("balance-pose"));
        page.wait("the pose of the next step in view", &pose);
    }
}

fn answer_at(page: &mut dyn Engine, slide: &str, mark_m: Option<f64>, true_m: &mut BTreeMap<String, f64>) {
    let Some(mark_m) = mark_m else { return say(page, "it stays") };
    let off_m = OFF_M.iter().find(|(id, _)| *id == slide).expect("a slide of the demonstration").1;
    let above_m = *true_m.entry(slide.to_owned()).or_insert(mark_m + off_m) - mark_m;
    let zone_m = if slide == "pan_slide" { PAN_ZONE_M } else { ZONE_M };
    if above_m.abs() <= zone_m { say(page, "it stays") } else { say(page, behaviour(slide, above_m)) }
}

fn wait_until_kept(page: &mut dyn Engine) {
    page.wait("it to be kept", &format!("document.querySelector(\"{}\")?.dataset.value === 'saved'", at("kept")));
}

fn step_by_step(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = start(kind);
    let page = page.as_mut();
    page.like_a_phone();
    page.open(&server.address("/"));
    page.tap(&at("job-balance"));
    page.tap(&at("ready-caps"));
    page.tap(&at("ready-all"));
    page.wait("the first step", &format!("document.querySelector(\"{}\") && true", at("balance-step")));
    assert_eq!(text(page, "balance-locks"), "Tilt: lock off. Locked: Pan, Roll.");
    let mut true_m = BTreeMap::new();
    answer(page, &mut true_m);

    // An answer taken back asks again for the same; the phone dies, and nothing is lost.
    let second = step(page);
    say(page, "nose drops");
    assert_ne!(step(page), second);
    page.tap(&at("answer-back"));
    page.wait(
        "the answer to be taken back",
        &format!("document.querySelectorAll(\"{} li\").length === 1", at("balance-tried")),
    );
    assert_eq!(step(page), second);
    wait_until_kept(page);
    page.reload();
    page.wait("the step to be there again", &format!("document.querySelector(\"{}\") && true", at("balance-step")));
    assert_eq!(step(page), second, "not the same step after the reload");
    assert_eq!(text(page, "balance-tried").matches("tail drops").count(), 1);

    let mut settings = 1;
    while step(page).is_some() {
        answer(page, &mut true_m);
        settings += 1;
        assert!(settings < 30, "it comes to no end: {:?}", step(page));
    }
    assert!(text(page, "balance-verdict").starts_with("It hangs."));

    page.tap(&at("balance-log"));
    page.tap(&at("see-learned"));
    assert!(text(page, "agreement").contains("agree"), "{}", text(page, "agreement"));
    let learned = text(page, "learned-axes");
    // The plate had to go forward: what hangs on the axis lies further back than was entered, and nothing is made of roll.
    assert!(learned.contains("Tilt: all that it carries hangs") && learned.contains("further back"), "{learned}");
    assert!(text(page, "log-1").contains("Pan, Roll, Tilt"), "{}", text(page, "log-1"));

    // The next prediction is what was found.
    page.tap(&at("tab-answers"));
    let found_m: f64 = page.value_of(&at("mark-plate")).parse().expect("a number");
    assert!((found_m - true_m["plate"]).abs() < 0.002, "{found_m} for {}", true_m["plate"]);

    // A log can be taken back, and undone again.
    page.run("location.hash = '#/balance/logs'");
    page.tap(&at("log-remove-1"));
    page.wait("the log to be gone", &format!("!document.querySelector(\"{}\")", at("log-1")));
    page.tap(&at("undo"));
    page.wait("the log to be back", &format!("document.querySelector(\"{}\") && true", at("log-1")));
    wait_until_kept(page);
}

in_engines!(step_by_step);

#[test]
fn a_balance_is_logged_by_hand_and_its_doubt_is_shown() {
    let server = Server::start(&dist());
    let mut page = start(Kind::Chromium);
    let page = page.as_mut();
    page.like_a_phone();
    page.open(&server.address("/#/balance/sure"));
    let advice = text(page, "sure-plate-advice");
    assert!(advice.contains("falls from"), "{advice}");
    assert!(text(page, "sure-plate-chance").contains("within travel"), "{}", text(page, "sure-plate-chance"));
    let before = text(page, "sure-plate-mark");
    page.run("location.hash = '#/balance/logs'");
    page.enter(&at("log-plate"), "64");
    page.tap(&at("log-axis-tilt"));
    page.tap(&at("log-by-hand"));
    page.wait("the log", &format!("document.querySelector(\"{}\") && true", at("log-1")));
    assert!(text(page, "log-1").contains("Plate 64"), "{}", text(page, "log-1"));
    page.run("location.hash = '#/balance/sure'");
    assert_ne!(text(page, "sure-plate-mark"), before, "the log changed nothing");
}

/// The camera on one scale: guessed masses follow, and undo takes it back.
#[test]
fn a_camera_weighed_whole_corrects_what_was_guessed() {
    let server = Server::start(&dist());
    let mut page = start(Kind::Chromium);
    let page = page.as_mut();
    page.like_a_phone();
    page.open(&server.address("/#/parts/weigh"));
    page.tap(&at("weigh-whole"));
    let says = |page: &mut dyn Engine| text(page, "whole-says");
    let before = says(page);
    page.enter(&at("whole-mass"), "16.4");
    page.tap(&at("log-whole"));
    page.wait("the log", &format!("document.querySelector(\"{}\") && true", at("log-1")));
    assert!(text(page, "log-1").contains("Weighed whole: 16.40"), "{}", text(page, "log-1"));
    let after = says(page);
    assert!(before.contains("15.6\u{a0}kg") && after.contains("16.29\u{a0}kg"), "{before} then {after}");
    page.tap(&at("undo"));
    page.wait("the weight to be taken back", &format!("!document.querySelector(\"{}\")", at("log-1")));
    assert_eq!(says(page), before);
}

/// A camera 7 mm too far back on a plate that moves some 15.6 kg: 0.107 kg·m, which a lever of 300 mm shows as 3.5 N, more
/// by friction while it rises and less by as much while it sinks.
#[test]
fn a_spring_gauge_takes_the_place_of_an_answer() {
    let server = Server::start(&dist());
    let mut page = start(Kind::Chromium);
    let page = page.as_mut();
    page.like_a_phone();
    page.open(&server.address("/#/balance"));
    page.tap(&at("ready-all"));
    let first_m: f64 = page.value_of(&at("balance-mark")).parse().expect("a number");
    page.tap(&format!("{} summary", at("balance-gauge")));
    page.enter(&at("gauge-raising"), "4.4");
    page.enter(&at("gauge-lowering"), "2.6");
    page.enter(&at("gauge-lever"), "300");
    page.tap(&at("gauge-minus"));
    page.wait("the reading to be taken", &format!("document.querySelector(\"{} li\") && true", at("balance-tried")));
    let next_m: f64 = page.value_of(&at("balance-mark")).parse().expect("a number");
    let moved_m = next_m - first_m;
    assert!((0.0055..0.0085).contains(&moved_m), "{moved_m}");
}

/// The marks at which the axis just begins to turn, either way: wrong ones are refused, the width is the friction, the middle
/// is where it stands, and the log says how it was found.
fn both_ends_are_felt_for(kind: Kind) {
    let server = Server::start(&dist());
    let mut page = start(kind);
    let page = page.as_mut();
    page.like_a_phone();
    page.open(&server.address("/#/balance"));
    page.tap(&at("ready-all"));
    let mark_m: f64 = page.value_of(&at("balance-mark")).parse().expect("a number");
    let mm = |off_m: f64| format!("{:.1}", 1e3 * (mark_m + off_m));
    page.tap(&format!("{} summary", at("balance-ends")));
    page.enter(&at("ends-low"), &mm(0.003));
    page.enter(&at("ends-high"), &mm(-0.002));
    let says = |words: &str| format!("document.querySelector(\"{}\").innerText.includes('{words}')", at("ends-found"));
    page.wait("the marks to be refused", &says("the wrong way round"));
    page.enter(&at("ends-low"), &mm(-0.003));
    page.enter(&at("ends-high"), &mm(0.003_2));
    page.wait("the middle", &says("Set it to"));
    let found = text(page, "ends-found");
    assert!(found.contains(&format!("Set it to {}", mm(0.000_1))), "{found}");

    // Friction goes with the width: 6 mm in all, and it was believed to hold some 2 either way.
    let zone = |page: &mut dyn Engine| {
        let words = text(page, "balance-believed");
        let number = words.rsplit('\u{b1}').next().and_then(|rest| rest.split_whitespace().next().map(str::to_owned));
        number.and_then(|number| number.trim_end_matches("mm.").trim().parse::<f64>().ok()).expect("a hold zone")
    };
    assert!(zone(page) < 2.4, "{}", text(page, "balance-believed"));
    page.tap(&at("ends-friction"));
    page.wait(
        "the hold zone to follow",
        &format!("document.querySelector(\"{}\").innerText.includes('within \u{b1}3')", at("balance-believed")),
    );
    page.tap(&at("ends-take"));
    page.wait(
        "the step to be done",
        &format!("document.querySelector(\"{}\").innerText.startsWith('stays at')", at("came-0")),
    );
    say(page, "it stays");
    say(page, "it stays");
    page.tap(&at("balance-log"));
    page.tap(&at("see-learned"));
    let log = text(page, "log-1");
    assert!(log.contains("Tilt, with") && log.contains("both ends felt for"), "{log}");
}

in_engines!(both_ends_are_felt_for);
