//! The page's search for what lets a load start at another time: one at a time, asked for by hand.

use crate::page::jobs::{Job, Jobs, Subject, priority};
use crate::proof::start_by::{NoStart, StartWish};
use crate::worker::{Answer, StartFound, Task};
use leptos::prelude::*;

/// What came of a search so far.
type Outcome = Result<StartFound, NoStart>;

/// The page's search. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct StartByJob {
    job: Job<Outcome>,
    wish: RwSignal<Option<StartWish>>,
}

/// The page's search, from the context that the frame provides.
pub fn use_start_by() -> StartByJob {
    expect_context()
}

impl StartByJob {
    /// A search that has not begun.
    pub fn start(jobs: Jobs) -> StartByJob {
        StartByJob {
            job: Job::new(jobs, Subject::Document, |found, piece, _| {
                if let Answer::StartBy(outcome, _) = piece {
                    *found = Some(*outcome);
                }
                true
            }),
            wish: RwSignal::new(None),
        }
    }

    /// The search, with what it has found.
    pub fn job(self) -> Job<Outcome> {
        self.job
    }

    /// Looks for changes.
    pub fn look(self, wish: StartWish) {
        self.wish.set(Some(wish.clone()));
        self.job
            .ask_anew(vec![Task::StartBy(wish)], priority::IN_SIGHT);
    }

    /// What was last asked for. Tracked.
    pub fn wish(self) -> Option<StartWish> {
        self.wish.get()
    }
}
