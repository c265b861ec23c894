//! Clock times: places on the day's dial, to the minute or to the second, whatever the length of the day.

use crate::quantity::{DAY_MS, Ms};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::fmt;

/// A place on the dial, `HH:MM`, from 00:00 to 24:00, the end of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Clock(u16);

impl Clock {
    /// Reads `HH:MM` (an hour of one digit will do).
    pub fn parse(text: &str) -> Option<Clock> {
        let (hour, minute) = text.split_once(':')?;
        let digits = |s: &str, least: usize| {
            (least..=2).contains(&s.len()) && s.bytes().all(|b| b.is_ascii_digit())
        };
        if !digits(hour, 1) || !digits(minute, 2) {
            return None;
        }
        let (hour, minute): (u16, u16) = (hour.parse().ok()?, minute.parse().ok()?);
        (minute < 60 && hour * 60 + minute <= 1440).then_some(Clock(hour * 60 + minute))
    }

    /// The dial's minute, from 0 to 1440.
    pub fn minute(self) -> u16 {
        self.0
    }

    /// So many minutes later, or earlier where negative, around the dial.
    pub fn later(self, minutes: i32) -> Clock {
        let minute = (i32::from(self.0) + minutes).rem_euclid(1440);
        Clock(u16::try_from(minute).unwrap_or(0))
    }

    /// Milliseconds after midnight in a day of `day_ms`; parts of a millisecond are rounded up.
    pub fn ms(self, day_ms: Ms) -> Ms {
        let product = u128::from(self.0) * u128::from(day_ms);
        product.div_ceil(1440) as Ms
    }

    /// The place on the dial of `ms` after midnight, the begun minute.
    pub fn at(ms: Ms, day_ms: Ms) -> Clock {
        let minute = u128::from(ms % day_ms.max(1)) * 1440 / u128::from(day_ms.max(1));
        Clock(minute as u16)
    }
}

impl fmt::Display for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

/// A place on the dial as it was read: `HH:MM`, or `HH:MM:SS`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DialTime {
    /// Seconds of the dial, 0 to 86,400; a dial has as many whatever the length of the day.
    pub second: u32,
    /// Whether the seconds were read too.
    pub to_the_second: bool,
}

impl DialTime {
    /// Reads `HH:MM` or `HH:MM:SS`, from 00:00 to 24:00.
    pub fn parse(text: &str) -> Option<DialTime> {
        let mut fields = text.split(':');
        let hour = number(fields.next()?, 1)?;
        let minute = number(fields.next()?, 2)?;
        let second = fields.next().map(|field| number(field, 2));
        let to_the_second = second.is_some();
        let second = second.unwrap_or(Some(0))?;
        let all = hour * 3600 + minute * 60 + second;
        let sound = minute < 60 && second < 60 && all <= 86_400 && fields.next().is_none();
        sound.then_some(DialTime {
            second: all,
            to_the_second,
        })
    }

    /// Milliseconds after midnight in a day of `day_ms`; parts of a millisecond are rounded up.
    pub fn ms(self, day_ms: Ms) -> Ms {
        let product = u128::from(self.second) * u128::from(day_ms);
        product.div_ceil(86_400) as Ms
    }

    /// The place on the dial of `ms` after midnight, the begun second; seconds are told where they are not 0.
    pub fn at(ms: Ms, day_ms: Ms) -> DialTime {
        let second = u128::from(ms % day_ms.max(1)) * 86_400 / u128::from(day_ms.max(1));
        DialTime {
            second: second as u32,
            to_the_second: !second.is_multiple_of(60),
        }
    }

    /// Hours from midnight, 0 to 24.
    pub fn hours(self) -> f64 {
        f64::from(self.second) / 3600.0
    }

    /// What it is right to, in hours: a minute or a second.
    pub fn right_to(self) -> f64 {
        if self.to_the_second {
            1.0 / 3600.0
        } else {
            1.0 / 60.0
        }
    }
}

impl fmt::Display for DialTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = self.second / 60;
        write!(f, "{:02}:{:02}", minutes / 60, minutes % 60)?;
        if self.to_the_second {
            write!(f, ":{:02}", self.second % 60)?;
        }
        Ok(())
    }
}

/// A place on the dial of one day, as a document names it: `HH:MM`, `HH:MM:SS`, and either with `dN ` ahead from day 2 on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DialMoment {
    /// The day, from 1.
    pub day: u64,
    /// The place on its dial.
    pub dial: DialTime,
}

impl DialMoment {
    /// Reads a moment of the days 1 to `last`.
    pub fn parse(text: &str, last: u64) -> Option<DialMoment> {
        let (day, dial) = match text.strip_prefix('d') {
            Some(rest) => {
                let (day, dial) = rest.split_once(' ')?;
                let digits = day.bytes().all(|b| b.is_ascii_digit());
                (
                    digits.then(|| day.parse().ok()).flatten()?,
                    dial.trim_start(),
                )
            }
            None => (1, text),
        };
        let dial = DialTime::parse(dial)?;
        (1..=last)
            .contains(&day)
            .then_some(DialMoment { day, dial })
    }

    /// The moment `t`, in milliseconds since midnight of day 1, rounded down to the dial's second.
    pub fn of(t: Ms, day_ms: Ms) -> DialMoment {
        DialMoment {
            day: t / day_ms.max(1) + 1,
            dial: DialTime::at(t, day_ms),
        }
    }

    /// Milliseconds since midnight of day 1.
    pub fn ms(self, day_ms: Ms) -> Ms {
        let before = self.day.saturating_sub(1).saturating_mul(day_ms);
        before.saturating_add(self.dial.ms(day_ms))
    }
}

impl fmt::Display for DialMoment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.day {
            1 => self.dial.fmt(f),
            day => write!(f, "d{day} {}", self.dial),
        }
    }
}

/// A number of at most two digits, and at least `least`.
fn number(field: &str, least: usize) -> Option<u32> {
    let digits = field.bytes().all(|b| b.is_ascii_digit());
    let length = (least..=2).contains(&field.len());
    (digits && length).then(|| field.parse().ok())?
}

/// A stretch of the dial, `[from, to)`: over midnight where `to` is earlier, empty where they are equal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Span {
    /// Its first moment.
    pub from: Clock,
    /// The first moment after it.
    pub to: Clock,
}

impl Span {
    /// Reads `["HH:MM", "HH:MM"]`.
    pub fn read(value: &Value) -> Option<Span> {
        let [from, to] = value.as_array()?.as_slice() else {
            return None;
        };
        Some(Span {
            from: Clock::parse(from.as_str()?)?,
            to: Clock::parse(to.as_str()?)?,
        })
    }

    /// Whether the stretch holds at `ms` after midnight.
    pub fn holds(self, ms: Ms, day_ms: Ms) -> bool {
        let (from, to) = (self.from.ms(day_ms), self.to.ms(day_ms));
        if from <= to {
            from <= ms && ms < to
        } else {
            from <= ms || ms < to
        }
    }
}

/// Milliseconds of the dial at the moment `t`; every day has as many, however long it is.
pub fn dial_ms(t: Ms, day_ms: Ms) -> u64 {
    let day_ms = u128::from(day_ms.max(1));
    (u128::from(t) % day_ms * u128::from(DAY_MS) / day_ms) as u64
}

/// The place on the dial of the moment `t`, rounded down to the second: `08:31`, or `08:31:24`.
pub fn to_the_second(t: Ms, day_ms: Ms) -> String {
    let clock = Clock::at(t, day_ms);
    match dial_ms(t, day_ms) / 1000 % 60 {
        0 => clock.to_string(),
        second => format!("{clock}:{second:02}"),
    }
}

/// A moment of a run as answers have it: as [`to_the_second`], with `dN ` before it from day 2 on.
pub fn moment(t: Ms, day_ms: Ms) -> String {
    let dial = to_the_second(t, day_ms);
    match t / day_ms.max(1) + 1 {
        1 => dial,
        day => format!("d{day} {dial}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn earlier_and_later_go_around_the_dial() {
        let at = |text: &str| Clock::parse(text).expect("a time");
        assert_eq!(at("00:10").later(-30), at("23:40"));
        assert_eq!(at("23:45").later(30), at("00:15"));
        assert_eq!(at("24:00").later(0), at("00:00"));
    }

    #[test]
    fn a_clock_time_is_a_place_on_the_dial() {
        let noon = Clock::parse("12:00").unwrap();
        assert_eq!(noon.ms(86_400_000), 43_200_000);
        assert_eq!(noon.ms(3_600_000), 1_800_000);
        assert_eq!(Clock::parse("24:00").unwrap().ms(1001), 1001);
        assert_eq!(
            Clock::parse("00:01").unwrap().ms(1000),
            1,
            "parts of a millisecond are rounded up"
        );
        for wrong in [
            "24:01", "12", "12:60", "1:2", "-1:00", "012:00", "", "ab:cd", "12:0x",
        ] {
            assert_eq!(Clock::parse(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn a_moment_names_the_second_and_a_later_day() {
        let day = 86_400_000;
        assert_eq!(moment(0, day), "00:00");
        assert_eq!(moment(38_400_000, day), "10:40");
        assert_eq!(moment(38_401_999, day), "10:40:01");
        assert_eq!(moment(day, day), "d2 00:00");
        assert_eq!(moment(2 * day + 75_600_000, day), "d3 21:00");
        // On the dial of a day of an hour a second is the 24th of a second long.
        assert_eq!(moment(1_800_000, 3_600_000), "12:00");
        assert_eq!(moment(1_800_041, 3_600_000), "12:00");
        assert_eq!(moment(1_800_042, 3_600_000), "12:00:01");
    }

    #[test]
    fn a_place_on_the_dial_may_have_seconds() {
        for (text, second, fine) in [
            ("00:00", 0, false),
            ("9:30", 34_200, false),
            ("05:40:07", 20_407, true),
            ("24:00", 86_400, false),
        ] {
            let read = DialTime::parse(text).unwrap();
            assert_eq!((read.second, read.to_the_second), (second, fine), "{text}");
        }
        assert_eq!(DialTime::parse("9:30").unwrap().to_string(), "09:30");
        assert_eq!(DialTime::parse("05:40:07").unwrap().to_string(), "05:40:07");
        for wrong in [
            "",
            "12",
            "12:5",
            "12:60",
            "24:01",
            "24:00:01",
            "1:00:60",
            "+1:00",
            "1:00:00:00",
            "a:00",
        ] {
            assert_eq!(DialTime::parse(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn a_span_goes_over_midnight_where_its_end_is_earlier() {
        let span = |from, to| Span {
            from: Clock::parse(from).unwrap(),
            to: Clock::parse(to).unwrap(),
        };
        let night = span("22:00", "06:00");
        assert!(night.holds(0, 86_400_000) && night.holds(22 * 3_600_000, 86_400_000));
        assert!(!night.holds(6 * 3_600_000, 86_400_000));
        assert!(!span("10:00", "10:00").holds(36_000_000, 86_400_000));
    }
}
