//! A world's own arc of the sun, for worlds whose sun does not follow a place and a date.
//!
//! By day (after rise and before set) it is as [`super::Path::Arc`] says. At the very millisecond of rise and of set the
//! sun is on the horizon, so it is dark. By night the sun goes on clockwise through north, evenly, at
//! `−highest · sin(π · share of the night gone)` degrees: only its being 0 or below matters to anything else.

use super::cuts::around;
use super::degrees::{cos_deg, from_north, sin_deg};
use super::{Sun, finite};
use std::f64::consts::PI;

/// A highest elevation below this many degrees counts as 0: the sun never rises.
const LEVEL: f64 = 1e-6;

/// An arc made ready: `rise ≤ set ≤ day`, `0 ≤ rise_azimuth ≤ 180`, `0 ≤ highest ≤ 90`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Arc {
    rise: u64,
    set: u64,
    day: u64,
    rise_azimuth: f64,
    highest: f64,
}

impl Arc {
    pub(super) fn new(rise: u64, set: u64, rise_azimuth: f64, highest: f64, day: u64) -> Arc {
        let set = set.min(day);
        let highest = finite(highest).clamp(0.0, 90.0);
        Arc {
            rise: rise.min(set),
            set,
            day,
            rise_azimuth: finite(rise_azimuth).clamp(0.0, 180.0),
            highest: if highest < LEVEL { 0.0 } else { highest },
        }
    }

    /// True while the sun is above the horizon.
    pub(super) fn is_up(&self, t: u64) -> bool {
        self.rise < t && t < self.set && self.highest > 0.0
    }

    /// True where the sun keeps to the horizon all day.
    pub(super) fn is_level(&self) -> bool {
        self.highest == 0.0
    }

    /// How much of the day, or of the night, is gone.
    fn share(&self, t: u64) -> f64 {
        let daylight = self.set - self.rise;
        if self.rise < t && t < self.set {
            return (t - self.rise) as f64 / daylight as f64;
        }
        let night = (self.day - daylight).max(1);
        let gone = if t >= self.set {
            t - self.set
        } else {
            t + (self.day - self.set)
        };
        gone as f64 / night as f64
    }

    /// Degrees above the horizon.
    pub(super) fn elevation(&self, t: u64) -> f64 {
        let height = self.highest * libm::sin(PI * self.share(t));
        if self.is_up(t) {
            height
        } else {
            -libm::fabs(height) + 0.0
        }
    }

    /// Degrees clockwise from north, not brought into one turn.
    fn azimuth(&self, t: u64) -> f64 {
        if self.rise < t && t < self.set {
            self.rise_azimuth + (360.0 - 2.0 * self.rise_azimuth) * self.share(t)
        } else {
            360.0 - self.rise_azimuth + 2.0 * self.rise_azimuth * self.share(t)
        }
    }

    pub(super) fn sun(&self, t: u64) -> Sun {
        Sun {
            elevation: self.elevation(t),
            azimuth: from_north(self.azimuth(t)),
        }
    }

    /// The sun's direction: east, north, up.
    pub(super) fn towards(&self, t: u64) -> [f64; 3] {
        let (azimuth, elevation) = (self.azimuth(t), self.elevation(t));
        let flat = cos_deg(elevation);
        [
            flat * sin_deg(azimuth),
            flat * cos_deg(azimuth),
            sin_deg(elevation),
        ]
    }

    /// The cosine between a direction and the sun at `elevation`, which the caller has already worked out.
    pub(super) fn along(&self, normal: [f64; 3], t: u64, elevation: f64) -> f64 {
        let azimuth = self.azimuth(t);
        let flat = cos_deg(elevation);
        normal[0] * flat * sin_deg(azimuth)
            + normal[1] * flat * cos_deg(azimuth)
            + normal[2] * sin_deg(elevation)
    }

    /// Milliseconds between which the elevation goes one way and the sun stays up or stays down.
    pub(super) fn cuts(&self, into: &mut Vec<u64>) {
        let (rise, set, day) = (self.rise, self.set, self.day);
        into.extend([rise, rise.saturating_add(1), set.saturating_sub(1), set]);
        let middle = rise + (set - rise) / 2;
        around(middle as f64, into);
        // The middle of the night is half a day from the middle of the daylight.
        let half = day / 2;
        around(
            if middle < half {
                middle + half
            } else {
                middle - half
            } as f64,
            into,
        );
    }

    /// How far the cosine between the sun and a fixed direction can be, within `span` ms of daylight, outside its values
    /// at the two ends: a curve is at most `M · span² / 8` from the straight line between its ends, where `M` bounds the
    /// second derivative. With elevation `e` and azimuth `a` the sun's second derivative has the parts
    /// `e'² + a'² cos² e` towards the centre, `e'' + a'² sin e cos e` upwards and `2 e' a' sin e` sideways.
    pub(super) fn bulge(&self, span: u64) -> f64 {
        let highest = self.highest * (PI / 180.0);
        let turn = (360.0 - 2.0 * self.rise_azimuth) * (PI / 180.0);
        let climb = PI * highest;
        let second = climb * climb + 1.5 * turn * turn + PI * climb + 2.0 * climb * turn;
        let share = span as f64 / (self.set - self.rise).max(1) as f64;
        second * share * share / 8.0
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Air, Path, Sky};

    fn sky() -> Sky {
        let path = Path::Arc {
            rise_ms: 23_400_000,
            set_ms: 66_600_000,
            rise_azimuth: 95.0,
            highest: 60.0,
        };
        Sky {
            path,
            air: Air::None,
            day_ms: 86_400_000,
        }
    }

    #[test]
    fn an_arc_is_a_half_sine_with_an_even_azimuth() {
        for (hour, minute, elevation, azimuth) in [
            (8, 30, 30.0, 123.33333333333333),
            (12, 30, 60.0, 180.0),
            (16, 30, 30.0, 236.66666666666666),
        ] {
            let sun = sky().sun((hour * 60 + minute) * 60_000);
            assert!((sun.elevation - elevation).abs() < 1e-12, "{sun:?}");
            assert!((sun.azimuth - azimuth).abs() < 1e-12, "{sun:?}");
        }
    }

    #[test]
    fn it_is_dark_at_rise_at_set_and_all_night() {
        let sky = sky();
        assert_eq!(sky.dark_changes(), (true, vec![23_400_001, 66_600_000]));
        for t in (0..=23_400_000)
            .step_by(100_000)
            .chain((66_600_000..86_400_000).step_by(100_000))
        {
            assert!(
                sky.sun(t).elevation <= 0.0 && sky.is_dark(t) && sky.light(t) == 0.0,
                "{t}"
            );
        }
        assert!(!sky.is_dark(23_400_001) && !sky.is_dark(66_599_999));
    }

    #[test]
    fn the_night_goes_on_clockwise_through_north() {
        let sky = sky();
        assert_eq!(sky.sun(66_600_000).azimuth, 265.0);
        assert_eq!(sky.sun(23_400_000).azimuth, 95.0);
        // 00:30 is the middle of the night.
        assert_eq!(sky.sun(1_800_000).azimuth, 0.0);
        assert_eq!(sky.sun(1_800_000).elevation, -60.0);
    }

    #[test]
    fn odd_arcs_are_dark_or_whole_and_never_fail() {
        for (rise_ms, set_ms, highest, changes) in [
            (500, 500, 50.0, vec![]),
            (700, 300, 50.0, vec![]),
            (0, 1000, 50.0, vec![1]),
            (0, 5000, 50.0, vec![1]),
            (200, 700, 0.0, vec![]),
            (200, 700, -10.0, vec![]),
            (200, 700, f64::NAN, vec![]),
            (200, 202, 120.0, vec![201, 202]),
        ] {
            let path = Path::Arc {
                rise_ms,
                set_ms,
                rise_azimuth: f64::INFINITY,
                highest,
            };
            let sky = Sky {
                path,
                air: Air::Clear,
                day_ms: 1000,
            };
            assert_eq!(sky.dark_changes(), (true, changes), "{sky:?}");
        }
    }
}
