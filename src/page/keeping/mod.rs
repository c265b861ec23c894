//! Keeps the plans in the browser: the open one after every edit, and all of them on the shelf ([`crate::shelf`]).
//!
//! Records lie in the browser's database, else in local storage (`src/page/keeping/database.rs`); small settings, such as
//! which plan was open last, in local storage. Edits are gathered: at most one write in half a second, and at once when
//! the tab is hidden or closed. What is done with the shelf is done in its order, one act after the other, each from the
//! shelf as the one before it left it. Storage that is blocked or full is said in a standing line; a plan that another tab
//! has changed is never written over. It knows nothing of what plans mean.

mod acts;
mod boot;
pub mod browser;
mod database;
mod elsewhere;
mod history;
mod late;
mod message;
mod plan_text;
mod saving;
mod space;
mod tabs;
mod trouble;
mod whole;
mod worlds;

pub use boot::{Loaded, load};
pub use message::Message;
pub use plan_text::PlanText;
pub use space::Space;

use super::store::Store;
use crate::plan::{History, NamedWorld, Plan, Salvage, salvage};
use crate::shelf::{
    Change, Content, KnownVerdict, Mended, Open, Origin, Record, Shelf, Store as Records, Versions,
    Write, text_of,
};
use boot::{OPEN, Text, read_plan};
use browser::{write, write_of_tab};
use database::Database;
use leptos::prelude::*;
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;
use tabs::Tabs;
use trouble::Trouble;

/// How long edits are gathered before they are kept.
const GATHER: Duration = Duration::from_millis(500);

/// The plans that are kept. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Keeper {
    store: Store,
    database: StoredValue<Database, LocalStorage>,
    tabs: StoredValue<Option<Tabs>, LocalStorage>,
    /// Whoever does something with the shelf holds it meanwhile.
    turn: StoredValue<Rc<tokio::sync::Mutex<()>>, LocalStorage>,
    shelf: RwSignal<Shelf>,
    /// What is kept of the open plan.
    opened: StoredValue<Rc<RefCell<Opened>>, LocalStorage>,
    key: RwSignal<String>,
    /// The versions of the open plan that are kept.
    versions: RwSignal<Versions>,
    /// The last verdict on the open plan, with the plan that it is of.
    verdict: StoredValue<Option<KnownVerdict>>,
    /// Whether an edit is not kept yet.
    is_due: StoredValue<bool>,
    /// Whether the open plan came in: by link, as a file, as an example.
    has_come_in: StoredValue<bool>,
    /// The store's revision that was kept last.
    kept: StoredValue<u64>,
    trouble: RwSignal<Option<String>>,
    elsewhere: RwSignal<bool>,
    message: RwSignal<Option<Message>>,
    /// A world that came in and that has to be decided about.
    arrived: RwSignal<Option<NamedWorld>>,
}

/// What is kept of the plan that is open.
struct Opened {
    open: Open,
    origin: Origin,
    /// How it was when it was opened, until that is among its versions.
    before: Option<Arc<Plan>>,
    /// How it was kept last, and when.
    last: Option<(Arc<Plan>, u64)>,
    /// Its versions, once they are read.
    versions: Option<Versions>,
}

/// The keeper, from the context that the page's root provides.
pub fn use_keeper() -> Keeper {
    expect_context()
}

/// Milliseconds since 1970.
pub(super) fn now() -> u64 {
    js_sys::Date::now() as u64
}

/// A time by this machine's clock: `2026-03-09 14:05`, and with seconds `2026-03-09 14:05:31`.
pub fn date(time: u64, with_seconds: bool) -> String {
    let at = js_sys::Date::new(&(time as f64).into());
    let (day, month) = (at.get_date(), at.get_month() + 1);
    let (hours, minutes) = (at.get_hours(), at.get_minutes());
    let seconds = match with_seconds {
        true => format!(":{:02}", at.get_seconds()),
        false => String::new(),
    };
    format!(
        "{}-{month:02}-{day:02} {hours:02}:{minutes:02}{seconds}",
        at.get_full_year()
    )
}

/// A key that no plan has had: chance, so that two tabs never choose the same.
fn new_key() -> String {
    let digit = |_| char::from_digit((js_sys::Math::random() * 36.0) as u32 % 36, 36);
    (0..12).filter_map(digit).collect()
}

impl Keeper {
    /// Starts keeping: opens the plan that was open last, and saves at every edit from now on. Call it in the page's root.
    pub fn start(store: Store, loaded: Loaded) -> Keeper {
        let key = new_key();
        let keeper = Keeper {
            store,
            database: StoredValue::new_local(loaded.database.clone()),
            tabs: StoredValue::new_local(None),
            turn: StoredValue::new_local(Rc::default()),
            shelf: RwSignal::new(loaded.shelf),
            opened: StoredValue::new_local(Opened::cell(Open::fresh(&key), Origin::Own)),
            key: RwSignal::new(key),
            versions: RwSignal::default(),
            verdict: StoredValue::new(None),
            is_due: StoredValue::new(false),
            has_come_in: StoredValue::new(false),
            kept: StoredValue::new(0),
            trouble: RwSignal::new(None),
            elsewhere: RwSignal::new(false),
            message: RwSignal::new(None),
            arrived: RwSignal::new(None),
        };
        provide_context(keeper);
        let trouble = match loaded.database.is_there() {
            true => loaded.trouble,
            false => Some(Trouble::NoStorage),
        };
        keeper.trouble.set(trouble.map(|t| t.to_string()));
        keeper.tell_mended(&loaded.mended, &loaded.missing);
        match loaded.open {
            Some(text) => keeper.take_text(text),
            None => keeper.take(Plan::fresh(), Open::fresh(new_key()), Origin::Own, None),
        }
        keeper.listen();
        keeper
    }

    fn listen(self) {
        let store = self.store;
        Effect::watch(
            move || store.revision(),
            move |_, _, _| self.save_later(),
            false,
        );
        // A tab that is hidden may be gone the next moment.
        let hidden = window_event_listener_untyped("visibilitychange", move |_| {
            if document().hidden() {
                self.save_last();
            }
        });
        let left = window_event_listener_untyped("pagehide", move |_| self.save_last());
        on_cleanup(move || {
            hidden.remove();
            left.remove();
        });
        self.tabs
            .set_value(Some(Tabs::listen(move |key| self.hear(key))));
    }

    /// All plans that are kept.
    pub fn shelf(self) -> Signal<Shelf> {
        self.shelf.into()
    }

    /// The key of the open plan.
    pub fn key(self) -> Signal<String> {
        self.key.into()
    }

    /// Whether the open plan came in just now, by link, as a file or as an example, and not off the shelf. Not tracked.
    pub fn has_come_in(self) -> bool {
        self.has_come_in.get_value()
    }

    /// The dialog that is to be shown.
    pub fn message(self) -> RwSignal<Option<Message>> {
        self.message
    }

    /// Opens a plan beside all that are kept; if the very same is kept, that one.
    pub fn open_other(self, mut plan: Plan, origin: Origin) {
        crate::editor::layout::give_places(&mut plan);
        let content = Content::of(&text_of(&plan));
        let open = self.shelf.with_untracked(|shelf| {
            let same = shelf.there().find(|entry| entry.facts.content == content);
            same.map_or_else(|| Open::fresh(new_key()), Open::of)
        });
        self.take(plan, open, origin, None);
    }

    /// Opens the plan kept under `key`. The sound rest of a damaged one opens as another, and it stays as it is.
    pub fn open(self, key: &str) {
        let key = key.to_string();
        self.save_due();
        self.in_turn(move |keeper| async move {
            match read_plan(&keeper.database(), &key).await {
                Ok(Some(text)) => keeper.take_text(text),
                Ok(None) => keeper
                    .store
                    .notice("That plan is no longer kept here.".into()),
                Err(trouble) => keeper.store.notice(format!("{trouble}.")),
            }
        });
    }

    /// Opens a plan as it is kept.
    fn take_text(self, text: Text) {
        let read = Record::read(&text.record);
        match salvage(read.text) {
            Ok(Salvage { plan, faults }) if faults.is_empty() => {
                let open = Open {
                    key: text.key,
                    revision: read.revision,
                    content: Content::of(read.text),
                };
                let undo = text.undo.map(|undo| History::from_text(&undo, &plan));
                self.take(plan, open, Origin::Own, undo);
            }
            Ok(Salvage { plan, faults }) => {
                let said = "The plan that is kept here is damaged. It stays as it is; what is sound of it can be opened as another plan.";
                self.message.set(Some(Message {
                    rest: Some(plan),
                    ..Message::new("A damaged plan", said).with_faults(&faults)
                }));
            }
            Err(faults) => {
                let said = "What is kept here can't be read as a plan. It stays as it is.";
                self.message
                    .set(Some(Message::new("No plan", said).with_faults(&faults)));
            }
        }
    }

    fn take(self, plan: Plan, open: Open, origin: Origin, undo: Option<History>) {
        self.save_due();
        self.elsewhere.set(false);
        let key = open.key.clone();
        let is_kept = open.revision > 0;
        self.has_come_in.set_value(origin != Origin::Own);
        let cell = Opened::cell(open, origin);
        self.opened.set_value(cell.clone());
        self.versions.set(Versions::default());
        self.key.set(key.clone());
        self.store.replace_plan(plan, key.clone(), undo);
        cell.borrow_mut().before = is_kept.then(|| self.store.document());
        self.is_due.set_value(false);
        self.kept.set_value(untrack(|| self.store.revision()));
        if is_kept {
            self.read_versions(cell);
            self.note(move |shelf| shelf.opened(&key, now()));
            self.remember_open();
        } else {
            self.save();
        }
    }

    /// Says in the tab and in the browser which plan is open.
    fn remember_open(self) {
        let key = self.key.get_untracked();
        write_of_tab(OPEN, &key);
        // Without it the next tab shows another plan, and nothing is lost.
        let _ = write(OPEN, &key);
    }

    /// Does something with the shelf once all that was begun before is done.
    pub(super) fn in_turn<F: Future<Output = ()> + 'static>(
        self,
        does: impl FnOnce(Keeper) -> F + 'static,
    ) {
        let turn = self.turn.get_value();
        leptos::task::spawn_local(async move {
            let _held = turn.lock().await;
            does(self).await;
        });
    }

    pub(super) fn database(self) -> Database {
        self.database.get_value()
    }

    /// Does an act with the shelf as it then is.
    fn act(self, act: impl FnOnce(&Shelf) -> Change + 'static) {
        self.in_turn(move |keeper| async move {
            let change = keeper.shelf.with_untracked(act);
            keeper.carry_out(change).await;
        });
    }

    /// Notes something that can be found out again: where there is no room for it, nothing is lost.
    fn note(self, act: impl FnOnce(&Shelf) -> Change + 'static) {
        self.in_turn(move |keeper| async move {
            let change = keeper.shelf.with_untracked(act);
            let _ = keeper.write(change).await;
        });
    }

    /// Does the writes of a change, tells the other tabs, and has the shelf after it.
    async fn write(self, change: Change) -> Result<(), Trouble> {
        if change.writes.is_empty() {
            return Ok(());
        }
        self.database().write(&change.writes).await?;
        // What lies below a key belongs to its plan.
        let key = |write: &Write| write.key.split('/').next().unwrap_or_default().to_string();
        let keys: BTreeSet<String> = change.writes.iter().map(key).collect();
        self.tabs.with_value(|tabs| {
            if let Some(tabs) = tabs {
                keys.iter().for_each(|key| tabs.tell(key));
            }
        });
        if self.shelf.with_untracked(|shelf| *shelf != change.after) {
            self.shelf.set(change.after);
        }
        Ok(())
    }

    /// The same; whether that went well. Where it did not, that is said.
    async fn carry_out(self, change: Change) -> bool {
        match self.write(change).await {
            Ok(()) => true,
            Err(trouble) => {
                self.store.notice(format!("Not done: {trouble}."));
                false
            }
        }
    }

    /// The record of a store under a key, handed to `then` when it is read.
    pub fn read(self, store: Records, key: &str, then: impl FnOnce(Option<String>) + 'static) {
        let key = key.to_string();
        self.in_turn(move |keeper| async move {
            then(keeper.database().read(store, &key).await.ok().flatten());
        });
    }

    /// Keeps a record that no other says anything of.
    pub fn put(self, store: Records, key: &str, text: String) {
        let write = Write::put(store, key, text);
        self.act(move |shelf| Change {
            after: shelf.clone(),
            writes: vec![write],
        });
    }

    /// Why nothing can be kept, if so.
    pub fn trouble(self) -> Signal<Option<String>> {
        self.trouble.into()
    }

    /// Says what was put right before the page was shown.
    fn tell_mended(self, mended: &[Mended], missing: &[String]) {
        let mut said = Vec::new();
        let quoted = |name: &String| format!("“{name}”");
        for what in mended {
            match what {
                Mended::Lost(_, name) => {
                    said.push(format!(
                        "{} is gone, and there is nothing left of it.",
                        quoted(name)
                    ));
                }
                Mended::FromVersion(_, name) => {
                    said.push(format!(
                        "{} was gone; it is back as its newest version.",
                        quoted(name)
                    ));
                }
                Mended::Own(_, name) => {
                    said.push(format!("The tags of {} are lost.", quoted(name)));
                }
                Mended::Head(..) | Mended::Facts(..) | Mended::Rest(_) => {}
            }
        }
        if !missing.is_empty() {
            let names: Vec<String> = missing.iter().map(quoted).collect();
            said.push(format!(
                "A list named plans of which nothing is there: {}.",
                names.join(", ")
            ));
        }
        if !said.is_empty() {
            let message = Message::new("The plans kept here were put right", said.join(" "));
            self.message.set(Some(message));
        }
    }
}

impl Opened {
    /// What is kept of it, and its versions.
    fn kept(&self) -> (Open, Versions) {
        let versions = self.versions.clone().unwrap_or_default();
        (self.open.clone(), versions)
    }

    fn cell(open: Open, origin: Origin) -> Rc<RefCell<Opened>> {
        let versions = (open.revision == 0).then(Versions::default);
        Rc::new(RefCell::new(Opened {
            open,
            origin,
            before: None,
            last: None,
            versions,
        }))
    }
}
