//! Autonomy: with no more sun and wind, how long each duty still holds; from any instant, and from the worst start.
//!
//! From the instant on, sun and wind sources give nothing; steady ones go on, and so do batteries, contacts and the
//! dial. A duty holds until the first stretch begins that becomes longer than its grace; one that is in such a stretch
//! at the instant holds for no time. Each run goes on for [`DAYS`] days at the most; one that is stopped at its bound of
//! events says only up to where a duty holds. Milliseconds.
//!
//! **The worst start.** Tried is every start at which something happens in the days that repeat (else in the last day),
//! and the millisecond before each. Between two of them nothing happens. While sun and wind give nothing there, the run
//! goes on as it would without them, so the duty breaks at the same moment whatever the start, and the latest start,
//! which is tried, is the worst: there the answer is exact. While they give something, and where more energy never
//! breaks a duty sooner, a later start breaks it no sooner than an earlier one: so between the starts `a` and `b` no
//! duty holds for less than from `a`, less `b − a`. Where that could be less than the worst found, the stretch is halved
//! until it can't; [`WorstStarts::apart`] is the longest stretch that was left open, 0 where none was. Where a duty may
//! break sooner because there is more energy (a load ahead that then runs, a contact that follows a battery's charge),
//! the answer is the worst of the starts tried and no more.

use super::check::{Check, DAYS};
use super::watch::{Watch, Went, run_watched};
use super::words::length;
use crate::book::Profile;
use crate::plan::Plan;
use crate::quantity::Ms;
use crate::run::{Engine, Midnights};
use serde::{Deserialize, Serialize};

/// How long a duty holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Holds {
    /// For so long: then the load is off although it should run, or `on` although it should not.
    For {
        /// How long.
        time: Ms,
        /// Whether it then runs.
        on: bool,
    },
    /// For at least so long: then the run was stopped at its bound of events. No time at all where it did not come to
    /// the instant.
    Stopped(Ms),
    /// For at least so many days, and no longer was looked.
    Days(u64),
    /// For ever: the days without sun and wind repeat.
    ForEver,
}

impl Holds {
    /// Whether it holds for less time than `other`, or may do so for all that is known.
    pub fn is_less(self, other: Holds) -> bool {
        let rank = |holds: Holds| match holds {
            Holds::For { time, .. } => (0, time, 0),
            Holds::Stopped(time) => (0, time, 1),
            Holds::Days(_) => (1, 0, 0),
            Holds::ForEver => (2, 0, 0),
        };
        rank(self) < rank(other)
    }
}

impl Holds {
    /// As long and so much more.
    fn longer(self, more: Ms) -> Holds {
        match self {
            Holds::For { time, on } => Holds::For {
                time: time.saturating_add(more),
                on,
            },
            Holds::Stopped(time) => Holds::Stopped(time.saturating_add(more)),
            other => other,
        }
    }

    /// What the load wrongly is when the duty holds no longer, `on` or `off`.
    pub fn then(self) -> Option<&'static str> {
        match self {
            Holds::For { on, .. } => Some(if on { "on" } else { "off" }),
            _ => None,
        }
    }

    /// `72 h`, `60 days or more`, `for ever`, `at least 16 min, then the run was stopped`.
    pub fn says(self) -> String {
        match self {
            Holds::For { time, .. } => length(time),
            Holds::Stopped(0) => "not known: the run was stopped".into(),
            Holds::Stopped(time) => {
                format!("at least {}, then the run was stopped", length(time))
            }
            Holds::Days(days) => format!("{days} days or more"),
            Holds::ForEver => "for ever".into(),
        }
    }
}

impl WorstStarts {
    /// What was tried, and so what the answer claims.
    pub fn says(&self) -> String {
        if self.stopped {
            return "No start was tried: the run was stopped at its bound of events.".into();
        }
        let (first, last) = (self.days.0 + 1, self.days.1);
        let days = match last - first {
            0 => format!("day {last}"),
            _ => format!("days {first} to {last}"),
        };
        let which = match self.for_ever {
            true => "which repeats from then on",
            false => "the last that was looked at",
        };
        let which = if last > first {
            which.replace("repeats", "repeat")
        } else {
            which.into()
        };
        let apart = match self.apart {
            0 => String::new(),
            apart => format!(
                " Between two of them it may be up to {} less.",
                length(apart)
            ),
        };
        format!(
            "Tried are all {} starts of {days}, {which}, at which something changes or is about to.{apart}",
            self.tried
        )
    }
}

/// How long each duty holds from an instant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Autonomy {
    /// The instant from which sun and wind give nothing.
    pub from: Ms,
    /// The duties, in the plan's order.
    pub duties: Vec<Holds>,
}

/// The start from which a duty holds for the least time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorstStart {
    /// The start; the first of equals.
    pub from: Ms,
    /// How long the duty holds from there.
    pub holds: Holds,
}

/// The worst start for each duty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorstStarts {
    /// The duties, in the plan's order.
    pub duties: Vec<WorstStart>,
    /// The days whose starts were tried: the first, counted from 0, and the one after the last.
    pub days: (u64, u64),
    /// How many starts were tried.
    pub tried: u64,
    /// The longest time between two starts tried between which a duty might hold for less.
    pub apart: Ms,
    /// Whether the days tried repeat, so that the worst start of all days is among them.
    pub for_ever: bool,
    /// Whether the run was stopped at its bound of events before the starts, so that none was tried after it.
    pub stopped: bool,
}

/// A run with its duties watched, which can be left without sun and wind at any moment.
#[derive(Clone)]
struct Watched {
    engine: Engine,
    watches: Vec<Watch>,
}

impl Watched {
    fn new(plan: &Plan) -> Watched {
        let engine = Engine::new(plan);
        let watch = |duty| Watch::new(plan, duty, &engine);
        let watches = plan.duties.iter().map(watch).collect();
        Watched { engine, watches }
    }

    /// Goes on through every event before `t`; whether it came there.
    #[must_use]
    fn go(&mut self, t: Ms) -> bool {
        run_watched(&mut self.engine, &mut self.watches, t, &mut |_, _| true) == Went::ToEnd
    }

    /// How long each duty holds from `t`, to which the run has come, without sun and wind; a duty that holds for longer
    /// than its `most` need not be looked at to the end.
    fn holds(&self, plan: &Plan, t: Ms, most: &[Holds]) -> Vec<Holds> {
        let mut run = self.clone();
        run.engine.still(t);
        let day = plan.world.day_ms();
        let end = t.saturating_add(day.saturating_mul(DAYS));
        let latest = |holds: &Holds| match holds {
            Holds::For { time, .. } | Holds::Stopped(time) => t.saturating_add(*time),
            Holds::Days(_) | Holds::ForEver => end,
        };
        let mut broken: Vec<Option<Holds>> = vec![None; plan.duties.len()];
        let breaks = |since: Ms, on: bool| Holds::For {
            time: since.saturating_sub(t),
            on,
        };
        let mut midnights = Midnights::of_equal_days();
        let mut midnight = t.div_ceil(day).saturating_mul(day);
        // The midnight found to repeat an earlier one.
        let mut repeats: Option<Ms> = None;
        loop {
            let stop = midnight.saturating_add(1).min(end);
            let mut note = |at: usize, (since, on): (Ms, bool)| {
                broken[at].get_or_insert(breaks(since, on));
                broken.iter().any(Option::is_none)
            };
            let went = run_watched(&mut run.engine, &mut run.watches, stop, &mut note);
            if let Went::Stopped(at) = went {
                for (broken, watch) in broken.iter_mut().zip(&run.watches) {
                    // A stretch that is open there may yet become too long.
                    let seen = watch.since().map_or(at, |(since, _)| since);
                    broken.get_or_insert(Holds::Stopped(seen.saturating_sub(t)));
                }
                break;
            }
            let mut rest = broken.iter().zip(most);
            let open = rest.any(|(b, m)| b.is_none() && latest(m) >= stop);
            if went == Went::Enough || !open || stop >= end {
                break;
            }
            if let Some(from) = repeats {
                // What has been open all the way round never ends.
                let never = |w: &Watch| w.since().filter(|(since, _)| *since <= from);
                for (broken, watch) in broken.iter_mut().zip(&run.watches) {
                    let never = never(watch).map(|(since, on)| breaks(since, on));
                    *broken = broken.or(never).or(Some(Holds::ForEver));
                }
                break;
            }
            let round = midnights
                .note_round(run.engine.midnight(midnight))
                .unwrap_or(0);
            let again = midnight.saturating_add(round.saturating_mul(day));
            // Once more round, and every stretch has either ended or never will.
            repeats = (round > 0 && again < end).then_some(midnight);
            midnight = if round > 0 {
                again
            } else {
                midnight.saturating_add(day)
            };
        }
        broken
            .into_iter()
            .map(|b| b.unwrap_or(Holds::Days(DAYS)))
            .collect()
    }
}

/// How long each duty holds if sun and wind give nothing from `from` on.
pub fn autonomy(plan: &Plan, from: Ms) -> Autonomy {
    let mut run = Watched::new(plan);
    let most = vec![Holds::ForEver; plan.duties.len()];
    let duties = if run.go(from) {
        run.holds(plan, from, &most)
    } else {
        vec![Holds::Stopped(0); plan.duties.len()]
    };
    Autonomy { from, duties }
}

/// The worst start for each duty; `check` is the check of `plan`. `watch` is told how much of the days is done, in
/// milliseconds, and of how much, and what is found so far; it answers whether to go on. What was found by then comes
/// back.
pub fn worst_starts(
    plan: &Plan,
    check: &Check,
    watch: &mut dyn FnMut(Ms, Ms, &WorstStarts) -> bool,
) -> WorstStarts {
    let day = plan.world.day_ms();
    let last = check.days.max(1);
    let first = check.repeats.unwrap_or(last - 1).min(last - 1);
    let (begin, end) = (first * day, last * day);
    let mut run = Watched::new(plan);
    let unknown = WorstStart {
        from: begin,
        holds: Holds::Stopped(0),
    };
    let mut found = WorstStarts {
        duties: vec![unknown; plan.duties.len()],
        days: (first, last),
        tried: 0,
        apart: 0,
        for_ever: check.for_ever,
        stopped: check.is_stopped(),
    };
    if found.stopped || !run.go(begin) {
        return found;
    }
    let mut t = begin;
    loop {
        // What happens next, this start's own events first.
        let mut ahead = run.engine.clone();
        ahead.advance(t.saturating_add(1));
        let gives = ahead.gives_by(|profile| profile != Profile::Steady) > 0;
        let events = ahead.events();
        ahead.advance_some(end, 1);
        let next = if ahead.events() > events {
            ahead.now()
        } else {
            end
        };
        let (last, early) = (next - 1, run.clone());
        let from_here = found.try_start(plan, &run, t, last - t);
        if last > t && run.go(last) {
            found.try_start(plan, &run, last, 0);
            if gives {
                found.halve(plan, early, (t, last), from_here);
            }
        }
        if !watch(next - begin, end - begin, &found) || next >= end || !run.go(next) {
            return found;
        }
        t = next;
    }
}

/// How often a stretch between two starts is halved at the most.
const HALVINGS: u32 = 64;

impl WorstStarts {
    /// Tries a start, to which `run` has come; what holds for longer than the worst found and `more` is not looked at to
    /// the end.
    fn try_start(&mut self, plan: &Plan, run: &Watched, t: Ms, more: Ms) -> Vec<Holds> {
        let none = vec![Holds::ForEver; plan.duties.len()];
        let most = match self.tried {
            0 => none,
            _ => self.duties.iter().map(|w| w.holds.longer(more)).collect(),
        };
        let holds = run.holds(plan, t, &most);
        let starts = holds.iter().map(|holds| WorstStart {
            from: t,
            holds: *holds,
        });
        if self.tried == 0 {
            self.duties = starts.collect();
        } else {
            for (worst, start) in self.duties.iter_mut().zip(starts) {
                if start.holds.is_less(worst.holds) {
                    *worst = start;
                }
            }
        }
        self.tried += 1;
        holds
    }

    /// Whether a duty may hold for less than the worst found somewhere in a stretch of this length, from whose beginning
    /// it holds as in `from`.
    fn is_open(&self, from: &[Holds], length: Ms) -> bool {
        from.iter()
            .zip(&self.duties)
            .any(|(holds, worst)| match holds {
                Holds::For { time, .. } | Holds::Stopped(time) => {
                    let time = time.saturating_sub(length);
                    Holds::For { time, on: false }.is_less(worst.holds)
                }
                Holds::Days(_) | Holds::ForEver => false,
            })
    }

    /// Tries starts within the stretch until none in it can be worse; `run` has come to its beginning.
    fn halve(&mut self, plan: &Plan, run: Watched, (a, b): (Ms, Ms), from: Vec<Holds>) {
        let mut waits = vec![(a, b, run, from)];
        let mut left = HALVINGS;
        while let Some((a, b, run, from)) = waits.pop() {
            if b - a <= 1 || !self.is_open(&from, b - a) {
                continue;
            }
            let stopped = |holds: &Holds| matches!(holds, Holds::Stopped(_));
            // What was stopped from one start is stopped from the next: to halve would find nothing.
            if left == 0 || from.iter().any(stopped) {
                self.apart = self.apart.max(b - a);
                continue;
            }
            left -= 1;
            let middle = a + (b - a) / 2;
            let mut later = run.clone();
            if !later.go(middle) {
                self.apart = self.apart.max(b - a);
                continue;
            }
            let there = self.try_start(plan, &later, middle, b - middle);
            waits.push((middle, b, later, there));
            waits.push((a, middle, run, from));
        }
    }
}
