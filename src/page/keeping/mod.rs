//! Keeps the plans in the browser: the open one after every edit, all of them under keys of their own.
//!
//! `plan/<key>` holds a plan's file, `plans` the list of them, `open` the key of the one that was open last, in the tab's
//! own storage too; `src/page/keeping/browser.rs` says where those names lie. Edits are gathered: at most one write in half
//! a second, and at once when the tab is hidden or closed. Storage that is blocked or full is said in a standing line; a
//! plan that another tab has changed is never written over. It knows nothing of what plans mean.

pub mod browser;
mod index;
mod message;

pub use index::{Kept, variants_at};
pub use message::Message;

use super::store::Store;
use crate::plan::{Edit, Plan, Salvage, salvage};
use browser::{is_there, name_of, read, read_of_tab, remove, take_over, write, write_of_tab};
use index::{LIST, OPEN, free_number, list, mend_list, new_key, plan_at, text_of, write_list};
use leptos::prelude::*;
use std::time::Duration;

/// How long edits are gathered before they are kept.
const GATHER: Duration = Duration::from_millis(500);

/// The plans that are kept. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Keeper {
    store: Store,
    key: RwSignal<String>,
    saved: StoredValue<String>,
    /// Whether an edit is not kept yet.
    is_due: StoredValue<bool>,
    /// The store's revision that was kept last.
    kept: StoredValue<u64>,
    plans: RwSignal<Vec<Kept>>,
    trouble: RwSignal<Option<String>>,
    elsewhere: RwSignal<Option<String>>,
    message: RwSignal<Option<Message>>,
}

/// The keeper, from the context that the page's root provides.
pub fn use_keeper() -> Keeper {
    expect_context()
}

impl Keeper {
    /// Starts keeping: opens the plan that was open last, and saves at every edit from now on. Call it in the page's root.
    pub fn start(store: Store) -> Keeper {
        take_over();
        let mended = mend_list();
        let keeper = Keeper {
            store,
            key: RwSignal::new(String::new()),
            saved: StoredValue::new(String::new()),
            is_due: StoredValue::new(false),
            kept: StoredValue::new(0),
            plans: RwSignal::new(list()),
            trouble: RwSignal::new(None),
            elsewhere: RwSignal::new(None),
            message: RwSignal::new(None),
        };
        provide_context(keeper);
        match mended {
            Some(Ok(plans)) => {
                let said = format!(
                    "The list of the plans kept here could not be read. It was made anew from the plans themselves: {plans} {}. Only their order is not known any more.",
                    if plans == 1 { "is there" } else { "are there" }
                );
                let said = Message::new("The list of plans was damaged", said);
                keeper.message.set(Some(said));
            }
            Some(Err(said)) => keeper.trouble.set(Some(said)),
            None => {}
        }
        if !is_there() {
            keeper.trouble.set(Some(
                "This browser does not let the page keep anything".into(),
            ));
        }
        // A reload shows this tab's own plan, though another tab may have opened one since.
        let own = read_of_tab(OPEN);
        let kept = |key: &String| read(&plan_at(key)).is_some();
        match [own, read(OPEN)].into_iter().flatten().find(kept) {
            Some(key) => keeper.open(&key),
            None => keeper.open_other(Plan::empty()),
        }
        Effect::watch(
            move || store.revision(),
            move |_, _, _| keeper.save_later(),
            false,
        );
        // A tab that is hidden may be gone the next moment.
        let hidden = window_event_listener_untyped("visibilitychange", move |_| {
            if document().hidden() {
                keeper.save_due();
            }
        });
        let left = window_event_listener_untyped("pagehide", move |_| keeper.save_due());
        on_cleanup(move || {
            hidden.remove();
            left.remove();
        });
        let heard = window_event_listener(leptos::ev::storage, move |event| keeper.hear(&event));
        on_cleanup(move || heard.remove());
        keeper
    }

    /// The plans that are kept, the latest first.
    pub fn plans(self) -> RwSignal<Vec<Kept>> {
        self.plans
    }

    /// The key of the open plan.
    pub fn key(self) -> RwSignal<String> {
        self.key
    }

    /// The dialog that is to be shown.
    pub fn message(self) -> RwSignal<Option<Message>> {
        self.message
    }

    /// Opens a plan beside all that are kept; if the very same is kept, that one.
    pub fn open_other(self, mut plan: Plan) {
        crate::editor::layout::give_places(&mut plan);
        let text = text_of(&plan);
        let same = list()
            .into_iter()
            .find(|k| read(&plan_at(&k.key)).as_ref() == Some(&text));
        let key = same.map_or_else(new_key, |k| k.key);
        self.take(plan, key, String::new());
    }

    /// Opens the plan kept under `key`. The sound rest of a damaged one opens as another, and it stays as it is.
    pub fn open(self, key: &str) {
        let Some(text) = read(&plan_at(key)) else {
            self.plans.set(list());
            return self
                .store
                .notice("That plan is no longer kept here.".into());
        };
        match salvage(&text) {
            Ok(Salvage { plan, faults }) if faults.is_empty() => {
                self.take(plan, key.to_string(), text)
            }
            Ok(Salvage { plan, faults }) => {
                if self.key.with_untracked(String::is_empty) {
                    self.take(Plan::empty(), new_key(), String::new());
                }
                let said = "The plan that is kept here is damaged. It stays as it is; what is sound of it can be opened as another plan.";
                self.message.set(Some(Message {
                    rest: Some(plan),
                    ..Message::new("A damaged plan", said).with_faults(&faults)
                }));
            }
            Err(faults) => {
                if self.key.with_untracked(String::is_empty) {
                    self.take(Plan::empty(), new_key(), String::new());
                }
                let said = "What is kept here can't be read as a plan. It stays as it is.";
                self.message
                    .set(Some(Message::new("No plan", said).with_faults(&faults)));
            }
        }
    }

    fn take(self, plan: Plan, key: String, saved: String) {
        self.save_due();
        self.elsewhere.set(None);
        self.key.set(key.clone());
        self.saved.set_value(saved);
        self.store.replace_plan(plan, key);
        self.save();
    }

    /// Forgets the plan kept under `key`.
    pub fn delete(self, key: &str) {
        let mut plans = list();
        plans.retain(|k| k.key != key);
        // The list first: a plan without a place in it does no harm, the other way round would.
        let done = write_list(&plans);
        remove(&plan_at(key));
        remove(&variants_at(key));
        self.plans.set(plans);
        if let Err(said) = done {
            self.trouble.set(Some(said));
        }
        if self.key.with_untracked(|k| k == key) {
            self.is_due.set_value(false);
            match self.plans.get_untracked().first() {
                Some(next) => self.open(&next.key),
                None => self.open_other(Plan::empty()),
            }
        }
    }

    /// Calls the plan kept under `key` otherwise; the open one as a step that can be taken back.
    pub fn rename(self, key: &str, title: &str) {
        if self.key.with_untracked(|k| k == key) {
            let title = title.to_string();
            self.store
                .commit("rename the plan", vec![Edit::Title(title)]);
            return;
        }
        let Some(mut plan) = read(&plan_at(key))
            .and_then(|text| salvage(&text).ok())
            .filter(|s| s.faults.is_empty())
            .map(|s| s.plan)
        else {
            return self
                .store
                .notice("That plan can't be renamed before it is opened.".into());
        };
        plan.title = title.to_string();
        let mut plans = list();
        for kept in plans.iter_mut().filter(|k| k.key == key) {
            kept.title = title.to_string();
        }
        let done = write(&plan_at(key), &text_of(&plan)).and(write_list(&plans));
        self.trouble.set(done.err());
        self.plans.set(plans);
    }

    /// Keeps the open plan soon.
    fn save_later(self) {
        let is_kept = untrack(|| self.store.revision()) == self.kept.get_value();
        if !is_kept && !self.is_due.get_value() {
            self.is_due.set_value(true);
            set_timeout(move || self.save_due(), GATHER);
        }
    }

    /// Keeps the open plan now, if it has changed since it was kept.
    fn save_due(self) {
        if self.is_due.try_get_value() == Some(true) {
            self.save();
        }
    }

    /// Keeps the open plan as it now is. An empty one that was never kept is not.
    fn save(self) {
        self.is_due.set_value(false);
        self.kept.set_value(untrack(|| self.store.revision()));
        let (text, title, parts, empty) = self.store.with_plan(|p| {
            let parts = p.parts.len() as u64;
            (text_of(p), p.title.clone(), parts, *p == Plan::empty())
        });
        let mut saved = self.saved.get_value();
        if saved.is_empty() && empty {
            return;
        }
        let mut key = self.key.get_untracked();
        if saved != text && self.elsewhere.with_untracked(Option::is_some) {
            // Another tab has its own version under this key; ours goes on beside it.
            key = new_key();
            saved = String::new();
            self.key.set(key.clone());
            self.elsewhere.set(None);
            let said = "Kept as another plan from now on: another tab has changed the one it was.";
            self.store.notice(said.into());
        }
        let is_changed = saved != text;
        let done = match is_changed {
            true => write(&plan_at(&key), &text),
            false => Ok(()),
        };
        if done.is_ok() {
            self.saved.set_value(text);
        }
        let done = done.and_then(|()| self.enter(&key, &title, parts, is_changed));
        if self.trouble.get_untracked() != done.clone().err() {
            self.trouble.set(done.err());
        }
    }

    /// Puts the open plan first in the list.
    fn enter(self, key: &str, title: &str, parts: u64, is_changed: bool) -> Result<(), String> {
        let mut plans = list();
        let first = plans.first();
        if is_changed || first.is_none_or(|k| k.key != key || k.title != title) {
            let order = first.map_or(0, |k| k.order) + 1;
            let known = plans.iter().find(|k| k.key == key).cloned();
            plans.retain(|k| k.key != key);
            let known = known.unwrap_or_default();
            let number = match known.number {
                _ if !title.is_empty() => 0,
                0 => free_number(&plans),
                number => number,
            };
            let changed = match is_changed {
                true => js_sys::Date::now() as u64,
                false => known.changed,
            };
            let kept = Kept {
                key: key.into(),
                title: title.into(),
                order,
                parts,
                changed,
                number,
            };
            plans.insert(0, kept);
            write_list(&plans)?;
        }
        self.plans.set(plans);
        write_of_tab(OPEN, key);
        if read(OPEN).as_deref() == Some(key) {
            return Ok(());
        }
        write(OPEN, key)
    }

    /// Hears what another tab has kept.
    fn hear(self, event: &web_sys::StorageEvent) {
        let Some(changed) = event.key().as_deref().and_then(name_of) else {
            return;
        };
        if changed == LIST {
            self.plans.set(list());
        }
        if changed != plan_at(&self.key.get_untracked()) {
            return;
        }
        match event.new_value() {
            Some(text) if self.saved.with_value(|s| *s != text) => self.elsewhere.set(Some(text)),
            Some(_) => {}
            None => {
                // Kept again whole at the next edit.
                self.saved.set_value(String::new());
                let said = "Another tab has deleted this plan. It is kept again at the next edit.";
                self.store.notice(said.into());
            }
        }
    }

    /// Why nothing can be kept, if so.
    pub fn trouble(self) -> Signal<Option<String>> {
        self.trouble.into()
    }

    /// What another tab has made of the open plan, if it has.
    pub fn changed_elsewhere(self) -> Signal<Option<String>> {
        self.elsewhere.into()
    }

    /// Opens what another tab has made of the open plan.
    pub fn load_elsewhere(self) {
        let key = self.key.get_untracked();
        self.elsewhere.set(None);
        // Its version takes the place of ours.
        self.is_due.set_value(false);
        self.open(&key);
    }
}
