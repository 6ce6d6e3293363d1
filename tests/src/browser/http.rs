//! As much of HTTP as talking to a driver on this machine needs.

use std::io::{Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::time::{Duration, Instant};

use serde_json::Value;

/// The longest that a driver may think about one command.
const PATIENCE: Duration = Duration::from_mins(1);

/// Sends a JSON request to a port of this machine and gives back status and JSON body.
///
/// # Errors
/// Nobody listens, the answer takes too long, or it is no JSON.
pub(crate) fn request(port: u16, method: &str, path: &str, body: &Value) -> Result<(u16, Value), String> {
    let mut stream = TcpStream::connect(local(port)).map_err(|fault| format!("port {port}: {fault}"))?;
    stream.set_read_timeout(Some(PATIENCE)).map_err(|fault| fault.to_string())?;
    let body = if method == "POST" { body.to_string() } else { String::new() };
    let head = format!(
        "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\n\
         Content-Length: {}\r\nConnection: close\r\n\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes()).and_then(|()| stream.write_all(body.as_bytes())).map_err(|f| f.to_string())?;
    let mut answer = Vec::new();
    let mut piece = [0; 8_192];
    // A driver may keep the connection open all the same: the announced length ends the answer as well.
    while whole(&answer).is_none() {
        match stream.read(&mut piece) {
            Ok(0) => break,
            Ok(count) => answer.extend_from_slice(&piece[..count]),
            Err(fault) => return Err(format!("{method} {path}: {fault}")),
        }
    }
    let (status, body) = parts(&answer).ok_or_else(|| format!("{method} {path}: no answer in HTTP"))?;
    let value = serde_json::from_slice(&body)
        .map_err(|fault| format!("{method} {path}: {fault}: {}", String::from_utf8_lossy(&body)))?;
    Ok((status, value))
}

/// An address of this machine.
pub(crate) fn local(port: u16) -> SocketAddr {
    SocketAddr::from((Ipv4Addr::LOCALHOST, port))
}

/// A port that nobody uses.
pub(crate) fn free_port() -> u16 {
    let listener = TcpListener::bind(local(0)).expect("a free port");
    listener.local_addr().expect("its address").port()
}

/// Waits until somebody listens on a port.
///
/// # Errors
/// Nobody does within `patience`.
pub(crate) fn wait_for_port(port: u16, patience: Duration) -> Result<(), String> {
    #[expect(clippy::disallowed_methods, reason = "a test waits by the clock")]
    let start = Instant::now();
    while TcpStream::connect(local(port)).is_err() {
        if start.elapsed() > patience {
            return Err(format!("nobody listens on port {port} after {patience:?}"));
        }
        std::thread::sleep(Duration::from_millis(25));
    }
    Ok(())
}

fn head_of(answer: &[u8]) -> Option<(String, &[u8])> {
    let end = answer.windows(4).position(|window| window == b"\r\n\r\n")?;
    Some((String::from_utf8_lossy(&answer[..end]).into_owned(), &answer[end + 4..]))
}

fn field<'a>(head: &'a str, wanted: &str) -> Option<&'a str> {
    head.lines().skip(1).find_map(|line| {
        let (name, value) = line.split_once(':')?;
        name.eq_ignore_ascii_case(wanted).then(|| value.trim())
    })
}

/// The body, once as much of it has come as was announced.
fn whole(answer: &[u8]) -> Option<&[u8]> {
    let (head, body) = head_of(answer)?;
    let length: usize = field(&head, "content-length")?.parse().ok()?;
    body.get(..length)
}

fn parts(answer: &[u8]) -> Option<(u16, Vec<u8>)> {
    let (head, body) = head_of(answer)?;
    let status = head.split_whitespace().nth(1)?.parse().ok()?;
    if field(&head, "transfer-encoding").is_some_and(|coding| coding.eq_ignore_ascii_case("chunked")) {
        return Some((status, unchunked(body)?));
    }
    Some((status, whole(answer).unwrap_or(body).to_vec()))
}

fn unchunked(mut rest: &[u8]) -> Option<Vec<u8>> {
    let mut body = Vec::new();
    loop {
        let end = rest.windows(2).position(|window| window == b"\r\n")?;
        let length = usize::from_str_radix(std::str::from_utf8(&rest[..end]).ok()?.trim(), 16).ok()?;
        rest = &rest[end + 2..];
        if length == 0 {
            return Some(body);
        }
        body.extend_from_slice(rest.get(..length)?);
        rest = rest.get(length + 2..)?;
    }
}
