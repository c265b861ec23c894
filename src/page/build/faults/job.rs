//! The search for the faults that explain what was read, asked of a worker.

use crate::diagnosis::Diagnosis;
use crate::page::build::readings::BaseReadings;
use crate::page::jobs::{Job, Jobs, Large, Rule, SMALL, Subject, follow, priority};
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// What came of it, or what is wrong with the readings, a line each.
pub(super) type Found = Result<Diagnosis, Vec<String>>;

/// The search. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct FaultsJob {
    job: Job<Found>,
    readings: BaseReadings,
}

/// The search, from the context that the page's second part provides.
pub(super) fn use_faults() -> FaultsJob {
    expect_context()
}

impl FaultsJob {
    /// Not asked yet. Call it in the page's root.
    pub fn start(jobs: Jobs, readings: BaseReadings) -> FaultsJob {
        let job = Job::new(jobs, Subject::Document, |found, piece, _| {
            if let Answer::Diagnosed(diagnosed) = piece {
                *found = Some(*diagnosed);
            }
            true
        });
        FaultsJob { job, readings }
    }

    /// Asks by itself, for as long as the scope lives that calls it; about a large plan it is asked by a button.
    pub(super) fn follow(self) {
        let rule = Rule {
            is_open: Signal::stored(false),
            small: SMALL,
            large: Large::WhenBlank,
            later: priority::IN_SIGHT,
        };
        follow(self.job, rule, move || self.tasks());
        on_cleanup(move || self.job.leave());
    }

    fn tasks(self) -> Vec<Task> {
        self.readings
            .entries
            .with(|entries| match entries.is_empty() {
                true => Vec::new(),
                false => vec![Task::Diagnose(entries.clone())],
            })
    }

    /// Asks about the plan and the readings as they are now.
    pub(super) fn ask(self) {
        let tasks = untrack(|| self.tasks());
        if !tasks.is_empty() {
            self.job.ask_anew(tasks, priority::AWAITED);
        }
    }

    /// The job.
    pub(super) fn job(self) -> Job<Found> {
        self.job
    }

    /// Whether the plan is so large that it is asked by a button. Tracked.
    pub(super) fn is_large(self) -> bool {
        let jobs = self.job.jobs();
        jobs.store().part_ids().with(Vec::len) > SMALL
    }

    /// Whether the answer is to other readings than those that count now. Tracked.
    pub(super) fn is_of_others(self) -> bool {
        let tasks = self.tasks();
        self.job
            .answer()
            .is_some_and(|answer| *answer.tasks != tasks)
    }
}
