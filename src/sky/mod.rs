//! The sun over one dial day: where it stands, how much of it a panel faces, and the exact milliseconds at which a
//! panel's whole steps of power change.
//!
//! Units: angles are degrees at this room's border (azimuth clockwise from north, tilt from the horizontal, elevation
//! from the horizon); times are whole milliseconds since midnight; light and the panel's factor are shares from 0 to 1.
//!
//! Time on the dial is solar time: noon is the middle of the day whatever its length, and the hour angle is 15° an hour
//! from it. All trigonometry comes from `libm`, so that a browser and a terminal agree bit for bit.
//!
//! Nothing here fails. A length of day of 0 is taken as 1 ms and a number that is not finite as 0.
//!
//! What it does not do: refraction, the sun's radius, the equation of time, diffuse light, shadows, a date that
//! advances. Against an almanac of solar positions it is some tenths of a degree off. It knows no other room.

mod aims;
mod air;
mod arc;
mod changes;
mod cuts;
mod declination;
mod degrees;
mod disc;
mod light;
mod panel;
mod position;
mod steps;

pub use aims::{AimReport, Aims, Best, Bests, DIRECTIONS, Output, TILTS, Yield, direction};
pub use air::air_mass;
pub use declination::declination;
pub use disc::{from_disc, on_disc};
pub use steps::wind_steps;

use serde::{Deserialize, Serialize};

/// How the sun moves over one dial day.
#[derive(Clone, Debug, PartialEq)]
pub enum Path {
    /// As over a place on a round world.
    Place {
        /// Degrees, north positive, −90 to 90.
        latitude: f64,
        /// 1 is the first of January; need not be whole.
        day_of_year: f64,
    },
    /// A world's own arc: symmetric about the middle between rise and set. By day the azimuth goes evenly and clockwise
    /// from `rise_azimuth` to `360 − rise_azimuth`, and the elevation is `highest · sin(π · share of the daylight gone)`.
    Arc {
        /// Milliseconds since midnight at which the sun rises.
        rise_ms: u64,
        /// Milliseconds since midnight at which it sets; later than `rise_ms`, else there is no day.
        set_ms: u64,
        /// Degrees clockwise from north; kept within 0 and 180.
        rise_azimuth: f64,
        /// Degrees of elevation in the middle; kept within 0 and 90.
        highest: f64,
    },
}

/// What the air takes from the beam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Air {
    /// A clear sky: the lower the sun, the more air its light goes through.
    Clear,
    /// No air.
    None,
}

/// A world's sky over one dial day.
#[derive(Clone, Debug, PartialEq)]
pub struct Sky {
    /// How the sun moves.
    pub path: Path,
    /// What the air takes.
    pub air: Air,
    /// Length of the day in milliseconds.
    pub day_ms: u64,
}

/// Where a panel looks.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Aim {
    /// Degrees clockwise from north.
    pub azimuth: f64,
    /// Degrees from the horizontal: 0 lies flat, 90 stands upright.
    pub tilt: f64,
}

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sun {
    /// Degrees above the horizon, below it negative.
    pub elevation: f64,
    /// Degrees clockwise from north, 0 to below 360. Without meaning where the sun is in the zenith.
    pub azimuth: f64,
}

impl Sky {
    /// The length of the day, never 0.
    fn length(&self) -> u64 {
        self.day_ms.max(1)
    }

    /// All that it is, to the bit: skies with the same key are the same.
    pub(crate) fn key(&self) -> Vec<u64> {
        let mut key = match self.path {
            Path::Place {
                latitude,
                day_of_year,
            } => vec![latitude.to_bits(), day_of_year.to_bits()],
            Path::Arc {
                rise_ms,
                set_ms,
                rise_azimuth,
                highest,
            } => {
                vec![rise_ms, set_ms, rise_azimuth.to_bits(), highest.to_bits()]
            }
        };
        key.extend([u64::from(self.air == Air::Clear), self.day_ms]);
        key
    }

    /// Where the sun stands `t` ms after midnight (`t` modulo the day's length).
    pub fn sun(&self, t: u64) -> Sun {
        position::Course::new(self).sun(t % self.length())
    }
}

/// `x`, or 0 where it is not finite: what makes the room total.
fn finite(x: f64) -> f64 {
    if x.is_finite() { x } else { 0.0 }
}
