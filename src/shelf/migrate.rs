//! Taking over what earlier versions kept in the browser's local storage, one text a plan.
//!
//! The forms, the oldest first; names stand behind `duskline/` in the first two and behind `duskline:/folder/:`, the page's
//! path, in the others:
//!
//! 1. `plan/<key>` a plan's text; `plans` a list of `key`, `title` and `order`, a counter; `open` a key.
//! 2. `variants/<key>` beside them: a list of `name` and `plan`.
//! 3. The same behind the page's path.
//! 4. The entries of the list have `parts`, `changed` (a time) and `number` (of those without a title) too.
//!
//! A storage may hold two of them at once, and its list may be damaged or gone. Nothing of it is changed here.

use super::acts::first_version;
use super::entry::{Entry, Facts, Origin, Own, Time};
use super::stored::{Condition, Content, Store, Write, record};
use super::{Change, Shelf, text_of};
use crate::gather::Gather;
use crate::plan::{examples, read_plan, salvage};
use serde_json::Value;
use std::cell::LazyCell;
use std::collections::BTreeMap;

/// What stands before the names of the oldest forms.
const WITHOUT_PATH: &str = "duskline/";

/// What is to be taken over.
#[derive(Clone, Debug, PartialEq)]
pub struct Migration {
    /// The change of the shelf.
    pub change: Change,
    /// The key of the plan that was open last.
    pub open: Option<String>,
    /// The names in local storage that may go once the change is done.
    pub taken: Vec<String>,
    /// The titles of plans that the list names and of which there is no text.
    pub missing: Vec<String>,
}

/// What an entry of a list says.
#[derive(Default)]
struct Listed {
    title: String,
    order: u64,
    changed: Time,
    number: u64,
}

/// Takes over what local storage holds, pairs of name and text; `prefix` stands before the names of this page. What the
/// shelf has under a plan's key already stays, and another text under it comes beside it.
pub fn migrate<'a>(
    shelf: &Shelf,
    pairs: impl Iterator<Item = (&'a str, &'a str)>,
    prefix: &str,
) -> Migration {
    let (mut texts, mut taken) = (BTreeMap::new(), Vec::new());
    for (name, text) in pairs {
        let (short, is_later) = match (name.strip_prefix(prefix), name.strip_prefix(WITHOUT_PATH)) {
            (Some(short), _) => (short, true),
            (None, Some(short)) => (short, false),
            _ => continue,
        };
        if !is_ours(short) {
            continue;
        }
        taken.push(name.to_string());
        // Where both forms have a name, the later one was written last.
        if is_later || !texts.contains_key(short) {
            texts.insert(short, text);
        }
    }
    let listed = listed(texts.get("plans").copied().unwrap_or_default());
    let mut change = shelf.unchanged();
    let examples = LazyCell::new(examples_as_kept);
    for (name, text) in &texts {
        let Some(key) = name.strip_prefix("plan/").filter(|key| !key.is_empty()) else {
            continue;
        };
        let content = Content::of(text);
        if shelf.entries.values().any(|e| e.facts.content == content) {
            continue;
        }
        // A page of an earlier version may have gone on with a plan that was taken over: its text comes beside it.
        let beside = (1..).map(|n| format!("{key}-{n}"));
        let mut keys = std::iter::once(key.to_string()).chain(beside);
        let is_free = |key: &String| !change.after.entries.contains_key(key);
        let Some(fresh) = keys.find(is_free) else {
            continue;
        };
        let is_example = examples.contains(&content);
        take(&mut change, &fresh, text, listed.get(key), is_example);
        if let Some(variants) = texts.get(format!("variants/{key}").as_str()) {
            let put = Write::put(Store::Variants, fresh, variants.to_string());
            change.writes.push(put);
        }
    }
    let is_gone = |key: &str| !change.after.entries.contains_key(key);
    let is_there = |key: &str| texts.contains_key(format!("plan/{key}").as_str());
    let missing = listed
        .iter()
        .filter(|(key, _)| is_gone(key) && !is_there(key));
    Migration {
        open: texts
            .get("open")
            .map(|key| key.to_string())
            .filter(|key| !is_gone(key)),
        missing: missing.map(|(_, listed)| listed.title.clone()).collect(),
        change,
        taken,
    }
}

/// Whether a name is one of a plan's or the list's: the page keeps other things beside them.
fn is_ours(name: &str) -> bool {
    let kinds = ["plan/", "variants/"];
    ["plans", "open"].contains(&name) || kinds.iter().any(|kind| name.starts_with(kind))
}

/// What can be read of a list, by keys.
fn listed(text: &str) -> BTreeMap<String, Listed> {
    let value: Value = serde_json::from_str(text).unwrap_or_default();
    let entry = |v: &Value| {
        let number = |name: &str| v.get(name).and_then(Value::as_u64).unwrap_or(0);
        let title = v.get("title").and_then(Value::as_str).unwrap_or_default();
        let listed = Listed {
            title: title.into(),
            order: number("order"),
            changed: number("changed"),
            number: number("number"),
        };
        Some((v.get("key")?.as_str()?.to_string(), listed))
    };
    let entries = value.as_array().into_iter().flatten();
    entries.filter_map(entry).gather()
}

/// The contents of the examples as they were kept when opened and left as they are.
fn examples_as_kept() -> Vec<Content> {
    let texts = examples()
        .iter()
        .filter_map(|(_, text)| read_plan(text).ok());
    texts.map(|plan| Content::of(&text_of(&plan))).collect()
}

/// Takes one plan over; its text stays as it is, damaged or not.
fn take(change: &mut Change, key: &str, text: &str, listed: Option<&Listed>, is_example: bool) {
    let default = Listed::default();
    let listed = listed.unwrap_or(&default);
    let found = salvage(text).ok().filter(|found| found.faults.is_empty());
    let mut entry = Entry {
        key: key.into(),
        own: Own {
            origin: if is_example {
                Origin::Example
            } else {
                Origin::Own
            },
            opened: listed.order,
            ..Own::default()
        },
        facts: match &found {
            Some(found) => Facts::of(&found.plan, text, 1),
            None => Facts::of_damaged(text, 1),
        },
        damaged: found.is_none(),
    };
    entry.facts.changed = listed.changed;
    if entry.facts.title.is_empty() {
        let taken = |n: u64| {
            let mut entries = change.after.entries.values();
            entries.any(|e| e.facts.title.is_empty() && e.facts.number == n)
        };
        entry.facts.number = match listed.number {
            number if number > 0 && !taken(number) => number,
            _ => change.after.free_number(),
        };
    }
    let put = Write::put(Store::Plans, key, record(1, entry.facts.content, text));
    change.writes.push(entry.write_own());
    change.writes.push(put.only(Condition::Absent));
    change.writes.push(entry.write_facts());
    if found.is_some() {
        let version = first_version(key, text, entry.facts.parts, listed.changed);
        change.writes.push(version);
    }
    change.after.entries.insert(key.into(), entry);
}
