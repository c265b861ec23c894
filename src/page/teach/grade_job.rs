//! What the learner's plan is worth: asked for by a button, for trials are hidden until then.

use crate::page::jobs::{Job, Jobs, Subject, priority};
use crate::page::store::Store;
use crate::teach::{Grade, SaidGrade};
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// A grade and its words, or why there is none.
pub type Graded = Result<(Grade, SaidGrade), String>;

/// The grade. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct GradeJob {
    store: Store,
    job: Job<Graded>,
}

/// The grade, from the context that the page's second part provides.
pub fn use_grade() -> GradeJob {
    expect_context()
}

impl GradeJob {
    /// Not asked yet.
    pub fn start(jobs: Jobs) -> GradeJob {
        let job = Job::new(jobs, Subject::Whole, |graded, piece, _| {
            if let Answer::Graded(found) = piece {
                *graded = Some(*found);
            }
            true
        });
        GradeJob {
            store: jobs.store(),
            job,
        }
    }

    /// The job.
    pub fn job(self) -> Job<Graded> {
        self.job
    }

    /// Asks what the plan is worth as it is now.
    pub fn check(self) {
        self.store.end_preview();
        self.job.ask_anew(vec![Task::Grade], priority::AWAITED);
    }
}
