//! The shelf: random sessions over a storage that fails at any write, in one page and in two; earlier stored forms; the
//! whole shelf's file.

#![cfg(not(target_arch = "wasm32"))]

use duskline::plan::{Edit, NamedWorld, Part, Plan, WORLD_FORMAT, examples, read_plan, read_world};
use duskline::shelf::{
    Calendar, Change, Content, Failure, Filter, MemoryStore, Mended, Open, Origin, Record, Save,
    Shelf, Sort, Stop, Store, Stored, Version, Versions, export, import, mend, migrate, text_of,
};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

const DAY: u64 = 86_400_000;
const NOW: u64 = 20_000 * DAY;
const TODAY: Calendar = Calendar {
    midnight: NOW,
    room: u64::MAX,
};

fn plan(title: &str, lamps: usize) -> Plan {
    let mut plan = Plan {
        title: title.into(),
        ..Plan::empty()
    };
    for at in 0..lamps {
        let id = plan.new_part_id();
        let part = Part::new(id, "lamp", (0.0, at as f64 * 120.0));
        plan.apply(Edit::AddPart(at, part)).unwrap();
    }
    plan
}

fn kept(stored: &Stored, key: &str) -> Option<Plan> {
    read_plan(Record::read(stored.get(Store::Plans, key)?).text).ok()
}

/// Does a change in a storage that does not fail.
fn done(store: &mut MemoryStore, change: Change) -> Shelf {
    store.write(&change.writes).unwrap();
    change.after
}

/// A shelf with these plans, kept one after the other, each with a first version.
fn shelf_of(plans: &[(&str, Plan)]) -> (Shelf, MemoryStore) {
    let (mut shelf, mut store) = (Shelf::default(), MemoryStore::default());
    for (at, (key, plan)) in plans.iter().enumerate() {
        let none = Versions::default();
        let save = Save {
            now: NOW + at as u64,
            versions: Some((&none, TODAY)),
            ..Save::default()
        };
        shelf = done(
            &mut store,
            shelf.save(&Open::fresh(*key), plan, &save).change,
        );
    }
    (shelf, store)
}

/// That a storage is read as this shelf, with nothing to mend.
fn is_whole(store: &MemoryStore, shelf: &Shelf) {
    let found = mend(store.stored());
    assert_eq!(found.told, []);
    assert_eq!(found.writes, []);
    assert_eq!(found.shelf, *shelf);
}

#[path = "shelf/file.rs"]
mod file;
#[path = "shelf/history.rs"]
mod history;
#[path = "shelf/listing.rs"]
mod listing;
#[path = "shelf/mending.rs"]
mod mending;
#[path = "shelf/migration.rs"]
mod migration;
#[path = "shelf/sessions.rs"]
mod sessions;
