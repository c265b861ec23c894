//! The page's logic: what contacts do at one moment of the document, worked out beside the page and kept while one edits.

use crate::page::jobs::{Answered, Job, Jobs, Large, Rule, Subject, follow, priority};
use crate::page::store::LogPage;
use crate::plan::Plan;
use crate::proof::{Exploration, LogicRow, LogicTable};
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// What contacts do.
#[derive(Clone, Debug)]
pub struct Logic {
    /// The columns.
    pub table: LogicTable,
    /// The rows so far.
    pub rows: Vec<LogicRow>,
    /// What comes of changing inputs in turn, once that is known.
    pub found: Option<Exploration>,
}

/// An answer on contacts.
pub type LogicAnswer = Answered<Logic>;

/// The page's logic. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct LogicJob {
    job: Job<Logic>,
}

/// The page's logic, from the context that the frame provides.
pub fn use_logic() -> LogicJob {
    expect_context()
}

impl LogicJob {
    /// Nothing asked yet; opened, its page asks for the moment shown.
    pub fn start(jobs: Jobs) -> LogicJob {
        let store = jobs.store();
        let moment = store.moment();
        let has_parts = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| !plan.parts.is_empty())
        });
        let job = Job::new(jobs, Subject::Document, take);
        let rule = Rule {
            is_open: Signal::derive(move || store.log().get() == LogPage::Logic),
            small: 0,
            large: Large::WhenBlank,
            later: priority::IN_SIGHT,
        };
        follow(job, rule, move || match has_parts.get() {
            true => vec![Task::Logic(moment.get_untracked())],
            false => Vec::new(),
        });
        LogicJob { job }
    }

    /// The job itself.
    pub fn job(self) -> Job<Logic> {
        self.job
    }

    /// Works out what contacts do at the moment shown.
    pub fn work_out(self) {
        let moment = self.job.jobs().store().moment().get_untracked();
        self.job
            .ask_anew(vec![Task::Logic(moment)], priority::IN_SIGHT);
    }
}

fn take(logic: &mut Option<Logic>, piece: Answer, _: &Plan) -> bool {
    match piece {
        Answer::LogicTable(table) => {
            *logic = Some(Logic {
                table,
                rows: Vec::new(),
                found: None,
            });
        }
        Answer::LogicRows(rows) => logic.iter_mut().for_each(|l| l.rows.extend(rows.clone())),
        Answer::Logic(found) => logic.iter_mut().for_each(|l| l.found = Some(found.clone())),
        _ => {}
    }
    false
}
