//! What was found out about contacts, kept while one edits, with the plan and the moment that it is of.

use crate::page::store::Store;
use crate::page::worker::{Answer, Clerk, Task};
use crate::plan::Plan;
use crate::proof::{Findings, LogicTable, Row};
use crate::quantity::Ms;
use leptos::prelude::*;
use std::sync::Arc;

/// What stands in the book.
#[derive(Clone, Debug)]
pub struct Told {
    /// The plan that it is of.
    pub plan: Arc<Plan>,
    /// Which of the document's changes that was: [`Store::revision`].
    pub revision: u64,
    /// The columns.
    pub table: LogicTable,
    /// The rows so far.
    pub rows: Vec<Row>,
    /// What comes of changing inputs in turn, once that is known.
    pub found: Option<Findings>,
}

/// The page's book of contacts. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct LogicBook {
    store: Store,
    told: RwSignal<Option<Told>>,
    progress: RwSignal<Option<(u64, u64)>>,
    failed: RwSignal<Option<String>>,
    clerk: Clerk,
}

/// The book, from the context that the frame provides.
pub fn use_logic() -> LogicBook {
    expect_context()
}

impl LogicBook {
    /// An empty book.
    pub fn new(store: Store) -> LogicBook {
        let book = LogicBook {
            store,
            told: RwSignal::new(None),
            progress: RwSignal::new(None),
            failed: RwSignal::new(None),
            clerk: Clerk::new(),
        };
        // Another plan has other contacts.
        Effect::new(move |before: Option<u64>| {
            let opened = store.opened();
            if before.is_some_and(|b| b != opened) {
                book.stop();
                book.told.set(None);
            }
            opened
        });
        book
    }

    /// What stands in it, as a signal.
    pub fn told(self) -> RwSignal<Option<Told>> {
        self.told
    }

    /// How far it is, and of how much, while it is worked out. Tracked.
    pub fn progress(self) -> Option<(u64, u64)> {
        self.progress.get()
    }

    /// Why there is no answer. Tracked.
    pub fn failed(self) -> Option<String> {
        self.failed.get()
    }

    /// Whether what stands in it is of an earlier plan. Tracked.
    pub fn is_old(self) -> bool {
        let of = self.told.with(|t| t.as_ref().map(|t| t.revision));
        of.is_some_and(|of| of != self.store.revision())
    }

    /// Stops what is being worked out; what was found so far stays.
    pub fn stop(self) {
        self.clerk.stop();
        self.progress.set(None);
    }

    /// Works out what contacts do at the instant `t` of the document.
    pub fn work_out(self, t: Ms) {
        self.stop();
        self.failed.set(None);
        self.progress.set(Some((0, 1)));
        let revision = untrack(|| self.store.revision());
        let plan = Arc::new(self.store.with_plan(Plan::clone));
        let of = plan.clone();
        let change = move |f: &dyn Fn(&mut Told)| self.told.update(|t| t.iter_mut().for_each(f));
        let hear = move |piece: Result<Answer, String>| match piece {
            Ok(Answer::Progress(done, of)) => self.progress.set(Some((done, of))),
            Ok(Answer::LogicTable(table)) => self.told.set(Some(Told {
                plan: of.clone(),
                revision,
                table,
                rows: Vec::new(),
                found: None,
            })),
            Ok(Answer::LogicRows(rows)) => change(&|t| t.rows.extend(rows.iter().cloned())),
            Ok(Answer::Logic(found)) => {
                change(&|t| t.found = Some(found.clone()));
                self.progress.set(None);
            }
            Ok(_) => {}
            Err(why) => {
                self.progress.set(None);
                self.failed.set(Some(why));
            }
        };
        self.clerk.ask(&plan, Task::Logic(t), hear);
    }
}
