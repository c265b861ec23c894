//! DEFLATE (RFC 1951) with a dictionary known to both sides, and the CRC-32 that is laid before it.
//!
//! The dictionary is text that plans tend to hold. It counts as if it had been sent just before the data, which RFC 1950
//! (section 2.3) calls a preset dictionary. To write with it, the dictionary is compressed first, up to a flush, and that
//! part of the stream is thrown away: what follows may refer to it. To read with it, it stands at the start of the
//! output. Each version of the link form has its own, in [`super::words`].

use miniz_oxide::deflate::core::{
    CompressorOxide, TDEFLFlush, compress_to_output, create_comp_flags_from_zip_params,
};
use miniz_oxide::inflate::TINFLStatus;
use miniz_oxide::inflate::core::{DecompressorOxide, decompress, inflate_flags};

/// Why a stream can't be unpacked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Broken {
    /// It ends too early.
    Short,
    /// It is no DEFLATE stream, or something follows it.
    Wrong,
    /// It unpacks to more than it may.
    Large,
}

/// The bytes, compressed as well as it goes.
pub(super) fn pack(bytes: &[u8], dictionary: &[u8]) -> Vec<u8> {
    // Level 10 is the library's slowest; a negative window means no frame around the stream. Which strategy is best
    // depends on the data: all are tried and the shortest kept.
    let one = |strategy| {
        let flags = create_comp_flags_from_zip_params(10, -15, strategy);
        let mut deflate = Box::new(CompressorOxide::new(flags));
        compress_to_output(&mut deflate, dictionary, TDEFLFlush::Sync, |_| true);
        let mut out = Vec::new();
        compress_to_output(&mut deflate, bytes, TDEFLFlush::Finish, |part| {
            out.extend_from_slice(part);
            true
        });
        out
    };
    let mut best = one(0);
    for strategy in [1, 4] {
        let other = one(strategy);
        if other.len() < best.len() {
            best = other;
        }
    }
    best
}

/// The bytes that a stream unpacks to, at most `most` of them.
pub(super) fn unpack(mut stream: &[u8], most: usize, dictionary: &[u8]) -> Result<Vec<u8>, Broken> {
    let flags = inflate_flags::TINFL_FLAG_USING_NON_WRAPPING_OUTPUT_BUF;
    let mut inflate = Box::<DecompressorOxide>::default();
    let mut out = dictionary.to_vec();
    let (mut at, most) = (out.len(), out.len() + most);
    out.resize((at + stream.len() * 4 + 64).min(most), 0);
    loop {
        let (status, read, written) = decompress(&mut inflate, stream, &mut out, at, flags);
        at += written;
        stream = stream.get(read..).unwrap_or(&[]);
        match status {
            TINFLStatus::Done if stream.is_empty() => {
                out.truncate(at);
                out.drain(..dictionary.len());
                return Ok(out);
            }
            TINFLStatus::HasMoreOutput if out.len() >= most => return Err(Broken::Large),
            TINFLStatus::HasMoreOutput => out.resize((out.len() * 2).min(most), 0),
            TINFLStatus::FailedCannotMakeProgress | TINFLStatus::NeedsMoreInput => {
                return Err(Broken::Short);
            }
            _ => return Err(Broken::Wrong),
        }
    }
}

/// The CRC-32 of ISO-HDLC, as in RFC 1952 section 8. Not by the crate `crc32fast`, whose tables of 16 KiB everybody who
/// opens the page would have to fetch; a link has a few hundred bytes.
pub(super) fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32, byte: &u8| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| {
            (c >> 1) ^ (0xedb8_8320 & (c & 1).wrapping_neg())
        })
    };
    !bytes.iter().fold(!0, step)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::link::words::DICTIONARY;
    use proptest::prelude::*;

    fn pack(bytes: &[u8]) -> Vec<u8> {
        super::pack(bytes, DICTIONARY)
    }

    fn unpack(stream: &[u8], most: usize) -> Result<Vec<u8>, Broken> {
        super::unpack(stream, most, DICTIONARY)
    }

    #[test]
    fn the_check_value_of_crc_32() {
        // The customary check: the CRC-32 of RFC 1952 over the digits 1 to 9.
        assert_eq!(crc32(b"123456789"), 0xcbf4_3926);
        assert_eq!(crc32(b""), 0);
    }

    #[test]
    fn foreign_streams_unpack() {
        // Made by hand from RFC 1951 section 3.2: nothing and "a" in fixed codes, "a" stored.
        assert_eq!(unpack(&[0x03, 0x00], 9), Ok(vec![]));
        assert_eq!(unpack(&[0x4b, 0x04, 0x00], 9), Ok(b"a".to_vec()));
        let stored = [0x01, 0x01, 0x00, 0xfe, 0xff, 0x61];
        assert_eq!(unpack(&stored, 9), Ok(b"a".to_vec()));
        assert_eq!(unpack(&stored[..5], 9), Err(Broken::Short));
        // Block type 11 is reserved.
        assert_eq!(unpack(&[0x07, 0x00], 9), Err(Broken::Wrong));
        assert_eq!(
            unpack(&[0x03, 0x00, 0x00], 9),
            Err(Broken::Wrong),
            "a byte follows"
        );
    }

    #[test]
    fn a_stream_that_unpacks_to_too_much_is_stopped() {
        let bomb = miniz_oxide::deflate::compress_to_vec(&vec![0; 1 << 22], 9);
        assert!(bomb.len() < 10_000);
        assert_eq!(unpack(&bomb, 1 << 20), Err(Broken::Large));
        assert_eq!(unpack(&bomb, 1 << 22).unwrap().len(), 1 << 22);
    }

    #[test]
    fn the_dictionary_is_used() {
        let tail = &DICTIONARY[DICTIONARY.len() - 200..];
        assert!(pack(tail).len() < 12, "{}", pack(tail).len());
        assert_eq!(unpack(&pack(tail), 200).unwrap(), tail);
    }

    proptest! {
        #[test]
        fn every_text_comes_back(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
            prop_assert_eq!(unpack(&pack(&bytes), 600).unwrap(), bytes);
        }

        #[test]
        fn no_stream_panics(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
            let _ = unpack(&bytes, 4096);
        }
    }
}
