//! Numbers of a plan, exactly as written.
//!
//! A JSON number is turned back into its decimal digits, so that `0.1` means one tenth and not the nearest binary
//! fraction. Durations become whole milliseconds, clock times a place on the dial in milliseconds.
//! Panics on anything malformed: the simple engine is an oracle for valid plans, not a reader of hostile ones.

use serde_json::Value;

/// A decimal number `digits / scale`, where `scale` is a power of ten.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decimal {
    /// The number's digits without the point.
    pub digits: i128,
    /// 1, 10, 100, …
    pub scale: i128,
}

impl Decimal {
    /// The number as written in the document, exponent included.
    pub fn of(value: &Value) -> Self {
        let number = value
            .as_number()
            .unwrap_or_else(|| panic!("expected a number, found {value}"));
        Self::parse(&number.to_string())
    }

    /// Reads `-12.5e-3` and the like.
    pub fn parse(text: &str) -> Self {
        let (mantissa, exponent) = match text.split_once(['e', 'E']) {
            Some((mantissa, exponent)) => (mantissa, exponent.parse::<i32>().expect("an exponent")),
            None => (text, 0),
        };
        let (whole, fraction) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        let digits: i128 = format!("{whole}{fraction}").parse().expect("digits");
        let places = i32::try_from(fraction.len()).expect("a short number") - exponent;
        if places >= 0 {
            Self {
                digits,
                scale: 10_i128.pow(places.unsigned_abs()),
            }
        } else {
            Self {
                digits: digits * 10_i128.pow(places.unsigned_abs()),
                scale: 1,
            }
        }
    }

    /// This number times a whole one, if that is whole.
    pub fn times_exactly(self, factor: i128) -> Option<i128> {
        let product = self.digits * factor;
        (product % self.scale == 0).then_some(product / self.scale)
    }

    /// This number times a whole one, to the nearest whole number, halves up.
    pub fn times_rounded(self, factor: i128) -> i128 {
        (2 * self.digits * factor + self.scale).div_euclid(2 * self.scale)
    }

    /// `⌊self · factor⌋`, where a product less than 1e-9 below a whole number counts as that number.
    pub fn times_floored(self, factor: i128) -> i128 {
        const NANO: i128 = 1_000_000_000;
        // The largest whole k with k < product + 1e-9, over the common denominator scale · 1e9.
        let above = self.digits * factor * NANO + self.scale;
        (above - 1).div_euclid(self.scale * NANO)
    }

    /// The nearest binary fraction.
    pub fn float(self) -> f64 {
        self.digits as f64 / self.scale as f64
    }
}

/// A duration in seconds as whole milliseconds, halves up.
pub fn duration_ms(value: &Value) -> i64 {
    i64::try_from(Decimal::of(value).times_rounded(1000)).expect("a duration that fits")
}

/// Minutes since midnight of `HH:MM`, up to 24:00.
pub fn clock_minutes(value: &Value) -> i64 {
    let text = value.as_str().expect("a clock time HH:MM");
    let (hours, minutes) = text.split_once(':').expect("HH:MM");
    let hours: i64 = hours.parse().expect("hours");
    let minutes: i64 = minutes.parse().expect("minutes");
    assert!(
        hours * 60 + minutes <= 1440 && minutes < 60,
        "no such clock time: {text}"
    );
    hours * 60 + minutes
}

/// A clock time as milliseconds after midnight in a day of `day_ms`, parts of a millisecond rounded up.
///
/// AMBIGUOUS (day): the rules multiply by `day_s`. Where `day_s` itself holds parts of a millisecond, the day's
/// length is rounded first here, as a duration is, and the clock time is a share of the rounded day.
pub fn clock_ms(value: &Value, day_ms: i64) -> i64 {
    (clock_minutes(value) * day_ms + 1439) / 1440
}

/// Milliseconds of the day between two clock times; over midnight where the second is earlier, empty where equal.
#[derive(Clone, Copy, Debug)]
pub struct Stretch {
    from: i64,
    to: i64,
}

impl Stretch {
    /// Reads two clock times.
    pub fn new(from: &Value, to: &Value, day_ms: i64) -> Self {
        Self {
            from: clock_ms(from, day_ms),
            to: clock_ms(to, day_ms),
        }
    }

    /// Reads a list of `[from, to]`.
    pub fn list(list: &[Value], day_ms: i64) -> Vec<Self> {
        list.iter()
            .map(|pair| Self::new(&pair[0], &pair[1], day_ms))
            .collect()
    }

    /// Whether a millisecond of the day lies in it.
    pub fn holds(self, ms: i64) -> bool {
        if self.from <= self.to {
            self.from <= ms && ms < self.to
        } else {
            ms >= self.from || ms < self.to
        }
    }
}
