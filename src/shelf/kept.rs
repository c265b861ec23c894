//! Worlds and parts books on the shelf.

use super::entry::{body_of, free_title};
use super::stored::{Condition, Content, Record, Store, Write, record};
use super::{Change, Shelf};
use crate::plan::{NamedWorld, world_of_value};
use serde_json::Value;

/// A world or a book that is kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KeptDocument {
    /// Its key.
    pub key: String,
    /// What it is called.
    pub name: String,
    /// Of a world: what plans follow it by.
    pub id: String,
    /// Its revision.
    pub revision: u64,
    /// The content of its text.
    pub content: Content,
    /// The content but for its name and id.
    pub body: Content,
    /// Whether what is kept can't be read. It stays as it is.
    pub damaged: bool,
}

impl KeptDocument {
    /// What is told of a document that is kept so.
    fn of(key: &str, document: &Value, text: &str, revision: u64) -> KeptDocument {
        let said = |key: &str| document.get(key).and_then(Value::as_str);
        KeptDocument {
            key: key.into(),
            name: said("name").unwrap_or_default().into(),
            id: String::new(),
            revision,
            content: Content::of(text),
            body: body_of(document, &["name", "id"]),
            damaged: false,
        }
    }

    /// What is told of a world's record.
    pub(super) fn of_world(key: &str, text: &str) -> KeptDocument {
        let read = Record::read(text);
        let value: Value = serde_json::from_str(read.text).unwrap_or_default();
        let world = world_of_value(&value);
        KeptDocument {
            damaged: world.is_err(),
            id: world.map_or(String::new(), |world| world.id().into()),
            ..KeptDocument::of(key, &value, read.text, read.revision)
        }
    }

    /// What is told of a book's record. Whether it is a sound book is seen when it is read.
    pub(super) fn of_book(key: &str, text: &str) -> KeptDocument {
        let read = Record::read(text);
        let value: Value = serde_json::from_str(read.text).unwrap_or_default();
        KeptDocument {
            damaged: value.is_null(),
            ..KeptDocument::of(key, &value, read.text, read.revision)
        }
    }

    fn write(&self, store: Store, before: u64, text: &str) -> Write {
        let only = match before {
            0 => Condition::Absent,
            revision => Condition::Revision(revision),
        };
        let text = record(self.revision, self.content, text);
        Write::put(store, self.key.clone(), text).only(only)
    }
}

/// How a world that comes in stands to those that are kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KnownWorld {
    /// It is kept already, under this key.
    Same(String),
    /// Another is kept that plans follow by the same id, under this key.
    Other(String),
    /// None of its id is kept.
    New,
}

impl Shelf {
    /// How `world` stands to those that are kept.
    pub fn knows(&self, world: &NamedWorld) -> KnownWorld {
        let content = Content::of(&world.to_value().to_string());
        match self.world(world.id()) {
            Some(kept) if kept.content == content => KnownWorld::Same(kept.key.clone()),
            Some(kept) => KnownWorld::Other(kept.key.clone()),
            None => KnownWorld::New,
        }
    }

    /// The shelf with what is told now of the world under `key`; without it where that is nothing.
    pub fn retold_world(&self, key: &str, text: Option<&str>) -> Shelf {
        let mut shelf = self.clone();
        match text {
            Some(text) => {
                let kept = KeptDocument::of_world(key, text);
                shelf.worlds.insert(key.into(), kept);
            }
            None => drop(shelf.worlds.remove(key)),
        }
        shelf
    }

    /// The world that plans follow by this id.
    pub fn world(&self, id: &str) -> Option<&KeptDocument> {
        self.worlds.values().find(|world| world.id == id)
    }

    /// The plans out of the bin that follow the world of this id, in the order of their keys.
    pub fn followers(&self, id: &str) -> impl Iterator<Item = &super::Entry> {
        self.there()
            .filter(move |e| e.facts.follows.as_deref() == Some(id))
    }

    /// The plans out of the bin, but the one under `but`, that follow the world of this id or have a book of this name.
    pub fn sharing(
        &self,
        but: &str,
        world: Option<&str>,
        book: Option<&str>,
    ) -> Vec<&super::Entry> {
        let shares = |e: &&super::Entry| {
            let follows = e.facts.follows.as_deref();
            let is_of_book = book.is_some_and(|book| e.facts.book == book);
            let is_of_world = follows.is_some() && follows == world;
            e.key != but && (is_of_book || is_of_world)
        };
        self.there().filter(shares).collect()
    }

    /// Keeps a world under a key, in place of the revision that is known.
    pub fn keep_world(&self, key: &str, world: &NamedWorld) -> Change {
        let value = world.to_value();
        let text = value.to_string();
        let before = self.worlds.get(key).map_or(0, |kept| kept.revision);
        let kept = KeptDocument {
            id: world.id().into(),
            ..KeptDocument::of(key, &value, &text, before + 1)
        };
        let mut change = self.unchanged();
        change.writes.push(kept.write(Store::Worlds, before, &text));
        change.after.worlds.insert(key.into(), kept);
        change
    }

    /// Keeps a book's document under a key, in place of the revision that is known.
    pub fn keep_book(&self, key: &str, book: &Value) -> Change {
        let text = book.to_string();
        let before = self.books.get(key).map_or(0, |kept| kept.revision);
        let kept = KeptDocument::of(key, book, &text, before + 1);
        let mut change = self.unchanged();
        change.writes.push(kept.write(Store::Books, before, &text));
        change.after.books.insert(key.into(), kept);
        change
    }

    /// Removes a world; plans that follow it keep their own copies.
    pub fn forget_world(&self, key: &str) -> Change {
        let mut change = self.unchanged();
        if change.after.worlds.remove(key).is_some() {
            change.writes.push(Write::remove(Store::Worlds, key));
        }
        change
    }

    /// Removes a book; plans have it written into them.
    pub fn forget_book(&self, key: &str) -> Change {
        let mut change = self.unchanged();
        if change.after.books.remove(key).is_some() {
            change.writes.push(Write::remove(Store::Books, key));
        }
        change
    }

    /// A name that no world has.
    pub fn free_world_name(&self, name: &str) -> String {
        free_title(name, &|name| self.worlds.values().any(|w| w.name == name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_world;
    use serde_json::json;

    fn sands(day_s: u64) -> NamedWorld {
        let world = json!({ "format": "duskline/world", "version": 1, "id": "k1", "name": "Kittiwake sands",
            "book": "outpost", "world": { "day_s": day_s } });
        read_world(&world.to_string()).unwrap()
    }

    #[test]
    fn a_world_that_comes_in_is_new_or_the_same_or_another_of_its_id() {
        let shelf = Shelf::default();
        assert_eq!(shelf.knows(&sands(3600)), KnownWorld::New);
        let shelf = shelf.keep_world("w", &sands(3600)).after;
        assert_eq!(shelf.knows(&sands(3600)), KnownWorld::Same("w".into()));
        assert_eq!(shelf.knows(&sands(7200)), KnownWorld::Other("w".into()));
        let renamed = sands(3600).renamed("k2", "Kittiwake sands");
        assert_eq!(shelf.knows(&renamed), KnownWorld::New);
    }

    #[test]
    fn plans_that_share_a_world_or_a_book_are_found_but_the_one_that_asks() {
        let mut shelf = Shelf::default();
        for (key, follows, book) in [
            ("a", Some("k1"), "outpost"),
            ("b", None, "ledge"),
            ("c", Some("k1"), "ledge"),
            ("d", None, "outpost"),
        ] {
            let mut entry = super::super::Entry {
                key: key.into(),
                ..Default::default()
            };
            entry.facts.follows = follows.map(str::to_string);
            entry.facts.book = book.into();
            shelf.entries.insert(key.into(), entry);
        }
        let keys = |but, world, book| {
            let found = shelf.sharing(but, world, book).into_iter();
            found.map(|e| e.key.as_str()).collect::<Vec<_>>()
        };
        assert_eq!(keys("a", Some("k1"), None), ["c"]);
        assert_eq!(keys("b", None, Some("ledge")), ["c"]);
        assert_eq!(keys("c", Some("k1"), Some("ledge")), ["a", "b"]);
        assert_eq!(keys("d", None, None), [""; 0]);
    }

    #[test]
    fn what_another_page_keeps_of_a_world_is_told_again() {
        let shelf = Shelf::default().keep_world("w", &sands(3600)).after;
        let change = shelf.keep_world("w", &sands(7200));
        let text = change.writes[0].text.as_deref();
        assert_eq!(shelf.retold_world("w", text), change.after);
        assert!(shelf.retold_world("w", None).worlds.is_empty());
    }
}
