//! A browser as a person uses it: addresses, taps, keys; and scripts to look at what came of it.

mod chromium;
mod family;
mod firefox;
mod http;
mod server;
mod webdriver;

use std::path::Path;
use std::time::{Duration, Instant};

use serde_json::Value;

pub use chromium::Look;
use firefox::Firefox;
pub use server::Server;
pub use webdriver::WebDriver;

/// The engines that the page is tried in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Chromium.
    Chromium,
    /// Firefox, extended support release.
    Firefox,
    /// WebKitGTK: a stand-in for Safari's layout, scripts and service workers, not for its storage rules.
    WebKit,
}

/// What any engine can do.
pub trait Engine {
    /// Opens an address and waits for its load event.
    fn open(&mut self, address: &str);

    /// Runs the body of an async function in the page and gives back what it returns.
    ///
    /// # Errors
    /// What the script threw.
    fn try_run(&mut self, script: &str) -> Result<Value, String>;

    /// Presses and lifts a finger (or a mouse button, where the engine knows no fingers) at a point of the viewport.
    fn tap_at(&mut self, x: f64, y: f64);

    /// Presses and lifts the key of every character.
    fn press(&mut self, keys: &str);

    /// Makes the viewport as wide as a phone, or as near to it as the engine goes.
    fn like_a_phone(&mut self);

    /// Opens another tab of the same browser, in front of this one; gives its handle.
    fn new_tab(&mut self) -> String;

    /// The tab that everything happens in.
    fn tab(&self) -> String;

    /// Goes to another tab.
    fn go_to_tab(&mut self, handle: &str);

    /// Ends the whole browser, helper processes and all, with a signal that nobody can catch: as a battery that runs
    /// out or a system that needs the memory would.
    fn kill(&mut self);
}

/// Starts an engine with an empty profile.
pub fn start(kind: Kind) -> Box<dyn Engine> {
    start_with(kind, Setup::default())
}

/// How an engine is started.
#[derive(Debug, Clone, Copy, Default)]
pub struct Setup<'a> {
    /// A directory that outlives the browser, for what it keeps.
    pub profile: Option<&'a Path>,
    /// Whether pages may keep nothing, as a person can set it.
    pub keeps_nothing: bool,
    /// Room for all that pages keep, KiB. Only Firefox can be told.
    pub room_kib: Option<u32>,
}

/// Starts an engine as told. WebKit's driver has neither a kept profile nor such a setting.
pub fn start_with(kind: Kind, setup: Setup<'_>) -> Box<dyn Engine> {
    match kind {
        Kind::Chromium => Box::new(WebDriver::chromium_with(setup)),
        Kind::Firefox => Box::new(Firefox::start(setup)),
        Kind::WebKit => Box::new(WebDriver::webkit()),
    }
}

/// How long a page may take before a test gives up on it.
const PATIENCE: Duration = Duration::from_secs(30);

impl dyn Engine + '_ {
    /// Runs the body of an async function in the page; a script that throws fails the test.
    pub fn run(&mut self, script: &str) -> Value {
        self.try_run(script).unwrap_or_else(|fault| panic!("{fault}\nin {script}"))
    }

    /// Runs an expression again and again until it is something, and gives that back.
    pub fn wait(&mut self, what: &str, expression: &str) -> Value {
        #[expect(clippy::disallowed_methods, reason = "a test waits by the clock")]
        let start = Instant::now();
        let script = format!("return ({expression}) ?? null");
        loop {
            // A page that is just being replaced throws; it will be there next time.
            let found = self.try_run(&script);
            if let Ok(value) = &found
                && !value.is_null()
                && *value != Value::Bool(false)
            {
                return value.clone();
            }
            assert!(start.elapsed() < PATIENCE, "waited {PATIENCE:?} for {what}: {found:?}\n{}", self.page_text());
            std::thread::sleep(Duration::from_millis(40));
        }
    }

    /// Taps the middle of the first visible element of a selector, after scrolling it into view as a thumb would.
    pub fn tap(&mut self, selector: &str) {
        let quoted = Value::from(selector);
        let place = self.wait(
            selector,
            &format!(
                "await (async () => {{
                    const seen = [...document.querySelectorAll({quoted})].find(e => e.getClientRects().length);
                    if (!seen) return null;
                    const place = () => {{
                        seen.scrollIntoView({{ block: 'center', inline: 'center', behavior: 'instant' }});
                        const box = seen.getBoundingClientRect();
                        return [box.x + box.width / 2, box.y + box.height / 2];
                    }};
                    const [x, y] = place();
                    // A thumb waits until the page has come to rest.
                    await new Promise(done => setTimeout(done, 50));
                    const [left, top] = place();
                    if (x !== left || y !== top) return null;
                    const hit = document.elementFromPoint(x, y);
                    return hit && (seen.contains(hit) || hit.contains(seen)) ? [x, y] : null;
                }})()"
            ),
        );
        let at = |index: usize| place.get(index).and_then(Value::as_f64).expect("two coordinates");
        self.run(LISTEN);
        self.tap_at(at(0), at(1));
        if !self.heard() {
            // Supposed, not proven, of a tap in WebKit that once came to nothing on a busy machine. Whoever sees that
            // nothing was pressed presses again; a press that came to the page, and did nothing there, is not repeated.
            eprintln!("a tap on {selector} was lost on its way to the page and is made again");
            self.tap_at(at(0), at(1));
        }
    }

    /// Whether a press came to the page, or the page is another by now.
    fn heard(&mut self) -> bool {
        #[expect(clippy::disallowed_methods, reason = "a test waits by the clock")]
        let start = Instant::now();
        while start.elapsed() < Duration::from_secs(3) {
            if self.try_run("return window.pressed?.length !== 0").is_ok_and(|heard| heard == Value::Bool(true)) {
                return true;
            }
            std::thread::sleep(Duration::from_millis(10));
        }
        false
    }

    /// Taps a field, replaces what stands in it and leaves it, as a person who corrects a number.
    pub fn enter(&mut self, selector: &str, text: &str) {
        self.tap(selector);
        self.wait(
            "the field to have the focus",
            &format!("document.activeElement?.matches({})", Value::from(selector)),
        );
        self.run("document.activeElement.select?.(); return true");
        self.press(text);
        self.press(TAB);
    }

    /// The full value behind what an element shows.
    pub fn value_of(&mut self, selector: &str) -> String {
        let quoted = Value::from(selector);
        let found = self.wait(selector, &format!("document.querySelector({quoted})?.getAttribute('data-value')"));
        found.as_str().expect("an attribute is text").to_owned()
    }

    /// Reloads from within the page: a driver's own reload passes the service worker by in one engine.
    pub fn reload(&mut self) {
        self.run("window.stillTheOldPage = true; setTimeout(() => location.reload(), 0); return true");
        self.wait("the page to come back", "document.readyState === 'complete' && !window.stillTheOldPage");
    }

    fn page_text(&mut self) -> String {
        let text = self.try_run(
            "return `${location.href}\\nthe last tap: ${window.pressed}\\n${document.body.innerText.slice(0, 2000)}`",
        );
        text.map_or_else(|fault| fault, |text| text.as_str().unwrap_or_default().to_owned())
    }
}

/// Notes what becomes of the next press: the events, and what each fell on.
const LISTEN: &str = "window.pressed = [];
    const note = event => window.pressed.push(`${event.type} on ${event.target.dataset?.test ?? event.target.nodeName}`);
    for (const kind of ['pointerdown', 'pointerup', 'click']) addEventListener(kind, note, { capture: true, once: true });
    return true";

/// The tab key, as drivers write it.
const TAB: &str = "\u{E004}";

/// A pause, one key down and up for every character, for the `actions` of both protocols.
fn key_actions(keys: &str) -> Value {
    let strokes: Vec<Value> = keys
        .chars()
        .flat_map(|key| ["keyDown", "keyUp"].map(|kind| serde_json::json!({ "type": kind, "value": key.to_string() })))
        .collect();
    serde_json::json!([{ "type": "key", "id": "keyboard", "actions": strokes }])
}

/// A press and a lift at a point, for the `actions` of both protocols.
#[expect(clippy::cast_possible_truncation, reason = "a point of a viewport is a few thousand at most")]
fn tap_actions(pointer: &str, x: f64, y: f64) -> Value {
    serde_json::json!([{
        "type": "pointer", "id": "finger", "parameters": { "pointerType": pointer },
        "actions": [
            { "type": "pointerMove", "duration": 0, "x": x.round() as i64, "y": y.round() as i64 },
            { "type": "pointerDown", "button": 0 },
            { "type": "pause", "duration": 30 },
            { "type": "pointerUp", "button": 0 },
        ],
    }])
}

/// Wraps the body of an async function so that it answers with JSON text, or with what it threw.
fn wrapped(script: &str) -> String {
    format!(
        "(async () => {{ {script} }})().then(
            value => JSON.stringify({{ value: value ?? null }}),
            fault => JSON.stringify({{ fault: `${{fault}} ${{fault?.stack ?? ''}}` }}))"
    )
}

/// What [`wrapped`] answered.
///
/// # Errors
/// What the script threw.
fn unwrapped(answer: &Value) -> Result<Value, String> {
    let text = answer.as_str().ok_or_else(|| format!("the script gave {answer}"))?;
    let mut answer: Value = serde_json::from_str(text).map_err(|fault| format!("{fault}: {text}"))?;
    match answer.get("fault") {
        Some(fault) => Err(fault.to_string()),
        None => Ok(answer["value"].take()),
    }
}
