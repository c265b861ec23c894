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
        let load = plan.parts.iter().position(|p| p.id == duty.part);
        Watch::of(
            (duty.only, duty.grace_ms()),
            load,
            Arc::new(applies),
            engine,
        )
    }

    /// As [`Watch::new`], of a duty of which all is known: whether the load must run only then and the grace, the load's place
    /// in the run, and the hours.
    pub fn of(
        (only, grace): (bool, Ms),
        load: Option<usize>,
        applies: Arc<Clockwork>,
        engine: &Engine,
    ) -> Watch {
        let mut watch = Watch {
            load,
            must: applies.truth(0),
            applies,
            only,
            grace,
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

    /// Days were gone over that are like the one before the midnight `t`, up to which all was seen, and took `by` in all:
    /// what began in that day began anew in the last of them.
    pub fn go_over(&mut self, t: Ms, day: Ms, by: Ms) {
        let began = self.since.filter(|since| since.saturating_add(day) > t);
        if let Some(since) = began {
            self.since = Some(since.saturating_add(by));
        }
        self.at = self.at.max(t).saturating_add(by);
        self.due = self.next_due();
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

/// Which watches are to be asked after an event. Most events turn no load and others one, and then a plan of many duties
/// costs no more than one of a few.
#[derive(Clone, Debug, Default)]
pub struct Rota {
    /// How often loads had turned when the watches were last asked; none before the first time.
    turns: Option<u64>,
    /// Loads with the places of their watches, in order.
    loads: Vec<(usize, usize)>,
    /// When each is due.
    dues: Vec<Ms>,
    /// The least of those.
    due: Ms,
}

impl Rota {
    /// Asks those that may have something to tell of the time up to `t`, as [`Watch::go`], in their order; `told` is told
    /// what they tell. The watches are the same ones each time.
    pub fn ask(
        &mut self,
        watches: &mut [Watch],
        t: Ms,
        engine: &Engine,
        told: &mut dyn FnMut(usize, (Ms, bool)),
    ) {
        let turned = &engine.live().turned;
        let since = self.turns.map(|turns| engine.load_turns() - turns);
        let is_due = t >= self.due;
        if since == Some(0) && !is_due {
            return;
        }
        // Loads that turned before the last event are not listed any more.
        let asked = match !is_due && since == Some(turned.len() as u64) {
            true => self.of(turned),
            false => (0..watches.len()).collect(),
        };
        if self.turns.is_none() {
            self.begin(watches);
        }
        for at in asked {
            let watch = &mut watches[at];
            let stretch = watch.go(t, engine);
            // What was told is told again only when something changes.
            self.dues[at] = match stretch {
                Some(_) => watch.next_boundary(watch.at).unwrap_or(Ms::MAX),
                None => watch.due,
            };
            if let Some(stretch) = stretch {
                told(at, stretch);
            }
        }
        self.turns = Some(engine.load_turns());
        self.due = self.dues.iter().copied().min().unwrap_or(Ms::MAX);
    }

    fn begin(&mut self, watches: &[Watch]) {
        let loads = watches.iter().enumerate();
        self.loads = loads.filter_map(|(at, w)| Some((w.load?, at))).collect();
        self.loads.sort_unstable();
        self.dues = vec![0; watches.len()];
    }

    /// The places of the watches of these loads.
    fn of(&self, turned: &[usize]) -> Vec<usize> {
        let mut asked = Vec::new();
        for part in turned {
            let first = self.loads.partition_point(|(load, _)| load < part);
            let own = self.loads[first..].iter();
            asked.extend(own.take_while(|(load, _)| load == part).map(|(_, at)| *at));
        }
        asked.sort_unstable();
        asked.dedup();
        asked
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
    let mut rota = Rota::default();
    let mut look = |t: Ms, engine: &Engine| {
        let mut on = true;
        rota.ask(watches, t, engine, &mut |at, stretch| {
            on &= broken(at, stretch)
        });
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
