//! Levels of batteries between the points of a record: straight lines, exact. Times in milliseconds of the run.

use super::Window;
use crate::quantity::{Energy, Ms};

/// The part of a level's line that lies in a window, with its values at both ends where it is known there.
pub fn level_within(level: &[(Ms, Energy)], window: Window) -> Vec<(Ms, Energy)> {
    let (from, to) = (window.from, window.to);
    let inner = level.iter().filter(|(t, _)| from < *t && *t < to).copied();
    let end = |t| level_at(level, t).map(|level| (t, level));
    end(from).into_iter().chain(inner).chain(end(to)).collect()
}

/// The exact level at `t`, rounded down; nothing where no line leads there.
fn level_at(level: &[(Ms, Energy)], t: Ms) -> Option<Energy> {
    let after = level.partition_point(|(at, _)| *at < t);
    let (to, high) = *level.get(after)?;
    if to == t {
        return Some(high);
    }
    let (from, low) = *level.get(after.checked_sub(1)?)?;
    let (into, long) = (Energy::from(t - from), Energy::from((to - from).max(1)));
    // Levels are far below the square root of the largest number, as the limits say; a day is shorter still.
    Some(low + (high - low) * into / long)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_is_on_the_line_between_two_points_and_nowhere_else() {
        assert_eq!(level_at(&[(0, 100), (100, 0)], 25), Some(75));
        assert_eq!(level_at(&[(0, 100), (100, 0)], 100), Some(0));
        assert_eq!(level_at(&[(0, 100), (100, 0)], 101), None);
        assert_eq!(level_at(&[], 0), None);
        let window = Window { from: 25, to: 120 };
        let line = [(0, 100), (100, 0), (110, 0)];
        assert_eq!(level_within(&line, window), [(25, 75), (100, 0), (110, 0)]);
    }
}
