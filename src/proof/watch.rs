//! A duty watched while a plan runs: the first stretch that is longer than its grace. Milliseconds.
//!
//! What a check finds afterwards from a record, this finds as soon as it can be known.

use super::days::{RunEnd, run_observed};
use crate::plan::{Duty, Plan};
use crate::quantity::Ms;
use crate::run::{Clockwork, Engine};
use std::sync::Arc;

/// One duty under watch.
#[derive(Clone, Debug)]
pub struct Watch {
    load: Option<usize>,
    /// Shared: a watch is copied with its run.
    applies: Arc<Clockwork>,
    only: bool,
    grace: Ms,
    /// Up to here all is seen.
    at: Ms,
    /// Before this moment there is nothing to see while the load does as it does.
    due: Ms,
    runs: bool,
    must: bool,
    /// When the stretch began in which the duty is not done, if one is open.
    since: Option<Ms>,
}

impl Watch {
    /// Begins to watch the duty at t = 0 of a run.
    pub fn new(plan: &Plan, duty: &Duty, engine: &Engine) -> Watch {
        let applies = Clockwork::of_duty(duty.when, &plan.world, &plan.world.sky());
        let mut watch = Watch {
            load: plan.parts.iter().position(|p| p.id == duty.part),
            must: applies.truth(0),
            applies: Arc::new(applies),
            only: duty.only,
            grace: duty.grace_ms(),
            at: 0,
            due: 0,
            runs: false,
            since: None,
        };
        watch.runs = watch.runs_in(engine);
        watch.begin();
        watch
    }

    fn runs_in(&self, engine: &Engine) -> bool {
        self.load.is_some_and(|load| engine.live().runs[load])
    }

    fn begin(&mut self) {
        let broken = match self.must {
            true => !self.runs,
            false => self.only && self.runs,
        };
        self.since = broken.then_some(self.at);
    }

    /// Up to `to` the load did as before; from there it does as `engine` says. Answers when the first stretch began that
    /// has become longer than the grace, and whether the load wrongly runs in it.
    pub fn go(&mut self, to: Ms, engine: &Engine) -> Option<(Ms, bool)> {
        if to < self.due && self.runs_in(engine) == self.runs {
            return None;
        }
        let mut broken = None;
        loop {
            let next = self.applies.next(self.at).map_or(to, |next| next.min(to));
            // Nothing is seen where no time goes by: a stretch may end in this very millisecond.
            let long = |since: &Ms| next > self.at && next.saturating_sub(*since) > self.grace;
            broken = broken.or(self.since.filter(long).map(|since| (since, self.runs)));
            self.at = next.max(self.at);
            let must = self.applies.truth(self.at);
            let runs = if self.at == to {
                self.runs_in(engine)
            } else {
                self.runs
            };
            if (must, runs) != (self.must, self.runs) {
                (self.must, self.runs) = (must, runs);
                self.begin();
            }
            if self.at >= to {
                self.due = self.next_due();
                return broken;
            }
        }
    }

    /// When the duty next starts or stops applying, or an open stretch becomes too long.
    fn next_due(&self) -> Ms {
        let long = |since: Ms| since.saturating_add(self.grace).saturating_add(1);
        let long = self.since.map_or(Ms::MAX, long);
        self.applies.next(self.at).map_or(long, |at| at.min(long))
    }

    /// When the duty next starts or stops applying after `t`.
    pub fn next_boundary(&self, t: Ms) -> Option<Ms> {
        self.applies.next(t)
    }

    /// Since when the stretch that is open now is, if one is, and whether the load wrongly runs in it.
    pub fn since(&self) -> Option<(Ms, bool)> {
        Some((self.since?, self.runs))
    }
}

/// Runs on to `end`, which is left out, with the duties watched up to there, or up to where the run was stopped;
/// `broken` is told of each stretch that has become too long, and answers whether to go on.
pub fn run_watched(
    engine: &mut Engine,
    watches: &mut [Watch],
    end: Ms,
    broken: &mut dyn FnMut(usize, (Ms, bool)) -> bool,
) -> RunEnd {
    let mut look = |t: Ms, engine: &Engine| {
        let mut on = true;
        for (at, watch) in watches.iter_mut().enumerate() {
            if let Some(stretch) = watch.go(t, engine) {
                on &= broken(at, stretch);
            }
        }
        on
    };
    let ended = run_observed(engine, end, &mut |engine| look(engine.now(), engine));
    let seen_to = match ended {
        RunEnd::Enough => return ended,
        RunEnd::Complete => end,
        RunEnd::Stopped(at) => at.min(end),
    };
    if look(seen_to, engine) {
        ended
    } else {
        RunEnd::Enough
    }
}
