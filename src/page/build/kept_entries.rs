//! What somebody enters about the open plan: read when a plan is opened, kept at every entry, followed from other tabs, and
//! taken back step by step. It stays while the window is closed.

use crate::diagnosis::ReadingEntries;
use crate::page::keeping::{Keeper, PlanText, use_keeper};
use crate::page::store::Store;
use crate::plan::Plan;
use crate::works::{StepTicks, StockEntries};
use leptos::{ev, prelude::*};

/// So many steps can be taken back.
const STEPS: usize = 100;

/// Entries that are kept as a text of their plan.
pub trait Entries: Clone + Default + PartialEq + Send + Sync + 'static {
    /// As which text they are kept.
    const KEPT_AS: PlanText;
    /// The text; empty where there is nothing to keep.
    fn to_text(&self) -> String;
    /// What a text says that was kept; none where it is another.
    fn of_text(text: &str) -> Option<Self>;
}

macro_rules! entries {
    ($of:ty, $kept_as:expr) => {
        impl Entries for $of {
            const KEPT_AS: PlanText = $kept_as;
            fn to_text(&self) -> String {
                match self.is_empty() {
                    true => String::new(),
                    false => self.draft(),
                }
            }
            fn of_text(text: &str) -> Option<Self> {
                <$of>::of_draft(text)
            }
        }
    };
}
entries!(StockEntries, PlanText::Stock);
entries!(StepTicks, PlanText::Ticks);
entries!(ReadingEntries, PlanText::Readings);

/// The entries of the open plan. Cheap to copy.
pub struct KeptEntries<T: Entries> {
    store: Store,
    keeper: Keeper,
    /// What was entered.
    pub(super) now: RwSignal<T>,
    /// Why the browser does not keep it.
    pub(super) unkept: RwSignal<Option<String>>,
}

impl<T: Entries> Clone for KeptEntries<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T: Entries> Copy for KeptEntries<T> {}

impl<T: Entries> KeptEntries<T> {
    /// Follows which plan is open; `renewed` is called when all entries are others. Call it in the page's root.
    pub(super) fn start(store: Store, renewed: impl Fn() + Copy + 'static) -> KeptEntries<T> {
        let kept = KeptEntries {
            store,
            keeper: use_keeper(),
            now: RwSignal::new(T::default()),
            unkept: RwSignal::new(None),
        };
        let show = move |entries: T| {
            kept.now.set(entries);
            renewed();
        };
        Effect::new(move |before: Option<(String, u64)>| {
            let now = (store.plan_key(), store.opened());
            match before {
                Some(before) if before == now => {}
                // The same plan goes on under another key.
                Some((_, opened)) if opened == now.1 => kept.keep(),
                _ => {
                    show(kept.read(&now.0));
                    kept.unkept.set(None);
                }
            }
            now
        });
        // Another tab may have the same plan open.
        let elsewhere = window_event_listener(ev::storage, move |_| {
            let other = kept.read(&untrack(|| store.plan_key()));
            // Rows of the same text may be numbered otherwise.
            if kept.now.with_untracked(T::to_text) != other.to_text() {
                show(other);
            }
        });
        on_cleanup(move || elsewhere.remove());
        kept
    }

    fn read(self, key: &str) -> T {
        let text = self.keeper.plan_text(T::KEPT_AS, key);
        text.and_then(|text| T::of_text(&text)).unwrap_or_default()
    }

    /// Puts these in the place of what was entered, and keeps them.
    pub(super) fn put(self, entries: T) {
        self.now.set(entries);
        self.keep();
    }

    fn keep(self) {
        let text = self.now.with_untracked(T::to_text);
        let key = untrack(|| self.store.plan_key());
        let done = self.keeper.keep_plan_text(T::KEPT_AS, &key, &text);
        self.unkept.set(done.err().map(|why| why.to_string()));
    }
}

/// Entries whose last steps can be taken back; `F` says what is being typed. Cheap to copy.
pub struct UndoableEntries<T: Entries, F: Send + Sync + 'static> {
    kept: KeptEntries<T>,
    /// How they were before each step.
    before: RwSignal<Vec<T>>,
    /// What is being typed, which is one step.
    typing: StoredValue<Option<F>>,
}

impl<T: Entries, F: Send + Sync + 'static> Clone for UndoableEntries<T, F> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T: Entries, F: Send + Sync + 'static> Copy for UndoableEntries<T, F> {}

impl<T: Entries, F: Clone + PartialEq + Send + Sync + 'static> UndoableEntries<T, F> {
    /// Follows which plan is open. Call it in the page's root.
    pub(super) fn start(store: Store) -> UndoableEntries<T, F> {
        let (before, typing) = (RwSignal::new(Vec::new()), StoredValue::new(None));
        let renewed = move || {
            before.set(Vec::new());
            typing.set_value(None);
        };
        UndoableEntries {
            kept: KeptEntries::start(store, renewed),
            before,
            typing,
        }
    }

    /// What was entered.
    pub(super) fn now(self) -> RwSignal<T> {
        self.kept.now
    }

    /// Why the browser does not keep it.
    pub(super) fn unkept(self) -> RwSignal<Option<String>> {
        self.kept.unkept
    }

    /// Enters what is being typed; all that is typed into one field in a go is one step.
    pub(super) fn enter(self, field: F, act: impl FnOnce(&mut T)) {
        let goes_on = self
            .typing
            .with_value(|typing| *typing == Some(field.clone()));
        self.step(goes_on, act);
        self.typing.set_value(Some(field));
    }

    /// What is typed from now on is another step.
    pub(super) fn leave(self) {
        self.typing.set_value(None);
    }

    /// Does something to the entries as one step.
    pub(super) fn act(self, act: impl FnOnce(&mut T, &Plan)) {
        let store = self.kept.store;
        self.step(false, |entries| store.with_plan(|plan| act(entries, plan)));
        self.leave();
    }

    fn step(self, goes_on: bool, act: impl FnOnce(&mut T)) {
        let before = self.now().get_untracked();
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
        self.kept.put(after);
    }

    /// Whether there is a step to take back. Tracked.
    pub(super) fn can_put_back(self) -> bool {
        self.before.with(|steps| !steps.is_empty())
    }

    /// Takes the last step back.
    pub(super) fn put_back(self) {
        if let Some(before) = self.before.try_update(Vec::pop).flatten() {
            self.leave();
            self.kept.put(before);
        }
    }
}

/// Says that what somebody does here does not last, and why.
#[component]
pub(super) fn Unkept(
    /// Why the browser does not keep it.
    why: RwSignal<Option<String>>,
    /// What somebody does here: `enter`.
    does: &'static str,
) -> impl IntoView {
    move || {
        let says = |why| {
            view! { <p class="refused" role="status">{why}": what you "{does}" here is gone when the page is closed."</p> }
        };
        why.get().map(says)
    }
}
