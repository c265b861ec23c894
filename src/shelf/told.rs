//! The shelf from what is told of the plans alone, without reading them: how a page begins.

use super::entry::{Facts, Own};
use super::kept::KeptDocument;
use super::{Entry, Shelf, Store, Stored};
use std::collections::BTreeSet;

impl Shelf {
    /// The shelf of stored facts, entries, worlds and books, where `plans` are the keys of all plans that are kept. Nothing
    /// where these do not fit one another: then all that is stored has to be read, see [`super::mend`].
    pub fn told<'k>(stored: &Stored, plans: impl Iterator<Item = &'k str>) -> Option<Shelf> {
        let plans: BTreeSet<&str> = plans.collect();
        let keys = |store| {
            stored
                .of(store)
                .map(|(key, _)| key)
                .collect::<BTreeSet<_>>()
        };
        if keys(Store::Facts) != plans || keys(Store::Entries) != plans {
            return None;
        }
        let mut shelf = Shelf::default();
        for key in plans {
            let facts = Facts::read(stored.get(Store::Facts, key)?)?;
            let entry = Entry {
                key: key.into(),
                own: Own::read(stored.get(Store::Entries, key)?)?,
                damaged: facts.fingerprint.is_none(),
                facts,
            };
            shelf.entries.insert(key.into(), entry);
        }
        let worlds = stored.of(Store::Worlds);
        let worlds = worlds.map(|(key, text)| (key.into(), KeptDocument::of_world(key, text)));
        shelf.worlds = worlds.collect();
        let books = stored.of(Store::Books);
        let books = books.map(|(key, text)| (key.into(), KeptDocument::of_book(key, text)));
        shelf.books = books.collect();
        Some(shelf)
    }

    /// The same with what is told now of the plan under `key`; without it where either is nothing or can't be read.
    pub fn retold(&self, key: &str, facts: Option<&str>, own: Option<&str>) -> Shelf {
        let mut shelf = self.clone();
        let read = facts.and_then(Facts::read).zip(own.and_then(Own::read));
        match read {
            Some((facts, own)) => {
                let damaged = facts.fingerprint.is_none();
                let key = key.to_string();
                let entry = Entry {
                    key: key.clone(),
                    own,
                    facts,
                    damaged,
                };
                shelf.entries.insert(key, entry);
            }
            None => drop(shelf.entries.remove(key)),
        }
        shelf
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Open, Save, mend};
    use super::*;
    use crate::plan::Plan;

    fn kept() -> Stored {
        let mut stored = Stored::default();
        let mut shelf = Shelf::default();
        for (key, title) in [("a", "Ledge"), ("b", "Quay")] {
            let plan = Plan {
                title: title.into(),
                ..Plan::empty()
            };
            let saved = shelf.save(&Open::fresh(key), &plan, &Save::default());
            stored.write_all(&saved.change.writes);
            shelf = saved.change.after;
        }
        stored
    }

    fn keys() -> impl Iterator<Item = &'static str> {
        ["a", "b"].into_iter()
    }

    #[test]
    fn what_is_told_gives_the_shelf_that_reading_everything_gives() {
        let stored = kept();
        assert_eq!(Shelf::told(&stored, keys()), Some(mend(&stored).shelf));
    }

    #[test]
    fn where_a_plan_or_what_is_told_of_it_is_missing_everything_has_to_be_read() {
        let stored = kept();
        assert_eq!(Shelf::told(&stored, ["a"].into_iter()), None);
        assert_eq!(Shelf::told(&stored, ["a", "b", "c"].into_iter()), None);
        let mut damaged = stored.clone();
        damaged.put(Store::Facts, "a", "1 {");
        assert_eq!(Shelf::told(&damaged, keys()), None);
    }

    #[test]
    fn a_plan_that_another_page_wrote_is_told_anew_or_gone() {
        let stored = kept();
        let shelf = mend(&stored).shelf;
        let plan = Plan {
            title: "Ledge of old".into(),
            ..Plan::empty()
        };
        let open = Open::of(shelf.entry("a").unwrap());
        let saved = shelf.save(&open, &plan, &Save::default());
        let mut after = stored.clone();
        after.write_all(&saved.change.writes);
        let (facts, own) = (after.get(Store::Facts, "a"), after.get(Store::Entries, "a"));
        assert_eq!(shelf.retold("a", facts, own), saved.change.after);
        assert_eq!(shelf.retold("a", None, own).entry("a"), None);
    }
}
