//! Gzip and brotli beside each file, for hosts that serve what is packed already.

use std::io::Write;

use anyhow::Result;
use flate2::Compression;
use flate2::write::GzEncoder;

/// What a file's brotli form ends with.
pub(crate) const BROTLI: &str = ".br";

/// What a file's gzip form ends with.
pub(crate) const GZIP: &str = ".gz";

/// Extensions of files that are packed already.
const PACKED: [&str; 3] = [".png", ".woff2", ".jpg"];

/// Both forms with their suffixes, or none for a file that is packed already. The same bytes at every build.
///
/// # Errors
/// The compressors write to memory and fail only if that fails.
pub(crate) fn both(name: &str, bytes: &[u8]) -> Result<Vec<(&'static str, Vec<u8>)>> {
    if PACKED.iter().any(|extension| name.ends_with(extension)) {
        return Ok(Vec::new());
    }
    Ok(vec![(BROTLI, brotli(bytes)?), (GZIP, gzip(bytes)?)])
}

/// Brotli at its strongest, window 2²².
fn brotli(bytes: &[u8]) -> Result<Vec<u8>> {
    let mut packed = Vec::new();
    {
        let mut writer = brotli::CompressorWriter::new(&mut packed, 1 << 16, 11, 22);
        writer.write_all(bytes)?;
    }
    Ok(packed)
}

/// Gzip at its strongest, without a time stamp.
fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes)?;
    Ok(encoder.finish()?)
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use super::*;

    #[test]
    fn both_forms_give_the_bytes_back() {
        let bytes: Vec<u8> = (0..20_000_u32).map(|n| (n * n % 251) as u8).collect();
        for (suffix, packed) in both("app.wasm", &bytes).expect("memory is writable") {
            let mut back = Vec::new();
            let read = match suffix {
                BROTLI => brotli::Decompressor::new(&packed[..], 4096).read_to_end(&mut back),
                _ => flate2::read::GzDecoder::new(&packed[..]).read_to_end(&mut back),
            };
            assert_eq!(read.ok(), Some(bytes.len()), "{suffix}");
            assert_eq!(back, bytes, "{suffix}");
            assert!(packed.len() < bytes.len(), "{suffix}");
        }
    }

    #[test]
    fn the_same_bytes_at_every_build() {
        assert_eq!(both("a.css", b"a { }").ok(), both("a.css", b"a { }").ok());
    }

    #[test]
    fn pictures_are_left_alone() {
        assert_eq!(both("icon.png", b"picture").ok(), Some(Vec::new()));
    }
}
