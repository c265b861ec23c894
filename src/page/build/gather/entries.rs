//! What is there for the open plan: read when a plan is opened, kept at every entry, and taken back step by step. It stays
//! while the window is closed.

use crate::page::keeping::{Keeper, use_keeper};
use crate::page::store::Store;
use crate::plan::Plan;
use crate::works::{StockEntries, StockItem};
use leptos::{ev, prelude::*};

/// So many steps can be taken back.
const STEPS: usize = 100;

/// The entries. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Gathering {
    store: Store,
    keeper: Keeper,
    entries: RwSignal<StockEntries>,
    /// How they were before each step.
    before: RwSignal<Vec<StockEntries>>,
    /// What is being typed, which is one step.
    typed: StoredValue<Option<StockItem>>,
    /// Counts the rows that were made, for ids of their own.
    rows: StoredValue<u64>,
    /// Why the browser does not keep them.
    unkept: RwSignal<Option<String>>,
}

/// The entries, from the context that the page's second part provides.
pub(super) fn use_gathering() -> Gathering {
    expect_context()
}

impl Gathering {
    /// Follows which plan is open. Call it in the page's root.
    pub fn start(store: Store) -> Gathering {
        let gathering = Gathering {
            store,
            keeper: use_keeper(),
            entries: RwSignal::new(StockEntries::default()),
            before: RwSignal::new(Vec::new()),
            typed: StoredValue::new(None),
            rows: StoredValue::new(0),
            unkept: RwSignal::new(None),
        };
        Effect::new(move |before: Option<(String, u64)>| {
            let now = (store.plan_key(), store.opened());
            match before {
                Some(before) if before == now => {}
                // The same plan goes on under another key.
                Some((_, opened)) if opened == now.1 => gathering.keep(),
                _ => gathering.read(&now.0),
            }
            now
        });
        // Another tab may have the same plan open.
        let elsewhere = window_event_listener(ev::storage, move |_| {
            let key = untrack(|| store.plan_key());
            let kept = gathering.kept(&key);
            if gathering.entries.with_untracked(|entries| *entries != kept) {
                gathering.entries.set(kept);
                gathering.before.set(Vec::new());
            }
        });
        on_cleanup(move || elsewhere.remove());
        gathering
    }

    fn kept(self, key: &str) -> StockEntries {
        let kept = self.keeper.stock(key);
        let entries = kept.and_then(|text| StockEntries::of_draft(&text));
        entries.unwrap_or_default()
    }

    fn read(self, key: &str) {
        self.entries.set(self.kept(key));
        self.before.set(Vec::new());
        self.typed.set_value(None);
        self.unkept.set(None);
    }

    fn keep(self) {
        let text = self
            .entries
            .with_untracked(|entries| match entries.is_empty() {
                true => String::new(),
                false => entries.draft(),
            });
        let key = untrack(|| self.store.plan_key());
        let done = self.keeper.keep_stock(&key, &text);
        self.unkept
            .set(done.err().map(|trouble| trouble.to_string()));
    }

    /// What was entered.
    pub(super) fn entries(self) -> RwSignal<StockEntries> {
        self.entries
    }

    /// Why the browser does not keep it.
    pub(super) fn unkept(self) -> RwSignal<Option<String>> {
        self.unkept
    }

    /// An id for what is said of a row, of its own on the page.
    pub(super) fn new_id(self) -> String {
        self.rows.update_value(|rows| *rows += 1);
        format!("gather-wrong-{}", self.rows.get_value())
    }

    /// Enters what is being typed; all that is typed into one field in a go is one step.
    pub(super) fn enter(self, item: &StockItem, text: &str) {
        let goes_on = self.typed.with_value(|typed| typed.as_ref() == Some(item));
        self.step(goes_on, |entries| entries.enter(item, text));
        self.typed.set_value(Some(item.clone()));
    }

    /// What is typed from now on is another step.
    pub(super) fn leave(self) {
        self.typed.set_value(None);
    }

    /// Does something to the entries as one step.
    pub(super) fn act(self, act: impl FnOnce(&mut StockEntries, &Plan)) {
        let store = self.store;
        self.step(false, |entries| store.with_plan(|plan| act(entries, plan)));
        self.leave();
    }

    fn step(self, goes_on: bool, act: impl FnOnce(&mut StockEntries)) {
        let before = self.entries.get_untracked();
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
        self.entries.set(after);
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
            self.entries.set(before);
            self.leave();
            self.keep();
        }
    }
}
