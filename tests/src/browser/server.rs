//! A static server that can be stopped, as when the signal is lost.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::Duration;

use super::http::local;

/// Where browsers post what the content security policy forbade.
const REPORTS: &str = "/policy-report";

/// Serves a directory on this machine until it is stopped.
pub struct Server {
    port: u16,
    shared: Arc<Shared>,
    thread: Option<JoinHandle<()>>,
}

struct Shared {
    home: PathBuf,
    /// The page's own policy, sent once more as a header that only reports: that catches what happens before any script
    /// could listen, in every engine.
    policy: Option<String>,
    stopped: AtomicBool,
    seen: Mutex<Seen>,
}

/// What was asked of the server.
#[derive(Default)]
struct Seen {
    requests: BTreeMap<String, usize>,
    reports: Vec<String>,
    bytes: u64,
}

impl Server {
    /// Serves `home` on a free port.
    pub fn start(home: &Path) -> Self {
        let listener = TcpListener::bind(local(0)).expect("a free port");
        let port = listener.local_addr().expect("its address").port();
        let policy = std::fs::read_to_string(home.join("index.html")).ok().as_deref().and_then(policy_of);
        let shared =
            Arc::new(Shared { home: home.to_owned(), policy, stopped: AtomicBool::new(false), seen: Mutex::default() });
        let thread = std::thread::spawn({
            let shared = Arc::clone(&shared);
            move || accept(&listener, &shared)
        });
        Self { port, shared, thread: Some(thread) }
    }

    /// The address of a path that begins with a slash.
    pub fn address(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    /// Stops it and makes sure that the port refuses.
    pub fn stop(&mut self) {
        let Some(thread) = self.thread.take() else { return };
        self.shared.stopped.store(true, Ordering::SeqCst);
        // Wakes the listener, so that it sees the flag and closes.
        drop(TcpStream::connect(local(self.port)));
        thread.join().expect("the server ends");
        assert!(TcpStream::connect(local(self.port)).is_err(), "the port still answers");
    }

    /// What browsers reported against the content security policy.
    pub fn policy_reports(&self) -> Vec<String> {
        self.shared.seen.lock().expect("no request panics").reports.clone()
    }

    /// How often each path was asked for.
    pub fn requests(&self) -> BTreeMap<String, usize> {
        self.shared.seen.lock().expect("no request panics").requests.clone()
    }

    /// Bytes of body that have left, as compressed as they were sent.
    pub fn transferred_bytes(&self) -> u64 {
        self.shared.seen.lock().expect("no request panics").bytes
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            self.stop();
        }
    }
}

fn policy_of(page: &str) -> Option<String> {
    let after = page.split_once("http-equiv=\"Content-Security-Policy\"")?.1;
    let content = after.split_once("content=\"")?.1.split_once('"')?.0;
    Some(format!("{content}; report-uri {REPORTS}"))
}

fn accept(listener: &TcpListener, shared: &Arc<Shared>) {
    for stream in listener.incoming() {
        if shared.stopped.load(Ordering::SeqCst) {
            return;
        }
        if let Ok(stream) = stream {
            let shared = Arc::clone(shared);
            // A browser that hangs up in mid-answer is no fault of the page.
            std::thread::spawn(move || drop(answer(&stream, &shared)));
        }
    }
}

fn answer(stream: &TcpStream, shared: &Shared) -> std::io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_secs(10)))?;
    let mut reader = BufReader::new(stream);
    let mut line = String::new();
    reader.read_line(&mut line)?;
    let mut words = line.split_whitespace();
    let (method, target) = (words.next().unwrap_or_default().to_owned(), words.next().unwrap_or("/").to_owned());
    let (mut length, mut takes_brotli) = (0, false);
    loop {
        let mut header = String::new();
        if reader.read_line(&mut header)? == 0 || header.trim().is_empty() {
            break;
        }
        let header = header.to_ascii_lowercase();
        if let Some(value) = header.strip_prefix("content-length:") {
            length = value.trim().parse().unwrap_or(0);
        }
        takes_brotli |= header.starts_with("accept-encoding:") && header.contains("br");
    }
    let path = target.split(['?', '#']).next().unwrap_or("/").to_owned();
    if method == "POST" && path == REPORTS {
        let mut body = vec![0; length];
        reader.read_exact(&mut body)?;
        let report = String::from_utf8_lossy(&body).into_owned();
        shared.seen.lock().expect("no request panics").reports.push(report);
        return write(stream, "204 No Content", &[], &[]);
    }
    let Some(file) = file_for(&shared.home, &path) else {
        count(shared, &path, 0);
        return write(stream, "404 Not Found", &["Content-Type: text/plain".to_owned()], b"not here");
    };
    let mut fields = vec![
        format!("Content-Type: {}", media_type(&file)),
        "Cache-Control: no-cache".to_owned(),
        "X-Content-Type-Options: nosniff".to_owned(),
    ];
    if let Some(policy) = shared.policy.as_ref().filter(|_| file.extension().is_some_and(|ext| ext == "html")) {
        fields.push(format!("Content-Security-Policy-Report-Only: {policy}"));
    }
    let packed = PathBuf::from(format!("{}.br", file.display()));
    let body = if takes_brotli && packed.is_file() {
        fields.push("Content-Encoding: br".to_owned());
        std::fs::read(packed)?
    } else {
        std::fs::read(file)?
    };
    count(shared, &path, body.len());
    write(stream, "200 OK", &fields, &body)
}

fn count(shared: &Shared, path: &str, bytes: usize) {
    let mut seen = shared.seen.lock().expect("no request panics");
    *seen.requests.entry(path.to_owned()).or_default() += 1;
    seen.bytes += bytes as u64;
}

fn write(mut stream: &TcpStream, status: &str, fields: &[String], body: &[u8]) -> std::io::Result<()> {
    let mut head = format!("HTTP/1.1 {status}\r\nContent-Length: {}\r\nConnection: close\r\n", body.len());
    for field in fields {
        head.push_str(field);
        head.push_str("\r\n");
    }
    head.push_str("\r\n");
    stream.write_all(head.as_bytes())?;
    stream.write_all(body)
}

/// The file that a path means, when it lies in `home`.
fn file_for(home: &Path, path: &str) -> Option<PathBuf> {
    let plain = path.trim_start_matches('/');
    if plain.split('/').any(|step| step == "..") {
        return None;
    }
    let file = home.join(if plain.is_empty() { "index.html" } else { plain });
    file.is_file().then_some(file)
}

fn media_type(file: &Path) -> &'static str {
    match file.extension().and_then(|extension| extension.to_str()).unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        _ => "application/octet-stream",
    }
}
