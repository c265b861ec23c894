//! What a change does to the plan's duties, while it is entered: the verdicts before and after, worked out beside the page.

use crate::page::duties::{Mark, Verdicts, take_verdict, use_duties};
use crate::page::jobs::{Job, Jobs, Subject, UnderWay, priority};
use crate::plan::{Duty, Edit};
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
        let row = |(at, (duty, called)): (usize, &(Duty, String))| {
            let (old, new) = (before.verdict(at)?, after.verdict(at)?);
            let [old_said, new_said] = [(&before, old), (after, new)].map(|(of, verdict)| {
                let gap = verdict.gaps.first().filter(|_| !verdict.kept);
                let first = gap.map(|gap| format!(", first {}", of.dial.stretch(gap.from, gap.to)));
                verdict::of_duty(&of.check, verdict) + &first.unwrap_or_default()
            });
            let standing = Standing::of(usize::from(new.kept), 1);
            (old_said != new_said).then(|| view! {
                <li class:worse=old.kept && !new.kept>
                    <Mark of=standing/>
                    <span>{format!("{called}, {}: {new_said}. Now: {old_said}.", verdict::when(duty))}</span>
                </li>
            })
        };
        let rows: Vec<_> = after.duties.iter().enumerate().filter_map(row).collect();
        Some(match rows.is_empty() {
            true => view! { <p>"No duty changes by it."</p> }.into_any(),
            false => view! { <ul>{rows}</ul> }.into_any(),
        })
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
