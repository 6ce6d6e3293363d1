//! Trim weights by real taps: none for the zoom, with the reason; for the primes they are brought along and taken back.

use checks::browser::{Engine, Kind};

use crate::at;
use crate::lens_set::{at_the_lenses, words};

fn lens_is(page: &mut dyn Engine, test: &str, state: &str) {
    let wanted = format!("document.querySelector(\"{}[data-value='{state}']\") && true", at(test));
    page.wait(&format!("{test} {state}"), &wanted);
}

fn a_lighter_prime_gets_its_weights_and_the_zoom_says_why_not(kind: Kind) {
    let (server, mut page) = at_the_lenses(kind);
    page.tap(&at("to-common"));
    page.tap(&format!("{} summary", at("trim")));
    lens_is(&mut *page, "trim-1", "none");
    let why = words(&mut *page, "trim-1");
    assert!(why.contains("lighter, and the weights at hand come to") && why.contains("Nearest: hang "), "{why}");
    // Without the zoom the heaviest is a prime.
    page.tap(&at("common-6"));
    lens_is(&mut *page, "trim-1", "weights");
    let hang = words(&mut *page, "trim-1");
    assert!(hang.contains("Hang 0.1\u{a0}kg on the front of the rods.") && !hang.contains("; Hang"), "{hang}");
    page.tap(&at("trim-bring-1"));
    lens_is(&mut *page, "trim-1", "matches");
    assert!(words(&mut *page, "trimmed").contains("Undo"));
    page.tap(&at("undo"));
    lens_is(&mut *page, "trim-1", "weights");
    assert_eq!(server.policy_reports(), Vec::<String>::new(), "the content security policy was broken");
}

in_engines!(a_lighter_prime_gets_its_weights_and_the_zoom_says_why_not);
