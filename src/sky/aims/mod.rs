//! What an aim gives over the day, and the aims that are best at something.
//!
//! Powers are whole steps of one panel, times whole milliseconds since midnight, energies step·ms. All is exact: it
//! comes from the very milliseconds at which the steps change. The best aims are the best of *all* aims of whole degrees,
//! azimuth 0 to 359 and tilt 0 to 90, which is what a builder can set; among equals the smallest tilt, then the smallest
//! azimuth (a flat panel looks nowhere and counts as azimuth 0). The search leaves out only what it can show to be no
//! better. It reads no clock: a caller who must not be held up asks for so many rounds at a time.
//!
//! It does not weigh what the energy is needed for, knows no shadows, and looks at one day of one weather.

mod daylight;
mod report;
mod search;

use super::{Aim, Sky};
use serde::{Deserialize, Serialize};

pub use report::AimReport;
pub use search::Aims;

/// How many directions the table of aims has; the first is north, they go clockwise.
pub const DIRECTIONS: usize = 16;

/// The tilts that the table of aims has, in degrees.
pub const TILTS: [u16; 7] = [0, 15, 30, 45, 60, 75, 90];

/// The azimuth of a direction of the table, in degrees.
pub fn direction(number: usize) -> f64 {
    (number % DIRECTIONS) as f64 * 360.0 / DIRECTIONS as f64
}

/// What one panel gives over a day, in sum.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Yield {
    /// Energy of the day in step·ms.
    pub energy: u128,
    /// How many milliseconds it gives at least the useful number of steps, all stretches together.
    pub useful: u64,
    /// The first millisecond of the day at which it does.
    pub first: Option<u64>,
    /// The last; where the sun is up at midnight, it may be the day's last millisecond.
    pub last: Option<u64>,
}

/// What one panel gives over a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Output {
    /// From each millisecond on so many steps, the first from 0; each other than the one before.
    pub steps: Vec<(u64, u64)>,
    /// In sum.
    pub gives: Yield,
}

/// An aim of whole degrees, with what it gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Best {
    /// Degrees clockwise from north, 0 to 359.
    pub azimuth: u16,
    /// Degrees from the horizontal, 0 to 90.
    pub tilt: u16,
    /// What it gives.
    pub gives: Yield,
}

impl Best {
    /// The aim.
    pub fn aim(&self) -> Aim {
        Aim {
            azimuth: f64::from(self.azimuth),
            tilt: f64::from(self.tilt),
        }
    }
}

/// The best aims. Each is `None` where no aim of whole degrees gives anything of the kind, or not yet found.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bests {
    /// The most energy of the day.
    pub energy: Option<Best>,
    /// The longest useful output.
    pub longest: Option<Best>,
    /// The latest last useful millisecond.
    pub latest: Option<Best>,
    /// The earliest last useful millisecond among the aims that give at least half of the most energy. Without that
    /// bound it would be an aim that barely sees the sun.
    pub earliest: Option<Best>,
}

impl Sky {
    /// What a panel of `peak` steps gives over the day under a factor of `weather`, where `least` steps or more are
    /// useful (0 counts as 1).
    pub fn output(&self, aim: Aim, peak: u64, weather: f64, least: u64) -> Output {
        let (first, changes) = self.step_changes(aim, peak, weather);
        let steps: Vec<(u64, u64)> = std::iter::once((0, first)).chain(changes).collect();
        let gives = sum(&steps, self.length(), least.max(1));
        Output { steps, gives }
    }

    /// The best aims of whole degrees, all at once.
    pub fn best_aims(&self, peak: u64, weather: f64, least: u64) -> Bests {
        let mut aims = Aims::new(self, peak, weather, least);
        while !aims.go(usize::MAX) {}
        *aims.found()
    }
}

/// The sum of a day of steps.
fn sum(steps: &[(u64, u64)], day: u64, least: u64) -> Yield {
    let mut gives = Yield::default();
    let ends = steps.iter().skip(1).map(|step| step.0).chain([day]);
    for (&(from, power), to) in steps.iter().zip(ends) {
        gives.energy += u128::from(power) * u128::from(to - from);
        if power >= least {
            gives.useful += to - from;
            gives.first = gives.first.or(Some(from));
            gives.last = Some(to - 1);
        }
    }
    gives
}

#[cfg(test)]
mod tests {
    use super::super::{Air, Path};
    use super::*;

    /// An arc that stands overhead at noon, no air: a flat panel's factor is sin(90° · sin(π · share)).
    fn overhead(day_ms: u64) -> Sky {
        Sky {
            path: Path::Arc {
                rise_ms: day_ms / 4,
                set_ms: day_ms / 4 * 3,
                rise_azimuth: 90.0,
                highest: 90.0,
            },
            air: Air::None,
            day_ms,
        }
    }

    #[test]
    fn a_panel_of_one_step_gives_it_only_square_to_the_sun() {
        // A millisecond from noon is 1/500 of the daylight: the sun is 90° · (1 − cos(π/500)) = 0.0018° off, and the factor
        // 4.8e-10 below 1, within the allowance of 1e-9; two milliseconds from noon it is 7.7e-9 below.
        let flat = Aim {
            azimuth: 0.0,
            tilt: 0.0,
        };
        let output = overhead(1000).output(flat, 1, 1.0, 1);
        assert_eq!(output.steps, [(0, 0), (499, 1), (502, 0)]);
        let gives = Yield {
            energy: 3,
            useful: 3,
            first: Some(499),
            last: Some(501),
        };
        assert_eq!(output.gives, gives);
    }

    #[test]
    fn the_sums_are_those_of_every_millisecond() {
        let sky = Sky {
            path: Path::Place {
                latitude: 56.2,
                day_of_year: 100.0,
            },
            air: Air::Clear,
            day_ms: 4000,
        };
        let aim = Aim {
            azimuth: 222.0,
            tilt: 64.0,
        };
        for least in [0, 1, 5] {
            let gives = sky.output(aim, 12, 0.8, least).gives;
            let steps: Vec<u64> = (0..4000).map(|t| sky.steps(t, aim, 12, 0.8)).collect();
            let useful = |s: &u64| *s >= least.max(1);
            assert_eq!(
                gives.energy,
                steps.iter().map(|s| u128::from(*s)).sum::<u128>()
            );
            assert_eq!(
                gives.useful,
                steps.iter().filter(|s| useful(s)).count() as u64
            );
            assert_eq!(gives.first, steps.iter().position(useful).map(|t| t as u64));
            assert_eq!(gives.last, steps.iter().rposition(useful).map(|t| t as u64));
        }
    }

    #[test]
    fn the_directions_of_the_table_go_round_from_north() {
        assert_eq!([0, 4, 8, 12].map(direction), [0.0, 90.0, 180.0, 270.0]);
        assert_eq!(direction(1), 22.5);
        assert_eq!(direction(16), 0.0);
    }
}
