//! The sun over a plan's world, and what a source finds there.
//!
//! Angles in degrees, azimuth clockwise from north, time in milliseconds of the day. Declination by Spencer (1971),
//! air mass by Kasten and Young (1989). Directions are vectors (east, north, up), so noon needs no special case.
//! No refraction, no equation of time, and the date does not advance.

use super::decimal::{Decimal, clock_ms};
use libm::{asin, cos, pow, sin};
use serde_json::Value;
use std::f64::consts::PI;

/// How the sun moves.
enum Path {
    /// A latitude and the sun's declination, radians.
    Globe { latitude: f64, declination: f64 },
    /// The world's own arc: milliseconds of the day, degrees.
    Arc {
        rise: f64,
        set: f64,
        rise_azimuth: f64,
        highest: f64,
    },
}

/// The sky of a world.
pub struct Sky {
    path: Path,
    clear_air: bool,
    day_ms: i64,
}

/// Where the sun stands.
#[derive(Clone, Copy, Debug)]
pub struct Sun {
    /// Unit vector towards the sun: east, north, up.
    pub towards: [f64; 3],
    /// Whether it is above the horizon.
    pub up: bool,
}

impl Sky {
    /// Reads `world.sky`; latitude 0, day 80 and clear air where the world does not say.
    pub fn new(sky: &Value, day_ms: i64) -> Self {
        let number =
            |key: &str, default: f64| sky.get(key).map_or(default, |v| Decimal::of(v).float());
        let path = if sky.get("rise").is_some() {
            // AMBIGUOUS (arc): rise and set are clock times, so they are whole milliseconds, rounded up, also where
            // the share of the day gone is worked out.
            Path::Arc {
                rise: clock_ms(&sky["rise"], day_ms) as f64,
                set: clock_ms(&sky["set"], day_ms) as f64,
                rise_azimuth: number("rise_azimuth", 90.0),
                highest: number("highest", 90.0),
            }
        } else {
            Path::Globe {
                latitude: number("latitude", 0.0).to_radians(),
                declination: declination(number("day_of_year", 80.0)),
            }
        };
        let clear_air = sky.get("air").and_then(Value::as_str) != Some("none");
        Self {
            path,
            clear_air,
            day_ms,
        }
    }

    /// The sun at a millisecond of the day.
    pub fn sun(&self, ms_of_day: i64) -> Sun {
        match self.path {
            Path::Globe {
                latitude,
                declination,
            } => {
                let hour = 24.0 * ms_of_day as f64 / self.day_ms as f64;
                let angle = (15.0 * (hour - 12.0)).to_radians();
                let east = -cos(declination) * sin(angle);
                let north = sin(declination) * cos(latitude)
                    - cos(declination) * cos(angle) * sin(latitude);
                let up = sin(declination) * sin(latitude)
                    + cos(declination) * cos(angle) * cos(latitude);
                // AMBIGUOUS (horizon): at latitude 0 the sun rises at exactly 06:00, where binary rounding leaves an
                // elevation of some 1e-17 instead of 0. Anything that small is taken as on the horizon, so not above it.
                Sun {
                    towards: [east, north, up],
                    up: up > 1e-12,
                }
            }
            Path::Arc {
                rise,
                set,
                rise_azimuth,
                highest,
            } => {
                let gone = (ms_of_day as f64 - rise) / (set - rise);
                let up = gone > 0.0 && gone < 1.0 && highest > 0.0;
                let elevation = if up {
                    (highest * sin(PI * gone)).to_radians()
                } else {
                    0.0
                };
                let azimuth = (rise_azimuth + gone * (360.0 - 2.0 * rise_azimuth)).to_radians();
                let flat = cos(elevation);
                Sun {
                    towards: [flat * sin(azimuth), flat * cos(azimuth), sin(elevation)],
                    up,
                }
            }
        }
    }

    /// `light`: the sine of the sun's elevation, 0 at night.
    pub fn light(&self, ms_of_day: i64) -> f64 {
        let sun = self.sun(ms_of_day);
        if sun.up { sun.towards[2] } else { 0.0 }
    }

    /// The share `f` of its peak that a panel gives, the air taken into account but not the weather.
    pub fn share(&self, ms_of_day: i64, azimuth: f64, tilt: f64) -> f64 {
        let sun = self.sun(ms_of_day);
        if !sun.up {
            return 0.0;
        }
        let facing = incidence(sun, azimuth, tilt).max(0.0);
        // AMBIGUOUS (air): "at most 1" is read as a bound on the air's factor, not on its product with cos θ.
        if self.clear_air {
            facing * clear_air(asin(sun.towards[2].min(1.0)).to_degrees())
        } else {
            facing
        }
    }
}

/// Declination in radians, J. W. Spencer, Search 2(5), p. 172, 1971.
pub fn declination(day_of_year: f64) -> f64 {
    let g = 2.0 * PI * (day_of_year - 1.0) / 365.0;
    0.006918 - 0.399912 * cos(g) + 0.070257 * sin(g) - 0.006758 * cos(2.0 * g)
        + 0.000907 * sin(2.0 * g)
        - 0.002697 * cos(3.0 * g)
        + 0.00148 * sin(3.0 * g)
}

/// The cosine of the angle between the sun and the panel's normal; negative from behind.
pub fn incidence(sun: Sun, azimuth: f64, tilt: f64) -> f64 {
    let (a, t) = (azimuth.to_radians(), tilt.to_radians());
    let normal = [sin(t) * sin(a), sin(t) * cos(a), cos(t)];
    (0..3).map(|i| normal[i] * sun.towards[i]).sum()
}

/// The clear sky's share of a beam, `0.7^(AM^0.678) / 0.7`, at most 1, at an elevation in degrees.
pub fn clear_air(elevation: f64) -> f64 {
    let mass = 1.0 / (sin(elevation.to_radians()) + 0.50572 * pow(elevation + 6.07995, -1.6364));
    (pow(0.7, pow(mass, 0.678)) / 0.7).min(1.0)
}
