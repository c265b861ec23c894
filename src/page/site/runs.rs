//! What the site's panes share: the document's site, and the runs of all wires in it, kept in step with the document.
//!
//! Runs are looked for in a worker after every change; until all are there those of before stay.

use crate::page::jobs::{Job, Jobs, Large, Rule, Status, Subject, follow, priority};
use crate::site::Site;
use crate::worker::{Answer, Task};
use crate::works::OnSite;
use leptos::prelude::*;
use std::sync::Arc;

/// What the site's panes share. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct SiteRuns {
    drawn: Memo<Option<Arc<Site>>>,
    storey: Memo<u8>,
    job: Job<Arc<OnSite>>,
    on_site: Memo<Option<Arc<OnSite>>>,
}

/// What the site's panes share, from the context that the second part provides.
pub fn use_site() -> SiteRuns {
    expect_context()
}

impl SiteRuns {
    /// Starts to follow the document.
    pub fn start(jobs: Jobs) -> SiteRuns {
        let store = jobs.store();
        let drawn = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| plan.site.clone())
        });
        let storey = Memo::new(move |_| {
            store.site_changes();
            store.with(|editor| editor.site().storey())
        });
        let job: Job<Arc<OnSite>> = Job::new(jobs, Subject::Built, |on_site, piece, plan| {
            if let Answer::OnSite(Some(found)) = piece {
                *on_site = OnSite::found(plan, *found).map(Arc::new);
            }
            true
        });
        let rule = Rule {
            is_open: Signal::derive(|| true),
            small: usize::MAX,
            large: Large::Always,
            later: priority::IN_SIGHT,
        };
        // A bare site asks nothing: no worker is fetched for it.
        let is_built = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| plan.site.is_some() && !plan.parts.is_empty())
        });
        follow(job, rule, move || match is_built.get() {
            true => {
                let before = untrack(|| job.answer());
                let known = before.map(|before| before.value.still_known(&store.document()));
                vec![Task::OnSite(known.unwrap_or_default())]
            }
            false => Vec::new(),
        });
        let on_site = Memo::new(move |_| job.answer().map(|answer| answer.value.clone()));
        SiteRuns {
            drawn,
            storey,
            job,
            on_site,
        }
    }

    /// The document's site.
    pub fn drawn(self) -> Memo<Option<Arc<Site>>> {
        self.drawn
    }

    /// The storey shown.
    pub fn storey(self) -> Memo<u8> {
        self.storey
    }

    /// How the search for the runs stands.
    pub fn status(self) -> Status {
        self.job.status()
    }

    /// Looks for the runs again after that was stopped or failed.
    pub fn again(self) {
        let tasks = vec![Task::OnSite(Default::default())];
        self.job.ask_anew(tasks, priority::IN_SIGHT);
    }

    /// The plan in its site, as last found. Tracked.
    pub fn on_site(self) -> Option<Arc<OnSite>> {
        self.on_site.get()
    }
}
