//! The shelf: all plans that somebody keeps, with their versions, worlds and books, as plain data.
//!
//! Nothing here knows a browser. An act on a [`Shelf`] answers with a [`Change`]: the shelf after it, and the writes that
//! make the storage so. Whoever keeps it does the writes in their order and takes the shelf after it once they are done;
//! where one fails, or was refused since another page wrote first, it reads the storage again ([`mend`]) and acts on that.
//! A write asks for the revision that it was made from, so two pages with one plan open never overwrite each other unseen.
//! Times are milliseconds since 1970 and come in as arguments, as fresh keys do.

mod acts;
mod entry;
mod file;
mod import;
mod kept;
mod list;
mod memory;
mod mend;
mod migrate;
mod pack;
mod restore;
mod save;
mod stored;
mod told;
mod versions;

pub use entry::{Entry, Facts, KnownVerdict, Origin, Own, ShelfVerdict, Time, free_title, text_of};
pub use file::{SHELF_FORMAT, SHELF_VERSION, export};
pub use import::{Import, import};
pub use kept::{KeptDocument, KnownWorld};
pub use list::{Filter, Sort};
pub use memory::{Failure, MemoryStore, Stop};
pub use mend::{Mended, Mending, mend};
pub use migrate::{Migration, migrate};
pub use save::{Open, Save, Saved};
pub use stored::{Condition, Content, Record, Store, Stored, Write, record, revision_of};
pub use versions::{Calendar, Version, VersionHead, Versions};

use std::collections::{BTreeMap, BTreeSet};

/// All plans, worlds and books that are kept.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shelf {
    /// The plans, by their keys.
    pub entries: BTreeMap<String, Entry>,
    /// The worlds, by their keys.
    pub worlds: BTreeMap<String, KeptDocument>,
    /// The parts books, by their keys.
    pub books: BTreeMap<String, KeptDocument>,
}

/// What an act makes of a shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The shelf, once the writes are done.
    pub after: Shelf,
    /// The writes, in their order.
    pub writes: Vec<Write>,
}

impl Shelf {
    /// The plan kept under `key`.
    pub fn entry(&self, key: &str) -> Option<&Entry> {
        self.entries.get(key)
    }

    /// The plans that are not in the bin, in the order of their keys.
    pub fn there(&self) -> impl Iterator<Item = &Entry> {
        self.entries.values().filter(|entry| !entry.is_binned())
    }

    /// A change that changes nothing.
    fn unchanged(&self) -> Change {
        Change {
            after: self.clone(),
            writes: Vec::new(),
        }
    }

    /// The least number that no plan without a title has.
    fn free_number(&self) -> u64 {
        self.free_number_but("")
    }

    /// The least number that no plan without a title has but the one under `key`.
    fn free_number_but(&self, key: &str) -> u64 {
        let untitled = self.entries.values();
        let untitled = untitled.filter(|e| e.facts.title.is_empty() && e.key != key);
        let taken: BTreeSet<u64> = untitled.map(|entry| entry.facts.number).collect();
        (1..).find(|n| !taken.contains(n)).unwrap_or(1)
    }
}
