//! Numbers in fractions of bits: an adaptive binary range coder for the columns of a packing.
//!
//! DEFLATE gives text and numbers one table of codes and spends some 80 bytes on writing it down, which is much for a
//! link; here the table is learnt while going. A number is written by its length in bits and then its bits, each with
//! the odds seen so far at that place of that column. The coder is the carry-propagating one of G. N. N. Martin's range
//! encoding (Video and Data Recording Conference, Southampton, 1979), with 32 bits.
//!
//! Reading never fails: behind its end the stream goes on with zeros. Whoever reads checks the sum and the counts.

/// How many bits an odd has.
const SCALE: u32 = 14;
/// Below this range a byte is moved out.
const LEAST: u32 = 1 << 24;

/// What has been seen at one place: zeros and ones.
#[derive(Clone, Copy, Default)]
struct Seen([u16; 2]);

impl Seen {
    /// The odds of a 0, in 1/2^SCALE; never 0 and never 1.
    fn odds(self) -> u32 {
        let [zeros, ones] = self.0.map(u32::from);
        ((5 * zeros + 2) << SCALE) / (5 * (zeros + ones) + 4)
    }

    fn learn(&mut self, bit: bool) {
        self.0[usize::from(bit)] += 1;
        if self.0[0] + self.0[1] > 1000 {
            self.0 = self.0.map(|n| n / 2 + 1);
        }
    }
}

/// What has been seen of one column's numbers.
pub(super) struct Column {
    /// Whether a number has more bits, by bits so far.
    longer: [Seen; 65],
    /// The bits below the highest, by length and the bits before them, as far as those fit.
    bits: Vec<Seen>,
}

impl Column {
    /// Nothing has been seen yet.
    pub(super) fn new() -> Column {
        Column {
            longer: [Seen::default(); 65],
            bits: vec![Seen::default(); 65 * 64],
        }
    }

    /// The place for a bit of a number of `length` bits, of which `before` are known.
    fn place(&mut self, length: u32, before: u64) -> &mut Seen {
        &mut self.bits[length as usize * 64 + before.min(63) as usize]
    }
}

/// Writes.
pub(super) struct Writer {
    low: u64,
    range: u32,
    held: u8,
    /// Bytes that are held back until it is known whether a carry runs through them.
    behind: u64,
    first: bool,
    out: Vec<u8>,
}

impl Writer {
    /// Starts a stream.
    pub(super) fn new() -> Writer {
        Writer {
            low: 0,
            range: u32::MAX,
            held: 0,
            behind: 0,
            first: true,
            out: Vec::new(),
        }
    }

    /// Writes `n` as the next number of its column.
    pub(super) fn put(&mut self, column: &mut Column, n: u64) {
        // One more than the number has a highest bit; of the largest number only that it is.
        let n = n.saturating_add(1);
        let length = 64 - n.leading_zeros();
        for at in 1..=length.min(63) {
            self.bit(&mut column.longer[at as usize], at < length);
        }
        for at in (0..length - 1).rev() {
            let bit = n >> at & 1 == 1;
            self.bit(column.place(length, n >> (at + 1)), bit);
        }
    }

    /// As [`Writer::put`], with a sign.
    pub(super) fn put_signed(&mut self, column: &mut Column, n: i64) {
        self.put(column, ((n << 1) ^ (n >> 63)) as u64);
    }

    fn bit(&mut self, seen: &mut Seen, bit: bool) {
        let bound = (self.range >> SCALE) * seen.odds();
        if bit {
            self.low += u64::from(bound);
            self.range -= bound;
        } else {
            self.range = bound;
        }
        seen.learn(bit);
        while self.range < LEAST {
            self.range <<= 8;
            self.shift();
        }
    }

    fn shift(&mut self) {
        if self.low < 0xff00_0000 || self.low > u64::from(u32::MAX) {
            let carry = (self.low >> 32) as u8;
            if !self.first {
                self.out.push(self.held.wrapping_add(carry));
            }
            self.first = false;
            for _ in 0..self.behind {
                self.out.push(0xff_u8.wrapping_add(carry));
            }
            self.behind = 0;
            self.held = (self.low >> 24) as u8;
        } else {
            self.behind += 1;
        }
        self.low = (self.low & 0x00ff_ffff) << 8;
    }

    /// The stream; zeros at its end go without saying.
    pub(super) fn end(mut self) -> Vec<u8> {
        // Any value within the range will do: the one with the most zeros at its end.
        let top = self.low + u64::from(self.range) - 1;
        for zeros in (0..=32).rev() {
            let mask = (1u64 << zeros) - 1;
            if top & !mask >= self.low {
                self.low = top & !mask;
                break;
            }
        }
        for _ in 0..5 {
            self.shift();
        }
        while self.out.last() == Some(&0) {
            self.out.pop();
        }
        self.out
    }
}

/// Reads what [`Writer`] wrote.
pub(super) struct Reader<'b> {
    bytes: std::slice::Iter<'b, u8>,
    range: u32,
    code: u32,
}

impl<'b> Reader<'b> {
    /// Starts at the front of a stream.
    pub(super) fn new(bytes: &'b [u8]) -> Reader<'b> {
        let mut bytes = bytes.iter();
        let mut next = || u32::from(bytes.next().copied().unwrap_or(0));
        let code = (0..4).fold(0, |code, _| code << 8 | next());
        Reader {
            bytes,
            range: u32::MAX,
            code,
        }
    }

    /// The next number of its column.
    pub(super) fn number(&mut self, column: &mut Column) -> u64 {
        let mut length = 1;
        while length < 64 && self.bit(&mut column.longer[length as usize]) {
            length += 1;
        }
        let n = (0..length - 1).fold(1u64, |n, _| {
            n << 1 | u64::from(self.bit(column.place(length, n)))
        });
        n - 1
    }

    /// As [`Reader::number`], with a sign.
    pub(super) fn signed(&mut self, column: &mut Column) -> i64 {
        let n = self.number(column);
        (n >> 1) as i64 ^ -((n & 1) as i64)
    }

    fn bit(&mut self, seen: &mut Seen) -> bool {
        let bound = (self.range >> SCALE) * seen.odds();
        let bit = self.code >= bound;
        if bit {
            self.code -= bound;
            self.range -= bound;
        } else {
            self.range = bound;
        }
        seen.learn(bit);
        while self.range < LEAST {
            self.range <<= 8;
            self.code = self.code << 8 | u32::from(self.bytes.next().copied().unwrap_or(0));
        }
        bit
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn there_and_back(numbers: &[u64]) -> usize {
        let (mut writer, mut column) = (Writer::new(), Column::new());
        for n in numbers {
            writer.put(&mut column, *n);
        }
        let bytes = writer.end();
        let (mut reader, mut column) = (Reader::new(&bytes), Column::new());
        for n in numbers {
            assert_eq!(reader.number(&mut column), *n);
        }
        bytes.len()
    }

    #[test]
    fn what_repeats_costs_little() {
        assert!(there_and_back(&[30; 1000]) <= 8);
        assert_eq!(there_and_back(&[]), 0);
        let steps: Vec<u64> = (0..1000).map(|n| n * n % 7).collect();
        assert!(there_and_back(&steps) < 300, "{}", there_and_back(&steps));
        there_and_back(&[0, u64::MAX - 1, 1, 1 << 63, 255, 256]);
    }

    proptest! {
        #[test]
        fn every_column_comes_back(
            small in proptest::collection::vec(0u64..20, 0..300),
            large in proptest::collection::vec(0..u64::MAX, 0..50),
        ) {
            there_and_back(&small);
            there_and_back(&large);
        }

        #[test]
        fn no_stream_panics(bytes in proptest::collection::vec(any::<u8>(), 0..100)) {
            let (mut reader, mut column) = (Reader::new(&bytes), Column::new());
            for _ in 0..1000 {
                reader.signed(&mut column);
            }
        }
    }
}
