//! Keeping a plan that is edited.

use super::entry::{Facts, Own, Time, text_of};
use super::stored::{Condition, Content, Store, Write, record};
use super::{Calendar, Change, Entry, Origin, Shelf, Version, Versions};
use crate::plan::Plan;

/// What a page knows of the plan that it has open: which text of it is kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Open {
    /// The plan's key.
    pub key: String,
    /// The revision that was read or written last; 0 where nothing is kept yet.
    pub revision: u64,
    /// The content of it.
    pub content: Content,
}

/// What is kept of a plan beside it.
#[derive(Clone, Debug, Default)]
pub struct Save<'a> {
    /// When.
    pub now: Time,
    /// Where the plan came from, if it is new.
    pub origin: Origin,
    /// The steps of undo as a text.
    pub undo: Option<String>,
    /// A small picture of its board.
    pub picture: Option<String>,
    /// Its versions, where one is to be added, and the calendar by which they are thinned out.
    pub versions: Option<(&'a Versions, Calendar)>,
}

/// What came of a save.
#[derive(Clone, Debug, PartialEq)]
pub struct Saved {
    /// The change of the shelf. Refused where another page has kept another text under the key since.
    pub change: Change,
    /// What is open once the change is done.
    pub open: Open,
    /// The versions once the change is done, where one was to be added.
    pub versions: Option<Versions>,
}

impl Open {
    /// Nothing is kept yet under `key`.
    pub fn fresh(key: impl Into<String>) -> Open {
        Open {
            key: key.into(),
            ..Open::default()
        }
    }

    /// The plan of this entry.
    pub fn of(entry: &Entry) -> Open {
        Open {
            key: entry.key.clone(),
            revision: entry.facts.revision,
            content: entry.facts.content,
        }
    }

    /// Where its steps of undo are kept.
    pub fn undo_key(&self) -> String {
        format!("{}/{}", self.key, self.content)
    }
}

impl Shelf {
    /// Keeps a plan under the key of `open`. Steps of undo go first, under the content that they belong to, so that at any
    /// moment the plan that is kept has its own; what is told of the plan goes after it. An example that was edited is
    /// somebody's own plan from then on.
    pub fn save(&self, open: &Open, plan: &Plan, save: &Save) -> Saved {
        let text = text_of(plan);
        let after = Open {
            key: open.key.clone(),
            revision: open.revision + 1,
            content: Content::of(&text),
        };
        let is_new = open.revision == 0 && !self.entries.contains_key(&open.key);
        let is_changed = after.content != open.content || is_new;
        let mut change = self.unchanged();
        let mut entry = self.entry(&open.key).cloned().unwrap_or_default();
        entry.key = open.key.clone();
        if is_new {
            entry.own = Own {
                origin: save.origin,
                created: save.now,
                opened: save.now,
                ..Own::default()
            };
            // What is said of it goes first: without the plan it is nothing, and the plan is never without it.
            change.writes.push(entry.write_own());
        }
        let is_edited = is_changed && !is_new && open.revision > 0;
        if is_edited && entry.own.origin != entry.own.origin.edited() {
            entry.own.origin = entry.own.origin.edited();
            change.writes.push(entry.write_own());
        }
        if let Some(undo) = &save.undo {
            let put = Write::put(Store::Undo, after.undo_key(), undo.clone());
            change.writes.push(put);
        }
        let open_after = if is_changed {
            change.writes.push(plan_write(open, &after, &text));
            entry.damaged = false;
            entry.facts = self.facts_after(&entry, plan, &text, after.revision, save.now);
            change.writes.push(entry.write_facts());
            if open.revision > 0 && open.content != after.content {
                change
                    .writes
                    .push(Write::remove(Store::Undo, open.undo_key()));
            }
            after
        } else {
            open.clone()
        };
        if let Some(picture) = &save.picture {
            let put = Write::put(Store::Pictures, open.key.clone(), picture.clone());
            change.writes.push(put);
        }
        let versions = save.versions.map(|(versions, calendar)| {
            let version = Version::of(&text, plan.parts.len() as u64, save.now);
            let (versions, writes) = versions.with(&open.key, version, calendar);
            change.writes.extend(writes);
            versions
        });
        change.after.entries.insert(open.key.clone(), entry);
        Saved {
            change,
            open: open_after,
            versions,
        }
    }

    /// What is told of a plan that takes the place of what `entry` tells.
    pub(super) fn facts_after(
        &self,
        entry: &Entry,
        plan: &Plan,
        text: &str,
        revision: u64,
        now: Time,
    ) -> Facts {
        let before = &entry.facts;
        let number = match before.number {
            _ if !plan.title.is_empty() => 0,
            0 => self.free_number(),
            number => number,
        };
        Facts {
            changed: now,
            number,
            verdict: before.verdict,
            ..Facts::of(plan, text, revision)
        }
    }
}

/// The write of a plan's text in place of what `open` knows of.
pub(super) fn plan_write(open: &Open, after: &Open, text: &str) -> Write {
    let only = match open.revision {
        0 if open.content == Content::default() => Condition::Absent,
        revision => Condition::Revision(revision),
    };
    let text = record(after.revision, after.content, text);
    Write::put(Store::Plans, open.key.clone(), text).only(only)
}

impl Entry {
    pub(super) fn write_own(&self) -> Write {
        Write::put(Store::Entries, self.key.clone(), self.own.record())
    }

    pub(super) fn write_facts(&self) -> Write {
        let put = Write::put(Store::Facts, self.key.clone(), self.facts.record());
        put.only(Condition::NotNewer(self.facts.revision))
    }
}
