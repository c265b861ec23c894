//! What a shelf is in storage: texts under keys in a few stores, and changes of them as lists of writes.
//!
//! The writes of a change stand in an order in which a crash between any two loses at most the last edit and leaves no plan
//! unreadable; [`super::mend`] puts right what is left over. A record that two pages could write begins with a revision,
//! and a write may ask for the one that it was made from, so that nothing is overwritten unseen. Storage that does this in
//! transactions may do all writes of a change in one.

use siphasher::sip128::{Hasher128, SipHasher13};
use std::collections::BTreeMap;
use std::hash::Hasher as _;

/// Where something is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Store {
    /// The plans' texts, by the plan's key, each behind its revision and content.
    Plans,
    /// What is told of a plan without reading it, by the plan's key: all of it can be made anew from the plan.
    Facts,
    /// What somebody said of a plan on the shelf, by the plan's key: tags, bin, origin.
    Entries,
    /// Steps of undo, by the plan's key and the content that they belong to.
    Undo,
    /// Versions, by the plan's key and a number.
    Versions,
    /// Variants that are compared, by the plan's key.
    Variants,
    /// Small pictures of boards, by the plan's key.
    Pictures,
    /// Worlds, by a key of their own.
    Worlds,
    /// Parts books, by a key of their own.
    Books,
}

impl Store {
    /// Every store.
    pub const ALL: [Store; 9] = [
        Store::Plans,
        Store::Facts,
        Store::Entries,
        Store::Undo,
        Store::Versions,
        Store::Variants,
        Store::Pictures,
        Store::Worlds,
        Store::Books,
    ];

    /// Its name in storage.
    pub const fn name(self) -> &'static str {
        match self {
            Store::Plans => "plans",
            Store::Facts => "facts",
            Store::Entries => "entries",
            Store::Undo => "undo",
            Store::Versions => "versions",
            Store::Variants => "variants",
            Store::Pictures => "pictures",
            Store::Worlds => "worlds",
            Store::Books => "books",
        }
    }

    /// The name of a record where all stores share one list of names. No earlier form had such names.
    pub fn shared_name(self, key: &str) -> String {
        format!("{SHARED}{}/{key}", self.name())
    }

    /// The store and the key of a record that has this name in a shared list.
    pub fn of_shared_name(name: &str) -> Option<(Store, &str)> {
        let (store, key) = name.strip_prefix(SHARED)?.split_once('/')?;
        let found = Store::ALL.into_iter().find(|s| s.name() == store)?;
        Some((found, key))
    }
}

/// What stands before the names of records in a shared list.
const SHARED: &str = "shelf/";

/// What must be true of the record that a write replaces; if it is not, neither it nor what follows may be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Condition {
    /// Anything.
    Always,
    /// Nothing is there.
    Absent,
    /// It has this revision.
    Revision(u64),
    /// It has no later revision than this, or is not there.
    NotNewer(u64),
}

impl Condition {
    /// Whether `there`, which is what the store holds under the key, may be replaced.
    pub fn allows(self, there: Option<&str>) -> bool {
        match self {
            Condition::Always => true,
            Condition::Absent => there.is_none(),
            Condition::Revision(revision) => there.is_some_and(|t| revision_of(t) == revision),
            Condition::NotNewer(revision) => there.is_none_or(|t| revision_of(t) <= revision),
        }
    }
}

/// One record to be written or removed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Write {
    /// Where.
    pub store: Store,
    /// Under which key. A removal whose key ends with `/` removes all keys that begin with it.
    pub key: String,
    /// The record's text; none to remove it.
    pub text: Option<String>,
    /// What must be true of what is there.
    pub only: Condition,
}

impl Write {
    /// Writes a text whatever is there.
    pub fn put(store: Store, key: impl Into<String>, text: String) -> Write {
        Write {
            store,
            key: key.into(),
            text: Some(text),
            only: Condition::Always,
        }
    }

    /// Removes what is there.
    pub fn remove(store: Store, key: impl Into<String>) -> Write {
        Write {
            store,
            key: key.into(),
            text: None,
            only: Condition::Always,
        }
    }

    /// The same, only where this is true of what is there.
    pub fn only(self, only: Condition) -> Write {
        Write { only, ..self }
    }
}

/// All that is stored, in the order of stores and keys.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stored(BTreeMap<(Store, String), String>);

impl Stored {
    /// What is kept under a key.
    pub fn get(&self, store: Store, key: &str) -> Option<&str> {
        self.0.get(&(store, key.to_string())).map(String::as_str)
    }

    /// Puts a text under a key, whatever is there.
    pub fn put(&mut self, store: Store, key: impl Into<String>, text: impl Into<String>) {
        self.0.insert((store, key.into()), text.into());
    }

    /// The keys and texts of a store, in the order of keys.
    pub fn of(&self, store: Store) -> impl Iterator<Item = (&str, &str)> {
        self.under(store, "")
    }

    /// The keys and texts of a store whose keys begin with `start`.
    pub fn under<'s>(
        &'s self,
        store: Store,
        start: &'s str,
    ) -> impl Iterator<Item = (&'s str, &'s str)> {
        let all = self.0.range((store, start.to_string())..);
        let ours = all.take_while(move |((of, key), _)| *of == store && key.starts_with(start));
        ours.map(|((_, key), text)| (key.as_str(), text.as_str()))
    }

    /// How many bytes are stored, keys and texts.
    pub fn bytes(&self) -> usize {
        self.0
            .iter()
            .map(|((_, key), text)| key.len() + text.len())
            .sum()
    }

    /// Does a write; answers whether it was allowed.
    pub fn write(&mut self, write: &Write) -> bool {
        if !write.only.allows(self.get(write.store, &write.key)) {
            return false;
        }
        match &write.text {
            Some(text) => self.put(write.store, write.key.clone(), text.clone()),
            None if write.key.ends_with('/') => self
                .0
                .retain(|(store, key), _| *store != write.store || !key.starts_with(&write.key)),
            None => drop(self.0.remove(&(write.store, write.key.clone()))),
        }
        true
    }

    /// Does all writes whatever is there: for what was worked out of all that is stored.
    pub fn write_all(&mut self, writes: &[Write]) {
        for write in writes {
            self.write(&write.clone().only(Condition::Always));
        }
    }
}

impl FromIterator<(Store, String, String)> for Stored {
    fn from_iter<I: IntoIterator<Item = (Store, String, String)>>(all: I) -> Stored {
        let pairs = all
            .into_iter()
            .map(|(store, key, text)| ((store, key), text));
        Stored(pairs.collect())
    }
}

/// What a text is, as 128 bits: the same for the same text, everywhere.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    serde::Serialize,
    serde::Deserialize,
)]
#[serde(into = "String", try_from = "String")]
pub struct Content(u128);

impl Content {
    /// Of a text.
    pub fn of(text: &str) -> Content {
        let mut hash = SipHasher13::new();
        hash.write(text.as_bytes());
        Content(hash.finish128().as_u128())
    }
}

impl std::fmt::Display for Content {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

impl From<Content> for String {
    fn from(content: Content) -> String {
        content.to_string()
    }
}

impl TryFrom<String> for Content {
    type Error = std::num::ParseIntError;

    fn try_from(text: String) -> Result<Content, Self::Error> {
        u128::from_str_radix(&text, 16).map(Content)
    }
}

/// A record that begins with its revision and the content of what follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Record<'t> {
    /// Its revision; each write of it has the next.
    pub revision: u64,
    /// The content that it was written with; none where its head can't be read.
    pub content: Option<Content>,
    /// What follows the head.
    pub text: &'t str,
}

impl<'t> Record<'t> {
    /// Takes a record apart. One without a head is of revision 0.
    pub fn read(record: &'t str) -> Record<'t> {
        let head = record.split_once('\n').and_then(|(head, text)| {
            let (revision, content) = head.split_once(' ')?;
            let content = Content::try_from(content.to_string()).ok()?;
            Some((revision.parse().ok()?, content, text))
        });
        match head {
            Some((revision, content, text)) => Record {
                revision,
                content: Some(content),
                text,
            },
            None => Record {
                revision: 0,
                content: None,
                text: record,
            },
        }
    }

    /// Whether what follows the head is what was written.
    pub fn is_whole(&self) -> bool {
        self.content == Some(Content::of(self.text))
    }
}

/// A record of this revision.
pub fn record(revision: u64, content: Content, text: &str) -> String {
    format!("{revision} {content}\n{text}")
}

/// The revision of a record; 0 where it has none.
pub fn revision_of(record: &str) -> u64 {
    let digits = record.split([' ', '\n']).next().unwrap_or("");
    digits.parse().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_is_taken_apart_and_one_without_a_head_is_of_revision_0() {
        let text = "{\"title\":\"Ledge\"}";
        let written = record(7, Content::of(text), text);
        let read = Record::read(&written);
        assert_eq!((read.revision, read.text, read.is_whole()), (7, text, true));
        assert_eq!(revision_of(&written), 7);
        let cut = Record::read(&written[..written.len() - 1]);
        assert!(!cut.is_whole() && cut.revision == 7);
        let bare = Record::read(text);
        assert_eq!(
            (bare.revision, bare.text, bare.is_whole()),
            (0, text, false)
        );
        assert_eq!(revision_of(text), 0);
    }

    /// The same bits on every target, since they are stored.
    #[test]
    fn a_content_is_the_same_everywhere() {
        let content = Content::of("Kittiwake Light");
        assert_eq!(content.to_string(), "ab2f5c4c60d9ab2a5bd150761ef81000");
        assert_eq!(Content::try_from(content.to_string()), Ok(content));
    }

    #[test]
    fn names_in_a_shared_list_are_taken_apart_again() {
        for store in Store::ALL {
            let name = store.shared_name("a1/0001");
            assert_eq!(Store::of_shared_name(&name), Some((store, "a1/0001")));
        }
        for other in ["plans", "variants/a1", "shelf/other/a1", "shelf/plans"] {
            assert_eq!(Store::of_shared_name(other), None);
        }
    }

    #[test]
    fn a_write_is_done_only_where_its_condition_is_true() {
        let mut stored = Stored::default();
        let at = |revision: u64| record(revision, Content::default(), "x");
        let put = |revision, only| Write::put(Store::Plans, "a", at(revision)).only(only);
        assert!(
            !stored.write(&put(1, Condition::Revision(0))),
            "nothing is there"
        );
        assert!(stored.write(&put(1, Condition::Absent)));
        assert!(!stored.write(&put(2, Condition::Absent)));
        assert!(stored.write(&put(2, Condition::Revision(1))));
        assert!(!stored.write(&put(2, Condition::Revision(1))));
        assert!(stored.write(&put(2, Condition::NotNewer(2))));
        assert!(!stored.write(&put(1, Condition::NotNewer(1))));
        assert_eq!(stored.get(Store::Plans, "a"), Some(at(2).as_str()));
    }

    #[test]
    fn a_removal_of_what_is_under_a_key_leaves_the_rest() {
        let mut stored = Stored::default();
        for key in ["a/1", "a/2", "ab/1", "b/1"] {
            stored.put(Store::Versions, key, key);
        }
        stored.put(Store::Undo, "a/1", "");
        stored.write(&Write::remove(Store::Versions, "a/"));
        let left: Vec<&str> = stored.of(Store::Versions).map(|(key, _)| key).collect();
        assert_eq!(left, ["ab/1", "b/1"]);
        assert_eq!(stored.of(Store::Undo).count(), 1);
    }
}
