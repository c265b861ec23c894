//! Numbers in few bytes: seven bits a byte, the lowest first; signed ones zigzag, so that small ones stay small.
//!
//! Reading never panics: what is cut off or too long is `None`.

/// Adds `n`.
pub(super) fn put(out: &mut Vec<u8>, mut n: u64) {
    while n >= 0x80 {
        out.push(n as u8 | 0x80);
        n >>= 7;
    }
    out.push(n as u8);
}

/// Adds `n` with its sign.
pub(super) fn put_signed(out: &mut Vec<u8>, n: i64) {
    put(out, ((n << 1) ^ (n >> 63)) as u64);
}

/// Bytes that are read from the front.
#[derive(Clone)]
pub(super) struct Reader<'b> {
    bytes: &'b [u8],
}

impl<'b> Reader<'b> {
    /// Reads `bytes`.
    pub(super) fn new(bytes: &'b [u8]) -> Reader<'b> {
        Reader { bytes }
    }

    /// One byte.
    pub(super) fn byte(&mut self) -> Option<u8> {
        let (first, rest) = self.bytes.split_first()?;
        self.bytes = rest;
        Some(*first)
    }

    /// A number.
    pub(super) fn number(&mut self) -> Option<u64> {
        let mut n = 0u64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            let bits = u64::from(byte & 0x7f);
            if shift == 63 && bits > 1 {
                return None;
            }
            n |= bits << shift;
            if byte & 0x80 == 0 {
                return Some(n);
            }
        }
        None
    }

    /// A number with its sign.
    pub(super) fn signed(&mut self) -> Option<i64> {
        let n = self.number()?;
        Some((n >> 1) as i64 ^ -((n & 1) as i64))
    }

    /// A count of things of at least one byte each: never more than there are bytes left.
    pub(super) fn count(&mut self) -> Option<usize> {
        let n = usize::try_from(self.number()?).ok()?;
        (n <= self.bytes.len()).then_some(n)
    }

    /// The text up to `end`, which is taken too.
    pub(super) fn text_to(&mut self, end: u8) -> Option<&'b str> {
        let at = self.bytes.iter().position(|b| *b == end)?;
        let text = std::str::from_utf8(&self.bytes[..at]).ok()?;
        self.bytes = &self.bytes[at + 1..];
        Some(text)
    }

    /// The text up to the end.
    pub(super) fn rest(self) -> Option<&'b str> {
        std::str::from_utf8(self.bytes).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_number_comes_back(n: u64, s: i64) {
            let mut out = Vec::new();
            put(&mut out, n);
            put_signed(&mut out, s);
            let mut reader = Reader::new(&out);
            prop_assert_eq!(reader.number(), Some(n));
            prop_assert_eq!(reader.signed(), Some(s));
            prop_assert_eq!(reader.byte(), None);
        }
    }

    #[test]
    fn a_number_without_end_is_none() {
        assert_eq!(Reader::new(&[0x80; 20]).number(), None);
        assert_eq!(Reader::new(&[0xff; 9]).number(), None);
        assert_eq!(
            Reader::new(&[9, 1]).count(),
            None,
            "nine things in one byte"
        );
    }
}
