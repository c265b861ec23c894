//! The page's findings: looked for beside the page, by itself for a small plan; and the change of one of them while it is
//! tried, the plan beside it.

use crate::page::compare::Comparison;
use crate::page::jobs::{Job, Jobs, Large, Rule, SMALL, Subject, follow, priority};
use crate::page::store::LogPage;
use crate::page::store::Store;
use crate::proof::findings::{Finding, Remedy, worst_first};
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// The page's findings. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct FindingsJob {
    store: Store,
    job: Job<Vec<Finding>>,
    tried: RwSignal<Option<String>>,
    beside: Comparison,
}

/// The page's findings, from the context that the frame provides.
pub fn use_findings() -> FindingsJob {
    expect_context()
}

impl FindingsJob {
    /// Starts to follow the document.
    pub fn start(jobs: Jobs) -> FindingsJob {
        let store = jobs.store();
        let findings = FindingsJob {
            store,
            job: Job::new(jobs, Subject::Document, |list, piece, _| {
                let list: &mut Vec<Finding> = list.get_or_insert_default();
                if let Answer::Finding(finding) = piece {
                    list.push(*finding);
                    worst_first(list);
                }
                false
            }),
            tried: RwSignal::new(None),
            beside: Comparison::new(jobs),
        };
        let has_parts = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| !plan.parts.is_empty())
        });
        let rule = Rule {
            is_open: Signal::derive(move || store.log().get() == LogPage::Findings),
            small: SMALL,
            large: Large::WhenBlank,
            later: priority::LATER,
        };
        follow(findings.job, rule, move || match has_parts.get() {
            true => vec![Task::Findings],
            false => Vec::new(),
        });
        // A trial that has ended, however it did, is nothing to look at beside the plan.
        Effect::watch(
            move || store.preview(),
            move |says, _, _| {
                if says.is_none() {
                    findings.tried.set(None);
                    findings.beside.clear();
                }
            },
            false,
        );
        findings
    }

    /// The search, with what it has found, worst first.
    pub fn job(self) -> Job<Vec<Finding>> {
        self.job
    }

    /// The name of the change that is tried. Tracked.
    pub fn tried(self) -> Option<String> {
        self.tried.get()
    }

    /// The plan beside the change that is tried.
    pub fn beside(self) -> Comparison {
        self.beside
    }

    /// Looks at the plan as it is now.
    pub fn look(self) {
        self.job.ask_anew(vec![Task::Findings], priority::IN_SIGHT);
    }

    /// Shows the plan with a change, and the two side by side.
    pub fn try_it(self, remedy: &Remedy) {
        let before = self.store.document();
        let edits = remedy.edits.clone();
        if !self.store.preview_change(&remedy.name, &remedy.name, edits) {
            return;
        }
        self.tried.set(Some(remedy.name.clone()));
        self.beside.ask(before, &self.store.snapshot());
    }

    /// Makes a change, as one step of undo.
    pub fn take(self, remedy: &Remedy) {
        if self.store.commit(&remedy.name, remedy.edits.clone()) {
            self.store.notice(format!("Taken: {}.", remedy.name));
        }
    }
}
