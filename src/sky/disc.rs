//! The sky as a disc, for drawing: the zenith in its middle, the horizon its rim, north up and east to the right, as on a
//! map.
//!
//! Degrees on the one side, shares of the disc's radius on the other; the way from the middle grows evenly with the angle
//! from the zenith. A panel's normal stands as many degrees from the zenith as the panel is tilted.

use super::degrees::from_north;
use super::degrees::{cos_deg, sin_deg};
use super::finite;
use std::f64::consts::PI;

/// Where a direction is on the disc: to the east and to the north, 1 at the horizon.
pub fn on_disc(azimuth: f64, from_zenith: f64) -> (f64, f64) {
    let out = finite(from_zenith) / 90.0;
    (out * sin_deg(azimuth), out * cos_deg(azimuth))
}

/// The direction at a place of the disc: its azimuth and how far it is from the zenith, both in degrees. In the very middle the
/// azimuth is 0.
pub fn from_disc(east: f64, north: f64) -> (f64, f64) {
    // Without −0, whose azimuth would be south.
    let (east, north) = (finite(east) + 0.0, finite(north) + 0.0);
    let azimuth = from_north(libm::atan2(east, north) * (180.0 / PI));
    (azimuth, libm::hypot(east, north) * 90.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quarters_are_where_a_map_has_them() {
        assert_eq!(on_disc(0.0, 90.0), (0.0, 1.0));
        assert_eq!(on_disc(90.0, 45.0), (0.5, 0.0));
        assert_eq!(on_disc(180.0, 90.0), (0.0, -1.0));
        assert_eq!(on_disc(270.0, 90.0), (-1.0, 0.0));
        assert_eq!(on_disc(33.0, 0.0), (0.0, 0.0));
    }

    #[test]
    fn there_and_back_is_the_same_direction() {
        for (azimuth, from_zenith) in [(0.0, 10.0), (17.0, 90.0), (200.5, 45.0), (359.0, 1.0)] {
            let (east, north) = on_disc(azimuth, from_zenith);
            let (a, z) = from_disc(east, north);
            assert!((a - azimuth).abs() < 1e-9 && (z - from_zenith).abs() < 1e-9);
        }
        assert_eq!(from_disc(0.0, -0.0), (0.0, 0.0));
        assert_eq!(from_disc(f64::NAN, 0.5), (0.0, 45.0));
    }
}
