//! One run of an island to the midnight that repeats: what the judging of duties needs of it, and what tells whether
//! islands may be run apart. Times in milliseconds.
//!
//! Islands share nothing but three things: how long a whole run goes on, the bound of events, and the count of a
//! contact's changes, which starts again only when nothing is pending anywhere. The first is worked out in [`joint_end`],
//! the others are shown not to matter, or the islands are run together.

use crate::plan::{PartId, Plan};
use crate::proof::days::{AtMidnight, DayRange, Next, Observer, RunEnd, run_days, run_to};
use crate::proof::watch::{Watch, run_watched};
use crate::quantity::Ms;
use crate::run::{Engine, MOST_DAYS, Mark, Midnights, Trace};
use std::collections::{BTreeMap, BTreeSet};

/// A contact's changes at which it chatters.
const CHATTER: u64 = 100;

/// Every so many days a run without a repeated midnight is looked at, whether it need go on.
const LOOK: u64 = 7;

/// When loads ran, up to a time; answers whether no more need be seen.
pub type EnoughSeen<'a> = &'a dyn Fn(&BTreeMap<PartId, Vec<(Ms, Ms)>>, Ms) -> bool;

/// Duties under watch, each broken one of which, or all of them together, end a run.
#[derive(Clone, Debug, Default)]
pub struct Watched {
    pub duties: Vec<Watch>,
    pub any: bool,
}

/// A stretch of a day in which changes are pending, from its first solve to the solve that settles it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Busy {
    from: Ms,
    to: Ms,
    /// The most changes of one contact in it.
    most: u64,
}

/// What a run leaves behind.
#[derive(Clone, Debug, Default)]
pub struct IslandRun {
    /// When loads ran up to the end.
    pub runs: BTreeMap<PartId, Vec<(Ms, Ms)>>,
    /// Whole days finished, and the earlier midnight that the last repeats.
    pub days: u64,
    /// See `days`.
    pub earlier: Option<u64>,
    /// Where the run was stopped at its bound.
    pub stopped: Option<Ms>,
    /// In how many milliseconds something happened.
    pub events: u64,
    /// Whether it was ended because no more need be seen, before any midnight repeated.
    pub cut: bool,
    /// Whether it was left because enough of the duties watched were broken. Nothing else is told then.
    pub left: bool,
    /// Whether the run must not be told from others': a contact chattered, or changes were pending over a midnight.
    pub odd: bool,
    busy: Vec<Vec<Busy>>,
}

impl IslandRun {
    /// Runs `plan`; `apart` asks for what tells whether it may be run apart from others. Where `enough` is given, it is
    /// asked now and then whether a run that does not repeat may end.
    pub fn run(plan: &Plan, apart: bool, enough: Option<EnoughSeen>) -> IslandRun {
        IslandRun::of(
            Engine::tracing(plan),
            plan,
            apart,
            enough,
            Watched::default(),
        )
    }

    /// As [`IslandRun::run`], of an engine that traces. A run that is `watched` may be left before its end, and then tells no
    /// more than that.
    pub fn of(
        mut engine: Engine,
        plan: &Plan,
        apart: bool,
        enough: Option<EnoughSeen>,
        watched: Watched,
    ) -> IslandRun {
        let days = DayRange {
            first: 0,
            last: MOST_DAYS,
            day: plan.world.day_ms(),
        };
        let mut skipping = Skipping {
            plan,
            enough,
            look: LOOK,
            // Day 1 may begin unlike any other, and days of unlike weather are not alike.
            steady: plan.world.weather.len() <= 1,
            mark: None,
            cut: false,
            broken: vec![false; watched.duties.len()],
            watched,
            left: false,
        };
        let run = run_days(&mut engine, &mut Midnights::new(plan), days, &mut skipping);
        if skipping.left {
            return IslandRun {
                left: true,
                ..IslandRun::default()
            };
        }
        let stopped = engine.stopped_at();
        let trace = engine.into_trace(stopped.unwrap_or(run.days * days.day));
        let mut trial = IslandRun {
            days: run.days,
            earlier: run.repeats(),
            stopped,
            events: trace.events,
            cut: skipping.cut,
            odd: trace.chattered || stopped.is_some(),
            ..IslandRun::default()
        };
        if apart && !trial.odd {
            trial.keep_busy(&trace, days.day);
        }
        trial.runs = named(plan, trace.runs);
        trial
    }

    fn keep_busy(&mut self, trace: &Trace, day: Ms) {
        let mut changes: Vec<(Ms, usize)> = trace.changes.clone();
        changes.sort_unstable();
        let mut busy: Vec<Busy> = Vec::new();
        let mut next = 0;
        let alone = |(t, _): &(Ms, usize)| Busy {
            from: *t,
            to: *t,
            most: 1,
        };
        for (from, to) in &trace.busy {
            while let Some(change) = changes.get(next).filter(|(t, _)| t < from) {
                busy.push(alone(change));
                next += 1;
            }
            let mut counts: BTreeMap<usize, u64> = BTreeMap::new();
            while let Some((_, part)) = changes.get(next).filter(|(t, _)| t <= to) {
                *counts.entry(*part).or_default() += 1;
                next += 1;
            }
            let most = counts.into_values().max().unwrap_or(0);
            busy.push(Busy {
                from: *from,
                to: *to,
                most,
            });
        }
        busy.extend(changes[next..].iter().map(alone));
        self.busy = vec![Vec::new(); usize::try_from(self.days).unwrap_or(0) + 1];
        for b in busy {
            let number = b.from / day;
            // What is pending at a midnight is part of its state, and then counts of changes are too.
            let over = b.to / day != number || (b.from > 0 && b.from % day == 0 && b.to > b.from);
            self.odd |= over;
            if let Some(list) = self.busy.get_mut(usize::try_from(number).unwrap_or(0)) {
                list.push(Busy {
                    from: b.from % day,
                    to: b.to % day,
                    most: b.most,
                });
            }
        }
    }

    /// The number of the day that day `number` is like, counted from 0.
    fn like(&self, number: u64) -> u64 {
        match self.earlier {
            Some(earlier) if number >= self.days => {
                earlier + (number - earlier) % (self.days - earlier)
            }
            _ => number,
        }
    }

    fn busy_on(&self, number: u64) -> &[Busy] {
        let at = usize::try_from(self.like(number)).unwrap_or(0);
        self.busy.get(at).map_or(&[], Vec::as_slice)
    }

    /// When a load ran, up to `days` whole days, at least as many as were run: those that repeat go on repeating.
    pub fn runs_to(&self, id: &PartId, days: u64, day: Ms) -> Vec<(Ms, Ms)> {
        let Some(seen) = self.runs.get(id) else {
            return Vec::new();
        };
        let Some(earlier) = self.earlier.filter(|_| days > self.days) else {
            return seen.clone();
        };
        let (from, to, end) = (earlier * day, self.days * day, days * day);
        let mut runs = seen.clone();
        let mut shift = to - from;
        while from + shift < end {
            for run in seen.iter().filter(|(_, until)| *until > from) {
                let run = (run.0.max(from) + shift, (run.1 + shift).min(end));
                if run.0 >= end {
                    break;
                }
                match runs.last_mut().filter(|last| last.1 == run.0) {
                    Some(last) => last.1 = run.1,
                    None => runs.push(run),
                }
            }
            shift += to - from;
        }
        runs
    }
}

/// Tells days that are alike but for levels instead of running them, and asks now and then whether it is enough.
struct Skipping<'a> {
    plan: &'a Plan,
    enough: Option<EnoughSeen<'a>>,
    look: u64,
    steady: bool,
    mark: Option<Mark>,
    cut: bool,
    /// Duties under watch, and which of them are broken.
    watched: Watched,
    broken: Vec<bool>,
    left: bool,
}

impl Observer for Skipping<'_> {
    fn advance(&mut self, engine: &mut Engine, end: Ms) -> RunEnd {
        if self.watched.duties.is_empty() {
            return run_to(engine, end);
        }
        let (any, broken, left) = (self.watched.any, &mut self.broken, &mut self.left);
        run_watched(engine, &mut self.watched.duties, end, &mut |at, _| {
            broken[at] = true;
            *left = any || broken.iter().all(|broken| *broken);
            !*left
        })
    }

    fn midnight(&mut self, engine: &mut Engine, at: AtMidnight) -> Next {
        let (number, left) = (at.number, MOST_DAYS - at.number);
        if at.round.is_some() || left == 0 {
            return Next::Over;
        }
        if let Some(enough) = self.enough.filter(|_| number >= self.look) {
            self.look = number + LOOK;
            let runs = named(self.plan, engine.clone().into_trace(at.t).runs);
            self.cut = enough(&runs, at.t);
            if self.cut {
                return Next::Over;
            }
        }
        let mark = self.mark.take();
        let states = mark.map_or(Vec::new(), |mark| engine.skip(&mark, at.t, left));
        let day = self.plan.world.day_ms();
        if !states.is_empty() {
            let by = day.saturating_mul(states.len() as u64);
            for watch in &mut self.watched.duties {
                watch.go_over(at.t, day, by);
            }
        }
        let number = number + states.len() as u64;
        self.mark = (self.steady && number > 0).then(|| engine.mark(number * day));
        Next::Skipped(states)
    }
}

/// Runs of loads by their ids.
fn named(plan: &Plan, runs: BTreeMap<usize, Vec<(Ms, Ms)>>) -> BTreeMap<PartId, Vec<(Ms, Ms)>> {
    let runs = runs.into_iter();
    runs.map(|(part, runs)| (plan.parts[part].id.clone(), runs))
        .collect()
}

/// The whole days that a run of all these together takes, and the earlier midnight that the last then repeats.
pub fn joint_end<'a>(trials: impl Iterator<Item = &'a IslandRun>) -> (u64, Option<u64>) {
    let (mut first, mut round) = (0, 1u64);
    for trial in trials {
        let Some(earlier) = trial.earlier else {
            return (MOST_DAYS, None);
        };
        first = first.max(earlier);
        round = least_common(round, trial.days - earlier);
        if first + round > MOST_DAYS {
            return (MOST_DAYS, None);
        }
    }
    (first + round, Some(first))
}

fn least_common(a: u64, b: u64) -> u64 {
    let (mut x, mut y) = (a, b);
    while y > 0 {
        (x, y) = (y, x % y);
    }
    (a / x.max(1)).saturating_mul(b)
}

/// DayRange of several islands together: how busy they are.
#[derive(Clone, Debug, Default)]
pub struct Together {
    days: IslandRun,
}

impl Together {
    /// What the islands do together over a joint run; `None` where a contact might chatter that would not alone.
    pub fn of(trials: &[IslandRun], end: (u64, Option<u64>)) -> Option<Together> {
        let mut together = IslandRun {
            days: end.0,
            earlier: end.1,
            ..IslandRun::default()
        };
        for number in 0..=end.0 {
            let lists = trials.iter().map(|t| t.busy_on(number));
            let all: Vec<Busy> = lists.flatten().copied().collect();
            together.busy.push(merged(all)?);
        }
        Some(Together { days: together })
    }

    /// Whether `trial` may stand in for one of the islands over so many days.
    pub fn bears(&self, trial: &IslandRun, days: u64) -> bool {
        let mut seen = BTreeSet::new();
        (0..=days).all(|number| {
            let of = (self.days.like(number), trial.like(number));
            if !seen.insert(of) {
                return true;
            }
            let all = [self.days.busy_on(number), trial.busy_on(number)].concat();
            merged(all).is_some()
        })
    }
}

/// Stretches that touch made one; `None` where a contact might chatter.
fn merged(mut all: Vec<Busy>) -> Option<Vec<Busy>> {
    all.sort_unstable();
    let mut out: Vec<Busy> = Vec::new();
    for b in all {
        match out.last_mut().filter(|last| b.from <= last.to) {
            Some(last) => {
                last.to = last.to.max(b.to);
                last.most += b.most;
            }
            None => out.push(b),
        }
        if out.last().is_some_and(|last| last.most >= CHATTER) {
            return None;
        }
    }
    Some(out)
}
