//! Names that carry the hash of the content.

use sha2::{Digest, Sha256};

/// Hexadecimal digits of the SHA-256 in a name: 64 bits, far beyond chance for a few dozen files.
const DIGITS: usize = 16;

/// The first [`DIGITS`] hexadecimal digits of the SHA-256 (FIPS 180-4) of `bytes`.
pub(crate) fn of(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    let first: [u8; DIGITS / 2] = std::array::from_fn(|at| digest[at]);
    format!("{:016x}", u64::from_be_bytes(first))
}

/// `name` with the hash of its content before the extension: `style.css` becomes `style-0123456789abcdef.css`.
pub(crate) fn named(name: &str, bytes: &[u8]) -> String {
    let hash = of(bytes);
    match name.rsplit_once('.') {
        Some((stem, extension)) => format!("{stem}-{hash}.{extension}"),
        None => format!("{name}-{hash}"),
    }
}

/// Whether a name was made by [`named`]: such a file never changes.
pub(crate) fn is_hashed(name: &str) -> bool {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    stem.rsplit_once('-').is_some_and(|(_, hash)| {
        hash.len() == DIGITS && hash.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_sha_256() {
        // FIPS 180-4 example "abc": ba7816bf 8f01cfea 414140de 5dae2223 b00361a3 96177a9c b410ff61 f20015ad.
        assert_eq!(of(b"abc"), "ba7816bf8f01cfea");
    }

    #[test]
    fn names_change_with_the_content_and_keep_their_extension() {
        let (one, two) = (named("style.css", b"a"), named("style.css", b"b"));
        assert_ne!(one, two);
        assert!(one.strip_prefix("style-").is_some_and(|rest| rest.strip_suffix(".css").is_some()), "{one}");
        assert!(is_hashed(&one));
        assert!(!is_hashed("index.html"));
        assert!(!is_hashed("icon-maskable.png"));
    }
}
