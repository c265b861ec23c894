//! The worlds that are kept, read: the shelf tells their names, and what is in them comes from the storage.

use crate::page::keeping::Keeper;
use crate::page::recheck::Rechecks;
use crate::page::store::Store;
use crate::plan::{Follows, NamedWorld, Numbers, read_world};
use crate::proof::recheck::Side;
use crate::sheet::followed::Following;
use crate::sheet::numbers_changed;
use crate::shelf::{Record, Store as Records};
use leptos::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The worlds, and how the open plan stands to the one that it follows. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Worlds {
    store: Store,
    keeper: Keeper,
    rechecks: Rechecks,
    /// By their keys.
    all: RwSignal<BTreeMap<String, Arc<NamedWorld>>>,
    numbers: Memo<Numbers>,
    follows: Memo<Option<Follows>>,
    following: Memo<Following>,
}

/// The worlds, from the context that the page's second part provides.
pub fn use_worlds() -> Worlds {
    expect_context()
}

impl Worlds {
    /// Reads the worlds now and whenever they change. Call it in the page's root.
    pub fn start(store: Store, keeper: Keeper, rechecks: Rechecks) -> Worlds {
        let all = RwSignal::new(BTreeMap::<String, Arc<NamedWorld>>::new());
        let revisions = Memo::new(move |_| {
            keeper.shelf().with(|shelf| {
                let told = shelf.worlds.values().filter(|world| !world.damaged);
                let told = told.map(|world| (world.key.clone(), world.revision));
                told.collect::<BTreeMap<_, _>>()
            })
        });
        Effect::new(move |before: Option<BTreeMap<String, u64>>| {
            let (now, before) = (revisions.get(), before.unwrap_or_default());
            all.update(|all| all.retain(|key, _| now.contains_key(key)));
            for (key, revision) in &now {
                if before.get(key) != Some(revision) {
                    read(keeper, key, all);
                }
            }
            now
        });
        let numbers = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| plan.numbers())
        });
        let follows = Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| plan.follows.clone())
        });
        let following = Memo::new(move |_| {
            follows.with(|follows| {
                let world = |f: &Follows| all.with(|all| by_id(all, &f.world));
                let world = follows.as_ref().and_then(world).map(|(_, world)| world);
                numbers.with(|own| Following::of(follows.as_ref(), own, world.as_deref()))
            })
        });
        Worlds {
            store,
            keeper,
            rechecks,
            all,
            numbers,
            follows,
            following,
        }
    }

    /// The world kept under a key, once it is read. Tracked.
    pub fn get(self, key: &str) -> Option<Arc<NamedWorld>> {
        self.all.with(|all| all.get(key).cloned())
    }

    /// The world that plans follow by this id, with its key. Tracked.
    pub fn of_id(self, id: &str) -> Option<(String, Arc<NamedWorld>)> {
        self.all.with(|all| by_id(all, id))
    }

    /// The world that the open plan follows, with its key, if it is kept here. Tracked.
    pub fn followed(self) -> Option<(String, Arc<NamedWorld>)> {
        let follows = self.follows.get()?;
        self.of_id(&follows.world)
    }

    /// The open plan's numbers.
    pub fn numbers(self) -> Memo<Numbers> {
        self.numbers
    }

    /// How the open plan stands to the world that it follows. Tracked.
    pub fn following(self) -> Memo<Following> {
        self.following
    }

    /// Makes the open plan follow a world and have its numbers; why not, where it can't.
    pub fn follow(self, world: &NamedWorld) -> Result<(), Vec<String>> {
        let edits = self.store.with_plan(|plan| {
            plan.edits_to_follow(world).map_err(|refusals| {
                let said = refusals.iter().map(|r| numbers_changed::refusal(plan, r));
                said.collect::<Vec<_>>()
            })
        })?;
        let does = match self.store.with_plan(|plan| plan.does_follow(world)) {
            true => "take the numbers of",
            false => "follow",
        };
        self.store.commit(&format!("{does} {}", world.name), edits);
        Ok(())
    }

    /// Makes the open plan follow no world; its numbers stay.
    pub fn unfollow(self) {
        let edits = self.store.with_plan(|plan| plan.edits_to_keep_own_copy());
        self.store.commit("follow no world", edits);
    }

    /// Keeps the open plan's numbers as a new world, which it follows from then on.
    pub fn keep_own(self, name: &str) -> Result<(), Vec<String>> {
        let world = (self.keeper).keep_new_world(name, self.numbers.get_untracked());
        self.follow(&world)
    }

    /// Gives the world under a key other numbers. Plans that follow it stay as they are, and are proven on the new numbers.
    pub fn change(self, key: &str, world: &NamedWorld, numbers: Numbers) {
        let mut changed = world.clone();
        changed.numbers = numbers;
        self.keeper.keep_world(key, changed.clone());
        self.rechecks.of_world(Side::After, &changed);
    }
}

/// Reads a world from the storage.
fn read(keeper: Keeper, key: &str, all: RwSignal<BTreeMap<String, Arc<NamedWorld>>>) {
    let of = key.to_string();
    keeper.read(Records::Worlds, key, move |record| {
        let world = record.and_then(|record| read_world(Record::read(&record).text).ok());
        if let Some(world) = world {
            all.update(|all| drop(all.insert(of, Arc::new(world))));
        }
    });
}

/// The world of this id, with its key.
fn by_id(all: &BTreeMap<String, Arc<NamedWorld>>, id: &str) -> Option<(String, Arc<NamedWorld>)> {
    let found = all.iter().find(|(_, world)| world.id() == id);
    found.map(|(key, world)| (key.clone(), world.clone()))
}
