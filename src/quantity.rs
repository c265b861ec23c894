//! Quantities: decimals as written, time in whole milliseconds, power in whole steps, energy in 1/1000 step·ms.
//!
//! All arithmetic on them is exact, on integers; only [`Unit`] turns them into numbers with a unit, for showing.
//! It knows nothing of parts or plans.

use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use std::fmt;

/// Milliseconds since midnight of day 1, or a length of time in milliseconds.
pub type Ms = u64;

/// Power in whole steps.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Steps(pub u64);

/// Energy in thousandths of a step·millisecond; the thousandth carries a charge efficiency in per mille.
pub type Energy = i128;

/// One step·millisecond as [`Energy`].
pub const STEP_MS: Energy = 1000;

/// Milliseconds in an hour.
pub const HOUR_MS: Ms = 3_600_000;
/// Milliseconds in a day, where a world does not say otherwise.
pub const DAY_MS: Ms = 24 * HOUR_MS;

/// A decimal number as it was written: `mantissa / 10^scale`.
///
/// The shortest decimal that reads back as the same `f64` is what a person wrote, so nothing is lost by having
/// passed through binary.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decimal {
    /// The digits, with the sign.
    pub mantissa: i128,
    /// How many of the digits stand behind the point.
    pub scale: u32,
}

impl Decimal {
    /// The whole number `n`.
    pub const fn whole(n: u64) -> Decimal {
        Decimal {
            mantissa: n as i128,
            scale: 0,
        }
    }

    /// The shortest decimal of `x`; `None` where it is not finite or has over 30 digits (no field allows such).
    pub fn of(x: f64) -> Option<Decimal> {
        if !x.is_finite() {
            return None;
        }
        let text = format!("{x}");
        let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
        if whole.len() + part.len() > 30 {
            return None;
        }
        let mantissa = format!("{whole}{part}").parse().ok()?;
        Some(Decimal {
            mantissa,
            scale: part.len() as u32,
        })
    }

    /// The decimal that `text` writes: digits, with a point among them and a minus before them at the most; up to 30 digits.
    pub fn parse(text: &str) -> Option<Decimal> {
        let (sign, digits) = match text.strip_prefix('-') {
            Some(digits) => (-1, digits),
            None => (1, text),
        };
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let part = part.trim_end_matches('0');
        let all = format!("{whole}{part}");
        let right = all.bytes().all(|b| b.is_ascii_digit()) && digits.len() <= 60;
        if whole.is_empty() || !right || all.trim_start_matches('0').len() > 30 || part.len() > 30 {
            return None;
        }
        Some(Decimal {
            mantissa: sign * all.parse::<i128>().ok()?,
            scale: part.len() as u32,
        })
    }

    /// The decimal without zeros at its end.
    fn short(mut self) -> Decimal {
        while self.scale > 0 && self.mantissa % 10 == 0 {
            self.mantissa /= 10;
            self.scale -= 1;
        }
        self
    }

    /// The product, if it fits.
    pub fn times(self, other: Decimal) -> Option<Decimal> {
        let mantissa = self.mantissa.checked_mul(other.mantissa)?;
        let scale = self.scale + other.scale;
        Some(Decimal { mantissa, scale }.short())
    }

    /// How many times `part` goes into it; `None` where it does not go in without a rest.
    pub fn count_of(self, part: Decimal) -> Option<i128> {
        let above = self.mantissa.checked_mul(10i128.checked_pow(part.scale)?)?;
        let below = part.mantissa.checked_mul(10i128.checked_pow(self.scale)?)?;
        (below != 0 && above % below == 0).then(|| above / below)
    }

    /// The nearest binary number.
    pub fn value(self) -> f64 {
        self.to_string().parse().unwrap_or(f64::NAN)
    }

    /// `self · factor`, rounded to the nearest whole number, halves up.
    pub fn times_rounded(self, factor: i128) -> i128 {
        let unit = 10i128.pow(self.scale);
        (2 * self.mantissa * factor + unit).div_euclid(2 * unit)
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Decimal { mantissa, scale } = self.short();
        let digits = format!("{:0>1$}", mantissa.unsigned_abs(), scale as usize + 1);
        let (whole, part) = digits.split_at(digits.len() - scale as usize);
        let (sign, point) = (
            if mantissa < 0 { "-" } else { "" },
            if scale > 0 { "." } else { "" },
        );
        write!(f, "{sign}{whole}{point}{part}")
    }
}

/// A number as short as it was written, for a file: whole ones without a point.
pub fn number(n: f64) -> Value {
    if n.fract() == 0.0 && n.abs() < 9.0e15 {
        json!(n as i64)
    } else {
        json!(n)
    }
}

/// Seconds as whole milliseconds, rounded to the nearest, halves up. `None` for a negative or endless length.
pub fn seconds_to_ms(seconds: f64) -> Option<Ms> {
    let ms = Decimal::of(seconds)?.times_rounded(1000);
    Ms::try_from(ms).ok()
}

/// A capacity in unit-hours as [`Energy`]; `None` where it is no whole number of step·ms.
pub fn capacity(unit_hours: f64, step: f64) -> Option<Energy> {
    let (c, s) = (Decimal::of(unit_hours)?, Decimal::of(step)?);
    let above = c
        .mantissa
        .checked_mul(i128::from(HOUR_MS))?
        .checked_mul(10i128.checked_pow(s.scale)?)?;
    let below = s.mantissa.checked_mul(10i128.checked_pow(c.scale)?)?;
    (below > 0 && above % below == 0).then(|| above / below * STEP_MS)
}

/// The unit-hours that [`capacity`] made an energy of, exactly; `None` where there are none of at most 20 places.
pub fn unit_hours(energy: Energy, step: f64) -> Option<Decimal> {
    let step = Decimal::of(step)?;
    let whole = Energy::from(HOUR_MS) * STEP_MS;
    let mut above = energy.checked_mul(step.mantissa)?;
    for scale in 0..=20 {
        if above % whole == 0 {
            let scale = scale + step.scale;
            let mantissa = above / whole;
            return Some(Decimal { mantissa, scale }.short());
        }
        above = above.checked_mul(10)?;
    }
    None
}

/// A book's unit: what powers and energies are called, and how much of it one step is.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// The unit's sign, such as `u`.
    pub sign: String,
    /// How much of the unit one step is; more than 0.
    pub step: f64,
}

impl Unit {
    /// `steps` in the unit.
    pub fn power(&self, steps: u64) -> f64 {
        steps as f64 * self.step
    }

    /// `steps` with the unit's sign: `12 u`.
    pub fn say_power(&self, steps: u64) -> String {
        format!("{} {}", Short(self.power(steps)), self.sign)
    }

    /// An energy in unit-hours.
    pub fn hours(&self, energy: Energy) -> f64 {
        let whole = energy as f64 / (STEP_MS as f64 * HOUR_MS as f64);
        whole * self.step
    }

    /// An energy with its unit, to a tenth: `14.2 u·h`.
    pub fn say_energy(&self, energy: Energy) -> String {
        format!(
            "{} {}·h",
            Short((self.hours(energy) * 10.0).round() / 10.0),
            self.sign
        )
    }
}

/// Shows a number without needless digits: `12`, `0.5`.
pub struct Short(pub f64);

impl fmt::Display for Short {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = format!("{:.6}", self.0);
        let text = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            &text
        };
        f.write_str(if text == "-0" { "0" } else { text })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_duration_is_rounded_halves_up() {
        assert_eq!(seconds_to_ms(0.0005), Some(1));
        assert_eq!(seconds_to_ms(0.0004), Some(0));
        assert_eq!(seconds_to_ms(86_400.0), Some(86_400_000));
        assert_eq!(seconds_to_ms(-1.0), None);
        assert_eq!(seconds_to_ms(f64::NAN), None);
    }

    #[test]
    fn a_capacity_is_a_whole_number_of_step_milliseconds() {
        assert_eq!(capacity(1.0, 1.0), Some(3_600_000_000));
        assert_eq!(capacity(2.5, 0.5), Some(5 * 3_600_000_000));
        assert_eq!(capacity(0.000_000_1, 1.0), None);
    }

    #[test]
    fn a_decimal_is_written_as_it_was_read() {
        for text in [
            "0",
            "1",
            "-1",
            "0.5",
            "-0.05",
            "123456789.125",
            "1000000000000000.1",
        ] {
            let read = Decimal::parse(text).unwrap();
            assert_eq!(read.to_string(), text);
        }
        assert_eq!(Decimal::parse("1.50").unwrap().to_string(), "1.5");
        for wrong in ["", "-", ".5", "1e3", "+1", "1.2.3", "1,5", " 1"] {
            assert_eq!(Decimal::parse(wrong), None, "{wrong}");
        }
        let tenth = Decimal::parse("0.1").unwrap();
        assert_eq!(Decimal::parse("6.3").unwrap().count_of(tenth), Some(63));
        assert_eq!(Decimal::parse("6.35").unwrap().count_of(tenth), None);
        assert_eq!(
            tenth.times(Decimal::parse("63").unwrap()),
            Decimal::parse("6.3")
        );
    }

    #[test]
    fn unit_hours_come_back_as_they_were_written() {
        for (hours, step) in [
            (540.0, 0.1),
            (0.3, 0.1),
            (2.5, 0.5),
            (7.0, 0.007),
            (1e12, 1e-6),
        ] {
            let energy = capacity(hours, step).unwrap();
            assert_eq!(
                unit_hours(energy, step).unwrap().value(),
                hours,
                "{hours} {step}"
            );
        }
    }

    #[test]
    fn numbers_are_shown_short() {
        assert_eq!(Short(12.0).to_string(), "12");
        assert_eq!(Short(0.5).to_string(), "0.5");
        let unit = Unit {
            sign: "u".into(),
            step: 1.0,
        };
        assert_eq!(unit.say_power(12), "12 u");
        assert_eq!(unit.say_energy(3_600_000_000), "1 u·h");
    }
}
