//! The page's sizes: the least that keeps every duty, and what each source and battery has to spare, both worked out
//! beside the page on request and kept while one edits.

use crate::page::jobs::{Answered, Job, Jobs, Subject, priority};
use crate::page::store::Store;
use crate::plan::{Edit, Plan};
use crate::proof::sizes::{Ask, Progress, Sizes, Spare};
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use std::sync::Arc;

/// What the search for the least has found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Least {
    /// What was found so far.
    pub progress: Option<Progress>,
    /// The answer, once it is whole.
    pub sizes: Option<Arc<Sizes>>,
}

impl Least {
    /// What would give the plan the sizes found.
    pub fn edits(&self) -> Vec<Edit> {
        match (&self.sizes, &self.progress) {
            (Some(sizes), _) => sizes.edits(),
            (None, Some(progress)) => progress.edits(),
            (None, None) => Vec::new(),
        }
    }
}

/// An answer on the least sizes.
pub type LeastAnswer = Answered<Least>;

/// What was asked of an answer.
pub fn asked(answer: &LeastAnswer) -> Ask {
    match answer.tasks.first() {
        Some(Task::Sizes(ask)) => ask.clone(),
        _ => Ask::default(),
    }
}

/// What there is to spare.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spares {
    /// Those found so far.
    pub found: Vec<Spare>,
    /// How many there will be.
    pub of: usize,
    /// How many runs it took so far.
    pub runs: u64,
}

/// The page's sizes. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct SizesJob {
    store: Store,
    least: Job<Least>,
    spares: Job<Spares>,
}

/// The page's sizes, from the context that the frame provides.
pub fn use_sizes() -> SizesJob {
    expect_context()
}

impl SizesJob {
    /// Nothing asked yet.
    pub fn start(jobs: Jobs) -> SizesJob {
        SizesJob {
            store: jobs.store(),
            least: Job::new(jobs, Subject::Document, take_least),
            spares: Job::new(jobs, Subject::Document, |spares, piece, _| {
                if let Answer::Spare(found, of, runs) = piece {
                    *spares = Some(Spares { found, of, runs });
                }
                true
            }),
        }
    }

    /// The search for the least.
    pub fn least(self) -> Job<Least> {
        self.least
    }

    /// What there is to spare.
    pub fn spares(self) -> Job<Spares> {
        self.spares
    }

    /// Begins a search.
    pub fn find_least(self, ask: Ask) {
        self.least
            .ask_anew(vec![Task::Sizes(ask)], priority::IN_SIGHT);
    }

    /// Works out what there is to spare.
    pub fn find_spares(self) {
        self.spares.ask_anew(vec![Task::Spare], priority::IN_SIGHT);
    }

    /// Gives the plan what was found, as one step of undo.
    pub fn take(self) {
        let answer = untrack(|| self.least.answer());
        let edits = answer.map(|a| a.value.edits()).unwrap_or_default();
        if !edits.is_empty() && self.store.commit("take the least sizes", edits) {
            self.store.notice("The plan has the sizes found.".into());
        }
    }
}

fn take_least(least: &mut Option<Least>, piece: Answer, _: &Plan) -> bool {
    let least = least.get_or_insert_default();
    match piece {
        Answer::Sizing(progress) => least.progress = Some(*progress),
        Answer::Sized(sizes) => least.sizes = Some(Arc::new(*sizes)),
        _ => {}
    }
    true
}
