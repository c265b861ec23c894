//! The explanation of the document, asked for while something shows it.

use crate::explain::SaidExplanation;
use crate::page::jobs::{Job, Jobs, Large, Rule, Shown, Subject, follow, priority};
use crate::page::store::LogPage;
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// The explanation. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct ExplainJob {
    job: Job<SaidExplanation>,
    /// Whether *Why is it here?* is unfolded, which stays from part to part.
    why: RwSignal<bool>,
    /// How many places among the details show it.
    shown: Shown,
}

/// The explanation, from the context that the page's second part provides.
pub fn use_explanation() -> ExplainJob {
    expect_context()
}

impl ExplainJob {
    /// Starts to follow the document.
    pub fn start(jobs: Jobs) -> ExplainJob {
        let store = jobs.store();
        let explanation = ExplainJob {
            job: Job::new(jobs, Subject::Document, |said, piece, _| {
                if let Answer::Explained(all) = piece {
                    *said = Some(*all);
                }
                true
            }),
            why: RwSignal::new(false),
            shown: Shown::new(),
        };
        let has_parts = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| !plan.parts.is_empty())
        });
        let rule = Rule {
            is_open: Signal::derive(move || {
                let is_asked = explanation.why.get() && explanation.shown.is_any();
                is_asked || store.log().get() == LogPage::Explain
            }),
            small: 0,
            large: Large::WhileOpen,
            later: priority::IN_SIGHT,
        };
        follow(explanation.job, rule, move || match has_parts.get() {
            true => vec![Task::Explain],
            false => Vec::new(),
        });
        explanation
    }

    /// The job.
    pub fn job(self) -> Job<SaidExplanation> {
        self.job
    }

    /// Asks again after it was stopped or failed.
    pub fn again(self) {
        self.job.ask_anew(vec![Task::Explain], priority::IN_SIGHT);
    }

    /// Whether *Why is it here?* is unfolded.
    pub fn why(self) -> RwSignal<bool> {
        self.why
    }

    /// Counts a place among the details, for as long as the scope lasts in which this is called.
    pub fn show(self) {
        self.shown.count();
    }
}
