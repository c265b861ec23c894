//! What readings ask of an arc: each that a value lies in a stretch, in units of what the reading is right to.
//!
//! A panel's value is in steps and lies in `[gives, gives + 1]`, below 1 where it gives nothing. A time at the horizon is
//! counted in minutes (in seconds where those were read) and an azimuth in degrees from what was read; both lie in
//! `[-1, 1]`.

use super::arc::{AZIMUTH, Arc, HIGHEST, PER_PEAK, Panel, RISE, SET};
use super::reading::Reading;
use crate::clock::DialTime;
use crate::quantity::Decimal;
use crate::sky::Air;

/// A reading is explained where its value lies no farther outside than this.
pub(super) const EXPLAINED: f64 = 1e-6;

/// One condition.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ask {
    /// The number of the reading that it comes from.
    pub(super) reading: usize,
    pub(super) of: Of,
}

/// What is asked about.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Of {
    /// What a panel gives.
    Panel { hour: f64, panel: Panel, gives: f64 },
    /// One of the arc's numbers.
    Number {
        place: usize,
        read: f64,
        right_to: f64,
    },
}

impl Ask {
    /// All that a reading asks; nothing where it is not about the sun.
    pub(super) fn of_reading(number: usize, reading: &Reading) -> Vec<Ask> {
        let ask = |of| Ask {
            reading: number,
            of,
        };
        let horizon = |place, at: DialTime, azimuth: Option<(f64, f64)>| {
            let time = Of::Number {
                place,
                read: at.hours(),
                right_to: at.right_to(),
            };
            let azimuth = azimuth.map(|(read, right_to)| Of::Number {
                place: AZIMUTH,
                read,
                right_to,
            });
            std::iter::once(time).chain(azimuth).map(ask).collect()
        };
        match *reading {
            Reading::Panel { at, aim, gives } => vec![ask(Of::Panel {
                // The end of a day is the start of the next.
                hour: if at.second == 86_400 { 0.0 } else { at.hours() },
                panel: Panel::new(aim),
                gives: gives as f64,
            })],
            Reading::Rises { at, azimuth } => {
                horizon(RISE, at, azimuth.map(|a| (a, last_place(a))))
            }
            Reading::Sets { at, azimuth } => {
                horizon(SET, at, azimuth.map(|a| (360.0 - a, last_place(a))))
            }
            Reading::Clock { .. } | Reading::Battery { .. } => Vec::new(),
        }
    }

    /// A panel's hour.
    pub(super) fn hour(&self) -> Option<f64> {
        match self.of {
            Of::Panel { hour, .. } => Some(hour),
            Of::Number { .. } => None,
        }
    }

    /// Whether a panel gave something, so that the sun was up.
    pub(super) fn is_lit(&self) -> bool {
        matches!(self.of, Of::Panel { gives, .. } if gives > 0.0)
    }

    /// The value; a panel's is that of a sun which is up, negative where it is behind the panel.
    pub(super) fn value(&self, arc: Arc, air: Air) -> f64 {
        match &self.of {
            Of::Panel { hour, panel, .. } => panel.share(arc, *hour, air) / arc.0[PER_PEAK],
            Of::Number {
                place,
                read,
                right_to,
            } => (arc.0[*place] - read) / right_to,
        }
    }

    /// The value and its derivatives by the arc's numbers.
    pub(super) fn slopes(&self, arc: Arc, air: Air) -> (f64, [f64; 5]) {
        let mut slopes = [0.0; 5];
        match &self.of {
            Of::Panel { hour, panel, .. } => {
                let (share, by) = panel.slopes(arc, *hour, air);
                let per_peak = arc.0[PER_PEAK];
                for (slope, by) in slopes.iter_mut().zip(by) {
                    *slope = by / per_peak;
                }
                slopes[PER_PEAK] = -share / (per_peak * per_peak);
                (share / per_peak, slopes)
            }
            Of::Number {
                place, right_to, ..
            } => {
                slopes[*place] = 1.0 / right_to;
                (self.value(arc, air), slopes)
            }
        }
    }

    /// Where the value may lie if the reading is right to `slack` more than it says.
    pub(super) fn stretch(&self, slack: f64) -> (f64, f64) {
        match self.of {
            Of::Panel { gives: 0.0, .. } => (f64::NEG_INFINITY, 1.0 + slack),
            Of::Panel { gives, .. } => (gives - slack, gives + 1.0 + slack),
            Of::Number { .. } => (-1.0 - slack, 1.0 + slack),
        }
    }

    /// How far a value is outside its stretch: negative below, positive above, 0 inside.
    pub(super) fn outside(&self, value: f64, slack: f64) -> f64 {
        let (low, high) = self.stretch(slack);
        if value < low {
            value - low
        } else if value > high {
            value - high
        } else {
            0.0
        }
    }

    /// How far a value is from the middle of its stretch, in halves of its length, and by how much that grows with the
    /// value. A panel that gives nothing has no middle: it may be dark.
    pub(super) fn way(&self, value: f64) -> (f64, f64) {
        match self.of {
            Of::Panel { gives: 0.0, .. } => {
                let above = self.outside(value, 0.0);
                (2.0 * above, if above > 0.0 { 2.0 } else { 0.0 })
            }
            Of::Panel { gives, .. } => (2.0 * (value - gives - 0.5), 2.0),
            Of::Number { .. } => (value, 1.0),
        }
    }

    /// What a whole world gives for it: a panel's steps, or the number itself.
    pub(super) fn shows(&self, arc: Arc, air: Air) -> f64 {
        match &self.of {
            Of::Panel { hour, panel, .. } => arc.steps(*hour, panel, air),
            Of::Number { place, .. } => arc.0[*place],
        }
    }

    /// The least and the most that the reading allows of what [`Ask::shows`] says.
    pub(super) fn allows(&self) -> (f64, f64) {
        match self.of {
            Of::Panel { gives, .. } => (gives, gives + 1.0),
            Of::Number { read, right_to, .. } => (read - right_to, read + right_to),
        }
    }

    /// How much more the reading says than a whole world gives, in the dark too; 0 where the world explains it.
    pub(super) fn residual(&self, arc: Arc, air: Air) -> f64 {
        let value = match &self.of {
            Of::Panel { hour, panel, .. } => arc.steps(*hour, panel, air),
            Of::Number { .. } => self.value(arc, air),
        };
        let outside = self.outside(value, EXPLAINED);
        let unit = match self.of {
            Of::Number {
                place: AZIMUTH,
                right_to,
                ..
            } => right_to,
            _ => 1.0,
        };
        // Without a negative zero.
        0.0 - outside * unit
    }
}

/// One unit of a decimal's last place as it was written: 1 for whole numbers, 0.1 for one digit behind the point; a
/// thousandth at the finest.
pub(super) fn last_place(read: f64) -> f64 {
    let places = Decimal::of(read).map_or(3, |decimal| decimal.scale.min(3));
    (0..places).fold(1.0, |unit, _| unit / 10.0)
}

/// How far the arc's numbers may go at all.
pub(super) fn limits(asks: &[&Ask]) -> [(f64, f64); 5] {
    let most = asks.iter().map(|ask| match ask.of {
        Of::Panel { gives, .. } => gives,
        Of::Number { .. } => 0.0,
    });
    // A panel never gives more than its peak.
    let least_peak = most.fold(LEAST_PEAK, f64::max);
    let mut limits = [(0.0, 24.0); 5];
    limits[AZIMUTH] = (0.0, MOST_AZIMUTH);
    limits[HIGHEST] = (0.0, 90.0);
    limits[PER_PEAK] = (1.0 / MOST_PEAK, 1.0 / least_peak);
    limits
}

/// The largest azimuth at rise: less than 180°, with a digit that is answered.
const MOST_AZIMUTH: f64 = 179.9;
/// The least peak that is thought of, in steps, where no panel gives anything.
pub(super) const LEAST_PEAK: f64 = 0.001;
/// The largest.
pub(super) const MOST_PEAK: f64 = crate::limits::PEAK as f64;
