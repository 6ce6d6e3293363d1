//! Firefox by the WebDriver BiDi protocol, which it speaks itself: no driver has to be built for it.
//!
//! # Source
//! W3C, *WebDriver BiDi*.

use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};
use tungstenite::{Message, WebSocket};

use super::http::{free_port, local, wait_for_port};
use super::{Engine, Setup, family, key_actions, tap_actions, unwrapped, wrapped};

/// One Firefox with an empty profile of its own.
pub(super) struct Firefox {
    browser: Child,
    /// The profile, if it goes with the browser.
    passing: Option<PathBuf>,
    killed: bool,
    socket: WebSocket<TcpStream>,
    /// The tab.
    context: String,
    last_id: u64,
}

impl Firefox {
    /// Firefox without a screen.
    pub(super) fn start(setup: Setup<'_>) -> Self {
        let port = free_port();
        let passing = std::env::temp_dir().join(format!("counterpoise-firefox-{}-{port}", std::process::id()));
        let profile = setup.profile.unwrap_or(&passing);
        std::fs::create_dir_all(profile).expect("a directory for the profile");
        // 2 is "none": pages keep neither cookies nor anything else.
        let nothing = setup.keeps_nothing.then(|| "user_pref(\"network.cookie.cookieBehavior\", 2);\n".to_owned());
        let room = setup.room_kib;
        let room = room.map(|kib| format!("user_pref(\"dom.quotaManager.temporaryStorage.fixedLimit\", {kib});\n"));
        let settings: String = nothing.into_iter().chain(room).collect();
        if !settings.is_empty() {
            std::fs::write(profile.join("user.js"), settings).expect("the settings");
        }
        let browser = Command::new("firefox-esr")
            .args(["--headless", "--no-remote", "--profile"])
            .arg(profile)
            .arg(format!("--remote-debugging-port={port}"))
            .arg("about:blank")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|fault| panic!("firefox-esr: {fault}; install it, or run `cargo xtask test`"));
        let passing = setup.profile.is_none().then_some(passing);
        let socket = connect(port);
        let mut this = Self { browser, passing, killed: false, socket, context: String::new(), last_id: 0 };
        this.expect("session.new", &json!({ "capabilities": {} }));
        let tree = this.expect("browsingContext.getTree", &json!({}));
        tree["contexts"][0]["context"].as_str().expect("Firefox starts with a tab").clone_into(&mut this.context);
        this
    }

    fn expect(&mut self, method: &str, parameters: &Value) -> Value {
        self.command(method, parameters).unwrap_or_else(|fault| panic!("{method}: {fault}"))
    }

    fn command(&mut self, method: &str, parameters: &Value) -> Result<Value, String> {
        self.last_id += 1;
        let id = self.last_id;
        let text = json!({ "id": id, "method": method, "params": parameters }).to_string();
        self.socket.send(Message::text(text)).map_err(|fault| fault.to_string())?;
        loop {
            let Message::Text(text) = self.socket.read().map_err(|fault| format!("{method}: {fault}"))? else {
                continue;
            };
            let mut answer: Value = serde_json::from_str(&text).map_err(|fault| fault.to_string())?;
            // Events and answers to nobody pass by.
            if answer["id"] == id {
                return match answer["type"].as_str() {
                    Some("success") => Ok(answer["result"].take()),
                    _ => Err(answer.to_string()),
                };
            }
        }
    }
}

fn connect(port: u16) -> WebSocket<TcpStream> {
    wait_for_port(port, Duration::from_mins(1)).unwrap_or_else(|fault| panic!("firefox-esr: {fault}"));
    let stream = TcpStream::connect(local(port)).expect("the port that just answered");
    stream.set_read_timeout(Some(Duration::from_secs(90))).expect("a time limit");
    let address = format!("ws://127.0.0.1:{port}/session");
    let (socket, _) = tungstenite::client(address, stream).unwrap_or_else(|fault| panic!("firefox-esr: {fault}"));
    socket
}

impl Engine for Firefox {
    fn open(&mut self, address: &str) {
        let parameters = json!({ "context": self.context, "url": address, "wait": "complete" });
        self.expect("browsingContext.navigate", &parameters);
    }

    fn try_run(&mut self, script: &str) -> Result<Value, String> {
        let parameters = json!({
            "expression": wrapped(script), "awaitPromise": true, "target": { "context": self.context },
            "userActivation": false,
        });
        let answer = self.command("script.evaluate", &parameters)?;
        match answer["type"].as_str() {
            Some("success") => unwrapped(&answer["result"]["value"]),
            _ => Err(answer["exceptionDetails"].to_string()),
        }
    }

    fn tap_at(&mut self, x: f64, y: f64) {
        let parameters = json!({ "context": self.context, "actions": tap_actions("touch", x, y) });
        self.expect("input.performActions", &parameters);
    }

    fn press(&mut self, keys: &str) {
        let parameters = json!({ "context": self.context, "actions": key_actions(keys) });
        self.expect("input.performActions", &parameters);
    }

    fn like_a_phone(&mut self) {
        let parameters = json!({ "context": self.context, "viewport": { "width": 390, "height": 844 } });
        self.expect("browsingContext.setViewport", &parameters);
    }

    fn new_tab(&mut self) -> String {
        let made = self.expect("browsingContext.create", &json!({ "type": "tab" }));
        made["context"].as_str().expect("a tab has a name").clone_into(&mut self.context);
        self.context.clone()
    }

    fn tab(&self) -> String {
        self.context.clone()
    }

    fn go_to_tab(&mut self, handle: &str) {
        self.expect("browsingContext.activate", &json!({ "context": handle }));
        handle.clone_into(&mut self.context);
    }

    fn kill(&mut self) {
        let mut all = family::descendants(self.browser.id());
        all.push(self.browser.id());
        family::kill(&all);
        self.killed = true;
    }
}

impl Drop for Firefox {
    fn drop(&mut self) {
        // Asked first, so that its own helper processes end with it; the profile is in nobody's way afterwards.
        if !self.killed {
            drop(self.command("browser.close", &json!({})));
        }
        for _ in 0..40 {
            if matches!(self.browser.try_wait(), Ok(Some(_))) {
                break;
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        drop(self.browser.kill());
        drop(self.browser.wait());
        if let Some(profile) = &self.passing {
            drop(std::fs::remove_dir_all(profile));
        }
    }
}
