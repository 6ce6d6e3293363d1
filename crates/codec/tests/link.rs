//! The link: lossless, short, and safe to open whoever sent it.

mod random;

use codec::json::Json;
use codec::link::{self, LinkError, Unsendable};
use codec::{Body, Document, Foreign, file, library};
use proptest::prelude::*;
use random::Random;

fn demo_link() -> String {
    link::encode(&library::demo().into()).expect("the demonstration is valid")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_document_comes_back_the_same(seed: u64) {
        let document = random::document(seed);
        for text in [link::encode(&document), link::encode_whole(&document)] {
            let text = text.expect("numbers are in range");
            prop_assert!(text.ends_with(|last: char| last.is_ascii_alphabetic()));
            prop_assert!(link::decode(&text).as_ref() == Ok(&document), "changes on the way");
        }
    }

    #[test]
    fn random_letters_never_open(letters in "[A-Za-z0-9_-]{0,400}") {
        let _ = link::decode(&letters);
        let text = format!("c0.{letters}");
        prop_assert!(link::decode(&text).is_err());
    }

    #[test]
    fn random_bodies_under_a_good_checksum_never_panic(body in prop::collection::vec(any::<u8>(), 0..300), deflated: bool) {
        let _ = link::decode(&link::seal(&body, deflated));
    }
}

/// A good link with one byte of its body changed and a checksum that fits again: what a clumsy or hostile writer makes.
#[test]
fn resealed_damage_never_panics_and_never_leaves_the_ranges() {
    let random = &mut Random::new(1);
    let mut opened = 0;
    for seed in 0..40 {
        let raw = link::raw(&random::document(seed)).expect("numbers are in range");
        for _ in 0..200 {
            let mut bytes = raw.clone();
            for _ in 0..=random.below(3) {
                let place = random.below(bytes.len());
                bytes[place] = random.next().to_le_bytes()[0];
            }
            if let Ok(document) = link::decode(&link::seal(&bytes, false)) {
                opened += 1;
                let again = link::encode(&document).expect("what opens is within its ranges");
                assert_eq!(link::decode(&again), Ok(document));
            }
        }
    }
    assert!(opened > 100, "the damage is so heavy that nothing opens: {opened}");
}

#[test]
fn a_link_is_found_in_an_address_and_in_a_message() {
    let link = demo_link();
    let demo = Ok(Document::from(library::demo()));
    for text in [
        format!("https://example.org/counterpoise/#{link}"),
        format!("Marks for tonight: https://example.org/#{link}. See you at six"),
        format!("  {link}\n"),
        format!("({link})"),
        format!("<{}\r\n{}\n {}>", &link[..100], &link[100..250], &link[250..]),
    ] {
        assert_eq!(link::decode(&text), demo, "{text}");
    }
}

#[test]
fn every_cut_is_named_as_such() {
    let link = demo_link();
    for end in 3..link.len() {
        assert_eq!(link::decode(&link[..end]), Err(LinkError::Incomplete), "cut at {end}");
    }
    let cut = format!("{} and a few words that are no part of it", &link[..link.len() - 9]);
    assert_eq!(link::decode(&cut), Err(LinkError::Incomplete));
}

#[test]
fn every_changed_letter_is_noticed() {
    let link = demo_link();
    for place in 3..link.len() {
        let mut letters = link.clone().into_bytes();
        letters[place] = if letters[place] == b'A' { b'B' } else { b'A' };
        let text = String::from_utf8(letters).expect("ASCII");
        let error = link::decode(&text).expect_err("a changed link must not open");
        assert!(
            matches!(error, LinkError::Altered | LinkError::Incomplete | LinkError::TooLarge),
            "changed at {place}: {error}"
        );
    }
}

#[test]
fn what_is_not_ours_or_newer_is_named() {
    for text in ["", "hello", "https://example.org/#d=abc", "see c.1 and abc0.77", "c0"] {
        assert_eq!(link::decode(text), Err(LinkError::NotOurs), "{text}");
    }
    for text in ["c7.AAAA", "https://example.org/#c7.AAAA"] {
        assert_eq!(link::decode(text), Err(LinkError::TooNew { found: 7, newest: 0 }), "{text}");
    }
    assert_eq!(link::decode("filter c1.5 mm"), Err(LinkError::NotOurs));
}

/// Half a million beginnings of a link and no link: this takes a moment, and minutes where the rest of the text is looked
/// through for every one.
#[test]
fn a_long_text_without_a_link_is_gone_through_once() {
    assert_eq!(link::decode(&"c-".repeat(500_000)), Err(LinkError::NotOurs));
}

/// A section in disguise: a file that this document is saved in would hold two of the name, and the later one counts.
#[test]
fn no_unknown_section_takes_the_place_of_another() {
    let with = |names: &[&str]| {
        let mut document = Document::from(library::demo());
        let body = Body::Json(Json::Null);
        document.foreign.extend(names.iter().map(|name| Foreign {
            name: (*name).into(),
            version: 1,
            body: body.clone(),
        }));
        link::decode(&link::encode(&document).expect("in range")).map(|document| document.foreign.len())
    };
    for name in file::SECTIONS {
        assert_eq!(with(&[name]), Err(LinkError::Altered), "{name}");
    }
    assert_eq!(with(&["beams", "beams"]), Err(LinkError::Altered));
    assert_eq!(with(&["beams", "cables"]), Ok(2));
}

#[test]
fn a_flood_is_refused_before_it_unfolds() {
    // A megabyte of zeros packs into about a thousand bytes.
    let packed = miniz_oxide::deflate::compress_to_vec(&vec![0; 1 << 20], 10);
    assert_eq!(link::decode(&link::seal(&packed, true)), Err(LinkError::TooLarge));
}

#[test]
fn a_package_out_of_range_gets_no_link() {
    let mut package = library::demo();
    package.mount.flange_ahead_m = f64::NAN;
    package.moves[0].airspeed_m_s = 400.0;
    let Err(Unsendable::OutOfRange(faults)) = link::encode(&package.into()) else { panic!("it must not be sent") };
    let fields: Vec<String> = faults.iter().map(|fault| fault.field.to_string()).collect();
    assert_eq!(fields, ["mount.flange_ahead_m", "moves[0].airspeed_m_s"]);
}
