//! What other tabs make of the plans: the shelf follows them, and a change of the open plan is said.

use super::Keeper;
use crate::shelf::{Entry, Open, Shelf, Store as Records};
use leptos::prelude::*;

impl Keeper {
    /// Hears that another tab has written what is kept under a key.
    pub(super) fn hear(self, key: String) {
        self.in_turn(move |keeper| async move {
            let database = keeper.database();
            let world = database.read(Records::Worlds, &key).await.ok().flatten();
            if world.is_some() || keeper.shelf.with_untracked(|s| s.worlds.contains_key(&key)) {
                let retold = |s: &Shelf| s.retold_world(&key, world.as_deref());
                return keeper.shelf.set(keeper.shelf.with_untracked(retold));
            }
            let facts = database.read(Records::Facts, &key).await.ok().flatten();
            let own = database.read(Records::Entries, &key).await.ok().flatten();
            let shelf = keeper
                .shelf
                .with_untracked(|shelf| shelf.retold(&key, facts.as_deref(), own.as_deref()));
            let entry = shelf.entry(&key).cloned();
            keeper.shelf.set(shelf);
            if keeper.key.with_untracked(|k| *k == key) {
                keeper.compare_with(entry);
            }
        });
    }

    /// Looks whether another tab has another version of the open plan.
    fn compare_with(self, entry: Option<Entry>) {
        let opened = self.opened.get_value();
        match entry {
            Some(entry) if !entry.is_binned() => {
                let is_other = entry.facts.content != opened.borrow().open.content;
                self.elsewhere.set(is_other);
            }
            _ => {
                // Kept again whole at the next edit.
                let key = self.key.get_untracked();
                opened.borrow_mut().open = Open::fresh(&key);
                let said = "Another tab has deleted this plan. It is kept again at the next edit.";
                self.store.notice(said.into());
            }
        }
    }

    /// Whether another tab has made something else of the open plan.
    pub fn is_changed_elsewhere(self) -> Signal<bool> {
        self.elsewhere.into()
    }

    /// Opens what another tab has made of the open plan.
    pub fn load_elsewhere(self) {
        self.elsewhere.set(false);
        // Its version takes the place of ours.
        self.is_due.set_value(false);
        self.kept.set_value(untrack(|| self.store.revision()));
        self.open(&self.key.get_untracked());
    }
}
