//! Bytes going out.

use super::text::WORDS;

/// A growing run of bytes with the texts that it already knows.
#[derive(Debug, Default)]
pub(crate) struct Writer {
    bytes: Vec<u8>,
    texts: Vec<String>,
}

/// A point that a [`Writer`] can be taken back to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Mark {
    bytes: usize,
    texts: usize,
}

impl Writer {
    /// Nothing written yet.
    pub(crate) fn new() -> Self {
        Self::default()
    }

    /// Everything written.
    pub(crate) fn into_bytes(self) -> Vec<u8> {
        self.bytes
    }

    /// Number of bytes written.
    pub(crate) fn len(&self) -> usize {
        self.bytes.len()
    }

    /// Where it stands now.
    pub(crate) fn mark(&self) -> Mark {
        Mark { bytes: self.bytes.len(), texts: self.texts.len() }
    }

    /// Forgets everything written since `mark`.
    pub(crate) fn back_to(&mut self, mark: Mark) {
        self.bytes.truncate(mark.bytes);
        self.texts.truncate(mark.texts);
    }

    /// One byte.
    pub(crate) fn byte(&mut self, byte: u8) {
        self.bytes.push(byte);
    }

    /// Bytes as they are.
    pub(crate) fn raw(&mut self, bytes: &[u8]) {
        self.bytes.extend_from_slice(bytes);
    }

    /// A number in as few bytes as it needs: seven bits a byte, the lowest first.
    pub(crate) fn unsigned(&mut self, mut value: u64) {
        loop {
            let [low, ..] = value.to_le_bytes();
            value >>= 7;
            if value == 0 {
                self.bytes.push(low & 0x7f);
                return;
            }
            self.bytes.push(low | 0x80);
        }
    }

    /// A number with a sign, small magnitudes in few bytes: 0, −1, 1, −2 … become 0, 1, 2, 3 …
    pub(crate) fn signed(&mut self, value: i64) {
        self.unsigned((value.cast_unsigned() << 1) ^ (value >> 63).cast_unsigned());
    }

    /// A count.
    pub(crate) fn count(&mut self, count: usize) {
        self.unsigned(count as u64);
    }

    /// A text: the number of one already known, or 0 and the text itself.
    pub(crate) fn text(&mut self, text: &str) {
        let known = WORDS
            .iter()
            .position(|word| *word == text)
            .or_else(|| self.texts.iter().position(|seen| seen == text).map(|index| WORDS.len() + index));
        if let Some(index) = known {
            self.count(index + 1);
        } else {
            self.byte(0);
            self.count(text.len());
            self.raw(text.as_bytes());
            self.texts.push(text.to_owned());
        }
    }
}
