//! Putting right what is stored: from all texts to the shelf, with the writes that make the storage whole.
//!
//! What a crash between two writes of a change leaves is among what is put right; so are records that are damaged or gone.
//! A plan's text is never touched where it can't be read. Only what does not fit is read through, so that a sound shelf
//! is read in a few milliseconds.

use super::acts::removal;
use super::entry::{Entry, Facts, Own};
use super::kept::KeptDocument;
use super::stored::{Content, Record, Store, Stored, Write, record};
use super::versions::Version;
use super::{Shelf, text_of};
use crate::plan::{Salvage, salvage};
use std::collections::BTreeSet;

/// What was mended, each with the plan's key and, where it is known, its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mended {
    /// What is told of the plan was missing or of another text; it was made anew.
    Facts(String, String),
    /// What was said of the plan, its tags among it, is gone.
    Own(String, String),
    /// The plan's text was not as it was written, and can be read all the same.
    Head(String, String),
    /// The plan was gone; it was made anew from its newest version.
    FromVersion(String, String),
    /// The plan is gone, and nothing is left to make it from.
    Lost(String, String),
    /// The rest of something that was removed, or that was never kept whole, was cleared away.
    Rest(String),
}

/// What came of mending.
#[derive(Clone, Debug, Default)]
pub struct Mending {
    /// The shelf, once the writes are done.
    pub shelf: Shelf,
    /// The writes that make the storage so; none where it is whole.
    pub writes: Vec<Write>,
    /// What was mended.
    pub told: Vec<Mended>,
}

/// Reads a shelf from all that is stored.
pub fn mend(stored: &Stored) -> Mending {
    let mut mending = Mending::default();
    let mut keys: BTreeSet<&str> = BTreeSet::new();
    for store in [
        Store::Plans,
        Store::Facts,
        Store::Entries,
        Store::Variants,
        Store::Pictures,
    ] {
        keys.extend(stored.of(store).map(|(key, _)| key));
    }
    for store in [Store::Undo, Store::Versions] {
        for (key, _) in stored.of(store) {
            match key.rsplit_once('/') {
                Some((plan, _)) => drop(keys.insert(plan)),
                // It belongs to no plan.
                None => mending.writes.push(Write::remove(store, key)),
            }
        }
    }
    for key in keys {
        match stored.get(Store::Plans, key) {
            Some(text) => mending.plan(stored, key, text),
            None => mending.without_plan(stored, key),
        }
    }
    mending.number_untitled();
    let worlds = stored.of(Store::Worlds);
    let worlds = worlds.map(|(key, text)| (key.into(), KeptDocument::of_world(key, text)));
    mending.shelf.worlds = worlds.collect();
    let books = stored.of(Store::Books);
    let books = books.map(|(key, text)| (key.into(), KeptDocument::of_book(key, text)));
    mending.shelf.books = books.collect();
    mending
}

impl Mending {
    fn plan(&mut self, stored: &Stored, key: &str, text: &str) {
        let read = Record::read(text);
        let content = Content::of(read.text);
        let mut entry = Entry {
            key: key.into(),
            ..Entry::default()
        };
        let own = stored.get(Store::Entries, key).and_then(Own::read);
        let is_said = own.is_some();
        entry.own = own.unwrap_or_default();
        let known = stored.get(Store::Facts, key).and_then(Facts::read);
        let fits = |facts: &Facts| facts.revision == read.revision && facts.content == content;
        let is_whole = read.content == Some(content);
        match known {
            Some(facts) if fits(&facts) && is_whole => {
                entry.damaged = facts.fingerprint.is_none();
                entry.facts = facts;
            }
            known => self.read_anew(&mut entry, known, read, content),
        }
        if !is_said {
            self.writes.push(entry.write_own());
            self.told.push(Mended::Own(key.into(), entry.name()));
        }
        let start = format!("{key}/");
        let own_undo = format!("{start}{content}");
        for (undo, _) in stored.under(Store::Undo, &start) {
            if undo != own_undo {
                self.writes.push(Write::remove(Store::Undo, undo));
            }
        }
        self.shelf.entries.insert(key.into(), entry);
    }

    /// Reads the plan, since what is told of it does not fit.
    fn read_anew(
        &mut self,
        entry: &mut Entry,
        known: Option<Facts>,
        read: Record,
        content: Content,
    ) {
        let found = salvage(read.text);
        let sound = found.ok().filter(|found| found.faults.is_empty());
        let is_whole = read.content == Some(content);
        let revision = read.revision + u64::from(sound.is_some() && !is_whole);
        let known = known.unwrap_or_default();
        entry.damaged = sound.is_none();
        entry.facts = Facts {
            changed: known.changed,
            number: known.number,
            verdict: known.verdict,
            ..match &sound {
                Some(Salvage { plan, .. }) => Facts::of(plan, read.text, revision),
                None => Facts::of_damaged(read.text, revision),
            }
        };
        let name = entry.name();
        if sound.is_some() && !is_whole {
            let text = record(revision, content, read.text);
            self.writes
                .push(Write::put(Store::Plans, entry.key.clone(), text));
            self.told
                .push(Mended::Head(entry.key.clone(), name.clone()));
        }
        if known != entry.facts {
            let put = Write::put(Store::Facts, entry.key.clone(), entry.facts.record());
            self.writes.push(put);
            self.told.push(Mended::Facts(entry.key.clone(), name));
        }
    }

    fn without_plan(&mut self, stored: &Stored, key: &str) {
        let own = stored.get(Store::Entries, key).and_then(Own::read);
        let facts = stored.get(Store::Facts, key).and_then(Facts::read);
        let is_binned = own.as_ref().is_some_and(|own| own.binned.is_some());
        let start = format!("{key}/");
        let versions: Vec<&str> = stored.under(Store::Versions, &start).map(|v| v.1).collect();
        let newest = versions.into_iter().rev().find_map(|record| {
            let text = Version::read(record)?.unpack()?;
            salvage(&text).ok().filter(|found| found.faults.is_empty())
        });
        let (Some(Salvage { plan, .. }), false) = (newest, is_binned) else {
            self.writes.extend(removal(key));
            self.told.push(match facts {
                Some(facts) if !is_binned => Mended::Lost(key.into(), facts.title),
                _ => Mended::Rest(key.into()),
            });
            return;
        };
        let text = text_of(&plan);
        let known = facts.unwrap_or_default();
        let revision = known.revision + 1;
        let entry = Entry {
            key: key.into(),
            own: own.unwrap_or_default(),
            facts: Facts {
                changed: known.changed,
                number: known.number,
                ..Facts::of(&plan, &text, revision)
            },
            damaged: false,
        };
        let put = record(revision, entry.facts.content, &text);
        self.writes.push(Write::put(Store::Plans, key, put));
        self.writes
            .push(Write::put(Store::Facts, key, entry.facts.record()));
        self.writes.push(entry.write_own());
        self.writes.push(Write::remove(Store::Undo, start));
        self.told
            .push(Mended::FromVersion(key.into(), entry.name()));
        self.shelf.entries.insert(key.into(), entry);
    }

    /// Gives plans without a title numbers of their own where two have one, as when two pages made them at once.
    fn number_untitled(&mut self) {
        let mut seen = BTreeSet::new();
        let mut doubled = Vec::new();
        for entry in self.shelf.entries.values() {
            let facts = &entry.facts;
            if facts.title.is_empty() && (facts.number == 0 || !seen.insert(facts.number)) {
                doubled.push(entry.key.clone());
            }
        }
        for key in doubled {
            let number = self.shelf.free_number_but(&key);
            if let Some(entry) = self.shelf.entries.get_mut(&key) {
                entry.facts.number = number;
                let put = Write::put(Store::Facts, key, entry.facts.record());
                self.writes.push(put);
            }
        }
    }
}
