//! Pictures of every screen at three sizes in both themes, for somebody to look at: nothing is compared.
//!
//! They go to `target/looks`, or to the directory named in `COUNTERPOISE_LOOKS`.

use std::path::PathBuf;

use checks::browser::{Engine, Look, Server, WebDriver};
use checks::{fixture, screens};

/// A phone upright, a phone on its side, a laptop.
const SIZES: [(u32, u32); 3] = [(390, 844), (844, 390), (1280, 800)];

#[test]
fn every_screen_is_drawn() {
    let place = |name: &str, usual: &str| {
        std::env::var_os(name).map_or_else(|| fixture::home().join("../target").join(usual), PathBuf::from)
    };
    let server = Server::start(&place("COUNTERPOISE_DIST", "dist"));
    let out = place("COUNTERPOISE_LOOKS", "looks");
    std::fs::create_dir_all(&out).expect("a directory for the pictures");
    let mut page = WebDriver::chromium();
    let mut count = 0;
    for (width, height) in SIZES {
        for dark in [false, true] {
            let look = Look { width, height, dark };
            page.look(look);
            page.open(&server.address("/?looks"));
            let any: &mut dyn Engine = &mut page;
            any.wait("the answers", "document.querySelector('[data-test=runtime][data-value]') && true");
            any.run("document.querySelector('[data-test=guide-never]')?.click(); return true");
            for (name, address) in screens::ALL {
                let any: &mut dyn Engine = &mut page;
                any.run(&format!("location.hash = '{address}'; return true"));
                // The drawing measures its own width once it is on the page.
                any.run("await new Promise(done => setTimeout(done, 250))");
                let picture = page.picture();
                assert!(picture.starts_with(b"\x89PNG"), "{name} at {look:?} gave no picture");
                let file = format!("{name}-{width}x{height}-{}.png", look.theme());
                std::fs::write(out.join(file), picture).expect("the picture");
                count += 1;
            }
        }
    }
    println!("{count} pictures in {}", out.display());
}
