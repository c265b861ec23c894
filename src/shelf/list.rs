//! What of a shelf is listed, and in which order.

use super::{Entry, Origin, Shelf, ShelfVerdict};
use std::cmp::{Ordering, Reverse};

/// By what a list is sorted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sort {
    /// When a plan was changed or, where that is not known, opened: the latest first.
    #[default]
    Changed,
    /// By name, numbers within it as numbers.
    Title,
    /// By the count of parts, the most first.
    Parts,
    /// How a plan stands, broken ones first.
    Verdict,
}

/// What is listed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Filter {
    /// Every word of it is in the title, the tags or the notes.
    pub search: String,
    /// With this tag.
    pub tag: Option<String>,
    /// That stand so.
    pub verdict: Option<ShelfVerdict>,
    /// That came from there.
    pub origin: Option<Origin>,
    /// Those in the bin in place of those that are not.
    pub binned: bool,
}

impl Shelf {
    /// The plans that pass, sorted. A search puts better matches first and sorts those that match alike.
    pub fn list(&self, filter: &Filter, sort: Sort) -> Vec<&Entry> {
        let search = filter.search.trim().to_lowercase();
        let passes = |entry: &&Entry| {
            entry.is_binned() == filter.binned
                && filter.verdict.is_none_or(|v| v == entry.verdict())
                && filter.origin.is_none_or(|o| o == entry.own.origin)
                && (filter.tag.iter()).all(|tag| entry.own.tags.iter().any(|t| t == tag))
        };
        let found = self.entries.values().filter(passes);
        let mut found: Vec<(u8, &Entry)> = found
            .filter_map(|entry| Some((rank(entry, &search)?, entry)))
            .collect();
        found.sort_by(|(a, one), (b, other)| a.cmp(b).then_with(|| order(one, other, sort)));
        found.into_iter().map(|(_, entry)| entry).collect()
    }

    /// The tags of the plans out of the bin, each with how many have it, by name.
    pub fn tags(&self) -> Vec<(String, usize)> {
        let mut tags: std::collections::BTreeMap<&str, usize> = Default::default();
        for tag in self.there().flat_map(|entry| &entry.own.tags) {
            *tags.entry(tag).or_default() += 1;
        }
        let mut tags: Vec<(String, usize)> = tags.into_iter().map(|(t, n)| (t.into(), n)).collect();
        tags.sort_by(|(a, _), (b, _)| by_name(a, b));
        tags
    }
}

/// How well an entry matches a search in lower case, 0 best; none where it does not. The ranks of a name are those of
/// the search for parts.
fn rank(entry: &Entry, search: &str) -> Option<u8> {
    if search.is_empty() {
        return Some(0);
    }
    let name = entry.name().to_lowercase();
    let tags = entry.own.tags.join(" ").to_lowercase();
    let has = |text: &str| search.split_whitespace().all(|word| text.contains(word));
    Some(match () {
        _ if name == search => 0,
        _ if name.starts_with(search) => 1,
        _ if name.split_whitespace().any(|word| word.starts_with(search)) => 2,
        _ if has(&name) => 3,
        _ if has(&format!("{name} {tags}")) => 4,
        _ if has(&format!(
            "{name} {tags} {}",
            entry.facts.notes.to_lowercase()
        )) =>
        {
            5
        }
        _ => return None,
    })
}

fn order(a: &Entry, b: &Entry, sort: Sort) -> Ordering {
    let when = |entry: &Entry| Reverse((entry.facts.changed, entry.own.opened));
    let name = || by_name(&a.name(), &b.name());
    let first = match sort {
        Sort::Changed => when(a).cmp(&when(b)).then_with(name),
        Sort::Title => name().then_with(|| when(a).cmp(&when(b))),
        Sort::Parts => Reverse(a.facts.parts)
            .cmp(&Reverse(b.facts.parts))
            .then_with(name),
        Sort::Verdict => a.verdict().cmp(&b.verdict()).then_with(name),
    };
    first.then_with(|| a.key.cmp(&b.key))
}

/// The order of names: without their case, a run of digits as a number.
pub(super) fn by_name(a: &str, b: &str) -> Ordering {
    let (mut a_rest, mut b_rest) = (a, b);
    loop {
        let (Some(x), Some(y)) = (a_rest.chars().next(), b_rest.chars().next()) else {
            return a_rest.len().cmp(&b_rest.len()).then_with(|| a.cmp(b));
        };
        let order = if x.is_ascii_digit() && y.is_ascii_digit() {
            let (number, rest) = digits(a_rest);
            let (other, other_rest) = digits(b_rest);
            (a_rest, b_rest) = (rest, other_rest);
            number
                .len()
                .cmp(&other.len())
                .then_with(|| number.cmp(other))
        } else {
            (a_rest, b_rest) = (&a_rest[x.len_utf8()..], &b_rest[y.len_utf8()..]);
            x.to_lowercase().cmp(y.to_lowercase())
        };
        if order != Ordering::Equal {
            return order;
        }
    }
}

/// The digits that a text begins with, without zeros before them, and what follows.
fn digits(text: &str) -> (&str, &str) {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    (text[..end].trim_start_matches('0'), &text[end..])
}
