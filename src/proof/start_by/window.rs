//! Which start of a load is meant, and when it comes on each day of a run. Milliseconds.

use super::{NoStart, Side, Wanted};
use crate::plan::Clock;
use crate::proof::check::Check;
use crate::proof::study::Study;
use crate::quantity::Ms;

/// Runs of a load, with what repeats after the last midnight of the check.
pub(super) struct Runs {
    /// When it ran, in order, apart from each other.
    runs: Vec<(Ms, Ms)>,
    /// The end of what is known.
    end: Ms,
    /// The end of what was run.
    run_to: Ms,
}

impl Runs {
    /// The runs of a check, two more days long where a midnight repeats.
    pub fn of(check: &Check, runs: &[(Ms, Ms)], day: Ms) -> Runs {
        let run_to = check.days * day;
        let mut all: Vec<(Ms, Ms)> = runs.to_vec();
        let mut end = run_to;
        if let Some(from) = check.repeats.map(|n| n * day).filter(|from| *from < run_to) {
            let length = run_to - from;
            while end < run_to + 2 * day {
                let shift = end - from;
                for (a, b) in runs {
                    let (a, b) = ((*a).max(from), (*b).min(run_to));
                    if a < b {
                        all.push((a + shift, b + shift));
                    }
                }
                end += length;
            }
        }
        let mut joined: Vec<(Ms, Ms)> = Vec::new();
        for (a, b) in all {
            match joined.last_mut().filter(|last| last.1 >= a) {
                Some(last) => last.1 = last.1.max(b),
                None => joined.push((a, b)),
            }
        }
        Runs {
            runs: joined,
            end,
            run_to,
        }
    }

    /// The moments at which the load begins to run. A run at the very beginning began before it.
    pub fn starts(&self) -> impl Iterator<Item = Ms> {
        self.runs.iter().map(|run| run.0).filter(|t| *t > 0)
    }
}

/// The starts of a load in the run of a studied plan, in milliseconds since the midnight of day 1; those of days that were
/// run.
pub fn starts(study: &Study, load: usize) -> Vec<Ms> {
    let (check, day) = (study.check(), study.plan().world.day_ms());
    let record = &study.journey().record;
    let ran = record.loads.get(&load).map_or(&[][..], |l| &l.runs);
    let runs = Runs::of(check, ran, day);
    runs.starts().filter(|t| *t < runs.run_to).collect()
}

/// As [`starts`], of a day and by places on the dial, for somebody to pick from: each minute once.
pub fn starts_of_day(starts: &[Ms], day_ms: Ms) -> Vec<Clock> {
    let last = starts.iter().max().map_or(0, |t| t / day_ms.max(1));
    let of_day = starts.iter().filter(|t| *t / day_ms.max(1) == last);
    let mut all: Vec<Clock> = of_day.map(|t| Clock::at(*t, day_ms)).collect();
    all.dedup();
    all
}

/// The window of every day in which the start that is meant comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Window {
    /// When it opens, after midnight.
    pub opens: Ms,
    /// The wanted time, so long after it opens.
    pub wanted: Ms,
    /// On which side of that.
    pub side: Side,
    /// How long a day is.
    pub day: Ms,
}

/// When a load starts in a window, on the day on which that is nearest to missing the time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Seen {
    /// So long after the window opens.
    pub after: Ms,
    /// Whether the time is met on every day.
    pub met: bool,
}

impl Window {
    /// The window of what is wanted, from the runs of the plan as it is.
    pub fn of(wanted: &Wanted, runs: &Runs, day: Ms) -> Result<Window, NoStart> {
        let at = wanted.at.ms(day) % day;
        let near = wanted.start.map_or(at, |clock| clock.ms(day) % day);
        let apart = |t: Ms| {
            let forth = (t % day + day - near) % day;
            forth.min(day - forth)
        };
        // Of the same place on the dial on several days, the last: what comes before it is known too.
        let all = runs.starts().filter(|t| *t < runs.run_to);
        let start = all
            .min_by_key(|t| (apart(*t), std::cmp::Reverse(*t)))
            .ok_or(NoStart::Never)?;
        let before = runs.runs.iter().rev().find(|run| run.1 <= start);
        let off_for = before.map_or(start, |run| start - run.1).min(day);
        // How long before the start the wanted time is, if it is before it.
        let early = (start % day + day - at) % day;
        let earliest = if early <= off_for { early } else { 0 };
        let lead = earliest + (off_for - earliest).div_ceil(2);
        let opens = (start % day + day - lead % day) % day;
        Ok(Window {
            opens,
            wanted: (at + day - opens) % day,
            side: wanted.side,
            day,
        })
    }

    /// When the load starts in the windows of a run; none where on some day it does not, or no window was seen whole.
    pub fn see(&self, runs: &Runs) -> Option<Seen> {
        let mut seen: Option<Seen> = None;
        let mut opens = self.opens;
        while opens < runs.run_to && opens + self.day <= runs.end {
            let closes = opens + self.day;
            let first = runs.runs.iter().find(|run| run.0 > 0 && run.0 >= opens);
            let (from, to) = *first.filter(|run| run.0 < closes)?;
            let (after, wanted) = (from - opens, opens + self.wanted);
            let was_off = !runs.runs.iter().any(|run| run.0 < opens && opens < run.1);
            let met = match self.side {
                Side::AtTheLatest => from <= wanted && (to > wanted || to == runs.end),
                Side::NotBefore => was_off && from >= wanted,
            };
            seen = Some(match seen {
                None => Seen { after, met },
                Some(worst) => Seen {
                    after: match self.side {
                        Side::AtTheLatest => worst.after.max(after),
                        Side::NotBefore => worst.after.min(after),
                    },
                    met: worst.met && met,
                },
            });
            opens = closes;
        }
        seen
    }

    /// A moment of the window, after midnight.
    pub fn clock(&self, after: Ms) -> Ms {
        (self.opens + after) % self.day
    }

    /// How far such a start is on the wrong side of the wanted time.
    pub fn misses(&self, after: Ms) -> Ms {
        match self.side {
            Side::AtTheLatest => after.saturating_sub(self.wanted),
            Side::NotBefore => self.wanted.saturating_sub(after),
        }
    }
}
