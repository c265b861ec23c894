//! Readings off the base as it was built from the open plan: read when a plan is opened, kept at every entry, and taken back
//! step by step. They stay while the window is closed.

use crate::diagnosis::{
    BaseReading, EntryRead, Readable, ReadingEntries, ReadingEntry, ReadingField,
};
use crate::page::keeping::{Keeper, use_keeper};
use crate::page::store::Store;
use crate::plan::Plan;
use crate::quantity::Ms;
use leptos::{ev, prelude::*};
use std::collections::BTreeMap;

/// So many steps can be taken back.
const STEPS: usize = 100;

/// The readings. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct BaseReadings {
    store: Store,
    keeper: Keeper,
    /// The readings that count, in the order of the rows.
    pub entries: Memo<Vec<BaseReading>>,
    typed: RwSignal<ReadingEntries>,
    read: Memo<BTreeMap<u64, EntryRead>>,
    /// How they were before each step.
    before: RwSignal<Vec<ReadingEntries>>,
    /// What is being typed, which is one step.
    typing: StoredValue<Option<(u64, ReadingField)>>,
    /// The row that is to be filled in next.
    wanted: RwSignal<Option<u64>>,
    /// Why the browser does not keep them.
    unkept: RwSignal<Option<String>>,
}

/// The readings, from the context that the page's second part provides.
pub(super) fn use_base_readings() -> BaseReadings {
    expect_context()
}

impl BaseReadings {
    /// Follows which plan is open. Call it in the page's root.
    pub fn start(store: Store) -> BaseReadings {
        let typed = RwSignal::new(ReadingEntries::default());
        let read = Memo::new(move |_| {
            store.revision();
            typed.with(|typed| {
                let numbers = typed.rows().iter().map(|(number, _)| *number);
                let all = store.with_plan(|plan| typed.read(plan));
                numbers.zip(all).collect::<BTreeMap<_, _>>()
            })
        });
        // Rows have rising numbers, so their order is the map's.
        let entries = Memo::new(move |_| {
            read.with(|all| {
                all.values()
                    .filter_map(|read| read.reading.clone())
                    .collect()
            })
        });
        let readings = BaseReadings {
            store,
            keeper: use_keeper(),
            entries,
            typed,
            read,
            before: RwSignal::new(Vec::new()),
            typing: StoredValue::new(None),
            wanted: RwSignal::new(None),
            unkept: RwSignal::new(None),
        };
        readings.follow();
        readings
    }

    fn follow(self) {
        let store = self.store;
        Effect::new(move |before: Option<(String, u64)>| {
            let now = (store.plan_key(), store.opened());
            match before {
                Some(before) if before == now => {}
                // The same plan goes on under another key.
                Some((_, opened)) if opened == now.1 => self.keep(),
                _ => {
                    self.show(self.kept(&now.0));
                    self.unkept.set(None);
                }
            }
            now
        });
        // Another tab may have the same plan open.
        let elsewhere = window_event_listener(ev::storage, move |_| {
            let key = untrack(|| store.plan_key());
            let kept = self.kept(&key);
            if self
                .typed
                .with_untracked(|typed| typed.draft() != kept.draft())
            {
                self.show(kept);
            }
        });
        on_cleanup(move || elsewhere.remove());
    }

    fn kept(self, key: &str) -> ReadingEntries {
        let kept = self.keeper.read_off(key);
        let entries = kept.and_then(|text| ReadingEntries::of_draft(&text));
        entries.unwrap_or_default()
    }

    fn show(self, entries: ReadingEntries) {
        self.typed.set(entries);
        self.before.set(Vec::new());
        self.typing.set_value(None);
    }

    fn keep(self) {
        let draft = |typed: &ReadingEntries| match typed.is_empty() {
            true => String::new(),
            false => typed.draft(),
        };
        let text = self.typed.with_untracked(draft);
        let key = untrack(|| self.store.plan_key());
        let done = self.keeper.keep_read_off(&key, &text);
        self.unkept
            .set(done.err().map(|trouble| trouble.to_string()));
    }

    /// Enters a reading, in place of one of the same thing at the same time.
    pub fn add(self, reading: BaseReading) {
        self.act(|entries, plan| {
            entries.add(plan, &reading);
        });
    }

    /// Takes all readings away.
    pub fn clear(self) {
        self.act(|entries, _| entries.clear());
    }

    /// Begins a row, or finds the one that is there, and leads to it.
    pub(super) fn begin(self, of: &Readable, at: Ms) {
        let mut number = None;
        self.act(|entries, plan| number = entries.begin(plan, of, at));
        self.wanted.set(number);
    }

    /// Begins a row of nothing yet, and leads to it.
    pub(super) fn begin_empty(self) {
        let mut number = None;
        self.act(|entries, _| number = entries.push(ReadingEntry::default()));
        self.wanted.set(number);
    }

    /// The row that is to be filled in next, until somebody has been led to it.
    pub(super) fn wanted(self) -> RwSignal<Option<u64>> {
        self.wanted
    }

    /// What was typed.
    pub(super) fn typed(self) -> RwSignal<ReadingEntries> {
        self.typed
    }

    /// What each row comes to, by its number.
    pub(super) fn read(self) -> Memo<BTreeMap<u64, EntryRead>> {
        self.read
    }

    /// Why the browser does not keep them.
    pub(super) fn unkept(self) -> RwSignal<Option<String>> {
        self.unkept
    }

    /// Enters what is being typed; all that is typed into one field in a go is one step.
    pub(super) fn enter(self, number: u64, field: ReadingField, text: &str) {
        let goes_on = self.typing.get_value() == Some((number, field));
        self.step(goes_on, |entries| entries.enter(number, field, text));
        self.typing.set_value(Some((number, field)));
    }

    /// What is typed from now on is another step.
    pub(super) fn leave(self) {
        self.typing.set_value(None);
    }

    /// Does something to the rows as one step.
    pub(super) fn act(self, act: impl FnOnce(&mut ReadingEntries, &Plan)) {
        let store = self.store;
        self.step(false, |entries| store.with_plan(|plan| act(entries, plan)));
        self.leave();
    }

    fn step(self, goes_on: bool, act: impl FnOnce(&mut ReadingEntries)) {
        let before = self.typed.get_untracked();
        let mut after = before.clone();
        act(&mut after);
        if after == before {
            return;
        }
        if !goes_on {
            self.before.update(|steps| {
                steps.push(before);
                if steps.len() > STEPS {
                    steps.remove(0);
                }
            });
        }
        self.typed.set(after);
        self.keep();
    }

    /// Whether there is a step to take back. Tracked.
    pub(super) fn can_put_back(self) -> bool {
        self.before.with(|steps| !steps.is_empty())
    }

    /// Takes the last step back.
    pub(super) fn put_back(self) {
        let before = self.before.try_update(Vec::pop).flatten();
        if let Some(before) = before {
            self.typed.set(before);
            self.leave();
            self.keep();
        }
    }
}
