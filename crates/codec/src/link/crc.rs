//! A checksum: it finds links that were cut, retyped or mangled on the way.

/// CRC-32 of `bytes`: reflected polynomial 0xEDB88320, preset and inverted, as in ISO/IEC 3309 and IEEE 802.3.
///
/// Bit by bit: a link has under a thousand bytes, and no table need travel with the page.
pub(crate) fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| if crc & 1 == 1 { crc >> 1 ^ 0xEDB8_8320 } else { crc >> 1 })
    })
}

#[cfg(test)]
mod tests {
    use super::crc32;

    /// Source: the check value of CRC-32/ISO-HDLC in Cook's catalogue of parametrised CRC algorithms (value from
    /// memory).
    #[test]
    fn the_published_check_value() {
        assert_eq!(crc32(b"123456789"), 0xCBF4_3926);
    }
}
