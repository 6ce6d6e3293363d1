//! What the development server answers: files of one directory, packed where the browser takes it.

use std::path::Path;

use super::http::Request;
use crate::dist::{BROTLI, GZIP, is_hashed, policy};

/// An answer ready to be written.
#[derive(Debug)]
pub(crate) struct Answer {
    /// Status with its words.
    pub(crate) status: &'static str,
    /// Headers besides length and connection.
    pub(crate) headers: Vec<(&'static str, String)>,
    /// What is sent.
    pub(crate) body: Vec<u8>,
}

/// Media types by extension (IANA registry of media types).
const TYPES: [(&str, &str); 10] = [
    ("html", "text/html; charset=utf-8"),
    ("js", "text/javascript; charset=utf-8"),
    ("css", "text/css; charset=utf-8"),
    ("wasm", "application/wasm"),
    ("json", "application/json"),
    ("webmanifest", "application/manifest+json"),
    ("svg", "image/svg+xml"),
    ("png", "image/png"),
    ("woff2", "font/woff2"),
    ("txt", "text/plain; charset=utf-8"),
];

/// The answer to a request for a file below `dir`.
pub(crate) fn answer(request: &Request, dir: &Path) -> Answer {
    if request.method != "GET" && request.method != "HEAD" {
        return plain("405 Method Not Allowed", "only GET and HEAD");
    }
    let Some(name) = file_name(&request.target) else { return plain("404 Not Found", "there is no such file") };
    for (coding, suffix) in [("br", BROTLI), ("gzip", GZIP)] {
        if accepts(&request.accept_encoding, coding)
            && let Ok(body) = std::fs::read(dir.join(format!("{name}{suffix}")))
        {
            return found(name, body, Some(coding));
        }
    }
    match std::fs::read(dir.join(name)) {
        Ok(body) => found(name, body, None),
        Err(_) => plain("404 Not Found", "there is no such file"),
    }
}

/// The file that a target stands for, below the top of the page; `None` for a name that no file of ours has. Our names
/// are plain ASCII, so nothing needs decoding, and no name leads out of the directory.
fn file_name(target: &str) -> Option<&str> {
    let path = target.split(['?', '#']).next()?.strip_prefix('/')?;
    let name = if path.is_empty() { "index.html" } else { path };
    let sound = |part: &str| {
        let letters = part.bytes().all(|byte| byte.is_ascii_alphanumeric() || b"._-".contains(&byte));
        !part.is_empty() && !part.starts_with('.') && letters
    };
    name.split('/').all(sound).then_some(name)
}

/// Whether `Accept-Encoding` takes this coding (RFC 9110 section 12.5.3; a weight of 0 means no).
fn accepts(header: &str, coding: &str) -> bool {
    header.split(',').any(|item| {
        let mut parts = item.split(';').map(str::trim);
        let named = parts.next().is_some_and(|name| name.eq_ignore_ascii_case(coding));
        let refused = parts.filter_map(|part| part.strip_prefix("q=")).any(|q| q.parse() == Ok(0.0_f64));
        named && !refused
    })
}

fn found(name: &str, body: Vec<u8>, coding: Option<&'static str>) -> Answer {
    let extension = name.rsplit_once('.').map_or("", |(_, extension)| extension);
    let media =
        TYPES.iter().find(|(known, _)| *known == extension).map_or("application/octet-stream", |(_, media)| media);
    let keep = if is_hashed(name) { "public, max-age=31536000, immutable" } else { "no-cache" };
    let mut headers = vec![
        ("Content-Type", (*media).to_owned()),
        ("Cache-Control", keep.to_owned()),
        ("Content-Security-Policy", policy::header()),
        ("X-Content-Type-Options", "nosniff".to_owned()),
        ("Referrer-Policy", "no-referrer".to_owned()),
        ("Vary", "Accept-Encoding".to_owned()),
    ];
    headers.extend(coding.map(|coding| ("Content-Encoding", coding.to_owned())));
    Answer { status: "200 OK", headers, body }
}

fn plain(status: &'static str, words: &str) -> Answer {
    let headers =
        vec![("Content-Type", "text/plain; charset=utf-8".to_owned()), ("Cache-Control", "no-store".to_owned())];
    Answer { status, headers, body: words.as_bytes().to_vec() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn get(target: &str, accept_encoding: &str, dir: &Path) -> Answer {
        let accept_encoding = accept_encoding.to_owned();
        answer(&Request { method: "GET".to_owned(), target: target.to_owned(), accept_encoding }, dir)
    }

    fn header<'a>(answer: &'a Answer, name: &str) -> Option<&'a str> {
        answer.headers.iter().find(|(known, _)| *known == name).map(|(_, value)| value.as_str())
    }

    #[test]
    fn the_top_is_the_page_whatever_the_query() {
        assert_eq!(file_name("/"), Some("index.html"));
        assert_eq!(file_name("/?x=1"), Some("index.html"));
        assert_eq!(file_name("/snippets/a-1/inline0.js"), Some("snippets/a-1/inline0.js"));
    }

    #[test]
    fn nothing_outside_the_directory_is_served() {
        for target in ["/../Cargo.toml", "/a/../../b", "//etc/passwd", "/.git/config", "/%2e%2e/x", "x", "/a\\b"] {
            assert_eq!(file_name(target), None, "{target}");
        }
    }

    #[test]
    fn weights_are_honoured() {
        assert!(accepts("gzip, deflate, br", "br"));
        assert!(accepts("br;q=0.5", "br"));
        assert!(!accepts("gzip, br;q=0", "br"));
        assert!(!accepts("gzip", "br"));
    }

    #[test]
    fn packed_files_go_to_browsers_that_take_them() {
        let dir = std::env::temp_dir().join(format!("counterpoise-answer-{}", std::process::id()));
        std::fs::create_dir_all(&dir).expect("the temporary directory can be written");
        for (name, text) in
            [("app-0123456789abcdef.wasm", "plain"), ("app-0123456789abcdef.wasm.br", "packed"), ("index.html", "page")]
        {
            std::fs::write(dir.join(name), text).expect("the temporary directory can be written");
        }
        let packed = get("/app-0123456789abcdef.wasm", "gzip, br", &dir);
        let unpacked = get("/app-0123456789abcdef.wasm", "gzip", &dir);
        let page = get("/", "br", &dir);
        let missing = get("/none.js", "br", &dir);
        std::fs::remove_dir_all(&dir).expect("the directory is there");

        assert_eq!((packed.body.as_slice(), header(&packed, "Content-Encoding")), (&b"packed"[..], Some("br")));
        assert_eq!(header(&packed, "Content-Type"), Some("application/wasm"));
        assert!(header(&packed, "Cache-Control").is_some_and(|value| value.contains("immutable")));
        assert_eq!((unpacked.body.as_slice(), header(&unpacked, "Content-Encoding")), (&b"plain"[..], None));
        assert_eq!(header(&page, "Cache-Control"), Some("no-cache"));
        assert!(header(&page, "Content-Security-Policy").is_some_and(|value| value.contains("frame-ancestors 'self'")));
        assert_eq!(missing.status, "404 Not Found");
    }

    #[test]
    fn only_reading_is_allowed() {
        let request = Request { method: "POST".to_owned(), target: "/".to_owned(), accept_encoding: String::new() };
        assert_eq!(answer(&request, Path::new("/")).status, "405 Method Not Allowed");
    }
}
