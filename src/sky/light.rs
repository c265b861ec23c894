//! Light and dark: the sine of the sun's elevation, when it is dark, and when a twilight switch would turn.
//!
//! Light looks at the sun alone, not at the weather and not at the air.

use super::Sky;
use super::changes::changes;
use super::position::Course;

impl Sky {
    /// Light `t` ms after midnight (modulo the day): the sine of the elevation, 0 while the sun is down.
    pub fn light(&self, t: u64) -> f64 {
        light_of(Course::new(self).up(t % self.length()))
    }

    /// True where the sun's elevation is 0 or below.
    pub fn is_dark(&self, t: u64) -> bool {
        !Course::new(self).is_up(t % self.length())
    }

    /// Whether it is dark at midnight, and every millisecond of the day at which that changes.
    pub fn dark_changes(&self) -> (bool, Vec<u64>) {
        let course = Course::new(self);
        let doubt = course.doubt();
        let sample = |t| (course.up(t), course.is_up(t));
        let settled = |a: &(f64, bool), b: &(f64, bool)| match course {
            // Rise and set are cuts.
            Course::Arc(_) => a.1 == b.1,
            Course::Round(_) => a.0.min(b.0) - doubt > 0.0 || a.0.max(b.0) + doubt <= 0.0,
        };
        times(changes(
            self.length(),
            course.cuts(),
            sample,
            |s| !s.1,
            settled,
        ))
    }

    /// Whether light is below `below` at midnight, and every millisecond of the day at which that changes.
    pub fn twilight_changes(&self, below: f64) -> (bool, Vec<u64>) {
        let course = Course::new(self);
        let doubt = course.doubt();
        let sample = |t| course.up(t);
        let settled = |a: &f64, b: &f64| {
            // Light is never below 0, so that no sun turns a threshold of 0 or less; nor one that is no number.
            let (low, high) = (light_of(a.min(*b) - doubt), light_of(a.max(*b) + doubt));
            (low < below) == (high < below)
        };
        times(changes(
            self.length(),
            course.cuts(),
            sample,
            |up| light_of(*up) < below,
            settled,
        ))
    }
}

/// Light from the sine of the elevation.
fn light_of(up: f64) -> f64 {
    if up > 0.0 { up } else { 0.0 }
}

/// A yes-or-no value's changes need no new values: it turns each time.
fn times((first, found): (bool, Vec<(u64, bool)>)) -> (bool, Vec<u64>) {
    (first, found.into_iter().map(|(t, _)| t).collect())
}
