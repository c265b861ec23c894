//! Keeps the plans in the browser: the open one at every edit, all of them under keys of their own.
//!
//! `duskline/plan/<key>` holds a plan's file, `duskline/plans` the list of them with titles and a counter for their
//! order, `duskline/open` the key of the one that was open last, in the tab's own storage too. Storage that is blocked
//! or full is said in a standing line, never swallowed; a plan that another tab has changed is never written over. It
//! knows nothing of what plans mean.

use super::store::{Store, use_store};
use crate::plan::{Edit, Plan, Salvage, salvage};
use crate::read::Faults;
use gloo_storage::{LocalStorage, Storage as _};
use leptos::prelude::*;
use serde_json::{Value, json};
use wasm_bindgen::JsValue;

const LIST: &str = "duskline/plans";
const OPEN: &str = "duskline/open";
const PLAN: &str = "duskline/plan/";
/// Before a plan's key: the variants that are kept with it.
pub const VARIANTS: &str = "duskline/variants/";

/// A plan in the list of those that are kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Its key.
    pub key: String,
    /// Its title when it was saved.
    pub title: String,
    /// The larger, the later it was saved or opened.
    pub order: u64,
}

/// Something to tell in a dialog.
#[derive(Clone, Debug, PartialEq)]
pub struct Message {
    /// The dialog's heading.
    pub title: String,
    /// What happened and what to do.
    pub text: String,
    /// What is wrong with a document: place, found, expected.
    pub faults: Vec<[String; 3]>,
    /// The sound rest of it, to be opened as another plan.
    pub rest: Option<Plan>,
    /// A text to be copied by hand.
    pub copy: Option<String>,
}

impl Message {
    /// A heading and a text.
    pub fn new(title: &str, text: impl Into<String>) -> Message {
        Message {
            title: title.into(),
            text: text.into(),
            faults: Vec::new(),
            rest: None,
            copy: None,
        }
    }

    /// Adds what is wrong with a document.
    pub fn with_faults(mut self, faults: &Faults) -> Message {
        let row = |f: &crate::read::Fault| [f.place.clone(), f.found.clone(), f.expected.clone()];
        self.faults = faults.iter().map(row).collect();
        self
    }
}

/// The plans that are kept. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Keeper {
    store: Store,
    key: RwSignal<String>,
    saved: StoredValue<String>,
    plans: RwSignal<Vec<Kept>>,
    trouble: RwSignal<Option<String>>,
    elsewhere: RwSignal<Option<String>>,
    message: RwSignal<Option<Message>>,
}

/// The keeper, from the context that the page's root provides.
pub fn use_keeper() -> Keeper {
    expect_context()
}

/// The browser's storage, if it lets itself be used: asking for it by other ways panics where it is blocked.
fn raw() -> Option<web_sys::Storage> {
    window().local_storage().ok().flatten()?;
    Some(LocalStorage::raw())
}

/// What the browser keeps for this tab alone, until it is closed.
fn of_tab() -> Option<web_sys::Storage> {
    window().session_storage().ok().flatten()
}

/// A text that is kept under `key`.
pub fn read(key: &str) -> Option<String> {
    raw()?.get_item(key).ok().flatten()
}

/// Keeps a text; on failure says why, for people.
pub fn write(key: &str, text: &str) -> Result<(), String> {
    let Some(storage) = raw() else {
        return Err("This browser does not let the page keep anything".into());
    };
    storage.set_item(key, text).map_err(|error| {
        let name = js_sys::Reflect::get(&error, &JsValue::from_str("name"));
        match name.ok().and_then(|n| n.as_string()).as_deref() {
            Some("QuotaExceededError" | "NS_ERROR_DOM_QUOTA_REACHED") => {
                "The browser's room for this page is full".into()
            }
            Some(name) => format!("The browser refused to keep the plan ({name})"),
            None => "The browser refused to keep the plan".into(),
        }
    })
}

fn list() -> Vec<Kept> {
    let value: Value = read(LIST)
        .and_then(|text| serde_json::from_str(&text).ok())
        .unwrap_or_default();
    let entry = |v: &Value| {
        Some(Kept {
            key: v.get("key")?.as_str()?.to_string(),
            title: v.get("title")?.as_str()?.to_string(),
            order: v.get("order")?.as_u64()?,
        })
    };
    let mut plans: Vec<Kept> = value
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(entry)
        .collect();
    plans.sort_by_key(|k| std::cmp::Reverse(k.order));
    plans
}

fn write_list(plans: &[Kept]) -> Result<(), String> {
    let entry = |k: &Kept| json!({ "key": k.key, "title": k.title, "order": k.order });
    let value: Value = plans.iter().map(entry).collect();
    write(LIST, &value.to_string())
}

/// A key that no plan has had: chance, so that two tabs never choose the same.
fn new_key() -> String {
    let digit = |_| char::from_digit((js_sys::Math::random() * 36.0) as u32 % 36, 36);
    (0..12).filter_map(digit).collect()
}

fn text_of(plan: &Plan) -> String {
    plan.to_value().to_string()
}

impl Keeper {
    /// Starts keeping: opens the plan that was open last, and saves at every edit from now on. Call it in the page's root.
    pub fn start(store: Store) -> Keeper {
        let keeper = Keeper {
            store,
            key: RwSignal::new(String::new()),
            saved: StoredValue::new(String::new()),
            plans: RwSignal::new(list()),
            trouble: RwSignal::new(None),
            elsewhere: RwSignal::new(None),
            message: RwSignal::new(None),
        };
        provide_context(keeper);
        if raw().is_none() {
            keeper.trouble.set(Some(
                "This browser does not let the page keep anything".into(),
            ));
        }
        // A reload shows this tab's own plan, though another tab may have opened one since.
        let own = of_tab().and_then(|tab| tab.get_item(OPEN).ok().flatten());
        let kept = |key: &String| read(&format!("{PLAN}{key}")).is_some();
        match [own, read(OPEN)].into_iter().flatten().find(kept) {
            Some(key) => keeper.open(&key),
            None => keeper.open_other(Plan::empty()),
        }
        Effect::watch(
            move || store.revision(),
            move |_, _, _| keeper.save(),
            false,
        );
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
        super::view::give_places(&mut plan);
        let text = text_of(&plan);
        let same = list()
            .into_iter()
            .find(|k| read(&format!("{PLAN}{}", k.key)).as_ref() == Some(&text));
        let key = same.map_or_else(new_key, |k| k.key);
        self.take(plan, key, String::new());
    }

    /// Opens the plan kept under `key`. The sound rest of a damaged one opens as another, and it stays as it is.
    pub fn open(self, key: &str) {
        let Some(text) = read(&format!("{PLAN}{key}")) else {
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
        if let Some(storage) = raw() {
            let _ = storage.remove_item(&format!("{PLAN}{key}"));
            let _ = storage.remove_item(&format!("{VARIANTS}{key}"));
        }
        self.plans.set(plans);
        if let Err(said) = done {
            self.trouble.set(Some(said));
        }
        if self.key.with_untracked(|k| k == key) {
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
        let Some(mut plan) = read(&format!("{PLAN}{key}"))
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
        let done = write(&format!("{PLAN}{key}"), &text_of(&plan)).and(write_list(&plans));
        self.trouble.set(done.err());
        self.plans.set(plans);
    }

    /// Keeps the open plan as it now is. An empty one that was never kept is not.
    fn save(self) {
        let (text, title, empty) = self
            .store
            .with_plan(|p| (text_of(p), p.title.clone(), *p == Plan::empty()));
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
        let done = if saved == text {
            Ok(())
        } else {
            write(&format!("{PLAN}{key}"), &text)
        };
        if done.is_ok() {
            self.saved.set_value(text);
        }
        let done = done.and_then(|()| self.enter(&key, &title));
        if self.trouble.get_untracked() != done.clone().err() {
            self.trouble.set(done.err());
        }
    }

    /// Puts the open plan first in the list.
    fn enter(self, key: &str, title: &str) -> Result<(), String> {
        let mut plans = list();
        let first = plans
            .first()
            .is_some_and(|k| k.key == key && k.title == title);
        if !first {
            let order = plans.first().map_or(0, |k| k.order) + 1;
            plans.retain(|k| k.key != key);
            plans.insert(
                0,
                Kept {
                    key: key.into(),
                    title: title.into(),
                    order,
                },
            );
            write_list(&plans)?;
        }
        self.plans.set(plans);
        if let Some(tab) = of_tab() {
            // Without it a reload shows what was opened last anywhere, which is kept just as well.
            let _ = tab.set_item(OPEN, key);
        }
        if read(OPEN).as_deref() == Some(key) {
            return Ok(());
        }
        write(OPEN, key)
    }

    /// Hears what another tab has kept.
    fn hear(self, event: &web_sys::StorageEvent) {
        let Some(changed) = event.key() else { return };
        if changed == LIST {
            self.plans.set(list());
        }
        if changed != format!("{PLAN}{}", self.key.get_untracked()) {
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

    fn load_elsewhere(self) {
        let key = self.key.get_untracked();
        self.elsewhere.set(None);
        self.open(&key);
    }
}

/// The lines that stay until they no longer hold: a plan that can't be saved, a plan that another tab has changed.
#[component]
pub fn Standing() -> impl IntoView {
    let keeper = use_keeper();
    let store = use_store();
    view! {
        <div class="standing" role="status">
            <Show when=move || keeper.trouble.with(Option::is_some)>
                <p>
                    <span>
                        {move || keeper.trouble.get()}
                        ", so this plan is not saved and goes with the page. Take it away as a file."
                    </span>
                    <button type="button" on:click=move |_| super::files::download(store)>
                        "Save as a file"
                    </button>
                </p>
            </Show>
            <Show when=move || keeper.elsewhere.with(Option::is_some)>
                <p>
                    <span>
                        "Another tab has changed this plan. Load its version, or go on here: your next edit keeps yours as another plan."
                    </span>
                    <button type="button" on:click=move |_| keeper.load_elsewhere()>
                        "Load its version"
                    </button>
                </p>
            </Show>
        </div>
    }
}
