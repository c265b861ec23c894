//! Which start of a load is meant, and when a changed plan has it. Milliseconds; `off` counts from the wanted time, and is
//! negative before it.

use super::{Bound, StartWish};
use crate::proof::findings::Simulation;
use crate::quantity::Ms;

/// The start that is meant.
#[derive(Clone, Copy, Debug)]
pub(super) struct MeantStart {
    /// The length of a day.
    pub day: Ms,
    /// The wanted time, from the midnight that the start counts from.
    pub wanted: i64,
    /// When the load starts now, as `off`.
    pub now: i64,
    /// When it stops after that, from the same midnight; the latest of the repeating days.
    pub stop: i64,
    /// A day of the run with just that start, counted from 0.
    pub on_day: u64,
    pub bound: Bound,
}

/// When a load runs, and on which days it is looked at; days that repeat are written out three times.
struct Runs {
    runs: Vec<(i64, i64)>,
    /// The midnights of the days in question.
    days: Vec<i64>,
    /// The day of the run of the first of those.
    first: u64,
}

impl Runs {
    fn of(seen: &Simulation, load: usize) -> Runs {
        let day = seen.day_ms;
        let copies = if seen.repeats.is_some() { 3 } else { 1 };
        let long = seen.to - seen.from;
        let mut runs: Vec<(i64, i64)> = Vec::new();
        for copy in 0..copies {
            for (from, to) in seen.runs(load) {
                let moved = |t: Ms| signed(t - seen.from + copy * long);
                let (from, to) = (moved(from), moved(to));
                match runs.last_mut().filter(|last| last.1 == from) {
                    Some(last) => last.1 = to,
                    None => runs.push((from, to)),
                }
            }
        }
        let begin = if copies == 3 { long } else { 0 };
        let days = (0..long / day.max(1)).map(|n| signed(begin + n * day));
        Runs {
            runs,
            days: days.collect(),
            first: seen.from / day.max(1),
        }
    }
}

impl MeantStart {
    /// The start that is meant in the plan as it is; none where the load has none.
    pub fn of(seen: &Simulation, load: usize, wish: &StartWish) -> Option<MeantStart> {
        let day = seen.day_ms;
        let half = signed(day / 2);
        let near = signed(wish.near.unwrap_or(wish.at).ms(day));
        let runs = Runs::of(seen, load);
        let mut found: Vec<(i64, i64, u64)> = Vec::new();
        for (midnight, number) in runs.days.iter().zip(runs.first..) {
            let far = |run: &&(i64, i64)| (run.0 - midnight - near).abs();
            let nearest = runs.runs.iter().min_by_key(far);
            if let Some(run) = nearest.filter(|run| far(run) <= half) {
                found.push((run.0 - midnight, run.1 - midnight, number));
            }
        }
        let (start, _, on_day) = match wish.bound {
            Bound::AtLatest => *found.iter().max_by_key(|one| one.0)?,
            Bound::NotBefore => *found.iter().min_by_key(|one| one.0)?,
        };
        // The wanted time on the same night as the start.
        let mut wanted = signed(wish.at.ms(day));
        while wanted - start > half {
            wanted -= signed(day);
        }
        while start - wanted > half {
            wanted += signed(day);
        }
        Some(MeantStart {
            day,
            wanted,
            now: start - wanted,
            stop: found.iter().map(|one| one.1).max()?,
            on_day,
            bound: wish.bound,
        })
    }

    /// When the load starts in a changed plan, as `off`: at the latest or earliest of the repeating days; none where it does
    /// not start on each.
    pub fn reached(&self, after: &Simulation, load: usize) -> Option<i64> {
        let runs = Runs::of(after, load);
        let mut offs = Vec::new();
        for midnight in &runs.days {
            let moment = midnight + self.wanted + self.now;
            if moment < 0 {
                continue;
            }
            // The run that holds at the moment, or the next.
            let run = runs.runs.iter().find(|run| run.1 > moment)?;
            let off = run.0 - midnight - self.wanted;
            if off.abs() > signed(self.day / 2) {
                return None;
            }
            offs.push(off);
        }
        match self.bound {
            Bound::AtLatest => offs.into_iter().max(),
            Bound::NotBefore => offs.into_iter().min(),
        }
    }

    /// Whether a start is as wanted.
    pub fn is_met(&self, off: i64) -> bool {
        match self.bound {
            Bound::AtLatest => off <= 0,
            Bound::NotBefore => off >= 0,
        }
    }

    /// The start now, from its midnight.
    pub fn start(&self) -> i64 {
        self.wanted + self.now
    }

    /// The millisecond of the day of an `off`.
    pub fn dial(&self, off: i64) -> Ms {
        self.of_day(self.wanted + off)
    }

    /// The millisecond of the day.
    pub fn of_day(&self, t: i64) -> Ms {
        t.rem_euclid(signed(self.day).max(1)).unsigned_abs()
    }
}

/// Runs are at most some thousand days of at most a few years each, which is far below the largest number.
pub(super) fn signed(t: Ms) -> i64 {
    i64::try_from(t).unwrap_or(i64::MAX / 4)
}
