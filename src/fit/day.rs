//! The length of the day, from a watch beside the dial.

use super::asks::last_place;
use super::lines::{Line, Point, beyond, line, settles};
use super::reading::{Reading, Readings};
use super::rounded::{digits, outward, round};
use super::told::Told;
use crate::clock::DialTime;

/// The length of a day where nothing is said of it, in seconds.
const DAY: f64 = 86_400.0;

/// The length of the day.
pub(super) struct Day {
    pub(super) day_s: f64,
    pub(super) open: bool,
    pub(super) sure: Option<(f64, f64)>,
    pub(super) contradicts: Vec<usize>,
}

impl Day {
    pub(super) fn of(readings: &Readings) -> Day {
        let mut points = Vec::new();
        for (reading, of) in readings.list.iter().enumerate() {
            if let Reading::Clock { clock_s, dial } = *of {
                let (share, give) = (dial.hours() / 24.0, dial.right_to() / 24.0);
                let second = last_place(clock_s);
                let most = if share > give {
                    (clock_s + second) / (share - give)
                } else {
                    f64::INFINITY
                };
                points.push(Point {
                    reading,
                    gone: clock_s,
                    per: share,
                    least: (clock_s - second) / (share + give),
                    most,
                });
            }
        }
        if let Some(day_s) = readings.day_s {
            let off = points.iter().filter(|p| day_s < p.least || p.most < day_s);
            return Day {
                day_s,
                open: false,
                sure: Some((day_s, day_s)),
                contradicts: off.map(|p| p.reading).collect(),
            };
        }
        match line(&points) {
            Some(Line {
                value: Some(value),
                range,
                contradicts,
            }) if settles(range) => {
                let width = range.1 - range.0;
                Day {
                    day_s: round(value, digits(width * 20.0, 0)),
                    open: false,
                    sure: Some(outward(range, digits(width, 0))),
                    contradicts,
                }
            }
            found => Day {
                day_s: DAY,
                open: true,
                sure: None,
                contradicts: found.map_or_else(Vec::new, |line| line.contradicts),
            },
        }
    }

    pub(super) fn told(&self, clock_s: f64, dial: DialTime) -> Told {
        let gives = self.day_s * dial.hours() / 24.0;
        if self.open {
            return Told::default();
        }
        let right_to = last_place(clock_s) + self.day_s * dial.right_to() / 24.0;
        Told {
            gives: Some(gives),
            allows: Some((clock_s - right_to, clock_s + right_to)),
            residual: beyond(clock_s, gives, right_to),
        }
    }
}
