//! The whole browser killed in the middle of work, twenty times in each engine with a kept profile: no edit that is older
//! than a second is lost.

use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use checks::browser::{Kind, Server, Setup, start_with};
use serde_json::Value;

use crate::kept::{go, open_body, wait_for_state};
use crate::{at, dist};

const KILLS: u32 = 20;
/// An edit may be lost until it is so old.
const MAY_BE_LOST_MS: f64 = 1_000.0;
/// Edits before each kill, and the time between two.
const EDITS: u32 = 9;
const BETWEEN_MS: u32 = 140;

/// What twenty kills have cost.
#[derive(Debug, Default)]
struct Count {
    edits: u32,
    lost: u32,
    /// Age of the oldest edit that was lost, ms.
    oldest_lost_ms: f64,
}

/// A directory for a profile, gone when the test is over.
struct Profile(PathBuf);

impl Profile {
    fn new(kind: Kind) -> Self {
        let home = std::env::temp_dir().join(format!("counterpoise-kept-{}-{kind:?}", std::process::id()));
        std::fs::create_dir_all(&home).expect("a directory for the profile");
        Self(home)
    }

    fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Profile {
    fn drop(&mut self) {
        drop(std::fs::remove_dir_all(&self.0));
    }
}

fn killed_again_and_again(kind: Kind) -> Count {
    let (profile, server) = (Profile::new(kind), Server::start(&dist()));
    let mut count = Count::default();
    let mut made: Vec<(f64, f64)> = Vec::new();
    let mut killed_ms = 0.0;
    let mut next_g: u32 = 4_000;
    for round in 0..=KILLS {
        let mut browser = start_with(kind, Setup { profile: Some(profile.path()), ..Setup::default() });
        browser.open(&server.address("/"));
        wait_for_state(&mut *browser, if round == 0 { &["demo"] } else { &["saved"] });
        let found_kg = open_body(&mut *browser);
        for (kg, at_ms) in made.drain(..) {
            count.edits += 1;
            if kg > found_kg + 1e-9 {
                count.lost += 1;
                let age_ms = killed_ms - at_ms;
                count.oldest_lost_ms = count.oldest_lost_ms.max(age_ms);
                assert!(
                    age_ms <= MAY_BE_LOST_MS,
                    "{kind:?}: {kg} kg was {age_ms:.0} ms old and is lost: {found_kg} kg"
                );
            }
        }
        if round == KILLS {
            break;
        }
        let edits = browser.run(&format!(
            "const field = document.querySelector(\"{}\");
            const made = [];
            for (let each = 1; each <= {EDITS}; each += 1) {{
                const kg = ({next_g} + each) / 1000;
                field.value = String(kg);
                field.dispatchEvent(new Event('input', {{ bubbles: true }}));
                made.push([kg, performance.timeOrigin + performance.now()]);
                await new Promise(done => setTimeout(done, {BETWEEN_MS}));
            }}
            return made",
            at("part-mass")
        ));
        next_g += EDITS;
        made = pairs(&edits);
        // From at once to most of a second after the last edit.
        std::thread::sleep(Duration::from_millis(u64::from(round * 45)));
        browser.kill();
        killed_ms = now_ms();
    }
    // What was kept is a good package: it opens on the first screen.
    let mut browser = start_with(kind, Setup { profile: Some(profile.path()), ..Setup::default() });
    browser.open(&server.address("/"));
    go(&mut *browser, "#/");
    browser.value_of(&at("runtime"));
    count
}

fn pairs(list: &Value) -> Vec<(f64, f64)> {
    let number = |value: &Value| value.as_f64().expect("a number");
    list.as_array().expect("a list").iter().map(|pair| (number(&pair[0]), number(&pair[1]))).collect()
}

#[expect(clippy::disallowed_methods, reason = "a test waits by the clock")]
fn now_ms() -> f64 {
    SystemTime::now().duration_since(UNIX_EPOCH).expect("after 1970").as_secs_f64() * 1e3
}

/// Both engines at once: most of the time goes into starting them.
#[test]
fn a_killed_browser_loses_no_edit_older_than_a_second() {
    let kinds = [Kind::Chromium, Kind::Firefox];
    let counts = std::thread::scope(|scope| {
        let runs = kinds.map(|kind| scope.spawn(move || killed_again_and_again(kind)));
        runs.map(|run| run.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault)))
    });
    for (kind, count) in kinds.iter().zip(&counts) {
        println!(
            "{kind:?}: {KILLS} kills, {} edits, {} lost, the oldest of them {:.0} ms before the kill",
            count.edits, count.lost, count.oldest_lost_ms
        );
        assert_eq!(count.edits, KILLS * EDITS);
    }
}
