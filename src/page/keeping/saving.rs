//! Keeping the open plan: edits gathered, versions now and then, and what is left over when a tab is closed.

use super::trouble::Trouble;
use super::{Keeper, Opened, late, new_key, now};
use crate::page::keeping::GATHER;
use crate::plan::Plan;
use crate::sheet::thumbnail;
use crate::shelf::{Calendar, Open, Record, Save, Store, Time, Versions};
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

/// A version is kept at most so often, in milliseconds.
const VERSION_EVERY: Time = 60_000;
/// What stood for so long before the next edit becomes a version, in milliseconds: it was looked at.
const STOOD: Time = 20_000;
/// The most characters that the versions of one plan may take.
const ROOM: u64 = 2_000_000;
/// The most characters of undo that are kept beside a plan.
const UNDO: usize = 200_000;

/// The open plan as it is to be kept.
struct LastEdit {
    opened: Rc<RefCell<Opened>>,
    plan: Arc<Plan>,
    /// Its steps of undo.
    undo: String,
    back: Option<WentBack>,
}

/// The open plan went back to a version.
struct WentBack {
    /// The version's number.
    number: u64,
    /// The plan as it was until then.
    before: Arc<Plan>,
}

/// When today began, by this machine's clock.
pub(super) fn calendar() -> Calendar {
    let today = js_sys::Date::new_0();
    today.set_hours(0);
    today.set_minutes(0);
    today.set_seconds(0);
    today.set_milliseconds(0);
    Calendar {
        midnight: today.get_time() as Time,
        room: ROOM,
    }
}

impl Keeper {
    /// Keeps the open plan soon.
    pub(super) fn save_later(self) {
        let is_kept = untrack(|| self.store.revision()) == self.kept.get_value();
        if !is_kept && !self.is_due.get_value() {
            self.is_due.set_value(true);
            set_timeout(move || self.save_due(), GATHER);
        }
    }

    /// Keeps the open plan now, if it has changed since it was kept.
    pub(super) fn save_due(self) {
        if self.is_due.try_get_value() == Some(true) {
            self.save();
        }
    }

    /// The same where the tab may be gone the next moment.
    pub(super) fn save_last(self) {
        if self.is_due.try_get_value() != Some(true) {
            return;
        }
        let opened = self.opened.get_value();
        self.store
            .with_plan(|plan| late::lay_down(&opened.borrow().open, plan));
        self.save();
    }

    /// Keeps the open plan as it now is. An empty one that was never kept is not.
    pub(super) fn save(self) {
        self.save_with(None);
    }

    /// Keeps the open plan after it went back to a version; `before` is how it was until then.
    pub fn gone_back(self, number: u64, before: Arc<Plan>) {
        self.save_with(Some(WentBack { number, before }));
    }

    fn save_with(self, back: Option<WentBack>) {
        self.is_due.set_value(false);
        self.kept.set_value(untrack(|| self.store.revision()));
        let mut opened = self.opened.get_value();
        let is_new = opened.borrow().open.revision == 0;
        let plan = self.store.document();
        if is_new && *plan == Plan::fresh() {
            return;
        }
        if self.elsewhere.get_untracked() {
            // Another tab has its own version under this key; ours goes on beside it.
            opened = self.go_on_beside(&opened);
        }
        let undo = self.store.with(|editor| editor.history_text(UNDO));
        let last = LastEdit {
            opened,
            plan,
            undo,
            back,
        };
        self.in_turn(move |keeper| keeper.write_open(last));
    }

    /// From now on the open plan is kept under a key of its own.
    fn go_on_beside(self, opened: &Rc<RefCell<Opened>>) -> Rc<RefCell<Opened>> {
        let key = new_key();
        late::clear(&opened.borrow().open.key);
        let beside = Opened::cell(Open::fresh(&key), opened.borrow().origin.edited());
        self.opened.set_value(beside.clone());
        self.key.set(key.clone());
        self.store.set_plan_key(key);
        self.elsewhere.set(false);
        let said = "Kept as another plan from now on: another tab has changed the one it was.";
        self.store.notice(said.into());
        beside
    }

    async fn write_open(self, last: LastEdit) {
        let LastEdit {
            opened,
            plan,
            undo,
            back,
        } = last;
        self.keep_before(&opened).await;
        let (open, versions, origin) = {
            let opened = opened.borrow();
            (opened.open.clone(), opened.versions.clone(), opened.origin)
        };
        let time = now();
        let is_time = |versions: &Versions| {
            let newest = versions.all().last();
            newest.is_none_or(|newest| time.saturating_sub(newest.at) >= VERSION_EVERY)
        };
        let is_due = |versions: &&Versions| back.is_some() || is_time(versions);
        let save = Save {
            now: time,
            origin,
            undo: Some(undo),
            picture: thumbnail::picture(&plan),
            versions: (versions.as_ref().filter(is_due)).map(|v| (v, calendar())),
        };
        let saved = (self.shelf).with_untracked(|shelf| match &back {
            Some(back) => shelf.restore_version(&open, &back.before, (back.number, &plan), &save),
            None => shelf.save(&open, &plan, &save),
        });
        match self.write(saved.change).await {
            Ok(()) => {
                {
                    let mut opened = opened.borrow_mut();
                    opened.open = saved.open;
                    opened.last = Some((plan, time));
                }
                if let Some(versions) = saved.versions {
                    self.have_versions(&opened, versions);
                }
                late::clear(&open.key);
                self.trouble.set(None);
                if self.key.with_untracked(|key| *key == open.key) {
                    self.remember_open();
                    self.note_last_verdict();
                }
            }
            Err(Trouble::Changed) => self.write_beside(opened, plan, saved.open).await,
            Err(trouble) => self.trouble.set(Some(trouble.to_string())),
        }
    }

    /// Another page was first: where it wrote the same all is well, else this goes on as another plan.
    async fn write_beside(self, opened: Rc<RefCell<Opened>>, plan: Arc<Plan>, ours: Open) {
        let there = self.database().read(Store::Plans, &ours.key).await;
        let there = there.ok().flatten().unwrap_or_default();
        let there = Record::read(&there);
        if there.content == Some(ours.content) {
            opened.borrow_mut().open = Open {
                revision: there.revision,
                ..ours
            };
            self.trouble.set(None);
            return late::clear(&opened.borrow().open.key);
        }
        let is_open = self.key.with_untracked(|key| *key == ours.key);
        let beside = match is_open {
            true => self.go_on_beside(&opened),
            false => Opened::cell(Open::fresh(new_key()), opened.borrow().origin.edited()),
        };
        let open = beside.borrow().open.clone();
        let save = Save {
            now: now(),
            ..Save::default()
        };
        let saved = (self.shelf).with_untracked(|shelf| shelf.save(&open, &plan, &save));
        if let Err(trouble) = self.write(saved.change).await {
            return self.trouble.set(Some(trouble.to_string()));
        }
        beside.borrow_mut().open = saved.open;
        self.trouble.set(None);
        if is_open {
            self.remember_open();
        }
    }

    /// Makes a version of how the plan was when it was opened, or of how it has stood for a while, before it is written over.
    async fn keep_before(self, opened: &Rc<RefCell<Opened>>) {
        let (before, open, versions) = {
            let mut opened = opened.borrow_mut();
            let stood = |(_, at): &(Arc<Plan>, Time)| now().saturating_sub(*at) >= STOOD;
            let last = opened.last.take().filter(stood).map(|(plan, _)| plan);
            let before = opened.before.take().or(last);
            (before, opened.open.clone(), opened.versions.clone())
        };
        let (Some(before), Some(versions)) = (before, versions) else {
            return;
        };
        let (change, versions) = self.shelf.with_untracked(|shelf| {
            let changed = shelf.entry(&open.key).map_or(0, |e| e.facts.changed);
            shelf.name_version(&open, &before, "", changed, (&versions, calendar()))
        });
        // Without room for it the plan itself is more important.
        if self.database().write(&change.writes).await.is_ok() {
            self.have_versions(opened, versions);
        }
    }
}
