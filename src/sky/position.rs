//! The sun's direction over a dial day, and where it turns.
//!
//! Over a place the direction is the usual spherical one, written as a vector (east, north, up) of the hour angle `h`,
//! declination `d` and latitude `l`:
//!
//! ```text
//! east  = −cos d · sin h
//! north =  sin d · cos l − cos d · cos h · sin l
//! up    =  sin d · sin l + cos d · cos h · cos l
//! ```
//!
//! so that the azimuth needs no special case at noon, wherever the noon sun stands. See J. A. Duffie, W. A. Beckman,
//! "Solar Engineering of Thermal Processes", ch. 1.6. Every share of that vector is a [`Wave`] of the hour angle, which
//! is all the exact search for changes needs: a wave turns twice a day, at instants known in closed form.

use super::arc::Arc;
use super::cuts::around;
use super::declination::declination;
use super::degrees::{cos_deg, from_north, sin_deg};
use super::{Path, Sky, Sun};
use std::f64::consts::PI;

/// How far rounding may put a computed sine, cosine sum or air factor from its true value. Generous: the sums here
/// are a few roundings of numbers up to 1, some 1e-15.
pub(super) const ROUNDING: f64 = 1e-14;

/// A swing smaller than this counts as none: a pole's sun, a panel that looks along the world's axis. Without it such a
/// value would be flat for hours to within rounding, and its changes would be rounding noise.
const FLAT: f64 = 1e-11;

/// A direction or a value `mean + cos · cos h + sin · sin h` of the hour angle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wave {
    mean: f64,
    cos: f64,
    sin: f64,
}

impl Wave {
    /// The wave with these shares; one that swings by less than 1e-11 is made flat.
    fn new(mean: f64, cos: f64, sin: f64) -> Wave {
        if libm::hypot(cos, sin) < FLAT {
            return Wave {
                mean,
                cos: 0.0,
                sin: 0.0,
            };
        }
        Wave { mean, cos, sin }
    }

    /// Its value at an hour angle.
    pub(super) fn at(&self, hour: Hour) -> f64 {
        self.mean + self.cos * hour.cos + self.sin * hour.sin
    }

    /// True where it is the same all day.
    pub(super) fn is_flat(&self) -> bool {
        self.cos == 0.0 && self.sin == 0.0
    }

    /// The shares of the day at which it is highest and lowest.
    fn turns(&self) -> [f64; 2] {
        let top = libm::atan2(self.sin, self.cos) / (2.0 * PI) + 0.5;
        [top, if top < 0.5 { top + 0.5 } else { top - 0.5 }]
    }
}

/// Cosine and sine of the hour angle, worked out once for all waves of an instant.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hour {
    cos: f64,
    sin: f64,
}

/// The sun over a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Round {
    east: Wave,
    north: Wave,
    up: Wave,
    day: u64,
}

impl Round {
    fn new(latitude: f64, day_of_year: f64, day: u64) -> Round {
        let tilt = declination(day_of_year);
        let (sin_d, cos_d) = (sin_deg(tilt), cos_deg(tilt));
        let (sin_l, cos_l) = (sin_deg(latitude), cos_deg(latitude));
        Round {
            east: Wave::new(0.0, 0.0, -cos_d),
            north: Wave::new(sin_d * cos_l, -cos_d * sin_l, 0.0),
            up: Wave::new(sin_d * sin_l, cos_d * cos_l, 0.0),
            day,
        }
    }

    /// The hour angle `t` ms after midnight. It is exact at the quarters of the day and mirrors about noon to the
    /// last bit, so that the sun over the equator rises at 6:00 and not a rounding earlier.
    pub(super) fn hour(&self, t: u64) -> Hour {
        let past_noon = t as f64 - (self.day - t) as f64;
        let degrees = past_noon / self.day as f64 * 180.0;
        Hour {
            cos: cos_deg(degrees),
            sin: sin_deg(degrees),
        }
    }

    /// Sine of the elevation.
    pub(super) fn up(&self, hour: Hour) -> f64 {
        self.up.at(hour)
    }

    /// True where the elevation is the same all day.
    pub(super) fn is_level(&self) -> bool {
        self.up.is_flat()
    }

    /// The cosine between the sun and a direction, as one wave.
    pub(super) fn along(&self, normal: [f64; 3]) -> Wave {
        let [e, n, u] = normal;
        let sum = |share: fn(&Wave) -> f64| {
            e * share(&self.east) + n * share(&self.north) + u * share(&self.up)
        };
        Wave::new(sum(|w| w.mean), sum(|w| w.cos), sum(|w| w.sin))
    }

    /// The whole milliseconds about each turn of a wave. Between two cuts that are more than 1 ms apart it goes one way.
    pub(super) fn cuts(&self, wave: &Wave, into: &mut Vec<u64>) {
        if !wave.is_flat() {
            for share in wave.turns() {
                around(share * self.day as f64, into);
            }
        }
    }
}

/// The sun's way over one day, made ready for many questions.
#[derive(Clone, Copy, Debug)]
pub(super) enum Course {
    /// Over a place on a round world.
    Round(Round),
    /// Along a world's own arc.
    Arc(Arc),
}

impl Course {
    /// Makes a sky's path ready.
    pub(super) fn new(sky: &Sky) -> Course {
        let day = sky.length();
        match sky.path {
            Path::Place {
                latitude,
                day_of_year,
            } => Course::Round(Round::new(latitude, day_of_year, day)),
            Path::Arc {
                rise_ms,
                set_ms,
                rise_azimuth,
                highest,
            } => Course::Arc(Arc::new(rise_ms, set_ms, rise_azimuth, highest, day)),
        }
    }

    /// Where the sun stands; `t` below the day's length.
    pub(super) fn sun(&self, t: u64) -> Sun {
        match self {
            Course::Arc(arc) => arc.sun(t),
            Course::Round(round) => {
                let hour = round.hour(t);
                let azimuth = libm::atan2(round.east.at(hour), round.north.at(hour)) * (180.0 / PI);
                Sun {
                    elevation: elevation_of(round.up(hour)),
                    azimuth: from_north(azimuth),
                }
            }
        }
    }

    /// Sine of the elevation; `t` below the day's length.
    pub(super) fn up(&self, t: u64) -> f64 {
        match self {
            Course::Arc(arc) => sin_deg(arc.elevation(t)),
            Course::Round(round) => round.up(round.hour(t)),
        }
    }

    /// The sun's direction (east, north, up), a continuous curve also through rise and set; `t` up to the day's length.
    pub(super) fn towards(&self, t: u64) -> [f64; 3] {
        match self {
            Course::Arc(arc) => arc.towards(t),
            Course::Round(round) => {
                let hour = round.hour(t);
                [round.east.at(hour), round.north.at(hour), round.up(hour)]
            }
        }
    }

    /// How far the cosine between the sun and a fixed direction can be, within `span` ms of daylight, outside its values
    /// at the two ends. Over a place it is a wave of at most 1 of the hour angle, whose second derivative is at most 1.
    pub(super) fn bulge(&self, span: u64) -> f64 {
        match self {
            Course::Arc(arc) => arc.bulge(span),
            Course::Round(round) => {
                let angle = 2.0 * PI * (span as f64 / round.day as f64);
                angle * angle / 8.0
            }
        }
    }

    /// True while the sun is above the horizon; `t` below the day's length.
    pub(super) fn is_up(&self, t: u64) -> bool {
        match self {
            Course::Arc(arc) => arc.is_up(t),
            Course::Round(round) => round.up(round.hour(t)) > 0.0,
        }
    }

    /// How far the computed sine of the elevation may be from a curve that goes one way between cuts.
    pub(super) fn doubt(&self) -> f64 {
        let level = match self {
            Course::Arc(arc) => arc.is_level(),
            Course::Round(round) => round.is_level(),
        };
        if level { 0.0 } else { ROUNDING }
    }

    /// Milliseconds between which the elevation goes one way.
    pub(super) fn cuts(&self) -> Vec<u64> {
        let mut cuts = Vec::with_capacity(24);
        match self {
            Course::Arc(arc) => arc.cuts(&mut cuts),
            Course::Round(round) => round.cuts(&round.up, &mut cuts),
        }
        cuts
    }
}

/// Degrees of elevation from its sine.
pub(super) fn elevation_of(up: f64) -> f64 {
    libm::asin(up.clamp(-1.0, 1.0)) * (180.0 / PI)
}
