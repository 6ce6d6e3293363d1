//! Links and files of format 0 as they were once written: what they hold must come back for ever.
//!
//! Until format 0 is frozen a package may still grow. When a change is meant, the fixtures are written anew by
//! `COUNTERPOISE_GOLDEN=write cargo test -p codec --features json --test golden`, and the commit says why.

#![cfg(feature = "json")]

mod random;

use std::path::PathBuf;

use codec::{Document, file, library, link};

/// The fixtures: the demonstration, and packages that between them use every option of the format.
const NAMES: [&str; 5] = ["demo", "shapes_3", "shapes_13", "shapes_20", "shapes_31"];

fn path(name: &str, ending: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden/format0").join(format!("{name}.{ending}"))
}

fn read(name: &str, ending: &str) -> String {
    let path = path(name, ending);
    std::fs::read_to_string(&path).unwrap_or_else(|fault| panic!("{}: {fault}", path.display())).trim_end().to_owned()
}

/// The document of a fixture, made anew: only for writing the fixtures.
fn source(name: &str) -> Document {
    match name.split_once('_') {
        Some((_, seed)) => random::document(seed.parse().expect("a seed")),
        None => library::demo().into(),
    }
}

fn write_fixtures() {
    for name in NAMES {
        let document = source(name);
        let texts = [
            ("json", file::to_json(&document).expect("finite numbers")),
            ("link", link::encode(&document).expect("in range") + "\n"),
            ("whole.link", link::encode_whole(&document).expect("in range") + "\n"),
        ];
        for (ending, text) in texts {
            std::fs::write(path(name, ending), text).expect("the fixture can be written");
        }
    }
}

#[test]
fn links_and_files_of_format_0_open_and_are_written_the_same() {
    if std::env::var_os("COUNTERPOISE_GOLDEN").is_some() {
        write_fixtures();
    }
    for name in NAMES {
        let kept = file::from_json(&read(name, "json")).unwrap_or_else(|fault| panic!("{name}.json: {fault}"));
        for ending in ["link", "whole.link"] {
            let opened = link::decode(&read(name, ending)).unwrap_or_else(|fault| panic!("{name}.{ending}: {fault}"));
            assert!(opened == kept, "{name}.{ending} opens to something else than its file");
        }
        assert_eq!(link::encode(&kept).as_deref(), Ok(read(name, "link").as_str()), "{name}: another link");
        assert_eq!(link::encode_whole(&kept).as_deref(), Ok(read(name, "whole.link").as_str()), "{name}: another link");
        let written = file::to_json(&kept).expect("finite numbers");
        assert_eq!(written.trim_end(), read(name, "json"), "{name}: another file");
    }
}

/// The fixtures would be poor ones if they left sections out.
#[test]
fn the_fixtures_use_every_section() {
    for (section, id) in link::SECTIONS {
        let used = NAMES.iter().any(|name| {
            let kept = file::from_json(&read(name, "json")).expect("a fixture");
            link::section_content(&kept, *id).is_some_and(|content| content.len() > 1)
        });
        assert!(used, "no fixture has anything in the section {section}");
    }
}
