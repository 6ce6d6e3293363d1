//! What a stranger may send: links, files, and every section under a good checksum. Whatever comes in is either refused
//! or opens within its ranges and travels on unchanged; it never panics.
//!
//! The environment variable `COUNTERPOISE_FUZZ_TARGET` says which door is tried: `link`, `file`, or the name of a
//! section. Seeds come from the generator of the codec's own tests: `COUNTERPOISE_FUZZ_SEEDS` names a directory for
//! them, and then nothing else is done.
#![no_main]

#[path = "../../../crates/codec/tests/random/mod.rs"]
mod random;

use std::path::Path;
use std::sync::OnceLock;

use codec::link::{self, SECTIONS};
use codec::{Document, file};
use libfuzzer_sys::fuzz_target;

/// Seeds for each target.
const SEEDS: u64 = 48;

/// A door that strangers come to.
#[derive(Clone, Copy)]
enum Target {
    Link,
    File,
    Section(u32),
}

impl Target {
    fn asked() -> Self {
        static ASKED: OnceLock<Target> = OnceLock::new();
        *ASKED.get_or_init(|| {
            let name = std::env::var("COUNTERPOISE_FUZZ_TARGET").unwrap_or_default();
            let target = Self::named(&name).unwrap_or_else(|| panic!("there is no target `{name}`"));
            if let Some(home) = std::env::var_os("COUNTERPOISE_FUZZ_SEEDS") {
                target.write_seeds(Path::new(&home));
                std::process::exit(0);
            }
            target
        })
    }

    fn named(name: &str) -> Option<Self> {
        match name {
            "link" => Some(Self::Link),
            "file" => Some(Self::File),
            _ => SECTIONS.iter().find(|(known, _)| *known == name).map(|(_, id)| Self::Section(*id)),
        }
    }

    fn write_seeds(self, home: &Path) {
        std::fs::create_dir_all(home).expect("a directory for the seeds");
        for seed in 0..SEEDS {
            if let Some(bytes) = self.seed(&random::document(seed)) {
                std::fs::write(home.join(format!("seed-{seed}")), bytes).expect("a seed");
            }
        }
    }

    fn seed(self, document: &Document) -> Option<Vec<u8>> {
        match self {
            Self::Link => link::encode(document).ok().map(String::into_bytes),
            Self::File => file::to_json(document).ok().map(String::into_bytes),
            Self::Section(id) => link::section_content(document, id),
        }
    }

    fn open(self, bytes: &[u8]) {
        match self {
            Self::Link => {
                // Behind the checksum a fuzzer finds little: half of the inputs get a good one.
                let (sealed, rest) = bytes.split_first().map_or((0, bytes), |(first, rest)| (first % 4, rest));
                let opened = match sealed {
                    0 | 1 => link::decode(&link::seal(rest, sealed == 1)),
                    _ => link::decode(&String::from_utf8_lossy(bytes)),
                };
                if let Ok(document) = opened
                    && travels(bytes)
                {
                    must_travel(&document);
                }
            }
            Self::File => {
                if let Ok(document) = file::from_json(&String::from_utf8_lossy(bytes)) {
                    // Ranges are for the solver to name; here it is enough that it does not stumble.
                    let _ = solver::validate(&document.package);
                    if travels(bytes)
                        && let Ok(link) = link::encode(&document)
                    {
                        assert!(link::decode(&link) == Ok(document), "it changes on its way through a link");
                    }
                }
            }
            Self::Section(id) => {
                if let Ok(document) = link::with_section(id, bytes)
                    && travels(bytes)
                {
                    must_travel(&document);
                }
            }
        }
    }
}

/// Writing is many times as slow as reading, and reading is what strangers reach: one in eight goes the whole way round,
/// always the same ones.
fn travels(bytes: &[u8]) -> bool {
    bytes.iter().fold(0_u8, |sum, byte| sum.rotate_left(1) ^ byte) & 7 == 0
}

/// What has opened must be good for the whole way round.
fn must_travel(document: &Document) {
    let _ = solver::validate(&document.package);
    // More than a link may hold is refused, and says so.
    let Ok(text) = link::encode(document) else { return };
    assert!(link::decode(&text).as_ref() == Ok(document), "it changes on its way through a link");
    let text = file::to_json(document).expect("finite numbers");
    assert!(file::from_json(&text).map(|again| again.package).as_ref() == Ok(&document.package), "or through a file");
}

fuzz_target!(init: { Target::asked(); }, |bytes: &[u8]| Target::asked().open(bytes));
