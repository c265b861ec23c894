//! A fingerprint of bytes, to tell whether something has changed since last time.
//!
//! FNV-1a, 64 bits (draft-eastlake-fnv). It guards against forgetting, not against malice.

/// A fingerprint being taken.
pub struct Fingerprint(u64);

impl Fingerprint {
    /// The fingerprint of nothing.
    pub fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    /// Takes in one piece. Its length goes in as well, so that where one piece ends and the next begins matters.
    pub fn add(&mut self, piece: &[u8]) -> &mut Self {
        self.raw(piece);
        self.raw(&(piece.len() as u64).to_le_bytes());
        self
    }

    fn raw(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }

    /// Sixteen hexadecimal digits.
    pub fn text(&self) -> String {
        format!("{:016x}", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn raw_bytes_give_the_published_values() {
        // Test vectors of the FNV draft, appendix C.
        for (text, value) in [
            ("", 0xcbf2_9ce4_8422_2325),
            ("a", 0xaf63_dc4c_8601_ec8c),
            ("foobar", 0x8594_4171_f739_67e8),
        ] {
            let mut print = Fingerprint::new();
            print.raw(text.as_bytes());
            assert_eq!(print.0, value, "{text}");
        }
    }

    #[test]
    fn the_border_between_pieces_matters() {
        let of = |pieces: &[&str]| {
            let mut print = Fingerprint::new();
            for piece in pieces {
                print.add(piece.as_bytes());
            }
            print.text()
        };
        assert_ne!(of(&["ab", "c"]), of(&["a", "bc"]));
        assert_eq!(of(&["ab"]).len(), 16);
    }
}
