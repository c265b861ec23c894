//! The versions of the open plan: read, named, and gone back to.

use super::{Keeper, Opened, now, saving};
use crate::plan::{Plan, salvage};
use crate::shelf::{Change, Store as Records, Version, Versions};
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;

impl Keeper {
    pub(super) fn read_versions(self, cell: Rc<RefCell<Opened>>) {
        self.in_turn(move |keeper| async move {
            let start = format!("{}/", cell.borrow().open.key);
            let read = keeper.database().read_all(Records::Versions, &start).await;
            let heads = read.unwrap_or_default();
            let heads = heads.iter().filter_map(|(_, text)| Version::read(text));
            let versions = Versions::of(heads.map(|version| version.head));
            keeper.have_versions(&cell, versions);
        });
    }

    /// Has other versions of a plan that was opened.
    pub(super) fn have_versions(self, cell: &Rc<RefCell<Opened>>, versions: Versions) {
        cell.borrow_mut().versions = Some(versions.clone());
        if Rc::ptr_eq(cell, &self.opened.get_value()) {
            self.versions.set(versions);
        }
    }

    /// The versions of the open plan that are kept, the first first.
    pub fn versions(self) -> Signal<Versions> {
        self.versions.into()
    }

    /// The plan in a version of the open plan, handed to `then` when it is read.
    pub fn version(self, number: u64, then: impl FnOnce(Option<Plan>) + 'static) {
        let key = self
            .versions
            .with_untracked(|v| v.key(&self.key.get_untracked(), number));
        self.read(Records::Versions, &key, move |text| {
            let text = text.and_then(|text| Version::read(&text)?.unpack());
            let found = text.and_then(|text| salvage(&text).ok());
            then(found.filter(|f| f.faults.is_empty()).map(|f| f.plan));
        });
    }

    /// Gives a version of the open plan a name.
    pub fn rename_version(self, number: u64, name: &str) {
        let (name, cell) = (name.to_string(), self.opened.get_value());
        self.in_turn(move |keeper| async move {
            let (open, versions) = cell.borrow().kept();
            let key = versions.key(&open.key, number);
            let record = keeper.database().read(Records::Versions, &key).await;
            let Some(version) = record.ok().flatten().and_then(|r| Version::read(&r)) else {
                return keeper
                    .store
                    .notice("That version is no longer kept.".into());
            };
            let (versions, writes) = versions.rename(&open.key, &version, Some(&name));
            let after = keeper.shelf.get_untracked();
            if keeper.carry_out(Change { after, writes }).await {
                keeper.have_versions(&cell, versions);
                keeper.say(&format!("That version is called {} now.", name.trim()));
            }
        });
    }

    /// Keeps the open plan as it is as a version with a name.
    pub fn name_version(self, name: &str) {
        self.save();
        let (name, plan, cell) = (
            name.to_string(),
            self.store.document(),
            self.opened.get_value(),
        );
        self.in_turn(move |keeper| async move {
            let (open, versions) = cell.borrow().kept();
            let (change, versions) = keeper.shelf.with_untracked(|shelf| {
                shelf.name_version(&open, &plan, &name, now(), (&versions, saving::calendar()))
            });
            if keeper.carry_out(change).await {
                keeper.have_versions(&cell, versions);
                keeper.say(&format!("The plan is kept as version {}.", name.trim()));
            }
        });
    }
}
