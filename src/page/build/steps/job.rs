//! The order of work of the open plan, asked for while its tab is open.

use super::ticking::Ticking;
use crate::page::jobs::{Job, Jobs, Large, Rule, Shown, Subject, follow, priority};
use crate::sheet::step_list::StepList;
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// The order of work. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct StepsJob {
    ticking: Ticking,
    job: Job<StepList>,
    /// How many places show it.
    shown: Shown,
}

/// The order of work, from the context that the page's second part provides.
pub(super) fn use_steps() -> StepsJob {
    expect_context()
}

impl StepsJob {
    /// Starts to follow the document.
    pub fn start(jobs: Jobs, ticking: Ticking) -> StepsJob {
        let store = jobs.store();
        let steps = StepsJob {
            ticking,
            job: Job::new(jobs, Subject::Built, |list, piece, _| {
                if let Answer::Steps(all) = piece {
                    *list = Some(*all);
                }
                true
            }),
            shown: Shown::new(),
        };
        let has_parts = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| !plan.parts.is_empty())
        });
        let at = Memo::new(move |_| ticking.ticks().with(|ticks| ticks.at()));
        let rule = Rule {
            is_open: Signal::derive(move || steps.shown.is_any()),
            small: 0,
            large: Large::WhileOpen,
            later: priority::IN_SIGHT,
        };
        follow(steps.job, rule, move || match has_parts.get() {
            true => vec![Task::Steps(at.get())],
            false => Vec::new(),
        });
        steps
    }

    /// Has it asked for as long as the scope lasts in which this is called.
    pub(super) fn show(self) {
        self.shown.count();
    }

    /// The job.
    pub(super) fn job(self) -> Job<StepList> {
        self.job
    }

    /// Asks again after it was stopped or failed.
    pub(super) fn again(self) {
        let at = self.ticking.ticks().with_untracked(|ticks| ticks.at());
        self.job.ask_anew(vec![Task::Steps(at)], priority::IN_SIGHT);
    }
}
