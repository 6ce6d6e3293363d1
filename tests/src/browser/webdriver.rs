//! Chromium and WebKitGTK by the WebDriver protocol.
//!
//! # Source
//! W3C, *WebDriver*; the extra command for Chromium's own protocol is that of its driver.

use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};

use super::http::{free_port, request, wait_for_port};
use super::{Engine, Setup, family, key_actions, tap_actions, unwrapped, wrapped};

/// One session of a driver.
pub struct WebDriver {
    driver: Child,
    port: u16,
    session: String,
    tab: String,
    pointer: &'static str,
}

impl WebDriver {
    /// Chromium as it comes.
    ///
    /// # Panics
    /// It does not start.
    pub fn chromium() -> Self {
        Self::chromium_with(Setup::default())
    }

    /// Chromium without a screen.
    pub fn chromium_with(setup: Setup<'_>) -> Self {
        // The sandbox refuses to run for root, which a test machine often is.
        let mut arguments =
            ["--headless=new", "--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"].map(str::to_owned).to_vec();
        arguments.extend(setup.profile.map(|profile| format!("--user-data-dir={}", profile.display())));
        // 2 is "block", of cookies and of all else that pages keep.
        let settings = if setup.keeps_nothing {
            json!({ "profile.default_content_setting_values.cookies": 2 })
        } else {
            json!({})
        };
        let capabilities = json!({
            "browserName": "chrome",
            "goog:chromeOptions": { "binary": "/usr/bin/chromium", "args": arguments, "prefs": settings },
        });
        Self::start("chromedriver", "touch", &capabilities)
    }

    /// WebKitGTK's small browser; it needs a screen, if a pretended one.
    pub fn webkit() -> Self {
        let browsers = ["/usr/lib/x86_64-linux-gnu", "/usr/lib/aarch64-linux-gnu", "/usr/libexec"]
            .map(|home| format!("{home}/webkit2gtk-4.1/MiniBrowser"));
        let binary = browsers.iter().find(|path| std::path::Path::new(path).is_file()).unwrap_or(&browsers[0]);
        let capabilities = json!({
            "browserName": "MiniBrowser",
            "webkitgtk:browserOptions": { "binary": binary, "args": ["--automation"] },
        });
        Self::start("WebKitWebDriver", "mouse", &capabilities)
    }

    fn start(program: &str, pointer: &'static str, capabilities: &Value) -> Self {
        let port = free_port();
        let driver = Command::new(program)
            .arg(format!("--port={port}"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|fault| panic!("{program}: {fault}; install it, or run `cargo xtask test`"));
        let mut this = Self { driver, port, session: String::new(), tab: String::new(), pointer };
        wait_for_port(port, Duration::from_secs(20)).unwrap_or_else(|fault| panic!("{program}: {fault}"));
        let body = json!({ "capabilities": { "alwaysMatch": capabilities } });
        let answer = this.command("POST", "/session", &body).unwrap_or_else(|fault| panic!("{program}: {fault}"));
        answer["sessionId"].as_str().expect("a session has an id").clone_into(&mut this.session);
        let patience = json!({ "script": 30_000, "pageLoad": 60_000, "implicit": 0 });
        this.expect("POST", "timeouts", &patience);
        this.expect("GET", "window", &Value::Null).as_str().expect("a tab has a handle").clone_into(&mut this.tab);
        this
    }

    /// A command of Chromium's own protocol, for what the standard one cannot ask: a slower processor, no cache.
    pub fn own_protocol(&mut self, command: &str, parameters: &Value) -> Value {
        self.expect("POST", "goog/cdp/execute", &json!({ "cmd": command, "params": parameters }))
    }

    fn expect(&mut self, method: &str, command: &str, body: &Value) -> Value {
        self.session_command(method, command, body).unwrap_or_else(|fault| panic!("{command}: {fault}"))
    }

    fn session_command(&mut self, method: &str, command: &str, body: &Value) -> Result<Value, String> {
        let path = format!("/session/{}/{command}", self.session);
        self.command(method, &path, body)
    }

    fn command(&mut self, method: &str, path: &str, body: &Value) -> Result<Value, String> {
        let (status, mut answer) = request(self.port, method, path, body)?;
        if status == 200 { Ok(answer["value"].take()) } else { Err(answer["value"].to_string()) }
    }
}

impl Engine for WebDriver {
    fn open(&mut self, address: &str) {
        self.expect("POST", "url", &json!({ "url": address }));
    }

    fn try_run(&mut self, script: &str) -> Result<Value, String> {
        let script = format!("const done = arguments[0]; {}.then(done)", wrapped(script));
        let answer = self.session_command("POST", "execute/async", &json!({ "script": script, "args": [] }))?;
        unwrapped(&answer)
    }

    fn tap_at(&mut self, x: f64, y: f64) {
        self.expect("POST", "actions", &json!({ "actions": tap_actions(self.pointer, x, y) }));
    }

    fn press(&mut self, keys: &str) {
        self.expect("POST", "actions", &json!({ "actions": key_actions(keys) }));
    }

    fn like_a_phone(&mut self) {
        self.expect("POST", "window/rect", &json!({ "width": 390, "height": 844 }));
    }

    fn new_tab(&mut self) -> String {
        let made = self.expect("POST", "window/new", &json!({ "type": "tab" }));
        let handle = made["handle"].as_str().expect("a tab has a handle").to_owned();
        self.go_to_tab(&handle);
        handle
    }

    fn tab(&self) -> String {
        self.tab.clone()
    }

    fn go_to_tab(&mut self, handle: &str) {
        self.expect("POST", "window", &json!({ "handle": handle }));
        handle.clone_into(&mut self.tab);
    }

    fn kill(&mut self) {
        family::kill(&family::descendants(self.driver.id()));
        // The driver has nobody left to talk to.
        self.session.clear();
    }
}

impl Drop for WebDriver {
    fn drop(&mut self) {
        // The driver closes its browser when the session ends; after that only the driver itself is left.
        if !self.session.is_empty() {
            let path = format!("/session/{}", self.session);
            drop(request(self.port, "DELETE", &path, &Value::Null));
        }
        drop(self.driver.kill());
        drop(self.driver.wait());
    }
}
