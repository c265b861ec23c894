//! Numbers as they are answered: as few digits as the readings bear, and still a world that explains them.

use super::arc::{AZIMUTH, Arc, HIGHEST, PER_PEAK, RISE, SET};
use super::asks::{EXPLAINED, Of};
use super::sun::Sun;
use super::task::Cell;
use crate::clock::DialTime;

/// A world with its numbers rounded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rounded {
    pub(super) rise: DialTime,
    pub(super) set: DialTime,
    pub(super) rise_azimuth: f64,
    pub(super) highest: f64,
    pub(super) peak: f64,
    /// The same as an arc.
    pub(super) arc: Arc,
}

/// The most digits behind the point.
const DIGITS: u32 = 12;

/// Digits behind the point, `least` or more, of which the last counts a twentieth of a range or less.
pub(super) fn digits(width: f64, least: u32) -> u32 {
    let mut digits = least;
    let mut unit = 1.0 / power(least);
    while digits < DIGITS && unit > width / 20.0 {
        digits += 1;
        unit /= 10.0;
    }
    digits
}

/// The nearest number with so many digits behind the point.
pub(super) fn round(number: f64, digits: u32) -> f64 {
    libm::round(number * power(digits)) / power(digits)
}

/// A range's ends with so many digits, rounded outwards.
pub(super) fn outward((low, high): (f64, f64), digits: u32) -> (f64, f64) {
    let unit = power(digits);
    // What a product lacks by rounding alone is not there.
    let (low, high) = (low * unit + 1e-9, high * unit - 1e-9);
    (libm::floor(low) / unit + 0.0, libm::ceil(high) / unit)
}

fn power(digits: u32) -> f64 {
    (0..digits).fold(1.0, |power, _| power * 10.0)
}

/// The world answered, rounded. Times that were read are kept where such a world explains the readings as well; else they
/// are whole minutes of the dial, else whole seconds.
pub(super) fn rounded(sun: &Sun, cell: Option<&Cell>) -> Rounded {
    for unit in [60, 1] {
        for (rise, set) in around(sun.arc, cell, unit) {
            if let Some(arc) = sun.with_times(cell, rise, set) {
                let to_the_second = !rise.is_multiple_of(60) || !set.is_multiple_of(60);
                return with_digits(sun, cell, arc, (rise, set), to_the_second);
            }
        }
    }
    // Nothing so coarse explains the readings: they are told of the world itself.
    let [rise, _] = near(sun.arc.0[RISE], 1);
    let set = near(sun.arc.0[SET], 1)[0].max(rise + 1);
    let found = with_digits(sun, None, sun.arc, (rise, set), true);
    Rounded {
        arc: sun.arc,
        ..found
    }
}

/// The two places of the dial nearest to a time, in seconds, that are whole units.
fn near(hours: f64, unit: u32) -> [u32; 2] {
    let at = hours * 3600.0 / f64::from(unit);
    let first = libm::round(at);
    let second = if at > first { first + 1.0 } else { first - 1.0 };
    [first, second].map(|n| n.max(0.0).min(86_400.0 / f64::from(unit)) as u32 * unit)
}

/// Rises and sets to be tried, in seconds: times that were read, then whole units, the nearest first.
fn around(arc: Arc, cell: Option<&Cell>, unit: u32) -> Vec<(u32, u32)> {
    let times = |place: usize| {
        let asks = cell.map_or(&[][..], |cell| &cell.asks[..]);
        let read = asks.iter().filter_map(|ask| match ask.of {
            Of::Number {
                place: of, read, ..
            } if of == place => Some(libm::round(read * 3600.0) as u32),
            _ => None,
        });
        let mut times: Vec<u32> = read.collect();
        times.extend(near(arc.0[place], unit));
        times
    };
    let sets = times(SET);
    let rises = times(RISE).into_iter();
    let all = rises.flat_map(|rise| sets.iter().map(move |set| (rise, *set)));
    all.filter(|(rise, set)| rise < set).collect()
}

impl Sun {
    /// The world with these times that is nearest to the one answered and explains the readings; none where there is none.
    fn with_times(&self, cell: Option<&Cell>, rise: u32, set: u32) -> Option<Arc> {
        let mut arc = self.arc;
        arc.0[RISE] = f64::from(rise) / 3600.0;
        arc.0[SET] = f64::from(set) / 3600.0;
        let Some(cell) = cell else {
            return Some(arc);
        };
        let mut narrow = cell.clone();
        for place in 0..5 {
            let (low, high) = cell.limits[place];
            let fixed = place <= SET || (self.pinned[place] && place != PER_PEAK);
            if fixed {
                if arc.0[place] < low || arc.0[place] > high {
                    return None;
                }
                narrow.limits[place] = (arc.0[place], arc.0[place]);
            }
        }
        let measure = std::array::from_fn(|place| {
            let (low, high) = self.ranges[place];
            let width = if place == PER_PEAK {
                1.0 / low - 1.0 / high
            } else {
                high - low
            };
            if width > 1e-9 { width } else { 1e-9 }
        });
        let rooms = [0.01, 0.0005, 0.0].map(|room| self.slack - room);
        let mut found = rooms
            .iter()
            .map(|slack| (slack, narrow.nearest(self.air, arc, measure, *slack, &[])));
        found
            .find(|(slack, arc)| narrow.farthest(*arc, self.air, **slack) <= EXPLAINED / 2.0)
            .map(|(_, arc)| arc)
    }
}

/// The rest of the numbers with as few digits as leave the readings explained.
fn with_digits(
    sun: &Sun,
    cell: Option<&Cell>,
    arc: Arc,
    (rise, set): (u32, u32),
    to_the_second: bool,
) -> Rounded {
    let time = |second| DialTime {
        second,
        to_the_second,
    };
    let width = |place: usize| sun.ranges[place].1 - sun.ranges[place].0;
    let mut more = 0;
    loop {
        let of = |number, place: usize| round(number, (digits(width(place), 1) + more).min(DIGITS));
        let found = Rounded {
            rise: time(rise),
            set: time(set),
            rise_azimuth: of(arc.0[AZIMUTH], AZIMUTH),
            highest: of(arc.0[HIGHEST], HIGHEST),
            peak: if sun.dark {
                // So that panels stay below a step.
                libm::floor(arc.peak() * power(1 + more) + 1e-6) / power(1 + more)
            } else {
                of(arc.peak(), PER_PEAK)
            },
            arc,
        };
        let arc = Arc([
            time(rise).hours(),
            time(set).hours(),
            found.rise_azimuth,
            found.highest,
            1.0 / found.peak,
        ]);
        let explained = |cell: &Cell| cell.farthest(arc, sun.air, sun.slack) <= EXPLAINED;
        if more >= DIGITS || (found.peak > 0.0 && cell.is_none_or(explained)) {
            return Rounded { arc, ..found };
        }
        more += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_follow_the_width_of_the_range() {
        assert_eq!(digits(40.0, 1), 1);
        assert_eq!(digits(0.5, 1), 2);
        assert_eq!(digits(0.0, 1), DIGITS);
        assert_eq!(digits(5.0, 0), 1);
        assert_eq!(round(81.2345, 1), 81.2);
        assert_eq!(outward((7.01, 7.99), 1), (7.0, 8.0));
        assert_eq!(outward((7.1, 7.9), 1), (7.1, 7.9));
    }
}
