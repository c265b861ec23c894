//! The text that the next step of the walk could have, asked for while the page is open on which walks are made.

use crate::page::jobs::{Job, Jobs, Large, Rule, Subject, follow, priority};
use crate::page::store::LogPage;
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// The text. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub(in crate::page) struct StepTextJob {
    job: Job<String>,
}

/// The text, from the context that the page's second part provides.
pub(super) fn use_step_text() -> StepTextJob {
    expect_context()
}

impl StepTextJob {
    /// Starts to follow the document.
    pub(in crate::page) fn start(jobs: Jobs) -> StepTextJob {
        let store = jobs.store();
        let job = Job::new(jobs, Subject::Document, |text, piece, _| {
            if let Answer::StepText(said) = piece {
                *text = Some(said);
            }
            true
        });
        let is_open = move || store.log().get() == LogPage::Walk && store.walk_place().is_none();
        let rule = Rule {
            is_open: Signal::derive(is_open),
            small: 0,
            large: Large::WhileOpen,
            later: priority::IN_SIGHT,
        };
        follow(job, rule, move || {
            if !is_open() {
                return Vec::new();
            }
            store.revision();
            let before = store.with_plan(|plan| {
                let changes = plan.since_last_step();
                (!changes.is_empty()).then(|| plan.walked().print())
            });
            before.map(Task::StepText).into_iter().collect()
        });
        StepTextJob { job }
    }

    /// The text, once it is there for the board as it is now. Tracked.
    pub(super) fn text(self) -> Option<String> {
        let answer = self.job.answer()?;
        (!self.job.is_out_of_date()).then(|| answer.value.clone())
    }

    /// Whether it is on its way. Tracked.
    pub(super) fn is_coming(self) -> bool {
        self.job.status().is_running()
    }
}
