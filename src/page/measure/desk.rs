//! What the parts of the window share: the table, where it is kept, and the job that measures it.

use crate::fit::{Fit, Readings, read_readings};
use crate::page::jobs::{Job, Jobs, Subject, priority};
use crate::page::keeping::browser;
use crate::page::store::Store;
use crate::sheet::readings::{ReadingKind, ReadingTable};
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use std::time::Duration;
use wasm_bindgen::JsCast;

/// Under which name the browser keeps the table.
const KEPT: &str = "readings";
/// Up to so many readings are measured by themselves after an entry.
pub(super) const BY_ITSELF: usize = 30;
/// So long after the last entry, in milliseconds.
const REST: u64 = 300;

/// What a worker answers.
type Outcome = Result<Fit, Vec<String>>;

/// What came of readings.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Measured {
    /// The world.
    pub(super) fit: Fit,
    /// The readings it was measured from.
    pub(super) readings: Readings,
    /// Their text, which is what was asked.
    text: String,
}

/// What the parts of the window share. Cheap to copy.
#[derive(Clone, Copy)]
pub(super) struct Desk {
    pub(super) store: Store,
    /// The readings as they are typed.
    pub(super) table: RwSignal<ReadingTable>,
    /// The rows that count, in the order of the readings that they make.
    pub(super) counted: Memo<Vec<u64>>,
    /// What stood there before a file, the example or nothing took its place.
    pub(super) before: RwSignal<Option<ReadingTable>>,
    /// Why a file was not taken, a line each.
    pub(super) refused: RwSignal<Vec<String>>,
    /// Why the browser does not keep the table.
    pub(super) unkept: RwSignal<Option<String>>,
    pub(super) job: Job<Outcome>,
    /// The last answer, of these readings or earlier ones.
    pub(super) measured: Memo<Option<Measured>>,
    /// Whether the last answer is of the readings as they are now.
    pub(super) is_fresh: Memo<bool>,
    /// What the readings of the last answer are called.
    pub(super) names: Memo<Vec<String>>,
    /// The rows that contradict others.
    contradicting: Memo<Vec<u64>>,
    text: Memo<String>,
}

impl Desk {
    /// The table as it was left, and a job that follows it.
    pub(super) fn start(jobs: Jobs) -> Desk {
        let kept = browser::read(KEPT).and_then(|text| ReadingTable::of_draft(&text));
        let table = RwSignal::new(kept.unwrap_or_default());
        let job = Job::new(jobs, Subject::Document, |found, piece, _| {
            if let Answer::Fitted(outcome) = piece {
                *found = Some(*outcome);
            }
            true
        });
        let text = Memo::new(move |_| table.with(ReadingTable::to_text));
        let measured = Memo::new(move |_| {
            let answer = job.answer()?;
            let Some(Task::Fit(text)) = answer.tasks.first() else {
                return None;
            };
            Some(Measured {
                fit: answer.value.clone().ok()?,
                readings: read_readings(text).ok()?,
                text: text.clone(),
            })
        });
        let is_fresh = Memo::new(move |_| {
            text.with(|now| measured.with(|m| m.as_ref().is_some_and(|m| m.text == *now)))
        });
        let counted = Memo::new(move |_| table.with(ReadingTable::counted));
        let desk = Desk {
            store: jobs.store(),
            table,
            counted,
            before: RwSignal::new(None),
            refused: RwSignal::new(Vec::new()),
            unkept: RwSignal::new(None),
            job,
            measured,
            is_fresh,
            names: Memo::new(move |before: Option<&Vec<String>>| match is_fresh.get() {
                true => names(table, counted),
                // They were called so when that was asked.
                false => before.cloned().unwrap_or_default(),
            }),
            contradicting: Memo::new(move |before: Option<&Vec<u64>>| {
                let rows = counted.get();
                match (is_fresh.get(), before) {
                    (true, _) => contradicting(&rows, measured),
                    // Marks that come again in a moment do not go meanwhile.
                    (false, Some(marks)) if rows.len() <= BY_ITSELF => marks.clone(),
                    _ => Vec::new(),
                }
            }),
            text,
        };
        desk.follow();
        desk
    }

    /// Measures by itself, a moment after the last entry that changes what is read.
    fn follow(self) {
        Effect::new(move |before: Option<Option<TimeoutHandle>>| {
            before.flatten().inspect(TimeoutHandle::clear);
            self.text.track();
            match self.counted.with(Vec::len) {
                0 => self.job.clear(),
                n if n <= BY_ITSELF => {
                    let ask = move || self.job.ask(self.tasks(), priority::AWAITED);
                    return set_timeout_with_handle(ask, Duration::from_millis(REST)).ok();
                }
                // What is under way is of other readings.
                _ => self.job.leave(),
            }
            None
        });
    }

    fn tasks(self) -> Vec<Task> {
        vec![Task::Fit(self.text.get_untracked())]
    }

    /// Measures the readings as they are now, though that was stopped before.
    pub(super) fn measure(self) {
        self.job.ask_anew(self.tasks(), priority::AWAITED);
    }

    /// Does something to the table, and keeps it.
    pub(super) fn change<T>(self, act: impl FnOnce(&mut ReadingTable) -> T) -> T {
        let mut table = self.table.get_untracked();
        let done = act(&mut table);
        self.put(table);
        done
    }

    fn put(self, table: ReadingTable) {
        let trouble = match table.is_empty() && table.rows.is_empty() {
            true => {
                browser::remove(KEPT);
                None
            }
            false => browser::write(KEPT, &table.draft()).err(),
        };
        self.unkept.set(trouble.map(|t| t.to_string()));
        self.table.set(table);
    }

    /// Puts other readings in place of all; what was there can be put back.
    pub(super) fn replace(self, table: ReadingTable) {
        let was = self.table.get_untracked();
        self.before.set((!was.is_empty()).then_some(was));
        self.refused.set(Vec::new());
        self.put(table);
    }

    /// Puts back what stood there before.
    pub(super) fn put_back(self) {
        if let Some(table) = self.before.get_untracked() {
            self.before.set(None);
            self.put(table);
        }
    }

    /// Adds an empty row, with the keyboard on it.
    pub(super) fn add(self, kind: ReadingKind) {
        if let Some(id) = self.change(|table| table.add(kind, Vec::new())) {
            focus(id, 0);
        }
    }

    /// Whether the row contradicts others, as far as is known.
    pub(super) fn contradicts(self, id: u64) -> bool {
        self.contradicting.with(|rows| rows.contains(&id))
    }
}

/// What the rows that count are called.
fn names(table: RwSignal<ReadingTable>, counted: Memo<Vec<u64>>) -> Vec<String> {
    let name = |table: &ReadingTable, id: &u64| table.number(*id).map(|n| n.to_string());
    table.with(|table| counted.with(|rows| rows.iter().filter_map(|id| name(table, id)).collect()))
}

/// Those of the rows that contradict others.
fn contradicting(rows: &[u64], measured: Memo<Option<Measured>>) -> Vec<u64> {
    measured.with(|m| {
        let places = m.iter().flat_map(|m| &m.fit.contradicts);
        places.filter_map(|at| rows.get(*at).copied()).collect()
    })
}

/// The id of a cell's field.
pub(super) fn field_id(row: u64, cell: usize) -> String {
    format!("reading-{row}-{cell}")
}

/// Gives a cell the keyboard, once it is drawn.
pub(super) fn focus(row: u64, cell: usize) {
    request_animation_frame(move || {
        let found = document().get_element_by_id(&field_id(row, cell));
        if let Some(field) = found.and_then(|e| e.dyn_into::<web_sys::HtmlInputElement>().ok()) {
            // Focus may be refused, which harms nothing.
            let _ = field.focus();
            field.select();
        }
    });
}
