//! What is done with plans on the shelf: duplicating, renaming, tagging, the bin.

use super::entry::{Entry, KnownVerdict, Own, Time, free_title, text_of};
use super::save::{Open, plan_write};
use super::stored::{Content, Store, Write};
use super::versions::key_of;
use super::{Change, Shelf, Version};
use crate::plan::Plan;

impl Shelf {
    /// Says something else of a plan.
    fn with_own(&self, key: &str, say: impl FnOnce(&mut Own)) -> Change {
        let mut change = self.unchanged();
        if let Some(entry) = change.after.entries.get_mut(key) {
            let before = entry.own.clone();
            say(&mut entry.own);
            if entry.own != before {
                change.writes.push(entry.write_own());
            }
        }
        change
    }

    /// Gives a plan these tags in place of all; blank ones and second ones are left out.
    pub fn tag(&self, key: &str, tags: &[String]) -> Change {
        let mut kept: Vec<String> = Vec::new();
        for tag in tags.iter().map(|tag| tag.trim()) {
            let is_there = kept.iter().any(|k| k.to_lowercase() == tag.to_lowercase());
            if !tag.is_empty() && !is_there {
                kept.push(tag.to_string());
            }
        }
        self.with_own(key, |own| own.tags = kept)
    }

    /// Says that a plan was opened.
    pub fn opened(&self, key: &str, now: Time) -> Change {
        self.with_own(key, |own| own.opened = now)
    }

    /// Puts a plan into the bin, where it stays whole.
    pub fn bin(&self, key: &str, now: Time) -> Change {
        self.with_own(key, |own| own.binned = own.binned.or(Some(now)))
    }

    /// Takes a plan out of the bin.
    pub fn unbin(&self, key: &str) -> Change {
        self.with_own(key, |own| own.binned = None)
    }

    /// Removes for good what has been in the bin since before `before`. The plan goes first and what says that it was in the
    /// bin last, so that a plan is never half there: what is left over says of itself that it is to go.
    pub fn empty_bin(&self, before: Time) -> Change {
        let mut change = self.unchanged();
        let old = |entry: &&Entry| entry.own.binned.is_some_and(|since| since < before);
        for entry in self.entries.values().filter(old) {
            change.writes.extend(removal(&entry.key));
            change.after.entries.remove(&entry.key);
        }
        change
    }

    /// Notes the verdict on a plan.
    pub fn note_verdict(&self, key: &str, verdict: KnownVerdict) -> Change {
        let mut change = self.unchanged();
        if let Some(entry) = change.after.entries.get_mut(key)
            && entry.facts.verdict != Some(verdict)
        {
            entry.facts.verdict = Some(verdict);
            change.writes.push(entry.write_facts());
        }
        change
    }

    /// Notes a small picture of a plan's board.
    pub fn note_picture(&self, key: &str, picture: String) -> Change {
        Change {
            writes: vec![Write::put(Store::Pictures, key, picture)],
            ..self.unchanged()
        }
    }

    /// Puts a plan that is not open, the very one of the entry, back with another title.
    pub fn rename(&self, key: &str, plan: &Plan, title: &str, now: Time) -> Change {
        let Some(entry) = self.entry(key) else {
            return self.unchanged();
        };
        let renamed = Plan {
            title: title.trim().into(),
            ..plan.clone()
        };
        let save = super::Save {
            now,
            ..super::Save::default()
        };
        self.save(&Open::of(entry), &renamed, &save).change
    }

    /// Puts a copy of a plan beside it under a fresh key, with a title of its own: `Ledge 2`.
    pub fn duplicate(&self, key: &str, plan: &Plan, fresh: &str, now: Time) -> Change {
        let Some(of) = self.entry(key) else {
            return self.unchanged();
        };
        let copy = Plan {
            title: self.free_title(&plan.title),
            ..plan.clone()
        };
        let own = Own {
            tags: of.own.tags.clone(),
            origin: of.own.origin,
            created: now,
            opened: now,
            binned: None,
        };
        let mut change = self.unchanged();
        change.add(fresh, own, &copy, now);
        if let Some(entry) = change.after.entries.get_mut(fresh) {
            entry.facts.verdict = of.facts.verdict;
        }
        change
    }

    /// A title that no plan out of the bin has; none stays none.
    pub fn free_title(&self, title: &str) -> String {
        if title.is_empty() {
            return String::new();
        }
        free_title(title, &|title| self.there().any(|e| e.facts.title == title))
    }
}

impl Change {
    /// Adds a plan under a fresh key, what is said of it first, as at every new plan, and its first version last.
    pub(super) fn add(&mut self, key: &str, own: Own, plan: &Plan, changed: Time) {
        let text = text_of(plan);
        let (open, content) = (Open::fresh(key), Content::of(&text));
        let kept = Open {
            revision: 1,
            content,
            ..open.clone()
        };
        let mut entry = Entry {
            key: key.into(),
            own,
            ..Entry::default()
        };
        entry.facts = self.after.facts_after(&entry, plan, &text, 1, changed);
        self.writes.push(entry.write_own());
        self.writes.push(plan_write(&open, &kept, &text));
        self.writes.push(entry.write_facts());
        self.writes
            .push(first_version(key, &text, entry.facts.parts, changed));
        self.after.entries.insert(key.into(), entry);
    }
}

/// The first version of a plan: how it came onto the shelf.
pub(super) fn first_version(key: &str, text: &str, parts: u64, at: Time) -> Write {
    let mut version = Version::of(text, parts, at);
    version.head.number = 1;
    Write::put(Store::Versions, key_of(key, 1), version.record())
}

/// The writes that remove a plan with all that is kept of it.
pub(super) fn removal(key: &str) -> Vec<Write> {
    let below = format!("{key}/");
    vec![
        Write::remove(Store::Plans, key),
        Write::remove(Store::Versions, below.clone()),
        Write::remove(Store::Undo, below),
        Write::remove(Store::Variants, key),
        Write::remove(Store::Pictures, key),
        Write::remove(Store::Facts, key),
        Write::remove(Store::Entries, key),
    ]
}
