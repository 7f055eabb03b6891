//! gzip without compression, written by hand for one reason: the same content has to give the same bytes for ever,
//! and what a compressor makes of it changes from one version of the library to the next. Any gunzip reads it.
//! Must not know what the content is.

use flate2::read::GzDecoder;
use std::io::Read as _;

/// Largest stored block of RFC 1951, 3.2.4.
const BLOCK: usize = 65_535;

/// RFC 1952: magic, deflate, no flags (no name), no time, no hints, operating system unknown.
const HEADER: [u8; 10] = [0x1F, 0x8B, 8, 0, 0, 0, 0, 0, 0, 255];

/// The content as one gzip member of stored blocks.
pub(super) fn wrap(content: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(content.len() + content.len() / BLOCK * 5 + 32);
    out.extend(HEADER);
    let blocks = content.len().div_ceil(BLOCK).max(1);
    for i in 0..blocks {
        let block = &content[i * BLOCK..content.len().min((i + 1) * BLOCK)];
        // A block is at most 65,535 bytes long.
        let length = block.len() as u16;
        out.push(u8::from(i + 1 == blocks));
        out.extend(length.to_le_bytes());
        out.extend((!length).to_le_bytes());
        out.extend(block);
    }
    let mut crc = flate2::Crc::new();
    crc.update(content);
    out.extend(crc.sum().to_le_bytes());
    out.extend(crc.amount().to_le_bytes());
    out
}

/// What went wrong while unwrapping.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum UnpackError {
    /// The content is longer than allowed.
    TooLarge,
    /// It is no whole gzip file.
    Broken(String),
}

/// The content of a gzip file, at most `most` bytes of it; a bomb stops there.
pub(super) fn unwrap(bytes: &[u8], most: u64) -> Result<Vec<u8>, UnpackError> {
    let mut content = Vec::with_capacity(bytes.len().min(usize::try_from(most).unwrap_or(usize::MAX)));
    let read = GzDecoder::new(bytes).take(most.saturating_add(1)).read_to_end(&mut content);
    if content.len() as u64 > most {
        return Err(UnpackError::TooLarge);
    }
    read.map(|_| content).map_err(|error| UnpackError::Broken(error.to_string()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_library_reads_what_is_written() {
        for length in [0, 1, BLOCK - 1, BLOCK, BLOCK + 1, 2 * BLOCK, 200_000] {
            let content: Vec<u8> = (0..length).map(|i| (i * 31 % 251) as u8).collect();
            assert_eq!(unwrap(&wrap(&content), length as u64).unwrap(), content, "{length}");
            if length > 0 {
                assert_eq!(unwrap(&wrap(&content), length as u64 - 1), Err(UnpackError::TooLarge));
            }
        }
    }

    #[test]
    fn nothing_of_the_machine_stands_in_the_header() {
        // By hand: empty content is one final stored block of length 0; the CRC of nothing is 0.
        let empty = [0x1F, 0x8B, 8, 0, 0, 0, 0, 0, 0, 255, 1, 0, 0, 255, 255, 0, 0, 0, 0, 0, 0, 0, 0];
        assert_eq!(wrap(&[]), empty);
    }
}
