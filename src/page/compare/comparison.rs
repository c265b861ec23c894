//! Two plans side by side: worked out beside the page, shown as a table. What differs stands in bold and has a mark.

use crate::page::jobs::{Job, Jobs, Subject, UnderWay, priority};
use crate::page::store::Fingerprint;
use crate::plan::Plan;
use crate::proof::compare::ComparedRow;
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use std::sync::Arc;

/// Two plans side by side. Cheap to copy; lives as long as the scope that made it.
#[derive(Clone, Copy)]
pub struct Comparison {
    job: Job<Vec<ComparedRow>>,
    /// The fingerprints of the two plans that were asked about.
    asked: RwSignal<Option<(Fingerprint, Fingerprint)>>,
}

impl Comparison {
    /// Nothing beside nothing.
    pub fn new(jobs: Jobs) -> Comparison {
        Comparison {
            job: Job::new(jobs, Subject::Document, |rows, piece, _| {
                if let Answer::Compared(more, _) = piece {
                    *rows = Some(more);
                }
                true
            }),
            asked: RwSignal::new(None),
        }
    }

    /// Works out two plans, their single losses too.
    pub fn ask(self, first: Arc<Plan>, second: &Plan) {
        let jobs = self.job.jobs();
        let both = (jobs.fingerprint_of(&first), jobs.fingerprint_of(second));
        self.asked.set(Some(both));
        let task = Task::Compare {
            other: second.print(),
            losses: true,
        };
        self.job.ask_about(first, vec![task], priority::IN_SIGHT);
    }

    /// Whether it is of two other plans than these. Tracked.
    pub fn is_out_of_date(self, first: &Plan, second: &Plan) -> bool {
        let jobs = self.job.jobs();
        let both = (jobs.fingerprint_of(first), jobs.fingerprint_of(second));
        self.asked.get().is_some_and(|asked| asked != both)
    }

    /// Whether nothing was compared yet. Tracked.
    pub fn is_blank(self) -> bool {
        self.asked.with(Option::is_none)
    }

    /// Forgets what is there.
    pub fn clear(self) {
        self.asked.set(None);
        self.job.clear();
    }
}

/// The table of two plans, with how far it is.
#[component]
pub fn ComparisonTable(
    /// The two plans.
    of: Comparison,
    /// What the first is called.
    first: Signal<String>,
    /// What the second is called.
    second: Signal<String>,
    /// Whether only duties and what differs is shown.
    only_changed: bool,
) -> impl IntoView {
    let job = of.job;
    let all = move || {
        let answer = job.answer();
        answer.map(|a| a.value.clone()).unwrap_or_default()
    };
    let rows = move || {
        let mut shown: Vec<ComparedRow> = all()
            .into_iter()
            .filter(|r| !only_changed || r.first != r.second || is_verdict(r))
            .collect();
        if only_changed {
            // What a change does is read first.
            shown.sort_by_key(|r| r.first == r.second);
        }
        shown
            .into_iter()
            .map(|row| {
                let differs = row.first != row.second;
                view! {
                    <tr class:differs=differs>
                        <th scope="row">{row.what}</th>
                        <td>{row.first}</td>
                        <td>{differs.then(|| view! { <span class="unseen">"changed: "</span> })}{row.second}</td>
                    </tr>
                }
            })
            .collect::<Vec<_>>()
    };
    view! {
        <UnderWay status=job.status() doing="Comparing" stop=Callback::new(move |()| job.stop())/>
        <table class="sides" hidden=move || all().is_empty()>
            <thead><tr><th scope="col">"What"</th><th scope="col">{move || first.get()}</th><th scope="col">{move || second.get()}</th></tr></thead>
            <tbody>{rows}</tbody>
        </table>
    }
}

/// Whether a row says how a duty stands.
fn is_verdict(row: &ComparedRow) -> bool {
    let verdict = |text: &str| text == "kept" || text.starts_with("broken ");
    row.what == "Duties kept" || verdict(&row.first) || verdict(&row.second)
}
