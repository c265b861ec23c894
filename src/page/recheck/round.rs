//! One round: the kept plans that a change has to do with, read and proven one after the other.

use super::Rechecks;
use crate::page::jobs::{Reply, priority};
use crate::plan::Plan;
use crate::proof::recheck::Side;
use crate::read::Faults;
use crate::sheet::numbers_changed;
use crate::sheet::recheck_report::kept::{PlanOutcome, PlanSection, Report, Source};
use crate::shelf::{Entry, Shelf};
use crate::worker::{Answer, GivenNumbers, Task};
use leptos::prelude::*;
use std::collections::VecDeque;
use std::rc::Rc;
use std::sync::Arc;

/// How many plans are proven in one round; of more, those that were opened last.
const BOUND: usize = 200;

/// Which kept plans numbers have to do with.
pub(super) enum Whom {
    /// Those that follow the world of this id.
    Followers(String),
    /// Those that use the built-in book of this name.
    OnBuiltIn(&'static str),
    /// Those whose book has this name, but the one under this key.
    OthersWithBook {
        /// The book's name.
        name: String,
        /// The key of the plan that it is of.
        but: String,
    },
}

/// Numbers, and the plans that they have to do with.
pub(super) struct Given {
    /// Which plans.
    pub whom: Whom,
    /// The numbers.
    pub numbers: GivenNumbers,
}

/// A plan that waits: which of the given numbers it is to be proven on, and its key.
type Waiting = (usize, String);

/// A round under way, or the last.
#[derive(Default)]
pub(super) struct Round {
    /// Which round it is: what an earlier one still hears is void.
    number: u64,
    given: Rc<Vec<Given>>,
    waiting: VecDeque<Waiting>,
    /// The question under way.
    asked: Option<u64>,
    /// What is to be done when it is over.
    over: Option<Box<dyn FnOnce()>>,
}

impl Whom {
    /// The keys of the plans in question as far as the shelf knows, those that were opened last first.
    fn keys(&self, shelf: &Shelf) -> Vec<String> {
        let is = |entry: &&Entry| match self {
            Whom::Followers(id) => entry.facts.follows.as_ref() == Some(id),
            Whom::OnBuiltIn(name) => entry.facts.book == *name,
            Whom::OthersWithBook { name, but } => entry.facts.book == *name && entry.key != *but,
        };
        let mut found: Vec<&Entry> = shelf.there().filter(is).collect();
        found.sort_by_key(|entry| std::cmp::Reverse(entry.own.opened));
        found.into_iter().map(|entry| entry.key.clone()).collect()
    }

    /// Whether a plan, now that it is read, is one of them: a book of a built-in one's name may be the plan's own.
    fn has(&self, plan: &Plan) -> bool {
        match self {
            Whom::OnBuiltIn(name) => plan.book.is_built_in() && plan.book.book.name == *name,
            Whom::OthersWithBook { name, .. } => plan.book.book.name == *name,
            Whom::Followers(id) => plan.follows.as_ref().is_some_and(|f| f.world == *id),
        }
    }
}

impl Rechecks {
    /// Begins a round in place of one that is under way. Where no plan is in question nothing is said, but of a book that
    /// somebody asked for.
    pub(super) fn begin(
        self,
        source: Source,
        side: Side,
        given: Vec<Given>,
        over: impl FnOnce() + 'static,
    ) {
        let mut waiting: VecDeque<Waiting> = self.keeper.shelf().with_untracked(|shelf| {
            let keys = |(at, given): (usize, &Given)| {
                let keys = given.whom.keys(shelf);
                keys.into_iter()
                    .map(move |key| (at, key))
                    .collect::<Vec<_>>()
            };
            given.iter().enumerate().flat_map(keys).collect()
        });
        if waiting.is_empty() && !matches!(source, Source::OwnBook(_)) {
            return over();
        }
        self.drop_question();
        let report = Report::begun(source, side, waiting.len());
        waiting.truncate(BOUND);
        let number = self.round.with_value(|round| round.number) + 1;
        self.round.set_value(Round {
            number,
            given: Rc::new(given),
            waiting,
            asked: None,
            over: Some(Box::new(over)),
        });
        self.report.set(Some(report));
        self.is_away.set(false);
        self.next(number);
    }

    /// Stops what is under way; what is proven stays.
    pub(super) fn stop(self) {
        self.drop_question();
        self.round.update_value(|round| {
            round.number += 1;
            round.waiting.clear();
        });
        self.finish();
    }

    fn drop_question(self) {
        let asked = self.round.try_update_value(|round| round.asked.take());
        if let Some(number) = asked.flatten() {
            self.jobs.stop(number);
        }
    }

    fn is_current(self, number: u64) -> bool {
        self.round.with_value(|round| round.number == number)
    }

    /// Reads the next plan that waits.
    fn next(self, number: u64) {
        if !self.is_current(number) {
            return;
        }
        let next = self
            .round
            .try_update_value(|round| round.waiting.pop_front());
        match next.flatten() {
            Some((given, key)) => {
                let of = key.clone();
                self.keeper.kept(&of, move |found| {
                    if self.is_current(number) {
                        self.take(number, given, key, found);
                    }
                });
            }
            None => self.finish(),
        }
    }

    /// Has a plan that was read proven, where it is in question.
    fn take(self, number: u64, given: usize, key: String, found: Option<Result<Plan, Faults>>) {
        let plan = match found {
            Some(Ok(plan)) => plan,
            Some(Err(faults)) => {
                let faults = faults.iter().map(numbers_changed::fault).collect();
                return self.tell(number, key, Some(PlanOutcome::Unreadable(faults)));
            }
            None => return self.tell(number, key, None),
        };
        let all = self.round.with_value(|round| round.given.clone());
        let Some(given) = all.get(given).filter(|given| given.whom.has(&plan)) else {
            return self.tell(number, key, None);
        };
        let side = (self.report).with_untracked(|report| report.as_ref().map(|r| r.side));
        let task = Task::Recheck {
            given: given.numbers.clone(),
            side: side.unwrap_or(Side::After),
        };
        let fingerprint = self.jobs.fingerprint_of(&plan);
        let hear = move |reply| {
            let outcome = match reply {
                Reply::Piece(Answer::Rechecked(told)) => match *told {
                    Ok(told) => PlanOutcome::Proven(told),
                    Err(reasons) => PlanOutcome::Refused(reasons),
                },
                Reply::Failed(why) => PlanOutcome::Failed(why),
                Reply::Piece(_) | Reply::Anew => return,
            };
            if self.is_current(number) {
                self.tell(number, key.clone(), Some(outcome));
            }
        };
        let about = (&Arc::new(plan), fingerprint);
        let asked = (self.jobs).ask(task, about, priority::OTHER_PLANS, hear);
        self.round.update_value(|round| round.asked = Some(asked));
    }

    /// Puts what became of a plan into the report, and goes on with the next.
    fn tell(self, number: u64, key: String, outcome: Option<PlanOutcome>) {
        let title = self.keeper.shelf().with_untracked(|shelf| {
            let entry = shelf.entry(&key);
            entry.map(Entry::name).unwrap_or_default()
        });
        let section = outcome.map(|outcome| PlanSection {
            key,
            title,
            outcome,
        });
        self.report.update(|report| {
            if let Some(report) = report {
                report.take(section);
            }
        });
        self.next(number);
    }

    /// The round is over, at its end or stopped.
    fn finish(self) {
        self.report.update(|report| {
            // Of books that turned out to be the plans' own there is nothing to tell.
            let is_blank = |r: &Report| r.all() == 0 && !matches!(r.source, Source::OwnBook(_));
            if report.as_ref().is_some_and(is_blank) {
                *report = None;
            }
            if let Some(report) = report {
                report.is_over = true;
            }
        });
        let over = self.round.try_update_value(|round| round.over.take());
        if let Some(over) = over.flatten() {
            over();
        }
    }
}
