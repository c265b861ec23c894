//! The page's losses: single ones tried beside the page, shared out to two workers, and pairs on request; and which of
//! them the board shows as a trial.

use crate::page::jobs::{Answered, Job, Jobs, Large, Pool, Rule, SMALL, Subject, follow, priority};
use crate::page::store::{LogPage, Store};
use crate::plan::Plan;
use crate::proof::{BrokenChange, Loss, LossReport, PairReport, without};
use crate::sheet::losses as words;
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use std::collections::BTreeMap;

/// Single losses, found so far or all.
#[derive(Clone, Debug, Default)]
pub struct Singles {
    /// What each breaks, in the order of all.
    pub reports: Vec<LossReport>,
    /// The place of each among all.
    places: Vec<usize>,
    /// What losses change about duties that are broken anyway, by their places among all; only of those that change
    /// something.
    changes: BTreeMap<usize, Vec<BrokenChange>>,
    /// For how many days the whole plan was run, and whether they repeat, once that is known.
    pub days: Option<(u64, bool)>,
    /// How many duties the whole plan keeps, once that is known.
    pub kept: Option<usize>,
}

impl Singles {
    fn add(&mut self, more: Vec<(usize, LossReport)>) {
        for (place, report) in more {
            let at = self.places.partition_point(|p| *p < place);
            self.places.insert(at, place);
            self.reports.insert(at, report);
        }
    }

    /// What the loss of a report changes about duties that are broken anyway; `at` counts reports.
    pub fn changes(&self, at: usize) -> &[BrokenChange] {
        let place = self.places.get(at);
        place
            .and_then(|place| self.changes.get(place))
            .map_or(&[], Vec::as_slice)
    }

    /// How many of the duties are broken without any loss; 0 until it is known.
    pub fn broken(&self, plan: &Plan) -> usize {
        self.kept
            .map_or(0, |kept| plan.duties.len().saturating_sub(kept))
    }
}

/// An answer on single losses.
pub type SinglesAnswer = Answered<Singles>;

/// The page's losses. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct LossesJob {
    store: Store,
    singles: Job<Singles>,
    pairs: Job<Vec<PairReport>>,
    has_duties: Memo<bool>,
    /// Whether batteries found empty are tried, too.
    empty: RwSignal<bool>,
    shown: RwSignal<Vec<Loss>>,
}

/// The page's losses, from the context that the frame provides.
pub fn use_losses() -> LossesJob {
    expect_context()
}

impl LossesJob {
    /// Starts to follow the document.
    pub fn start(jobs: Jobs) -> LossesJob {
        let store = jobs.store();
        let losses = LossesJob {
            store,
            singles: Job::new(jobs, Subject::Document, take_singles),
            pairs: Job::new(jobs, Subject::Document, |pairs, piece, _| {
                let pairs = pairs.get_or_insert_default();
                if let Answer::SomePairs(more) = piece {
                    pairs.extend(more);
                }
                false
            }),
            has_duties: Memo::new(move |_| {
                store.revision();
                store.with_plan(|plan| !plan.duties.is_empty())
            }),
            empty: RwSignal::new(false),
            shown: RwSignal::new(Vec::new()),
        };
        let rule = Rule {
            is_open: Signal::derive(move || store.log().get() == LogPage::Losses),
            small: SMALL,
            large: Large::WhenBlank,
            later: priority::LATER + 1,
        };
        follow(losses.singles, rule, move || {
            match losses.has_duties.get() {
                true => losses.shares(),
                false => Vec::new(),
            }
        });
        losses
    }

    /// Single losses.
    pub fn singles(self) -> Job<Singles> {
        self.singles
    }

    /// Pairs of losses.
    pub fn pairs(self) -> Job<Vec<PairReport>> {
        self.pairs
    }

    /// Whether any load has a duty. Tracked.
    pub fn has_duties(self) -> bool {
        self.has_duties.get()
    }

    /// Whether batteries found empty are tried, too. Tracked.
    pub fn tries_empty(self) -> bool {
        self.empty.get()
    }

    /// Whether batteries found empty are to be tried, too; all losses are tried so.
    pub fn try_empty(self, empty: bool) {
        self.empty.set(empty);
        self.try_all();
    }

    /// Whether the board shows the plan with just these losses. Tracked.
    pub fn shows(self, losses: &[Loss]) -> bool {
        self.store.preview().is_some() && self.shown.with(|s| s == losses)
    }

    /// Tries every single loss of the document.
    pub fn try_all(self) {
        self.singles
            .ask_anew(untrack(|| self.shares()), priority::IN_SIGHT);
    }

    /// Single losses, shared out to the workers. Tracked.
    fn shares(self) -> Vec<Task> {
        let (empty, of) = (self.empty.get(), Pool::shares());
        let share = |at| Task::Losses {
            empty,
            share: (at, of),
        };
        (0..of).map(share).collect()
    }

    /// Tries pairs of the single losses that are there, on the plan that they are of.
    pub fn try_pairs(self) {
        let answer = untrack(|| self.singles.answer());
        if let Some(answer) = answer.filter(|answer| answer.complete) {
            let task = Task::Pairs(answer.value.reports.clone());
            let plan = answer.plan.clone();
            self.pairs.ask_about(plan, vec![task], priority::IN_SIGHT);
        }
    }

    /// Shows the plan with these losses on the board, or the document again if that is what is shown.
    pub fn show(self, losses: Vec<Loss>) {
        let is_tried = untrack(|| self.store.preview()).is_some();
        if is_tried && self.shown.with_untracked(|s| *s == losses) {
            return self.store.end_preview();
        }
        let is_there = |loss: &Loss| {
            self.store.with_plan(|plan| match loss {
                Loss::Part(id) | Loss::Switch(id) | Loss::Empty(id) => plan.part(id).is_some(),
                Loss::Wire(id) => plan.wire(id).is_some(),
            })
        };
        if !losses.iter().all(is_there) {
            return self
                .store
                .notice("The plan has that no more. Try the losses again.".into());
        }
        let (says, rest) = self.store.with_plan(|plan| {
            let says: Vec<String> = losses.iter().map(|l| words::would_be(plan, l)).collect();
            let rest = (losses.iter()).fold(plan.clone(), |rest, loss| without(&rest, loss));
            (says.join(", "), rest)
        });
        self.store.preview_plan(&says, rest);
        let (mut parts, mut wires) = (Vec::new(), Vec::new());
        for loss in &losses {
            match loss {
                Loss::Part(id) | Loss::Switch(id) | Loss::Empty(id) => parts.push(id.clone()),
                Loss::Wire(id) => wires.push(id.clone()),
            }
        }
        self.store.reveal(parts, wires);
        self.shown.set(losses);
    }
}

fn take_singles(singles: &mut Option<Singles>, piece: Answer, _: &Plan) -> bool {
    let singles = singles.get_or_insert_default();
    match piece {
        Answer::SomeLosses(more) => singles.add(more),
        Answer::LossChanges(more) => singles.changes.extend(more),
        Answer::Losses {
            for_ever,
            days,
            kept,
        } => {
            singles.days = Some((days, for_ever));
            singles.kept = Some(kept);
        }
        _ => {}
    }
    false
}
