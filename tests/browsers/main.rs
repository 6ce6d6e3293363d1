//! The page in three engines, used as a person would use it.

/// A test for every engine that a way of using the page is tried in: all three, unless told which.
macro_rules! in_engines {
    ($used:ident) => {
        in_engines!($used: chromium = Chromium, firefox = Firefox, webkit = WebKit);
    };
    ($used:ident: $($engine:ident = $kind:ident),+) => {
        mod $used {
            $(#[test]
            fn $engine() {
                super::$used(checks::browser::Kind::$kind);
            })+
        }
    };
}

mod access;
mod answers;
mod app;
mod balance;
mod elevations;
mod entering;
mod first_visit;
mod fitting;
mod javascript;
mod kept;
mod killed;
mod late;
mod lens_set;
mod moves;
mod plain_page;
mod power;
mod prep_sheet;
mod sent_back;
mod stores;
mod technician;
mod travels;
mod trim;
mod two_windows;
mod windows;

use std::path::PathBuf;

use checks::fixture;

/// The page as `cargo xtask build` made it.
fn dist() -> PathBuf {
    let home =
        std::env::var_os("COUNTERPOISE_DIST").map_or_else(|| fixture::home().join("../target/dist"), PathBuf::from);
    assert!(home.join("index.html").is_file(), "{} holds no page: run `cargo xtask build`", home.display());
    home
}

/// The selector of an element by its hook.
fn at(test: &str) -> String {
    format!("[data-test='{test}']")
}
