//! Autonomy: with no more sun and wind, how long each duty still holds; from any instant, and from the worst start.
//!
//! From the instant on, sun and wind sources give nothing; steady ones go on, and so do batteries, contacts and the
//! dial. A duty holds until the first stretch begins that becomes longer than its grace; one that is in such a stretch
//! at the instant holds for no time. Each run goes on for [`DAYS`] days at the most; one that is stopped at its bound of
//! events says only up to where a duty holds. Milliseconds.

use super::check::DAYS;
use super::days::{AtMidnight, DayRange, Next, Observer, RunEnd, run_days};
use super::watch::{Watch, run_watched};
use super::words::length;
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
    pub(super) fn longer(self, more: Ms) -> Holds {
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

/// How long each duty holds from an instant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Autonomy {
    /// The instant from which sun and wind give nothing.
    pub from: Ms,
    /// The duties, in the plan's order.
    pub duties: Vec<Holds>,
}

/// A run with its duties watched, which can be left without sun and wind at any moment.
#[derive(Clone)]
pub(super) struct Watched {
    /// Where the run has come to.
    pub engine: Engine,
    watches: Vec<Watch>,
}

impl Watched {
    /// At t = 0.
    pub fn new(plan: &Plan) -> Watched {
        let engine = Engine::new(plan);
        let watch = |duty| Watch::new(plan, duty, &engine);
        let watches = plan.duties.iter().map(watch).collect();
        Watched { engine, watches }
    }

    /// Goes on through every event before `t`; whether it came there.
    #[must_use]
    pub fn go(&mut self, t: Ms) -> bool {
        run_watched(&mut self.engine, &mut self.watches, t, &mut |_, _| true) == RunEnd::Complete
    }

    /// How long each duty holds from `t`, to which the run has come, without sun and wind; a duty that holds for longer
    /// than its `most` need not be looked at to the end. Also how many events the run went through.
    pub fn holds(&self, plan: &Plan, t: Ms, most: &[Holds]) -> (Vec<Holds>, u64) {
        let mut run = self.clone();
        run.engine.still(t);
        let day = plan.world.day_ms();
        let end = t.saturating_add(day.saturating_mul(DAYS));
        let mut still = Still {
            watches: std::mem::take(&mut run.watches),
            broken: vec![None; plan.duties.len()],
            from: t,
            end,
            most,
            closed: false,
        };
        still.run(&mut run.engine, day);
        let events = run.engine.events() - self.engine.events();
        let broken = still.broken.into_iter();
        let holds = broken.map(|b| b.unwrap_or(Holds::Days(DAYS))).collect();
        (holds, events)
    }
}

/// A run without sun and wind.
struct Still<'a> {
    watches: Vec<Watch>,
    /// How long each duty holds, once that is known.
    broken: Vec<Option<Holds>>,
    /// Since when there is neither sun nor wind, and up to when is looked.
    from: Ms,
    end: Ms,
    /// A duty that holds for longer than this need not be looked at to the end.
    most: &'a [Holds],
    /// Whether no duty is left to look at.
    closed: bool,
}

impl Still<'_> {
    fn run(&mut self, engine: &mut Engine, day: Ms) {
        let days = DayRange {
            first: self.from.div_ceil(day),
            // The end is looked at whether or not it is a midnight.
            last: self.end.saturating_sub(2) / day,
            day,
        };
        let mut midnights = Midnights::of_equal_days();
        let run = run_days(engine, &mut midnights, days, self);
        match (run.end, run.round) {
            (RunEnd::Stopped(at), _) => self.stopped(at),
            (RunEnd::Enough, Some(round)) if !self.closed => {
                // Once more round, and every stretch has either ended or never will.
                let from = run.days.saturating_mul(day);
                let again = from.saturating_add(round.saturating_mul(day));
                let stop = again.saturating_add(1).min(self.end);
                match self.advance(engine, stop) {
                    RunEnd::Stopped(at) => self.stopped(at),
                    RunEnd::Complete if self.is_open(stop) && stop < self.end => self.repeats(from),
                    RunEnd::Complete | RunEnd::Enough => {}
                }
            }
            (RunEnd::Enough, _) => {}
            (RunEnd::Complete, _) => {
                if let RunEnd::Stopped(at) = self.advance(engine, self.end) {
                    self.stopped(at);
                }
            }
        }
    }

    /// Whether there is a duty of which more is to be seen after `t`.
    fn is_open(&self, t: Ms) -> bool {
        let latest = |holds: &Holds| match holds {
            Holds::For { time, .. } | Holds::Stopped(time) => self.from.saturating_add(*time),
            Holds::Days(_) | Holds::ForEver => self.end,
        };
        let mut rest = self.broken.iter().zip(self.most);
        rest.any(|(broken, most)| broken.is_none() && latest(most) >= t)
    }

    /// The run was stopped: a stretch that is open there may yet become too long.
    fn stopped(&mut self, at: Ms) {
        for (broken, watch) in self.broken.iter_mut().zip(&self.watches) {
            let seen = watch.since().map_or(at, |(since, _)| since);
            broken.get_or_insert(Holds::Stopped(seen.saturating_sub(self.from)));
        }
    }

    /// All has gone round once since the midnight `from`: what has been open all the way never ends.
    fn repeats(&mut self, from: Ms) {
        for (broken, watch) in self.broken.iter_mut().zip(&self.watches) {
            let never = watch.since().filter(|(since, _)| *since <= from);
            let never = never.map(|(since, on)| breaks(self.from, since, on));
            *broken = broken.or(never).or(Some(Holds::ForEver));
        }
    }
}

impl Observer for Still<'_> {
    fn advance(&mut self, engine: &mut Engine, end: Ms) -> RunEnd {
        let (from, broken) = (self.from, &mut self.broken);
        let mut note = |at: usize, (since, on): (Ms, bool)| {
            broken[at].get_or_insert(breaks(from, since, on));
            broken.iter().any(Option::is_none)
        };
        run_watched(engine, &mut self.watches, end, &mut note)
    }

    fn midnight(&mut self, _: &mut Engine, at: AtMidnight) -> Next {
        self.closed = !self.is_open(at.t.saturating_add(1));
        match self.closed || at.round.is_some() {
            true => Next::Over,
            false => Next::Day,
        }
    }
}

/// How long a duty holds from `from` on if the stretch that breaks it begins then.
fn breaks(from: Ms, since: Ms, on: bool) -> Holds {
    Holds::For {
        time: since.saturating_sub(from),
        on,
    }
}

/// How long each duty holds if sun and wind give nothing from `from` on.
pub fn autonomy(plan: &Plan, from: Ms) -> Autonomy {
    let mut run = Watched::new(plan);
    let most = vec![Holds::ForEver; plan.duties.len()];
    let duties = if run.go(from) {
        run.holds(plan, from, &most).0
    } else {
        vec![Holds::Stopped(0); plan.duties.len()]
    };
    Autonomy { from, duties }
}
