//! The package as a link: short, checked, lossless.
//!
//! `c0.` and letters of base64url: length and a packed flag, the body raw or deflated, whichever is shorter, and a
//! CRC-32; at the very end one more letter, because some messengers drop a closing `-` or `_` from an address.

pub(crate) mod crc;
mod error;

use base64ct::{Base64UrlUnpadded, Encoding};
use solver::numbers::Numbers;
use solver::{FieldPath, InputError, Package, Problem};

pub use error::{LinkError, Unsendable};

use crate::document::Document;
use crate::sections::{self, BodyFault, Shelf};
use crate::wire::{Fault, Reader, Writer};
use crc::crc32;

/// Format of the links that this program writes, and the newest that it opens.
pub const FORMAT: u32 = 0;
/// Most bytes that a link may unfold into.
pub const MAX_BYTES: usize = 65_536;
/// Length above which a link is better sent as a file: some messengers cut it.
pub const WARN_CHARS: usize = 2_000;
/// Length above which a link should not be offered at all.
pub const REFUSE_CHARS: usize = 8_000;

/// Bytes of the checksum.
const CRC_BYTES: usize = 4;
/// Highest compression that the packer knows; links are small.
const DEFLATE_LEVEL: u8 = 10;

/// The part of an address after `#` that holds the whole document. Numbers are rounded to their storage steps.
///
/// # Errors
/// Numbers outside their ranges, or more than [`MAX_BYTES`].
pub fn encode(document: &Document) -> Result<String, Unsendable> {
    encode_with(document, Shelf::Library)
}

/// As [`encode`], but without references to the built-in library: longer, and readable by every later version whatever
/// becomes of the library. For what a device keeps.
///
/// # Errors
/// As [`encode`].
pub fn encode_whole(document: &Document) -> Result<String, Unsendable> {
    encode_with(document, Shelf::Empty)
}

fn encode_with(document: &Document, shelf: Shelf) -> Result<String, Unsendable> {
    let raw = body(document, shelf)?;
    let packed = miniz_oxide::deflate::compress_to_vec(&raw, DEFLATE_LEVEL);
    Ok(if packed.len() < raw.len() { seal(&packed, true) } else { seal(&raw, false) })
}

fn body(document: &Document, shelf: Shelf) -> Result<Vec<u8>, Unsendable> {
    let faults = out_of_range(&document.package);
    if !faults.is_empty() {
        return Err(Unsendable::OutOfRange(faults));
    }
    let rounded = Document { package: document.package.quantised(), foreign: document.foreign.clone() };
    let raw = sections::write(&rounded, shelf);
    if raw.len() > MAX_BYTES {
        return Err(Unsendable::TooLarge { bytes: raw.len(), most: MAX_BYTES });
    }
    Ok(raw)
}

/// The body of a link before packing, for tests that damage it.
///
/// # Errors
/// As [`encode`].
#[doc(hidden)]
pub fn raw(document: &Document) -> Result<Vec<u8>, Unsendable> {
    body(document, Shelf::Library)
}

/// Length, checksum and letters round a body, which need not be a good one: tests and fuzzers come in here.
#[doc(hidden)]
pub fn seal(body: &[u8], deflated: bool) -> String {
    let mut out = Writer::new();
    out.unsigned((body.len() as u64) << 1 | u64::from(deflated));
    out.raw(body);
    let mut bytes = out.into_bytes();
    let crc = crc32(&bytes);
    bytes.extend(crc.to_le_bytes());
    format!("c{FORMAT}.{}{}", Base64UrlUnpadded::encode_string(&bytes), closing_letter(crc))
}

/// Name and number of every section, for fuzzers.
#[doc(hidden)]
pub const SECTIONS: &[(&str, u32)] = &sections::NAMED;

/// What a document's section holds in a link, for fuzzers to start from.
#[doc(hidden)]
pub fn section_content(document: &Document, id: u32) -> Option<Vec<u8>> {
    sections::content_of(document, id)
}

/// The demonstration with what a fuzzer puts into one of its sections, read as a link's body is.
///
/// # Errors
/// As [`decode`].
#[doc(hidden)]
pub fn with_section(id: u32, content: &[u8]) -> Result<Document, LinkError> {
    in_range(sections::read_with(id, content))
}

/// Finds a link in a text, be it a whole address or a message around it, and reads it.
///
/// # Errors
/// See [`LinkError`]; nothing is ever half read.
pub fn decode(text: &str) -> Result<Document, LinkError> {
    let letters = find(text)?;
    let bytes = unwrap(letters)?;
    let mut reader = Reader::new(&bytes);
    let head = reader.unsigned().or(Err(LinkError::Altered))?;
    let rest = reader.raw(bytes.len().saturating_sub(head_length(head))).or(Err(LinkError::Altered))?;
    let body = rest.get(..rest.len().saturating_sub(CRC_BYTES)).unwrap_or_default();
    let document = if head & 1 == 1 {
        let raw = miniz_oxide::inflate::decompress_to_vec_with_limit(body, MAX_BYTES).map_err(|error| {
            match error.status {
                miniz_oxide::inflate::TINFLStatus::HasMoreOutput => LinkError::TooLarge,
                _ => LinkError::Altered,
            }
        })?;
        sections::read(&raw)
    } else {
        sections::read(body)
    };
    in_range(document)
}

/// What was read, if every number of it lies within its range.
fn in_range(document: Result<Document, BodyFault>) -> Result<Document, LinkError> {
    let document = document.map_err(|fault| match fault {
        BodyFault::Bad(Fault::TooLarge) => LinkError::TooLarge,
        BodyFault::Bad(_) => LinkError::Altered,
        BodyFault::TooNew(found) => LinkError::TooNew { found, newest: sections::VERSION },
        BodyFault::OtherLibrary(version) => LinkError::OtherLibrary { version },
    })?;
    let faults = out_of_range(&document.package);
    if faults.is_empty() { Ok(document) } else { Err(LinkError::OutOfRange(faults)) }
}

/// Every number that is not finite or not within its range.
fn out_of_range(package: &Package) -> Vec<InputError> {
    let mut faults = Vec::new();
    package.see_numbers(&mut FieldPath::root(), &mut |field, value, bounds| {
        if !bounds.contains(value) {
            let problem = if value.is_finite() {
                Problem::OutOfRange { value, min: bounds.min, max: bounds.max, unit: bounds.unit }
            } else {
                Problem::NotFinite
            };
            faults.push(InputError { field: field.clone(), problem });
        }
    });
    faults
}

/// The text from the first letter after the prefix of the link in it.
fn find(text: &str) -> Result<&str, LinkError> {
    let mut newer = None;
    for (start, _) in text.match_indices('c') {
        let before = text.get(..start).unwrap_or_default().chars().next_back();
        if before.is_some_and(|letter| letter.is_ascii_alphanumeric()) {
            continue;
        }
        let after = text.get(start + 1..).unwrap_or_default();
        // No further than the digits: looking for the point through all of the text would take its square.
        let digits = after.bytes().take_while(u8::is_ascii_digit).count();
        let Some((digits, rest)) = after.split_at_checked(digits) else { continue };
        let Some(letters) = rest.strip_prefix('.') else { continue };
        match digits.parse::<u32>() {
            Ok(FORMAT) => return Ok(letters),
            // A number in a sentence is not a link: only a whole text or a fragment can claim to be newer.
            Ok(found) if before.is_none() || before == Some('#') => newer = newer.or(Some(found)),
            _ => {}
        }
    }
    Err(newer.map_or(LinkError::NotOurs, |found| LinkError::TooNew { found, newest: FORMAT }))
}

/// Decodes the letters up to the length that they announce, and tests checksum and closing letter.
fn unwrap(letters: &str) -> Result<Vec<u8>, LinkError> {
    let is_digit = |byte: &u8| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_');
    let unbroken = letters.bytes().take_while(|byte| is_digit(byte)).count();
    // Line breaks that a messenger put in are taken out again; anything else ends the link.
    let digits: Vec<u8> =
        letters.bytes().filter(|byte| !byte.is_ascii_whitespace()).take_while(is_digit).take(MAX_BYTES * 2).collect();
    let length = announced_length(&digits)?;
    if length > MAX_BYTES + 16 {
        return Err(LinkError::TooLarge);
    }
    let count = (length * 4).div_ceil(3);
    let (Some(digits), Some(closing)) = (digits.get(..count), digits.get(count)) else {
        return Err(LinkError::Incomplete);
    };
    // When only words after a blank fill it up, its own end is missing.
    let spoilt = if unbroken > count { LinkError::Altered } else { LinkError::Incomplete };
    let text = core::str::from_utf8(digits).or(Err(LinkError::Altered))?;
    let bytes = Base64UrlUnpadded::decode_vec(text).or(Err(spoilt.clone()))?;
    let (content, crc) = bytes.split_last_chunk::<CRC_BYTES>().ok_or(LinkError::Incomplete)?;
    let crc = u32::from_le_bytes(*crc);
    if crc32(content) != crc || closing_letter(crc) != char::from(*closing) {
        return Err(spoilt);
    }
    Ok(bytes)
}

/// Number of bytes that the first letters announce, checksum included.
fn announced_length(digits: &[u8]) -> Result<usize, LinkError> {
    // Twelve letters are nine bytes: more than any length that is accepted needs.
    let first = digits.get(..digits.len().min(12) / 4 * 4).unwrap_or_default();
    let text = core::str::from_utf8(first).or(Err(LinkError::Altered))?;
    let bytes = Base64UrlUnpadded::decode_vec(text).or(Err(LinkError::Altered))?;
    let mut reader = Reader::new(&bytes);
    let head = reader.unsigned().map_err(|fault| match fault {
        Fault::Short => LinkError::Incomplete,
        _ => LinkError::Altered,
    })?;
    let body = usize::try_from(head >> 1).or(Err(LinkError::TooLarge))?;
    body.checked_add(head_length(head) + CRC_BYTES).ok_or(LinkError::TooLarge)
}

/// Bytes that the head itself takes.
fn head_length(head: u64) -> usize {
    let mut out = Writer::new();
    out.unsigned(head);
    out.len()
}

/// A letter that follows from the checksum.
fn closing_letter(crc: u32) -> char {
    const LETTERS: &[u8; 52] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";
    char::from(LETTERS[(crc % 52) as usize])
}
