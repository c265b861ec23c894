//! A day on the dial: when it is dark, and when that turns. Milliseconds since midnight; a dial has 24 hours, however long
//! the day is.

use crate::plan::World;
use crate::quantity::Ms;

/// Minutes of the dial.
pub const DIAL: u64 = 1440;

/// The day's dark stretches and its turns.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Day {
    /// How long it is.
    pub day_ms: Ms,
    dark_at_first: bool,
    turns: Vec<Ms>,
}

impl Day {
    /// The day of a world.
    pub fn of(world: &World) -> Day {
        let (dark_at_first, turns) = world.sky().dark_changes();
        Day {
            day_ms: world.day_ms(),
            dark_at_first,
            turns,
        }
    }

    /// Whether it is dark so many milliseconds after midnight.
    pub fn is_dark(&self, ms: Ms) -> bool {
        let turned = self.turns.iter().filter(|t| **t <= ms).count();
        self.dark_at_first ^ (turned % 2 == 1)
    }

    /// The first moment at which it turns dark, or light.
    pub fn turn_to(&self, dark: bool) -> Option<Ms> {
        self.turns
            .iter()
            .copied()
            .find(|t| self.is_dark(*t) == dark)
    }

    /// The dark stretches in minutes of the dial, with their lengths.
    pub fn nights(&self) -> Vec<(f64, f64)> {
        let minute = |ms: Ms| ms as f64 / self.day_ms as f64 * DIAL as f64;
        let mut ends = vec![0];
        ends.extend(&self.turns);
        ends.push(self.day_ms);
        ends.windows(2)
            .filter(|e| self.is_dark(e[0]))
            .map(|e| (minute(e[0]), minute(e[1]) - minute(e[0])))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};

    #[test]
    fn nights_are_where_it_is_dark() {
        for (name, text) in examples() {
            let day = Day::of(&read_plan(text).expect("an example reads").world);
            let minute = day.day_ms / DIAL;
            let nights = day.nights();
            assert!(!nights.is_empty(), "{name}");
            for at in 0..DIAL {
                let within =
                    |(from, long): &(f64, f64)| (*from..from + long).contains(&(at as f64 + 0.5));
                let dark = day.is_dark(at * minute + minute / 2);
                assert_eq!(nights.iter().any(within), dark, "{name} {at}");
            }
            let dusk = day.turn_to(true).expect("it turns dark");
            assert!(day.is_dark(dusk) && !day.is_dark(dusk - 1), "{name}");
        }
    }
}
