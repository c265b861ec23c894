//! The worlds that are kept: one kept, renamed, removed, and what is done with one that comes in by a link or a file.

use super::{Keeper, Trouble, new_key};
use crate::plan::{NamedWorld, Numbers};
use crate::shelf::{Change, KnownWorld, Shelf};
use leptos::prelude::*;

impl Keeper {
    /// Keeps these numbers as a world of this name, or of that with a number behind it where one is called so already; gives
    /// the world.
    pub fn keep_new_world(self, name: &str, numbers: Numbers) -> NamedWorld {
        let name = (self.shelf).with_untracked(|shelf| shelf.free_world_name(name.trim()));
        let key = new_key();
        let world = NamedWorld::new(&key, &name, numbers);
        self.keep_world(&key, world.clone());
        world
    }

    /// Keeps a world in place of what is kept under `key`, if anything is.
    pub fn keep_world(self, key: &str, world: NamedWorld) {
        let key = key.to_string();
        self.change_worlds(move |shelf| shelf.keep_world(&key, &world));
    }

    /// Removes a world; plans that follow it keep their own copies of its numbers.
    pub fn forget_world(self, key: &str) {
        let key = key.to_string();
        self.change_worlds(move |shelf| shelf.forget_world(&key));
    }

    /// Does something with the worlds. Where another tab was quicker its world stays, and that is said.
    fn change_worlds(self, act: impl FnOnce(&Shelf) -> Change + 'static) {
        self.in_turn(move |keeper| async move {
            let change = keeper.shelf.with_untracked(act);
            match keeper.write(change).await {
                Ok(()) => {}
                Err(Trouble::Changed) => keeper.store.notice(
                    "Not done: another tab has changed this world meanwhile. Reload the page to see its numbers.".into(),
                ),
                Err(trouble) => keeper.store.notice(format!("The world is not kept: {trouble}.")),
            }
        });
    }

    /// Takes in a world that came by a link or a file: one of a new id is kept, and of one whose id is known with other
    /// numbers it is asked what to do ([`Keeper::arrived`]).
    pub fn take_world(self, world: NamedWorld) {
        let known = (self.shelf).with_untracked(|shelf| shelf.knows(&world));
        match known {
            KnownWorld::Same(_) => self.say(&format!("{} is kept here already.", world.name)),
            KnownWorld::Other(_) => self.arrived.set(Some(world)),
            KnownWorld::New => {
                let name = (self.shelf).with_untracked(|shelf| shelf.free_world_name(&world.name));
                self.say(&format!("{name} is kept among your worlds now."));
                let world = world.renamed(world.id(), &name);
                self.keep_world(&new_key(), world);
            }
        }
    }

    /// The world that came in and whose id is known with other numbers, until somebody says what to do with it.
    pub fn arrived(self) -> RwSignal<Option<NamedWorld>> {
        self.arrived
    }

    /// Keeps the world that came in beside the one that has its id, under another.
    pub fn keep_both(self) {
        if let Some(world) = self.arrived.get_untracked() {
            self.keep_new_world(&world.name, world.numbers);
            self.arrived.set(None);
        }
    }
}
