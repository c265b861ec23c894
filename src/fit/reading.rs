//! What a builder reads off his world, and what each reading says of it.
//!
//! Times are places on the dial in hours from midnight, angles degrees, powers whole steps, levels per mille. A time, an
//! angle at the horizon, a level and a watch's seconds are right to one unit of their last place, either way; `gives` is
//! what a panel shows, so that the true value is in `[gives, gives + 1)`.

use crate::sky::{Aim, Air};
use serde::{Deserialize, Serialize};
use std::fmt;

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

/// A number of at most two digits, and at least `least`.
fn number(field: &str, least: usize) -> Option<u32> {
    let digits = field.bytes().all(|b| b.is_ascii_digit());
    let length = (least..=2).contains(&field.len());
    (digits && length).then(|| field.parse().ok())?
}

/// One reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reading {
    /// What a panel shows at a time of the dial.
    Panel {
        /// When.
        at: DialTime,
        /// How the panel stands.
        aim: Aim,
        /// Whole steps.
        gives: u64,
    },
    /// When the sun comes up, and where.
    Rises {
        /// When.
        at: DialTime,
        /// Degrees clockwise from north.
        azimuth: Option<f64>,
    },
    /// When it goes down, and where.
    Sets {
        /// When.
        at: DialTime,
        /// Degrees clockwise from north.
        azimuth: Option<f64>,
    },
    /// How far the dial goes while a watch goes on.
    Clock {
        /// Seconds by the watch.
        clock_s: f64,
        /// The way of the dial meanwhile, as a time from midnight on.
        dial: DialTime,
    },
    /// How a battery's level changes under a steady power.
    Battery {
        /// Whether it is drawn from; else it is charged.
        falls: bool,
        /// Its level at first, in per mille.
        from: f64,
        /// Its level in the end.
        to: f64,
        /// How long, in real hours.
        hours: f64,
        /// Steps drawn from it, or fed into it.
        draw: u64,
    },
}

/// A table of readings of one world. The panels are all of one type.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// The length of the day in seconds, where it is known.
    pub day_s: Option<f64>,
    /// The air, where it is known.
    pub air: Option<Air>,
    /// The readings, as they stand in the file.
    pub list: Vec<Reading>,
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
