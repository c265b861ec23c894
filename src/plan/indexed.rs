//! A list whose items are found by their keys without a search: the parts of a plan by id, its wires by id and by end.
//!
//! The index is a cache. It is built when it is first worth it, kept up to date by [`IndexedList::insert`],
//! [`IndexedList::push`] and [`IndexedList::remove`], and dropped as soon as somebody changes the list in any other way:
//! such a change needs `&mut Vec`, which [`std::ops::DerefMut`] gives out only after forgetting the index. So an answer
//! is always that of a search from the front. Equality and printing see the list alone.

use super::{End, Part, PartId, Wire, WireId};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::fmt;
use std::ops::{Deref, DerefMut};
use std::sync::atomic::{AtomicU8, Ordering};
use std::sync::{Arc, OnceLock};

/// So many searches are made from the front before an index is built: building one costs about as much.
const SEARCHES: u8 = 12;

/// What an item is found by.
pub trait Keyed {
    /// One key of an item.
    type Key: Ord + Clone;

    /// All keys of the item.
    fn keys(&self) -> impl Iterator<Item = Self::Key>;

    /// Whether `key` is one of them.
    fn has(&self, key: &Self::Key) -> bool;
}

/// What a wire is found by.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WireKey {
    /// Its id.
    Id(WireId),
    /// One of its ends.
    End(End),
}

impl Keyed for Part {
    type Key = PartId;

    fn keys(&self) -> impl Iterator<Item = PartId> {
        std::iter::once(self.id.clone())
    }

    fn has(&self, key: &PartId) -> bool {
        self.id == *key
    }
}

impl Keyed for Wire {
    type Key = WireKey;

    fn keys(&self) -> impl Iterator<Item = WireKey> {
        let ends = [&self.from, &self.to].map(|end| WireKey::End(end.clone()));
        std::iter::once(WireKey::Id(self.id.clone())).chain(ends)
    }

    fn has(&self, key: &WireKey) -> bool {
        match key {
            WireKey::Id(id) => self.id == *id,
            WireKey::End(end) => self.from == *end || self.to == *end,
        }
    }
}

/// Where each key stands in the list.
#[derive(Clone, Debug)]
struct Index<K> {
    /// The place of the first item with the key.
    places: BTreeMap<K, usize>,
    /// Whether two items share a key, or one has it twice, so that the index can't follow a change.
    doubled: bool,
}

/// A list with an index of its items' keys. It reads and changes like the [`Vec`] that it holds.
pub struct IndexedList<T: Keyed> {
    list: Vec<T>,
    index: OnceLock<Arc<Index<T::Key>>>,
    searches: AtomicU8,
}

impl<T: Keyed> IndexedList<T> {
    /// An empty list.
    pub const fn new() -> IndexedList<T> {
        IndexedList {
            list: Vec::new(),
            index: OnceLock::new(),
            searches: AtomicU8::new(0),
        }
    }

    /// The place of the first item with `key`.
    pub fn place(&self, key: &T::Key) -> Option<usize> {
        if self.index.get().is_none() && self.searches.load(Ordering::Relaxed) < SEARCHES {
            self.searches.fetch_add(1, Ordering::Relaxed);
            return self.list.iter().position(|item| item.has(key));
        }
        self.index().places.get(key).copied()
    }

    /// The first item with `key`.
    pub fn find(&self, key: &T::Key) -> Option<&T> {
        self.list.get(self.place(key)?)
    }

    /// The keys from `first` on, in their order, each with the place of the first item that has it.
    pub(super) fn from(&self, first: T::Key) -> impl Iterator<Item = (&T::Key, usize)> {
        let keys = self.index().places.range(first..);
        keys.map(|(key, at)| (key, *at))
    }

    /// The item at a place, to be changed without changing its keys.
    pub(super) fn value_mut(&mut self, at: usize) -> Option<&mut T> {
        self.list.get_mut(at)
    }

    /// Puts an item at a place, at the end at the latest.
    pub fn insert(&mut self, at: usize, item: T) {
        let at = at.min(self.list.len());
        let keys: Vec<T::Key> = item.keys().collect();
        self.list.insert(at, item);
        self.follow(|index, list| {
            index.shift(list, (at + 1, at), |place| place + 1);
            let taken = keys.into_iter().map(|key| index.places.insert(key, at));
            index.doubled |= taken.filter(Option::is_some).count() > 0;
        });
    }

    /// Puts an item at the end.
    pub fn push(&mut self, item: T) {
        self.insert(self.list.len(), item);
    }

    /// Takes the item at a place out.
    ///
    /// # Panics
    ///
    /// If there is none, as [`Vec::remove`] does.
    pub fn remove(&mut self, at: usize) -> T {
        let item = self.list.remove(at);
        self.follow(|index, list| {
            for key in item.keys() {
                index.places.remove(&key);
            }
            index.shift(list, (at, at + 1), |place| place - 1);
        });
        item
    }

    /// Lets the index, where there is one, follow a change of the list; forgets it where it can't.
    fn follow(&mut self, change: impl FnOnce(&mut Index<T::Key>, &[T])) {
        let Some(mut index) = self.index.take() else {
            return;
        };
        if !index.doubled {
            change(Arc::make_mut(&mut index), &self.list);
        }
        if !index.doubled {
            self.index = OnceLock::from(index);
        }
    }

    fn index(&self) -> &Index<T::Key> {
        self.index.get_or_init(|| {
            let mut index = Index {
                places: BTreeMap::new(),
                doubled: false,
            };
            for (at, item) in self.list.iter().enumerate() {
                for key in item.keys() {
                    match index.places.entry(key) {
                        Entry::Vacant(place) => drop(place.insert(at)),
                        Entry::Occupied(_) => index.doubled = true,
                    }
                }
            }
            index.into()
        })
    }
}

impl<K: Ord + Clone> Index<K> {
    /// After one item came or went: those that are now in `list` from `from` on stood from `before` on, and each place
    /// moves by `by`.
    fn shift<T: Keyed<Key = K>>(
        &mut self,
        list: &[T],
        (from, before): (usize, usize),
        by: impl Fn(usize) -> usize,
    ) {
        let behind = list.get(from..).unwrap_or(&[]);
        if behind.len() * 8 < list.len() {
            for key in behind.iter().flat_map(T::keys) {
                if let Some(place) = self.places.get_mut(&key) {
                    *place = by(*place);
                }
            }
        } else {
            let places = self.places.values_mut();
            places
                .filter(|at| **at >= before)
                .for_each(|at| *at = by(*at));
        }
    }
}

impl<T: Keyed> Deref for IndexedList<T> {
    type Target = Vec<T>;

    fn deref(&self) -> &Vec<T> {
        &self.list
    }
}

impl<T: Keyed> DerefMut for IndexedList<T> {
    fn deref_mut(&mut self) -> &mut Vec<T> {
        self.index.take();
        *self.searches.get_mut() = 0;
        &mut self.list
    }
}

impl<T: Keyed + Clone> Clone for IndexedList<T> {
    fn clone(&self) -> IndexedList<T> {
        IndexedList {
            list: self.list.clone(),
            index: self.index.clone(),
            searches: AtomicU8::new(0),
        }
    }
}

impl<T: Keyed> Default for IndexedList<T> {
    fn default() -> IndexedList<T> {
        IndexedList::new()
    }
}

impl<T: Keyed + PartialEq> PartialEq for IndexedList<T> {
    fn eq(&self, other: &IndexedList<T>) -> bool {
        self.list == other.list
    }
}

impl<T: Keyed + fmt::Debug> fmt::Debug for IndexedList<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.list.fmt(f)
    }
}

impl<T: Keyed> From<Vec<T>> for IndexedList<T> {
    fn from(list: Vec<T>) -> IndexedList<T> {
        IndexedList {
            list,
            ..IndexedList::new()
        }
    }
}

impl<T: Keyed> From<IndexedList<T>> for Vec<T> {
    fn from(list: IndexedList<T>) -> Vec<T> {
        list.list
    }
}

impl<T: Keyed> FromIterator<T> for IndexedList<T> {
    fn from_iter<I: IntoIterator<Item = T>>(items: I) -> IndexedList<T> {
        Vec::from_iter(items).into()
    }
}

impl<T: Keyed> IntoIterator for IndexedList<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.list.into_iter()
    }
}

impl<'a, T: Keyed> IntoIterator for &'a IndexedList<T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.list.iter()
    }
}

impl<'a, T: Keyed> IntoIterator for &'a mut IndexedList<T> {
    type Item = &'a mut T;
    type IntoIter = std::slice::IterMut<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter_mut()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A wire between ports that are told by numbers; numbers may meet.
    fn wire((id, from, to): (u8, u8, u8)) -> Wire {
        let end = |n: u8| {
            End::new(
                &PartId::from(format!("p{}", n / 4)),
                &format!("out{}", n % 4),
            )
        };
        Wire::new(WireId::from(format!("w{id}")), end(from), end(to))
    }

    /// What is done to a list: an item in, out, or changed behind the index's back.
    #[derive(Clone, Debug)]
    enum Act {
        Insert(usize, (u8, u8, u8)),
        Remove(usize),
        Replace(usize, (u8, u8, u8)),
        Swap(usize, usize),
    }

    fn acts() -> impl Strategy<Value = Vec<Act>> {
        let item = (0..40u8, 0..60u8, 0..60u8);
        let act = prop_oneof![
            4 => (0..99usize, item.clone()).prop_map(|(at, item)| Act::Insert(at, item)),
            3 => (0..99usize).prop_map(Act::Remove),
            1 => (0..99usize, item).prop_map(|(at, item)| Act::Replace(at, item)),
            1 => (0..99usize, 0..99usize).prop_map(|(a, b)| Act::Swap(a, b)),
        ];
        proptest::collection::vec(act, 0..120)
    }

    proptest! {
        #[test]
        fn what_is_found_is_what_a_search_from_the_front_finds(acts in acts()) {
            let mut list: IndexedList<Wire> = IndexedList::new();
            for act in acts {
                let len = list.len();
                match act {
                    Act::Insert(at, item) => list.insert(at % (len + 1), wire(item)),
                    Act::Remove(at) if len > 0 => drop(list.remove(at % len)),
                    Act::Replace(at, item) if len > 0 => list[at % len] = wire(item),
                    Act::Swap(a, b) if len > 0 => list.swap(a % len, b % len),
                    _ => {}
                }
                // So that the index is there however few searches were made.
                list.index();
                for number in 0..60 {
                    let (id, end) = (wire((number, 0, 0)).id, wire((0, number, 0)).from);
                    for key in [WireKey::Id(id), WireKey::End(end)] {
                        let searched = list.iter().position(|w| w.has(&key));
                        prop_assert_eq!(list.place(&key), searched);
                    }
                }
            }
        }
    }

    /// A wire that ends where it begins has one key twice, which is counted once. Found by the property above.
    #[test]
    fn a_key_that_an_item_has_twice_is_followed_once() {
        let mut list: IndexedList<Wire> = (0..19).map(|n| wire((n, 2 * n, 2 * n + 1))).collect();
        list.push(wire((30, 50, 50)));
        list.index();
        list.insert(18, wire((31, 56, 57)));
        let key = WireKey::End(wire((0, 50, 0)).from);
        list.index();
        assert_eq!(list.place(&key), Some(20));
        list.remove(19);
        list.index();
        assert_eq!(list.place(&key), Some(19));
    }

    #[test]
    fn an_index_is_built_only_once_it_is_worth_it() {
        let list: IndexedList<Wire> = (0..9).map(|n| wire((n, n, n + 9))).collect();
        let key = WireKey::Id("w7".into());
        for _ in 0..SEARCHES {
            assert_eq!(list.place(&key), Some(7));
            assert!(list.index.get().is_none());
        }
        assert_eq!(list.place(&key), Some(7));
        assert!(list.index.get().is_some());
        assert_eq!(list.clone(), list);
    }
}
