//! The day chart's shapes: lanes, steps, lines and the sky over a window of time, as path data.
//!
//! Across, a window is [`WIDE`] units; down, heights are the caller's. What is nearer together than a quarter of a unit is
//! drawn as one, so that sixty days of a large plan cost no more than one day. Nothing is lost of the numbers: they stay in
//! the record. It computes no power.

mod lanes;
mod levels;
mod sky;
mod table;

pub use lanes::{Group, Lane, lanes};
pub use levels::level_within;
pub use sky::{Light, Shade, elevation, shades};
pub use table::LaneTable;

use crate::quantity::{Energy, Ms};
use std::fmt::Write;

/// The width of a window, in units.
pub const WIDE: f64 = 1000.0;
/// What is nearer together is one.
const NEAR: f64 = 0.25;

/// The stretch of time that is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// Its first millisecond.
    pub from: Ms,
    /// The first after it; later than `from`.
    pub to: Ms,
}

impl Window {
    /// Where `t` is, from 0 to [`WIDE`] within the window.
    pub fn x(self, t: Ms) -> f64 {
        let long = self.to.saturating_sub(self.from).max(1) as f64;
        (t as f64 - self.from as f64) / long * WIDE
    }

    /// The time at a share of the window's width, kept within it.
    pub fn at(self, share: f64) -> Ms {
        let long = self.to.saturating_sub(self.from).max(1);
        let into = (share.clamp(0.0, 1.0) * long as f64) as Ms;
        self.from + into.min(long - 1)
    }

    /// The window of length `long` that holds `t`, of those that follow each other from midnight of day 1; none goes past
    /// `end`, where that is later than the first one's.
    pub fn around(t: Ms, long: Ms, end: Ms) -> Window {
        let long = long.clamp(1, end.max(1));
        let last = (end.max(1) - 1) / long;
        let from = (t / long).min(last) * long;
        Window {
            from,
            to: (from + long).min(end.max(from + 1)),
        }
    }
}

fn number(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

/// Bars of `high` from `top` down, one for each stretch.
pub fn bars(stretches: &[(Ms, Ms)], window: Window, top: f64, high: f64) -> String {
    let mut path = String::new();
    let mut open: Option<(f64, f64)> = None;
    let mut put = |bar: Option<(f64, f64)>| {
        if let Some((from, to)) = bar {
            // However short, what happened shows.
            let wide = number((to - from).max(NEAR * 2.0));
            let _ = write!(path, "M{} {top}h{wide}v{high}h-{wide}z", number(from));
        }
    };
    for (from, to) in stretches {
        if *to <= window.from || *from >= window.to {
            continue;
        }
        let (from, to) = (window.x(*from).max(0.0), window.x(*to).min(WIDE));
        match &mut open {
            Some((_, end)) if from - *end < NEAR => *end = to.max(*end),
            _ => put(open.replace((from, to))),
        }
    }
    put(open);
    path
}

/// A value that keeps until its next change, as a line from edge to edge; `most` is at the top of `high`, 0 at its foot.
pub fn steps(changes: &[(Ms, u64)], window: Window, most: u64, high: f64) -> String {
    let y = |value: u64| number(high - value as f64 / most.max(1) as f64 * high);
    let first = changes.partition_point(|(t, _)| *t <= window.from);
    let mut value = value_at(changes, window.from);
    let mut path = format!("M0 {}", y(value));
    // All that happens in one column: down to its least, up to its most, and on from where it ends.
    let (mut column, mut entry, mut low, mut top) = (0.0, value, value, value);
    let leave = |path: &mut String, entry: u64, low: u64, top: u64, value: u64| {
        for (differs, to) in [
            (low < entry.min(value), low),
            (top > entry.max(value), top),
            (value != entry, value),
        ] {
            if differs {
                let _ = write!(path, "V{}", y(to));
            }
        }
    };
    for (t, now) in changes[first..].iter().take_while(|(t, _)| *t < window.to) {
        let x = window.x(*t);
        if x - column >= NEAR {
            leave(&mut path, entry, low, top, value);
            let _ = write!(path, "H{}", number(x));
            (column, entry, low, top) = (x, value, value, value);
        }
        (low, top, value) = (low.min(*now), top.max(*now), *now);
    }
    leave(&mut path, entry, low, top, value);
    let _ = write!(path, "H{WIDE}");
    path
}

/// The value at `t` of one that keeps until its next change; 0 before the first.
pub fn value_at(changes: &[(Ms, u64)], t: Ms) -> u64 {
    let after = changes.partition_point(|(from, _)| *from <= t);
    after.checked_sub(1).map_or(0, |at| changes[at].1)
}

/// The same as an area that stands on the foot.
pub fn area(changes: &[(Ms, u64)], window: Window, most: u64, high: f64) -> String {
    format!("{}V{high}H0z", steps(changes, window, most, high))
}

/// Exact levels between points, as straight lines; `capacity` is at the top of `high`, 0 at its foot.
pub fn line(points: &[(Ms, Energy)], window: Window, capacity: Energy, high: f64) -> String {
    let y = |level: Energy| number(high - level as f64 / capacity.max(1) as f64 * high);
    let after = points.partition_point(|(t, _)| *t < window.from);
    let mut path = String::new();
    let mut last = f64::MIN;
    let begin = after.saturating_sub(1);
    for (at, (t, level)) in points.iter().enumerate().skip(begin) {
        let x = window.x(*t);
        let is_end = at + 1 == points.len() || *t >= window.to;
        if x - last >= NEAR || is_end {
            let sign = if path.is_empty() { 'M' } else { 'L' };
            let _ = write!(path, "{sign}{} {}", number(x), y(*level));
            last = x;
        }
        if *t >= window.to {
            break;
        }
    }
    path
}

/// A mark on the axis of time.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// The moment.
    pub t: Ms,
    /// Where, in units.
    pub x: f64,
    /// The time on the dial, or the day.
    pub label: String,
}

/// Marks on the axis: hours of the dial, or days where there are many; about `room` of them at the most.
pub fn ticks(window: Window, day_ms: Ms, room: usize) -> Vec<Tick> {
    let day = u128::from(day_ms.max(1));
    let long = u128::from(window.to - window.from);
    // In minutes of the dial.
    let apart = [
        1u128, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440, 2880, 7200, 14400,
    ]
    .into_iter()
    .find(|minutes| long * 1440 <= day * minutes * room.max(1) as u128)
    .unwrap_or(28800);
    let first = (u128::from(window.from) * 1440).div_ceil(day * apart);
    (first..)
        .map(|n| n * apart)
        .map_while(|minute| {
            let t = Ms::try_from((minute * day).div_ceil(1440)).ok()?;
            (t < window.to).then_some((minute, t))
        })
        .map(|(minute, t)| Tick {
            t,
            x: window.x(t),
            label: match minute % 1440 {
                0 if apart >= 720 || window.to - window.from > day_ms => {
                    format!("day {}", minute / 1440 + 1)
                }
                of_day => format!("{:02}:{:02}", of_day / 60, of_day % 60),
            },
        })
        .collect()
}

/// The sum of several values that keep until their next change.
pub fn sum(all: &[&[(Ms, u64)]]) -> Vec<(Ms, u64)> {
    let mut turns: Vec<(Ms, i128)> = Vec::new();
    for changes in all {
        let mut before = 0;
        for (t, value) in *changes {
            turns.push((*t, i128::from(*value) - before));
            before = i128::from(*value);
        }
    }
    turns.sort_unstable();
    let mut total: i128 = 0;
    let mut out: Vec<(Ms, u64)> = Vec::new();
    for (t, by) in turns {
        total += by;
        let value = u64::try_from(total).unwrap_or(0);
        match out.last_mut() {
            Some(last) if last.0 == t => last.1 = value,
            _ => out.push((t, value)),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const W: Window = Window { from: 0, to: 1000 };

    #[test]
    fn a_window_is_the_one_that_holds_the_moment() {
        assert_eq!(
            Window::around(2500, 1000, 5000),
            Window {
                from: 2000,
                to: 3000
            }
        );
        assert_eq!(
            Window::around(9000, 1000, 5000),
            Window {
                from: 4000,
                to: 5000
            }
        );
        assert_eq!(Window::around(10, 1000, 300), Window { from: 0, to: 300 });
        assert_eq!(Window::around(0, 0, 0), Window { from: 0, to: 1 });
        assert_eq!((W.at(0.5), W.at(2.0), W.at(-1.0)), (500, 999, 0));
    }

    #[test]
    fn bars_that_touch_are_one_and_a_short_one_still_shows() {
        assert_eq!(
            bars(&[(100, 200), (200, 300)], W, 2.0, 8.0),
            "M100 2h200v8h-200z"
        );
        assert_eq!(
            bars(&[(100, 100), (500, 600)], W, 0.0, 4.0),
            "M100 0h0.5v4h-0.5zM500 0h100v4h-100z"
        );
        assert_eq!(bars(&[(0, 5000)], W, 0.0, 4.0), "M0 0h1000v4h-1000z");
        assert_eq!(bars(&[(2000, 5000)], W, 0.0, 4.0), "");
    }

    #[test]
    fn steps_keep_until_the_next_change() {
        assert_eq!(
            steps(&[(0, 0), (250, 5), (750, 10)], W, 10, 20.0),
            "M0 20H250V10H750V0H1000"
        );
        let late = Window {
            from: 500,
            to: 1500,
        };
        assert_eq!(
            steps(&[(0, 0), (250, 5), (750, 10)], late, 10, 20.0),
            "M0 10H250V0H1000"
        );
        assert_eq!(area(&[(0, 10)], W, 10, 20.0), "M0 0H1000V20H0z");
        let changes = [(10, 5), (20, 3)];
        let values = [0, 9, 10, 19, 20, 99].map(|t| value_at(&changes, t));
        assert_eq!(values, [0, 0, 5, 5, 3, 3]);
    }

    #[test]
    fn many_changes_in_one_column_keep_their_extremes_and_little_path() {
        let window = Window {
            from: 0,
            to: 1_000_000_000,
        };
        let changes: Vec<(Ms, u64)> = (0..20_000).map(|n| (n, n % 7)).collect();
        let path = steps(&changes, window, 6, 60.0);
        assert!(path.starts_with("M0 60V0"), "{path}");
        assert!(path.len() < 40, "{path}");
    }

    #[test]
    fn a_level_is_a_straight_line_from_point_to_point() {
        let points = [(0, 0), (500, 10), (1000, 5)];
        assert_eq!(line(&points, W, 10, 20.0), "M0 20L500 0L1000 10");
        let part = Window { from: 400, to: 600 };
        assert_eq!(line(&points, part, 10, 20.0), "M-2000 20L500 0L3000 10");
    }

    #[test]
    fn the_axis_has_hours_of_the_dial_whatever_the_days_length() {
        let labels = |w: Window, day| {
            ticks(w, day, 8)
                .into_iter()
                .map(|t| t.label)
                .collect::<Vec<_>>()
        };
        let expected = [
            "00:00", "03:00", "06:00", "09:00", "12:00", "15:00", "18:00", "21:00",
        ];
        for day in [86_400_000, 3_600_000, 1440] {
            assert_eq!(labels(Window { from: 0, to: day }, day), expected);
        }
        let days = labels(
            Window {
                from: 0,
                to: 3 * 86_400_000,
            },
            86_400_000,
        );
        assert_eq!(days, ["day 1", "12:00", "day 2", "12:00", "day 3", "12:00"]);
    }

    #[test]
    fn a_sum_of_sources_changes_when_any_of_them_does() {
        let (a, b) = ([(0, 1), (10, 3)], [(0, 2), (10, 0), (20, 5)]);
        assert_eq!(sum(&[&a, &b]), [(0, 3), (10, 3), (20, 8)]);
    }
}
