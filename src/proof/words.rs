//! Words for times and lengths of time in what is proven. Dial times in a run of days, lengths in hours of 3,600 s.

use crate::plan::Clock;
use crate::quantity::{Energy, HOUR_MS, Ms, STEP_MS, Short, Unit};
use serde::{Deserialize, Serialize};

/// A length of time to two places: `40 ms`, `45 s`, `12 min`, `3 h 20 min`, `72 h`.
pub fn length(ms: Ms) -> String {
    let two = |big: u64, big_unit: &str, small: u64, small_unit: &str| match small {
        0 => format!("{big} {big_unit}"),
        _ => format!("{big} {big_unit} {small} {small_unit}"),
    };
    match ms {
        0 => "no time".into(),
        1..1000 => format!("{ms} ms"),
        1000..60_000 => format!("{} s", ms / 1000),
        60_000..HOUR_MS => two(ms / 60_000, "min", ms % 60_000 / 1000, "s"),
        _ => two(ms / HOUR_MS, "h", ms % HOUR_MS / 60_000, "min"),
    }
}

/// A length of time, rounded up to whole minutes, so that it is enough.
pub fn enough_time(ms: Ms) -> String {
    length(ms.div_ceil(60_000).saturating_mul(60_000))
}

/// An energy with its unit, rounded up to a tenth, so that it is enough: `14.2 u·h`.
pub fn enough(unit: &Unit, energy: Energy) -> String {
    let tenths = energy as f64 / (STEP_MS as f64 * HOUR_MS as f64) * unit.step * 10.0;
    // What is a whole tenth but for the binary fraction is not pushed to the next.
    let tenths = (tenths - 1e-6).ceil().max(1.0);
    format!("{} {}·h", Short(tenths / 10.0), unit.sign)
}

/// Tells the moments of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dial {
    /// The length of a day.
    pub day_ms: Ms,
    /// How many days the run has: with one, days go without saying.
    pub days: u64,
}

impl Dial {
    /// When something begins: `at 03:12`, `on day 2 at 03:12`.
    pub fn at(self, t: Ms) -> String {
        let clock = Clock::at(t, self.day_ms);
        if self.days > 1 {
            format!("on day {} at {clock}", t / self.day_ms + 1)
        } else {
            format!("at {clock}")
        }
    }

    /// A moment: `03:12`, `03:12 on day 2`.
    pub fn moment(self, t: Ms) -> String {
        let clock = Clock::at(t, self.day_ms);
        match self.days > 1 {
            true => format!("{clock} on day {}", t / self.day_ms + 1),
            false => clock.to_string(),
        }
    }

    /// From when something is so: `from 03:12 on day 2`.
    pub fn from(self, t: Ms) -> String {
        let clock = Clock::at(t, self.day_ms);
        if self.days > 1 {
            format!("from {clock} on day {}", t / self.day_ms + 1)
        } else {
            format!("from {clock}")
        }
    }

    /// When something ends that began, or was so, at `from`: `07:05`, `24:00`, `07:05 the next day`, `07:05 on day 4`.
    pub fn until(self, from: Ms, t: Ms) -> String {
        let (day, begun) = (t / self.day_ms, from / self.day_ms);
        let clock = Clock::at(t, self.day_ms);
        match day.saturating_sub(begun) {
            0 => clock.to_string(),
            1 if t.is_multiple_of(self.day_ms) => "24:00".into(),
            1 => format!("{clock} the next day"),
            _ => format!("{clock} on day {}", day + 1),
        }
    }

    /// A stretch: `from 18:00 to 24:00`, `from 18:00 on day 2 to 06:00 the next day`.
    pub fn stretch(self, from: Ms, to: Ms) -> String {
        format!("{} to {}", self.from(from), self.until(from, to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_said_to_two_places() {
        let said: Vec<String> = [0, 40, 45_000, 62_000, 12_000_000, 259_200_000]
            .map(length)
            .into();
        assert_eq!(
            said,
            [
                "no time",
                "40 ms",
                "45 s",
                "1 min 2 s",
                "3 h 20 min",
                "72 h"
            ]
        );
        assert_eq!(enough_time(HOUR_MS + 1), "1 h 1 min");
    }

    #[test]
    fn what_is_needed_is_rounded_up() {
        let unit = Unit {
            sign: "u".into(),
            step: 1.0,
        };
        let hour = STEP_MS * Energy::from(HOUR_MS);
        let said = [14 * hour, 14 * hour + 1000, hour / 10, 1].map(|e| enough(&unit, e));
        assert_eq!(said, ["14 u·h", "14.1 u·h", "0.1 u·h", "0.1 u·h"]);
    }

    #[test]
    fn a_moment_names_its_day_where_there_are_several() {
        let (one, many) = (
            Dial {
                day_ms: 1440,
                days: 1,
            },
            Dial {
                day_ms: 1440,
                days: 3,
            },
        );
        assert_eq!(one.at(61), "at 01:01");
        assert_eq!(many.at(1440 + 61), "on day 2 at 01:01");
        assert_eq!(one.stretch(1080, 1440), "from 18:00 to 24:00");
        assert_eq!(
            many.stretch(1080, 1500),
            "from 18:00 on day 1 to 01:00 the next day"
        );
        assert_eq!(one.until(0, 4 * 1440), "00:00 on day 5");
    }
}
