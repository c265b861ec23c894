//! The model that is fitted: a sun on an arc of its own before a panel, as smooth functions of the arc's numbers.
//!
//! The same formulas as the sky's arc, which counts whole milliseconds where this goes evenly, so that derivatives exist;
//! a test holds the two together. Times are hours of the dial, angles degrees. Whether the sun is up is for the caller to
//! know: outside the daylight the formulas go on smoothly and mean nothing.

use crate::sky::{Aim, Air};
use std::f64::consts::PI;

const DEGREE: f64 = PI / 180.0;

/// The numbers of a world that panels tell, in the order in which they are fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Arc(pub(super) [f64; 5]);

/// The places of the numbers in an [`Arc`].
pub(super) const RISE: usize = 0;
pub(super) const SET: usize = 1;
pub(super) const AZIMUTH: usize = 2;
pub(super) const HIGHEST: usize = 3;
/// One over the peak: what panels say is then nearly even in it.
pub(super) const PER_PEAK: usize = 4;

impl Arc {
    /// Steps of a panel squarely under a sun in the zenith.
    pub(super) fn peak(self) -> f64 {
        1.0 / self.0[PER_PEAK]
    }

    /// True while the sun is above the horizon.
    pub(super) fn is_up(self, hour: f64) -> bool {
        self.0[RISE] < hour && hour < self.0[SET]
    }

    /// What a panel would give in parts of a step; 0 in the dark and with the sun behind it.
    pub(super) fn steps(self, hour: f64, panel: &Panel, air: Air) -> f64 {
        if !self.is_up(hour) {
            return 0.0;
        }
        let share = panel.share(self, hour, air);
        if share > 0.0 {
            share * self.peak()
        } else {
            0.0
        }
    }
}

/// Which way a panel looks: east, north, up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Panel([f64; 3]);

impl Panel {
    pub(super) fn new(aim: Aim) -> Panel {
        let (azimuth, tilt) = (aim.azimuth * DEGREE, aim.tilt * DEGREE);
        let slope = libm::sin(tilt);
        Panel([
            slope * libm::sin(azimuth),
            slope * libm::cos(azimuth),
            libm::cos(tilt),
        ])
    }

    /// The cosine of incidence times what the air leaves; negative with the sun behind the panel.
    pub(super) fn share(&self, arc: Arc, hour: f64, air: Air) -> f64 {
        let sun = Sun::at(arc, hour);
        self.facing(&sun) * air.leaves(sun.elevation)
    }

    fn facing(&self, sun: &Sun) -> f64 {
        let [east, north, up] = self.0;
        sun.flat * (east * sun.sine + north * sun.cosine) + up * sun.up
    }

    /// As [`Panel::share`], with its derivatives by rise, set, azimuth at rise and height at highest.
    pub(super) fn slopes(&self, arc: Arc, hour: f64, air: Air) -> (f64, [f64; 4]) {
        let [rise, set, rise_azimuth, highest, _] = arc.0;
        let [east, north, up] = self.0;
        let sun = Sun::at(arc, hour);
        let facing = self.facing(&sun);
        let (leaves, slope) = air.leaves_with_slope(sun.elevation);
        let by_elevation = facing * slope
            + leaves * DEGREE * (up * sun.flat - sun.up * (east * sun.sine + north * sun.cosine));
        let by_azimuth = leaves * DEGREE * sun.flat * (east * sun.cosine - north * sun.sine);
        let by_share = by_elevation * highest * PI * libm::cos(PI * sun.gone)
            + by_azimuth * (360.0 - 2.0 * rise_azimuth);
        let day = set - rise;
        let slopes = [
            by_share * (sun.gone - 1.0) / day,
            -by_share * sun.gone / day,
            by_azimuth * (1.0 - 2.0 * sun.gone),
            by_elevation * libm::sin(PI * sun.gone),
        ];
        (facing * leaves, slopes)
    }
}

/// Where the sun is.
struct Sun {
    /// The share of the daylight gone.
    gone: f64,
    elevation: f64,
    /// Sine and cosine of the elevation and of the azimuth.
    up: f64,
    flat: f64,
    sine: f64,
    cosine: f64,
}

impl Sun {
    fn at(arc: Arc, hour: f64) -> Sun {
        let [rise, set, rise_azimuth, highest, _] = arc.0;
        let gone = ((hour - rise) / (set - rise)).clamp(0.0, 1.0);
        let elevation = highest * libm::sin(PI * gone);
        let azimuth = (rise_azimuth + (360.0 - 2.0 * rise_azimuth) * gone) * DEGREE;
        let height = elevation * DEGREE;
        Sun {
            gone,
            elevation,
            up: libm::sin(height),
            flat: libm::cos(height),
            sine: libm::sin(azimuth),
            cosine: libm::cos(azimuth),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::{Path, Sky};

    fn arc() -> Arc {
        Arc([5.75, 18.5, 81.5, 57.25, 1.0 / 12.5])
    }

    #[test]
    fn the_model_is_the_skys_own_arc() {
        for air in [Air::None, Air::Clear] {
            let path = Path::Arc {
                rise_ms: 20_700_000,
                set_ms: 66_600_000,
                rise_azimuth: 81.5,
                highest: 57.25,
            };
            let sky = Sky {
                path,
                air,
                day_ms: 86_400_000,
            };
            for minute in (0..1440).step_by(7) {
                for (azimuth, tilt) in [(90.0, 30.0), (180.0, 90.0), (270.0, 60.0), (0.0, 0.0)] {
                    let aim = Aim { azimuth, tilt };
                    let hour = f64::from(minute) / 60.0;
                    let here = arc().steps(hour, &Panel::new(aim), air) / 12.5;
                    let there = sky.factor(minute as u64 * 60_000, aim);
                    assert!((here - there).abs() < 1e-12, "{minute} {aim:?}");
                }
            }
        }
    }

    #[test]
    fn slopes_are_what_the_share_changes_by() {
        let panel = Panel::new(Aim {
            azimuth: 120.0,
            tilt: 40.0,
        });
        for air in [Air::None, Air::Clear] {
            for hour in [6.1, 9.0, 12.0, 18.0] {
                let (share, slopes) = panel.slopes(arc(), hour, air);
                assert_eq!(share, panel.share(arc(), hour, air));
                for (place, slope) in slopes.iter().enumerate() {
                    let moved = |by: f64| {
                        let mut arc = arc();
                        arc.0[place] += by;
                        panel.share(arc, hour, air)
                    };
                    let expected = (moved(1e-5) - moved(-1e-5)) / 2e-5;
                    assert!(
                        (slope - expected).abs() < 1e-8,
                        "{place} at {hour}: {slope}"
                    );
                }
            }
        }
    }
}
