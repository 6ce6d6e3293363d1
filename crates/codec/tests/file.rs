//! The file: lossless, with sections of other versions kept, and every fault named.

#![cfg(feature = "json")]

mod random;

use std::collections::BTreeSet;

use codec::file::{FileError, from_json, to_json};
use codec::{Document, library, link};
use proptest::prelude::*;
use serde_json::{Value, json};

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_document_comes_back_the_same(seed: u64) {
        let document = random::document(seed);
        let text = to_json(&document).expect("finite numbers");
        prop_assert!(from_json(&text) == Ok(document), "changes on the way");
    }

    #[test]
    fn random_text_never_panics(text in "[\\[\\]{}\":,a-z0-9. -]{0,200}") {
        let _ = from_json(&text);
    }
}

fn demo() -> Value {
    let text = to_json(&library::demo().into()).expect("finite numbers");
    serde_json::from_str(&text).expect("JSON")
}

fn faults(file: &Value) -> Vec<String> {
    match from_json(&file.to_string()) {
        Err(FileError::Faults(faults)) => faults.iter().map(ToString::to_string).collect(),
        other => panic!("it must be refused field by field, not {other:?}"),
    }
}

#[test]
fn the_demonstration_file_is_the_demonstration() {
    let text = include_str!("../../../tests/packages/demo.json");
    assert_eq!(from_json(text), Ok(Document::from(library::demo())));
}

#[test]
fn a_section_of_another_version_is_kept_and_named() {
    let mut file = demo();
    let structure = json!({ "version": 4, "data": { "beams": [1, 2.5, null, true, { "name": "Größe" }] } });
    file["sections"]["beams"] = structure.clone();
    let document = from_json(&file.to_string()).expect("it opens all the same");
    assert_eq!(document.foreign_names().collect::<Vec<_>>(), ["beams"]);
    let written: Value = serde_json::from_str(&to_json(&document).expect("finite")).expect("JSON");
    assert_eq!(written["sections"]["beams"], structure);
    // Through a link and back it is the same section.
    let linked = link::decode(&link::encode(&document).expect("in range")).expect("it opens");
    assert_eq!(linked, document);
}

#[test]
fn every_section_names_its_own_fault() {
    let mut file = demo();
    file["sections"]["head"]["data"]["crossover_hz"] = json!("six");
    file["sections"]["parts"]["data"][2]["mass"]["own"]["kg"] = json!("0,9");
    file["sections"]["parts"]["data"][7]["kind"] = json!("lamp");
    file["sections"]["lenses"]["data"][0].as_object_mut().expect("a lens").remove("cg_ahead_m");
    file["sections"]["day"]["data"] = json!([]);
    let faults = faults(&file);
    let expected =
        ["head.crossover_hz", "parts[2].mass.own.kg", "parts[7].kind", "lenses[0]: missing field `cg_ahead_m`", "day"];
    for field in expected {
        assert!(faults.iter().any(|fault| fault.starts_with(field)), "{field} is not in {faults:#?}");
    }
    assert_eq!(faults.len(), expected.len(), "{faults:#?}");
}

#[test]
fn missing_and_newer_sections_are_named() {
    let mut file = demo();
    file["sections"].as_object_mut().expect("sections").remove("head");
    file["sections"]["moves"]["version"] = json!(9);
    let faults = faults(&file);
    assert!(faults.contains(&"sections.head: is missing".to_owned()), "{faults:#?}");
    assert!(faults.iter().any(|fault| fault.starts_with("sections.moves: made by a newer version")), "{faults:#?}");
}

#[test]
fn what_is_no_package_file_says_so() {
    assert_eq!(from_json("[1, 2]"), Err(FileError::NotOurs));
    assert_eq!(from_json("{\"format\": 0}"), Err(FileError::NotOurs));
    assert!(matches!(from_json("{\"format\": 12}"), Err(FileError::TooNew { found: 12, newest: 0 })));
    assert!(matches!(from_json("{\"format\": 0, "), Err(FileError::NotJson { line: 1, .. })));
}

/// A file from another program may have more digits than are stored: they are rounded on the way in.
#[test]
fn numbers_are_rounded_to_their_storage_steps() {
    let mut file = demo();
    file["sections"]["package"]["data"]["mount"]["flange_ahead_m"] = json!(0.012_345_678);
    let document = from_json(&file.to_string()).expect("a good file");
    assert!((document.package.mount.flange_ahead_m - 0.0123).abs() < 1e-15);
}

/// The shape that a browser reads with its own JSON is the same one.
#[test]
fn serde_alone_reads_the_same_file() {
    let document: Document = serde_json::from_value(demo()).expect("the same shape");
    assert_eq!(document, library::demo().into());
}

/// Every section that is written is one that no other may be named after.
#[test]
fn the_sections_of_a_file_are_the_known_ones() {
    let mut written: BTreeSet<String> = BTreeSet::new();
    for seed in 0..60 {
        let document = Document { foreign: Vec::new(), ..random::document(seed) };
        let file: Value = serde_json::from_str(&to_json(&document).expect("finite")).expect("JSON");
        written.extend(file["sections"].as_object().expect("sections").keys().cloned());
    }
    assert_eq!(written, codec::file::SECTIONS.iter().map(|name| (*name).to_owned()).collect());
}

/// What a file holds can be sent as a link and kept by a device; what is nested too deeply for that is refused by name.
#[test]
fn a_file_holds_nothing_that_a_link_cannot() {
    let nested = |levels: usize| {
        let mut file = demo();
        let data = (1..levels).fold(json!(1), |inner, _| json!([inner]));
        file["sections"]["beams"] = json!({ "version": 1, "data": data });
        file
    };
    let document = from_json(&nested(32).to_string()).expect("the deepest that is read");
    assert_eq!(link::decode(&link::encode(&document).expect("in range")), Ok(document));
    assert_eq!(faults(&nested(33)), ["sections.beams: nested too deeply"]);
}
