//! Long texts as short ones: DEFLATE (RFC 1951), written in base64url so that every storage takes it.

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::decompress_to_vec_with_limit;

/// How hard DEFLATE tries, of 10.
const LEVEL: u8 = 7;
/// The most bytes that a text may unpack to: no plan is larger.
const LARGEST: usize = 64 << 20;

/// The text, packed.
pub(super) fn pack(text: &str) -> String {
    URL_SAFE_NO_PAD.encode(compress_to_vec(text.as_bytes(), LEVEL))
}

/// The text that was packed; none where it is damaged.
pub(super) fn unpack(packed: &str) -> Option<String> {
    let bytes = URL_SAFE_NO_PAD.decode(packed).ok()?;
    let text = decompress_to_vec_with_limit(&bytes, LARGEST).ok()?;
    String::from_utf8(text).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_comes_back_and_a_damaged_one_is_none() {
        let text = include_str!("../../assets/examples/kittiwake-light.json");
        let packed = pack(text);
        assert!(
            packed.len() * 2 < text.len(),
            "{} of {}",
            packed.len(),
            text.len()
        );
        assert_eq!(unpack(&packed).as_deref(), Some(text));
        assert_eq!(unpack(&packed[..packed.len() / 2]), None);
        assert_eq!(unpack("not packed!"), None);
    }
}
