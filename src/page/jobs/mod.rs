//! Long work of the page: one kind of job, one small pool of workers shared by all.
//!
//! A [`Job`] is asked about a plan and keeps the answer with the plan's fingerprint; that decides for all whether an answer
//! is out of date. [`follow`] asks by itself, after every change of a plan that is small enough. [`Pool`] has the workers.
//! Which works at what is decided in `src/worker/queue.rs`.

mod client;
mod follow;
mod job;
mod pool;
mod shown;
mod under_way;

pub use follow::{Large, Rule, SMALL, follow};
pub use job::{Answered, Job, State, Status};
pub use pool::{Pool, Reply};
pub use shown::Shown;
pub use under_way::{OutOfDate, UnderWay};

use super::store::{Fingerprint, Fingerprints, Store, fingerprint};
use crate::plan::Plan;
use crate::worker::Task;
use leptos::prelude::*;
use std::sync::Arc;

/// What goes first; lower does.
pub mod priority {
    /// What somebody waits for who has just asked for it.
    pub const AWAITED: u8 = 0;
    /// The day that board and chart show.
    pub const DAY: u8 = 0;
    /// The verdict on the duties, which is always in sight.
    pub const VERDICT: u8 = 1;
    /// What the open page of the log, or the details, ask for.
    pub const IN_SIGHT: u8 = 2;
    /// What nobody looks at yet.
    pub const LATER: u8 = 5;
    /// What is about other plans than the open one.
    pub const OTHER_PLANS: u8 = 6;
}

/// Which plan a job is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// The plan that is shown: the document or what is tried.
    Shown,
    /// The document.
    Document,
    /// The document with its site: where its parts hang and its wires are led.
    Built,
    /// The document with all that its file says, as a picture shows it.
    Whole,
}

/// What jobs share. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Jobs {
    store: Store,
    pool: Pool,
    fingerprints: Fingerprints,
}

/// What jobs share, from the context that the frame provides.
pub fn use_jobs() -> Jobs {
    expect_context()
}

impl Jobs {
    /// No job yet; workers start with the first.
    pub fn new(store: Store) -> Jobs {
        Jobs {
            store,
            pool: Pool::new(),
            fingerprints: Fingerprints::new(store),
        }
    }

    /// What is open.
    pub fn store(self) -> Store {
        self.store
    }

    /// The fingerprint of a subject as it is now. Tracked.
    pub fn fingerprint(self, of: Subject) -> Fingerprint {
        match of {
            Subject::Shown => self.fingerprints.shown.get(),
            Subject::Document => self.fingerprints.document.get(),
            Subject::Built => self.fingerprints.built.get(),
            Subject::Whole => self.fingerprints.whole.get(),
        }
    }

    /// The fingerprint of any plan.
    pub fn fingerprint_of(self, plan: &Plan) -> Fingerprint {
        fingerprint(plan)
    }

    /// Asks a question about any plan, outside of all jobs; its number is for [`Jobs::stop`]. The fingerprint tells the plan
    /// from others in all that the answer depends on. The caller looks after what is heard of it.
    pub fn ask(
        self,
        task: Task,
        about: (&Arc<Plan>, Fingerprint),
        priority: u8,
        listener: impl Fn(Reply) + 'static,
    ) -> u64 {
        self.pool.ask(task, about, priority, listener)
    }

    /// The answer to that question is no longer wanted.
    pub fn stop(self, number: u64) {
        self.pool.stop(number);
    }

    /// A subject's plan as it is now.
    pub fn plan(self, of: Subject) -> Arc<Plan> {
        match of {
            Subject::Shown => self.store.snapshot(),
            Subject::Document | Subject::Built | Subject::Whole => self.store.document(),
        }
    }

    /// How many parts a subject's plan has now.
    pub fn parts(self, of: Subject) -> usize {
        match of {
            Subject::Shown => self.store.with_shown(|plan| plan.parts.len()),
            Subject::Document | Subject::Built | Subject::Whole => {
                self.store.with_plan(|plan| plan.parts.len())
            }
        }
    }
}
