//! What only a browser can tell: the solver's speed in WebAssembly, from a key to the paint that answers it, how fast a
//! page comes up without a signal, and what the first visit transfers.
//!
//! Writes `target/bench/browser.json`: seconds and bytes.

use std::path::{Path, PathBuf};

use checks::browser::{Engine, Server, WebDriver};
use serde_json::{Map, Value, json};

/// Keys of each measurement from key to paint.
const PRESSES: usize = 40;

/// Below the target directory; `cargo xtask bench` puts the solver's module there.
fn bench_home() -> PathBuf {
    dist().parent().expect("target/dist stands in target").join("bench")
}

/// The page as `cargo xtask build` made it.
fn dist() -> PathBuf {
    std::env::var_os("COUNTERPOISE_DIST")
        .map_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/dist"), PathBuf::from)
}

/// The median of short rounds: a busy machine interrupts few of them.
fn seconds(page: &mut dyn Engine, call: &str, calls_a_round: u32) -> f64 {
    let script = format!(
        "const rounds = [];
        for (let round = 0; round < 300; ++round) {{
            const start = performance.now();
            {call};
            rounds.push(performance.now() - start);
        }}
        return rounds.sort((a, b) => a - b)[150]"
    );
    page.run(&script).as_f64().expect("a time") / 1e3 / f64::from(calls_a_round)
}

fn solver_in_webassembly(numbers: &mut Map<String, Value>) {
    let home = bench_home().join("page");
    if !home.join("bench.js").is_file() {
        println!("{} holds no module: its rows stay empty", home.display());
        return;
    }
    std::fs::write(
        home.join("index.html"),
        "<!doctype html><title>Bench</title><script type=module src=start.js></script>",
    )
    .and_then(|()| {
        std::fs::write(
            home.join("start.js"),
            "import init, { Bench } from './bench.js'; await init({ module_or_path: 'bench_bg.wasm' }); window.bench = new Bench();",
        )
    })
    .expect("the bench page");
    let server = Server::start(&home);
    let mut page = WebDriver::chromium();
    let page: &mut dyn Engine = &mut page;
    page.open(&server.address("/"));
    page.wait("the module", "window.bench && true");
    // Warm: the engine compiles twice, the second time for speed.
    seconds(page, "bench.inverse_dynamics(40000)", 40_000);
    let mut put = |name: &str, call: &str, calls: u32| {
        numbers.insert(name.to_owned(), json!(seconds(page, call, calls)));
    };
    // The clock of a page counts tenths of a millisecond, so a round takes some of them.
    let ten = |call: &str| format!("for (let call = 0; call < 10; call++) {{ {call}; }}");
    put("inverse_dynamics", "bench.inverse_dynamics(40000)", 40_000);
    put("lenses_12_moves_6", &ten("bench.lenses_12_moves_6()"), 10);
    put("lenses_12_moves_6_one_range", &ten("bench.lenses_12_moves_6_one_range()"), 10);
    put("check_demo", &ten("bench.check_demo()"), 10);
}

/// Says when the first answer stands on the page, by the page's own clock.
const WATCH_FIRST_ANSWER: &str = "
    new MutationObserver((_, watch) => {
        if (document.querySelector('[data-test=runtime][data-value]')) {
            window.firstAnswer = performance.now();
            watch.disconnect();
        }
    }).observe(document, { subtree: true, childList: true, attributes: true });";

fn the_app(numbers: &mut Map<String, Value>) {
    let mut server = Server::start(&dist());
    let mut driver = WebDriver::chromium();
    driver.own_protocol("Page.addScriptToEvaluateOnNewDocument", &json!({ "source": WATCH_FIRST_ANSWER }));
    let slower = |driver: &mut WebDriver, rate: u32| {
        driver.own_protocol("Emulation.setCPUThrottlingRate", &json!({ "rate": rate }));
    };
    driver.open(&server.address("/"));
    {
        let page: &mut dyn Engine = &mut driver;
        page.wait("the answers", "window.firstAnswer && true");
        page.wait(
            "the page to be kept",
            "(await navigator.serviceWorker.ready).active?.state === 'activated' && !!(await caches.keys()).length",
        );
    }
    numbers.insert("first_visit".to_owned(), json!(server.transferred_bytes()));

    slower(&mut driver, 6);
    {
        let page: &mut dyn Engine = &mut driver;
        // The window as the driver opens it is as wide and low as a phone on its side.
        for (name, upright) in [("change_to_paint_on_its_side", false), ("change_to_paint", true)] {
            if upright {
                page.like_a_phone();
                page.reload();
            }
            page.tap("[data-test^='mark-'] summary");
            numbers
                .insert(name.to_owned(), json!(change_to_paint(page, "[data-test^='mark-'] [data-test^='present-']")));
        }
        for (name, screen, field) in
            [("part_to_paint", "#/parts/1", "part-mass"), ("move_to_paint", "#/moves/1", "move-1-airspeed")]
        {
            page.open(&server.address(&format!("/{screen}")));
            page.reload();
            numbers.insert(name.to_owned(), json!(change_to_paint(page, &format!("[data-test='{field}']"))));
        }
        page.open(&server.address("/"));
    }

    slower(&mut driver, 4);
    server.stop();
    let mut starts = Vec::new();
    for _ in 0..5 {
        driver.open("about:blank");
        driver.open(&server.address("/"));
        let page: &mut dyn Engine = &mut driver;
        starts.push(page.wait("the answers without a signal", "window.firstAnswer").as_f64().expect("a time") / 1e3);
    }
    numbers.insert("offline_start".to_owned(), json!(median(starts)));
}

/// From a key in a field to the first paint that shows all that follows from it: the 95th percentile, s. The page's own
/// clock; the answers' full values tell when the last of them has changed. Stiffness waits until the others have rested
/// and is left out.
fn change_to_paint(page: &mut dyn Engine, field: &str) -> f64 {
    page.tap(field);
    page.run(
        "window.changes = [];
        const now = () => window.changes.at(-1);
        new MutationObserver(seen => {
            if (now() && seen.some(one => !['kept', 'stiffness'].includes(one.target.dataset.test))) now().answered = performance.now();
        }).observe(document.body, { subtree: true, attributes: true, attributeFilter: ['data-value'] });
        addEventListener('keydown', event => {
            const change = { pressed: event.timeStamp, answered: 0, painted: [] };
            window.changes.push(change);
            const frame = () => requestAnimationFrame(() => {
                const after = new MessageChannel();
                after.port1.onmessage = () => {
                    change.painted.push(performance.now());
                    if (now() === change && performance.now() - change.pressed < 250) frame();
                };
                after.port2.postMessage(0);
            });
            frame();
        }, true)",
    );
    for press in 0..PRESSES {
        // Arrow up, arrow down, as drivers write them.
        page.press(if press % 2 == 0 { "\u{E013}" } else { "\u{E015}" });
        page.run("await new Promise(done => setTimeout(done, 400))");
    }
    let times = page.run(
        "return window.changes.map(change => change.answered
            && change.painted.find(painted => painted >= change.answered) - change.pressed)",
    );
    let mut times: Vec<f64> = times.as_array().expect("a list").iter().filter_map(Value::as_f64).collect();
    times.retain(|time| *time > 0.0);
    assert!(times.len() >= PRESSES - 2, "only {} of {PRESSES} keys were answered and painted", times.len());
    nearest_rank(times, 95) / 1e3
}

/// The smallest of the numbers that at least `percent` in a hundred of them do not exceed.
fn nearest_rank(mut numbers: Vec<f64>, percent: usize) -> f64 {
    numbers.sort_by(f64::total_cmp);
    numbers[(numbers.len() * percent).div_ceil(100) - 1]
}

fn median(mut numbers: Vec<f64>) -> f64 {
    numbers.sort_by(f64::total_cmp);
    numbers[numbers.len() / 2]
}

#[test]
fn measure() {
    let mut numbers = Map::new();
    solver_in_webassembly(&mut numbers);
    the_app(&mut numbers);
    std::fs::create_dir_all(bench_home()).expect("a directory");
    let file = bench_home().join("browser.json");
    std::fs::write(&file, Value::from(numbers.clone()).to_string()).expect("the numbers");
    println!("{}: {}", file.display(), Value::from(numbers));
}
