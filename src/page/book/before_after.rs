//! What a change does to the plan's duties, while it is entered: the verdicts before and after, worked out beside the page.

use crate::page::duties::{Verdicts, take_verdict, use_duties};
use crate::page::jobs::{Job, Jobs, Subject, UnderWay, priority};
use crate::plan::Edit;
use crate::sheet::verdict::{self, Standing};
use crate::worker::Task;
use leptos::prelude::*;
use std::sync::Arc;

/// A change that is tried. Cheap to copy.
#[derive(Clone, Copy)]
pub(super) struct Trial {
    job: Job<Verdicts>,
    is_on: RwSignal<bool>,
}

impl Trial {
    /// Nothing is tried yet.
    pub fn start(jobs: Jobs) -> Trial {
        Trial {
            job: Job::new(jobs, Subject::Document, take_verdict),
            is_on: RwSignal::new(false),
        }
    }

    /// Tries these edits.
    pub fn show(self, edits: Vec<Edit>) {
        let store = self.job.jobs().store();
        let mut plan = store.with_plan(Clone::clone);
        if edits.is_empty() || plan.duties.is_empty() || plan.apply_all(edits).is_err() {
            return self.end();
        }
        self.is_on.set(true);
        self.job
            .ask_about(Arc::new(plan), vec![Task::Duties], priority::IN_SIGHT);
    }

    /// Nothing is tried any more.
    pub fn end(self) {
        if self.is_on.try_get_untracked() == Some(true) {
            self.is_on.set(false);
            self.job.clear();
        }
    }
}

/// The verdicts before and after.
#[component]
pub(super) fn BeforeAfter(of: Trial) -> impl IntoView {
    let duties = use_duties();
    let rows = move || {
        let (before, answer) = (duties.verdicts()?, of.job.answer()?);
        let after = &answer.value;
        let row = |(at, (duty, called)): (usize, &(crate::plan::Duty, String))| {
            let (old, new) = (before.verdict(at)?, after.verdict(at)?);
            let (said, says) = (
                verdict::of_duty(&before.check, old),
                verdict::of_duty(&after.check, new),
            );
            let gap = new.gaps.first().filter(|_| !new.kept);
            let first = gap.map(|gap| format!(", first {}", after.dial.stretch(gap.from, gap.to)));
            let turn = match (old.kept, new.kept) {
                (true, false) => "worse",
                (false, true) => "better",
                _ => "same",
            };
            let standing = Standing::of(usize::from(new.kept), 1);
            Some(view! {
                <li class=turn>
                    <crate::page::duties::Mark of=standing/>
                    {format!("{called}, {}: {said}; then {says}{}", verdict::when(duty), first.unwrap_or_default())}
                </li>
            })
        };
        let rows: Vec<_> = after.duties.iter().enumerate().filter_map(row).collect();
        Some(view! { <ul>{rows}</ul> })
    };
    view! {
        <Show when=move || of.is_on.get()>
            <section class="before-after" aria-label="What this changes" aria-live="polite">
                <h3>"With what you are entering"</h3>
                <UnderWay status=of.job.status() doing="Checking the duties with it" stop=Callback::new(move |()| of.end())/>
                {rows}
            </section>
        </Show>
    }
}
