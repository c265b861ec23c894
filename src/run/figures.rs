//! What a run comes to for each part and for the plan: energies, extremes, hours and starts. Everything exact; times in
//! milliseconds.

use super::record::{BatteryRecord, ContactRecord, LoadRecord, Record, SourceRecord};
use crate::quantity::{Energy, Ms};

/// What a source comes to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SourceFigures {
    /// What it could give.
    pub available: Energy,
    /// What was taken of it.
    pub taken: Energy,
    /// What was not.
    pub spilled: Energy,
    /// When something was spilled: `[from, to)`.
    pub spills: Vec<(Ms, Ms)>,
}

/// What a battery comes to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BatteryFigures {
    /// What it took in.
    pub taken: Energy,
    /// What it gave out.
    pub given: Energy,
    /// What it lost.
    pub lost: Energy,
    /// Its lowest level and the first moment of it.
    pub lowest: (Energy, Ms),
    /// Its highest level and the first moment of it.
    pub highest: (Energy, Ms),
    /// Its level at the end.
    pub last: Energy,
}

/// What a load or a contact comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TurnFigures {
    /// How long it ran, or conducted.
    pub on: Ms,
    /// How long a load was short: offered something, but less than it draws.
    pub short: Ms,
    /// How often it started, or closed, after t = 0.
    pub starts: usize,
    /// What a load used while it ran.
    pub energy: Energy,
}

/// What the whole plan comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// What all sources could give.
    pub available: Energy,
    /// What was taken of them.
    pub taken: Energy,
    /// What was used by loads that ran.
    pub used: Energy,
    /// What batteries lost.
    pub lost: Energy,
    /// How much more batteries hold at the end than at the start; less where negative.
    pub stored: Energy,
}

impl Totals {
    /// What was not taken.
    pub fn spilled(&self) -> Energy {
        self.available - self.taken
    }
}

impl SourceRecord {
    /// What it comes to over a run up to `end`.
    pub fn figures(&self, end: Ms) -> SourceFigures {
        SourceFigures {
            available: self.available,
            taken: self.taken,
            spilled: self.available - self.taken,
            spills: spills(&self.could, &self.gives, end),
        }
    }
}

/// When the first of two values that keep until their next change is above the second.
fn spills(could: &[(Ms, u64)], gives: &[(Ms, u64)], end: Ms) -> Vec<(Ms, Ms)> {
    let mut turns: Vec<Ms> = could.iter().chain(gives).map(|(t, _)| *t).collect();
    turns.sort_unstable();
    turns.dedup();
    let (mut could, mut gives) = (could.iter().peekable(), gives.iter().peekable());
    let (mut offers, mut takes) = (0, 0);
    let mut out: Vec<(Ms, Ms)> = Vec::new();
    for (at, t) in turns.iter().enumerate().filter(|(_, t)| **t < end) {
        if let Some((_, value)) = could.next_if(|(from, _)| from == t) {
            offers = *value;
        }
        if let Some((_, value)) = gives.next_if(|(from, _)| from == t) {
            takes = *value;
        }
        if offers > takes {
            let to = turns.get(at + 1).copied().unwrap_or(end).min(end);
            match out.last_mut().filter(|(_, end)| end == t) {
                Some(last) => last.1 = to,
                None => out.push((*t, to)),
            }
        }
    }
    out
}

impl Record {
    /// When any source was not taken whole: `[from, to)`.
    pub fn spills(&self) -> Vec<(Ms, Ms)> {
        let each = self.sources.values();
        let mut all: Vec<(Ms, Ms)> = each
            .flat_map(|s| spills(&s.could, &s.gives, self.end))
            .collect();
        all.sort_unstable();
        let mut out: Vec<(Ms, Ms)> = Vec::new();
        for (from, to) in all {
            match out.last_mut().filter(|(_, end)| *end >= from) {
                Some(last) => last.1 = last.1.max(to),
                None => out.push((from, to)),
            }
        }
        out
    }
}

impl BatteryRecord {
    /// What it comes to.
    pub fn figures(&self) -> BatteryFigures {
        let mut points = self.level.iter().map(|(t, level)| (*level, *t));
        let first = points.next().unwrap_or_default();
        let (mut lowest, mut highest) = (first, first);
        for point in points {
            if point.0 < lowest.0 {
                lowest = point;
            }
            if point.0 > highest.0 {
                highest = point;
            }
        }
        BatteryFigures {
            taken: self.taken,
            given: self.given,
            lost: self.lost,
            lowest,
            highest,
            last: self.level.last().map_or(0, |(_, level)| *level),
        }
    }
}

impl LoadRecord {
    /// What it comes to.
    pub fn figures(&self) -> TurnFigures {
        TurnFigures {
            on: length(&self.runs),
            short: length(&self.short),
            starts: starts(&self.runs),
            energy: self.energy,
        }
    }
}

impl ContactRecord {
    /// What it comes to.
    pub fn figures(&self) -> TurnFigures {
        TurnFigures {
            on: length(&self.conducts),
            starts: starts(&self.conducts),
            ..TurnFigures::default()
        }
    }
}

fn length(stretches: &[(Ms, Ms)]) -> Ms {
    stretches.iter().map(|(from, to)| to - from).sum()
}

/// What holds at t = 0 was not started.
fn starts(stretches: &[(Ms, Ms)]) -> usize {
    stretches.iter().filter(|(from, _)| *from > 0).count()
}

impl Record {
    /// What the plan comes to.
    pub fn totals(&self) -> Totals {
        let mut totals = Totals::default();
        for source in self.sources.values() {
            totals.available += source.available;
            totals.taken += source.taken;
        }
        totals.used = self.loads.values().map(|l| l.energy).sum();
        for battery in self.batteries.values() {
            totals.lost += battery.lost;
            totals.stored += battery.taken - battery.given - battery.lost;
        }
        totals
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_spills_where_it_could_give_more_than_is_taken() {
        let could = [(0, 0), (10, 5), (40, 0)];
        let gives = [(0, 0), (10, 2), (20, 5), (30, 1), (35, 0), (40, 0)];
        assert_eq!(spills(&could, &gives, 100), [(10, 20), (30, 40)]);
        assert_eq!(spills(&[(0, 3)], &[(0, 1)], 50), [(0, 50)], "up to the end");
        assert_eq!(spills(&[(0, 3)], &[(0, 3)], 50), []);
    }

    #[test]
    fn the_first_moment_of_an_extreme_counts() {
        let battery = BatteryRecord {
            level: vec![(0, 50), (10, 20), (30, 20), (60, 90), (80, 70)],
            ..BatteryRecord::default()
        };
        let figures = battery.figures();
        assert_eq!(
            (figures.lowest, figures.highest, figures.last),
            ((20, 10), (90, 60), 70)
        );
    }

    #[test]
    fn what_runs_from_the_beginning_was_not_started() {
        let load = LoadRecord {
            runs: vec![(0, 10), (20, 25)],
            short: vec![(10, 12)],
            energy: 7,
        };
        let expected = TurnFigures {
            on: 15,
            short: 2,
            starts: 1,
            energy: 7,
        };
        assert_eq!(load.figures(), expected);
    }
}
