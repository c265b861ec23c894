//! The sky over a window of time: day, dusk and night as a band, and the sun's height as an area. For the eye alone.

use super::{WIDE, Window, number};
use crate::quantity::Ms;
use crate::sky::{Path, Sky};
use std::fmt::Write;

/// Degrees below the horizon at which dusk is over: civil twilight of almanacs.
const DUSK: f64 = -6.0;

/// How light it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Light {
    /// The sun is up.
    Day,
    /// The sun is down by no more than six degrees.
    Dusk,
    /// Night.
    Night,
}

/// A stretch of the sky's band: from, to, in units.
pub type Shade = (f64, f64, Light);

/// The sky's band: day, dusk and night. A world with its own arc has no dusk: its sun is down at once.
pub fn shades(sky: &Sky, window: Window) -> Vec<Shade> {
    let day = sky.day_ms.max(1);
    let (dark, turns) = sky.dark_changes();
    let mut ends: Vec<(Ms, bool)> = std::iter::once((0, dark))
        .chain(turns.into_iter().scan(dark, |dark, t| {
            *dark = !*dark;
            Some((t, *dark))
        }))
        .collect();
    ends.push((day, dark));
    let mut of_day: Vec<(Ms, Ms, Light)> = Vec::new();
    for pair in ends.windows(2) {
        let ((from, dark), (to, _)) = (pair[0], pair[1]);
        if !dark {
            of_day.push((from, to, Light::Day));
            continue;
        }
        let (from_dusk, to_dusk) = match sky.path {
            Path::Place { .. } => dusks(sky, from, to),
            Path::Arc { .. } => (from, to),
        };
        of_day.push((from, from_dusk, Light::Dusk));
        of_day.push((from_dusk, to_dusk, Light::Night));
        of_day.push((to_dusk, to, Light::Dusk));
    }
    let mut all = Vec::new();
    let mut midnight = window.from / day * day;
    while midnight < window.to {
        for (from, to, light) in of_day.iter().filter(|(from, to, _)| from < to) {
            let (from, to) = (window.x(midnight + from), window.x(midnight + to));
            if to > 0.0 && from < WIDE {
                all.push((from.max(0.0), to.min(WIDE), *light));
            }
        }
        midnight += day;
    }
    all
}

/// Within a dark stretch: where its first dusk ends and its last begins, to a minute of the dial, for drawing.
fn dusks(sky: &Sky, from: Ms, to: Ms) -> (Ms, Ms) {
    let step = (sky.day_ms / 1440).max(1);
    let low = |t: Ms| sky.sun(t).elevation <= DUSK;
    let mut first = from;
    while first < to && !low(first) {
        first += step;
    }
    let mut last = to;
    while last > first && !low(last - 1) {
        last = last.saturating_sub(step).max(first);
    }
    (first.min(to), last.max(first.min(to)))
}

/// The sun's height over the window as an area: the horizon at the foot of `high`, the zenith at its top. Drawn from
/// `fine` places, for the eye alone.
pub fn elevation(sky: &Sky, window: Window, high: f64, fine: usize) -> String {
    let fine = fine.max(2);
    let mut path = format!("M0 {high}");
    for at in 0..=fine {
        let share = at as f64 / fine as f64;
        let up = sky.sun(window.at(share)).elevation.max(0.0);
        let _ = write!(
            path,
            "L{} {}",
            number(share * WIDE),
            number(high - up / 90.0 * high)
        );
    }
    let _ = write!(path, "L{WIDE} {high}z");
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::Air;

    #[test]
    fn the_band_goes_from_night_over_dusk_to_day_and_back() {
        let sky = Sky {
            path: Path::Place {
                latitude: 56.0,
                day_of_year: 80.0,
            },
            air: Air::Clear,
            day_ms: 86_400_000,
        };
        let window = Window {
            from: 0,
            to: 86_400_000,
        };
        let kinds: Vec<Light> = shades(&sky, window).into_iter().map(|s| s.2).collect();
        assert_eq!(
            kinds,
            [
                Light::Night,
                Light::Dusk,
                Light::Day,
                Light::Dusk,
                Light::Night
            ]
        );
        let mut at = 0.0;
        for (from, to, _) in shades(&sky, window) {
            assert_eq!(from, at, "no hole");
            at = to;
        }
        assert_eq!(at, WIDE);
    }
}
