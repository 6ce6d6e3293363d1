//! Damage without end: link, body and file from strangers, for as long as `COUNTERPOISE_FUZZ_SECONDS` says (a second
//! each by default). Whatever comes in, it is either refused or opens within its ranges and travels on unchanged.

#![cfg(feature = "json")]

mod random;

use std::time::{Duration, Instant};

use codec::{Document, file, link};
use random::Random;

/// How long each target runs.
fn budget() -> Duration {
    let asked = std::env::var("COUNTERPOISE_FUZZ_SECONDS").ok().and_then(|seconds| seconds.parse().ok());
    Duration::from_secs(asked.unwrap_or(1))
}

/// Runs `work` on ever new numbers until the time is up, and says how often.
#[expect(clippy::disallowed_methods, reason = "a test that runs for a given time needs a clock")]
fn run(target: &str, mut work: impl FnMut(&mut Random)) {
    let started = Instant::now();
    let mut times = 0_u64;
    while started.elapsed() < budget() {
        for _ in 0..50 {
            work(&mut Random::new(times));
            times += 1;
        }
    }
    println!("{target}: {times} executions");
}

/// Changes, cuts, doubles and moves bytes of something good.
fn damage(bytes: &mut Vec<u8>, random: &mut Random, likely: &[u8]) {
    for _ in 0..=random.below(6) {
        if bytes.is_empty() {
            return;
        }
        let (from, to) = (random.below(bytes.len()), random.below(bytes.len()));
        let (from, to) = (from.min(to), from.max(to).min(from.min(to) + 40));
        match random.below(6) {
            0 => bytes[from] = random.next().to_le_bytes()[0],
            1 => bytes[from] = likely[random.below(likely.len())],
            2 => bytes.truncate(from),
            3 => drop(bytes.drain(from..to)),
            4 => {
                let copy = bytes[from..to].to_vec();
                let at = random.below(bytes.len());
                bytes.splice(at..at, copy);
            }
            _ => bytes[from] = bytes[from].wrapping_add(1),
        }
    }
}

/// What has opened must be good for the whole way round.
fn must_travel(document: &Document) {
    let text = link::encode(document).expect("what a link opens to is within its ranges");
    assert!(link::decode(&text).as_ref() == Ok(document), "it changes on its way through a link");
    let text = file::to_json(document).expect("finite numbers");
    assert!(file::from_json(&text).map(|again| again.package).as_ref() == Ok(&document.package), "or through a file");
}

#[test]
fn links() {
    run("link", |random| {
        let document = random::document(random.next() % 64);
        let mut letters = link::encode(&document).expect("in range").into_bytes();
        damage(&mut letters, random, b"c0.-_Az# \n");
        if let Ok(document) = link::decode(&String::from_utf8_lossy(&letters)) {
            must_travel(&document);
        }
    });
}

#[test]
fn bodies() {
    run("body", |random| {
        let mut body = link::raw(&random::document(random.next() % 64)).expect("in range");
        damage(&mut body, random, &[0, 1, 2, 3, 0x7f, 0x80, 0xff]);
        let deflated = random.once_in(8);
        if let Ok(document) = link::decode(&link::seal(&body, deflated)) {
            must_travel(&document);
        }
    });
}

#[test]
fn files() {
    run("file", |random| {
        let mut text = file::to_json(&random::document(random.next() % 64)).expect("finite numbers").into_bytes();
        damage(&mut text, random, b"{}[]\",:.-0123456789e null");
        if let Ok(document) = file::from_json(&String::from_utf8_lossy(&text)) {
            // Ranges are for the solver to name; here it is enough that it does not stumble.
            let _ = solver::validate(&document.package);
            if let Ok(link) = link::encode(&document) {
                assert!(link::decode(&link) == Ok(document), "it changes on its way through a link");
            }
        }
    });
}
