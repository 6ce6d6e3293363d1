//! The little of HTTP that a development server needs: one request a connection, GET and HEAD.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::answer::{Answer, answer};

/// Longest request line and headers that are read, in bytes.
const LONGEST_HEAD: u64 = 16 * 1024;

/// How long a silent connection is kept.
const PATIENCE: Duration = Duration::from_secs(10);

/// What is asked for.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Request {
    /// The method, as it came.
    pub(crate) method: String,
    /// The path with its query, as it came.
    pub(crate) target: String,
    /// The value of `Accept-Encoding`, or nothing.
    pub(crate) accept_encoding: String,
}

/// Answers connections from `dir` until the program ends, each in a thread of its own.
pub(crate) fn serve(listener: &TcpListener, dir: PathBuf) {
    let dir = std::sync::Arc::new(dir);
    for stream in listener.incoming().flatten() {
        let dir = dir.clone();
        std::thread::spawn(move || {
            // A browser that goes away in the middle is its own affair.
            let _ = exchange(&stream, &dir);
        });
    }
}

fn exchange(stream: &TcpStream, dir: &Path) -> std::io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    let Some(request) = read(&mut BufReader::new(stream.take(LONGEST_HEAD)))? else { return Ok(()) };
    write(stream, &answer(&request, dir), request.method == "HEAD")
}

/// Reads a request's line and headers; `None` if it is no HTTP request.
fn read(head: &mut impl BufRead) -> std::io::Result<Option<Request>> {
    let mut line = String::new();
    head.read_line(&mut line)?;
    let mut words = line.split_whitespace();
    let (Some(method), Some(target), Some(_version)) = (words.next(), words.next(), words.next()) else {
        return Ok(None);
    };
    let mut request = Request { method: method.to_owned(), target: target.to_owned(), accept_encoding: String::new() };
    loop {
        let mut header = String::new();
        if head.read_line(&mut header)? == 0 || header.trim().is_empty() {
            return Ok(Some(request));
        }
        if let Some((name, value)) = header.split_once(':')
            && name.eq_ignore_ascii_case("accept-encoding")
        {
            value.trim().clone_into(&mut request.accept_encoding);
        }
    }
}

fn write(mut stream: &TcpStream, answer: &Answer, head_only: bool) -> std::io::Result<()> {
    let mut head =
        format!("HTTP/1.1 {}\r\nContent-Length: {}\r\nConnection: close\r\n", answer.status, answer.body.len());
    for (name, value) in &answer.headers {
        head.extend([name, ": ", value, "\r\n"]);
    }
    head.push_str("\r\n");
    stream.write_all(head.as_bytes())?;
    if !head_only {
        stream.write_all(&answer.body)?;
    }
    stream.flush()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_request_is_read() {
        let text = "GET /a?b HTTP/1.1\r\nHost: x\r\nACCEPT-encoding: gzip, br\r\n\r\nrest";
        let request = read(&mut text.as_bytes()).expect("memory can be read").expect("it is a request");
        assert_eq!((request.method.as_str(), request.target.as_str()), ("GET", "/a?b"));
        assert_eq!(request.accept_encoding, "gzip, br");
    }

    #[test]
    fn nonsense_is_no_request() {
        assert_eq!(read(&mut "\r\n".as_bytes()).expect("memory can be read"), None);
        assert_eq!(read(&mut "hello".as_bytes()).expect("memory can be read"), None);
    }

    #[test]
    fn a_file_comes_over_a_real_connection() {
        let listener = TcpListener::bind("127.0.0.1:0").expect("some port is free");
        let address = listener.local_addr().expect("it is bound");
        let dir = crate::paths::root().join("crates/xtask/fixtures/tiny-wasm/src");
        std::thread::spawn(move || serve(&listener, dir));
        let mut stream = TcpStream::connect(address).expect("the server listens");
        stream.write_all(b"GET /lib.rs HTTP/1.1\r\n\r\n").expect("the server reads");
        let mut text = String::new();
        stream.read_to_string(&mut text).expect("the server answers");
        assert!(text.starts_with("HTTP/1.1 200 OK\r\n") && text.contains("pub fn reversed"), "{text}");
    }
}
