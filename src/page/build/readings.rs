//! Readings off the base as it was built from the open plan.

use super::kept_entries::UndoableEntries;
use crate::diagnosis::{
    BaseReading, EntryRead, Readable, ReadingEntries, ReadingEntry, ReadingField,
};
use crate::page::store::Store;
use crate::quantity::Ms;
use leptos::prelude::*;
use std::collections::BTreeMap;

/// The readings. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct BaseReadings {
    /// The readings that count, in the order of the rows.
    pub entries: Memo<Vec<BaseReading>>,
    /// What was typed.
    pub(super) rows: UndoableEntries<ReadingEntries, (u64, ReadingField)>,
    /// What each row comes to, by its number.
    pub(super) read: Memo<BTreeMap<u64, EntryRead>>,
    /// The row that is to be filled in next, until somebody has been led to it.
    pub(super) wanted: RwSignal<Option<u64>>,
}

/// The readings, from the context that the page's second part provides.
pub(super) fn use_base_readings() -> BaseReadings {
    expect_context()
}

impl BaseReadings {
    /// Follows which plan is open. Call it in the page's root.
    pub fn start(store: Store) -> BaseReadings {
        let rows: UndoableEntries<ReadingEntries, _> = UndoableEntries::start(store);
        let read = Memo::new(move |_| {
            store.revision();
            rows.now().with(|typed| {
                let numbers = typed.rows().iter().map(|(number, _)| *number);
                let all = store.with_plan(|plan| typed.read(plan));
                numbers.zip(all).collect::<BTreeMap<_, _>>()
            })
        });
        // Rows have rising numbers, so their order is the map's.
        let entries = Memo::new(move |_| {
            let reading = |read: &EntryRead| read.reading.clone();
            read.with(|all| all.values().filter_map(reading).collect())
        });
        BaseReadings {
            entries,
            rows,
            read,
            wanted: RwSignal::new(None),
        }
    }

    /// Enters a reading, in place of one of the same thing at the same time.
    pub fn add(self, reading: BaseReading) {
        self.rows.act(|entries, plan| {
            entries.add(plan, &reading);
        });
    }

    /// Takes all readings away.
    pub fn clear(self) {
        self.rows.act(|entries, _| entries.clear());
    }

    /// Begins a row, or finds the one that is there, and leads to it.
    pub(super) fn begin(self, of: &Readable, at: Ms) {
        let mut number = None;
        self.rows
            .act(|entries, plan| number = entries.begin(plan, of, at));
        self.wanted.set(number);
    }

    /// Begins a row of nothing yet, and leads to it.
    pub(super) fn begin_empty(self) {
        let mut number = None;
        self.rows
            .act(|entries, _| number = entries.push(ReadingEntry::default()));
        self.wanted.set(number);
    }
}
