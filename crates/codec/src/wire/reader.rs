//! Bytes coming in, from anybody: nothing here trusts them.

use super::Fault;
use super::text::WORDS;

/// Most bytes of text that one set of bytes may unfold into; a word used twice counts twice.
const MAX_TEXT_BYTES: usize = 200_000;
/// Most items of any one list.
const MAX_ITEMS: usize = 500;

/// A place in a run of bytes, with the texts that came before it.
#[derive(Debug)]
pub(crate) struct Reader<'a> {
    rest: &'a [u8],
    texts: Vec<&'a str>,
    text_bytes: usize,
}

impl<'a> Reader<'a> {
    /// At the beginning of `bytes`.
    pub(crate) fn new(bytes: &'a [u8]) -> Self {
        Self { rest: bytes, texts: Vec::new(), text_bytes: 0 }
    }

    /// Whether everything has been read.
    pub(crate) fn is_empty(&self) -> bool {
        self.rest.is_empty()
    }

    /// The next `count` bytes as they are.
    pub(crate) fn raw(&mut self, count: usize) -> Result<&'a [u8], Fault> {
        let (bytes, rest) = self.rest.split_at_checked(count).ok_or(Fault::Short)?;
        self.rest = rest;
        Ok(bytes)
    }

    /// The next byte.
    pub(crate) fn byte(&mut self) -> Result<u8, Fault> {
        let (byte, rest) = self.rest.split_first().ok_or(Fault::Short)?;
        self.rest = rest;
        Ok(*byte)
    }

    /// The inverse of `Writer::unsigned`.
    pub(crate) fn unsigned(&mut self) -> Result<u64, Fault> {
        let mut value = 0_u64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            let bits = u64::from(byte & 0x7f);
            // The tenth byte has room for one bit only.
            if shift == 63 && bits > 1 {
                return Err(Fault::Unknown);
            }
            value |= bits << shift;
            if byte & 0x80 == 0 {
                return Ok(value);
            }
        }
        Err(Fault::Unknown)
    }

    /// The inverse of `Writer::signed`.
    pub(crate) fn signed(&mut self) -> Result<i64, Fault> {
        let folded = self.unsigned()?;
        Ok((folded >> 1).cast_signed() ^ -(folded & 1).cast_signed())
    }

    /// A number that fits 32 bits.
    pub(crate) fn small(&mut self) -> Result<u32, Fault> {
        u32::try_from(self.unsigned()?).or(Err(Fault::Unknown))
    }

    /// A length in bytes: never more than are left.
    pub(crate) fn length(&mut self) -> Result<usize, Fault> {
        let length = usize::try_from(self.unsigned()?).or(Err(Fault::TooLarge))?;
        if length > self.rest.len() { Err(Fault::Short) } else { Ok(length) }
    }

    /// A number of items.
    pub(crate) fn count(&mut self) -> Result<usize, Fault> {
        let count = usize::try_from(self.unsigned()?).or(Err(Fault::TooLarge))?;
        if count > MAX_ITEMS { Err(Fault::TooLarge) } else { Ok(count) }
    }

    /// The inverse of `Writer::text`.
    pub(crate) fn text(&mut self) -> Result<String, Fault> {
        let index = usize::try_from(self.unsigned()?).or(Err(Fault::Unknown))?;
        let text = match index.checked_sub(1) {
            None => {
                let length = self.length()?;
                let text = core::str::from_utf8(self.raw(length)?).or(Err(Fault::Unknown))?;
                self.texts.push(text);
                text
            }
            Some(index) => match WORDS.get(index) {
                Some(word) => word,
                None => self.texts.get(index - WORDS.len()).copied().ok_or(Fault::Unknown)?,
            },
        };
        self.text_bytes += text.len();
        if self.text_bytes > MAX_TEXT_BYTES { Err(Fault::TooLarge) } else { Ok(text.to_owned()) }
    }
}
