//! A plan on the shelf, as it is told without reading the plan.
//!
//! It has two sides, stored apart so that no page writes over what another says: what somebody said of the plan ([`Own`]),
//! and what the plan itself tells ([`Facts`]), which can be made anew at any time.

use super::stored::{Content, Record, record};
use crate::plan::{Fingerprint, Plan};
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// Milliseconds since 1970; 0 where it is not known.
pub type Time = u64;

/// Where a plan came from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Origin {
    /// It was made here.
    #[default]
    Own,
    /// It was opened as an example, and is as it was.
    Example,
    /// It came in a link or a file.
    Received,
}

impl Origin {
    /// Where a plan of this origin belongs once somebody has edited it: an example becomes his own.
    pub fn edited(self) -> Origin {
        match self {
            Origin::Own | Origin::Example => Origin::Own,
            Origin::Received => Origin::Received,
        }
    }
}

/// What somebody said of a plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Own {
    /// Its tags, each once, in the order in which they were given.
    pub tags: Vec<String>,
    /// Where it came from.
    pub origin: Origin,
    /// When it came onto the shelf.
    pub created: Time,
    /// When it was opened last; of what an early version kept a counter instead, smaller than any time.
    pub opened: Time,
    /// Since when it is in the bin.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub binned: Option<Time>,
}

/// What a plan tells.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Facts {
    /// Its title.
    pub title: String,
    /// Its notes.
    pub notes: String,
    /// How many parts it has.
    pub parts: u64,
    /// When it was changed last.
    pub changed: Time,
    /// Which of those without a title it is, from 1 on; 0 where it has one.
    pub number: u64,
    /// The name of its book.
    pub book: String,
    /// The id of the world that it follows, if it follows one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub follows: Option<String>,
    /// Its fingerprint; none where the plan can't be read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fingerprint: Option<Fingerprint>,
    /// The verdict on its duties, once they were proven.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<KnownVerdict>,
    /// The revision of the plan that this is of.
    pub revision: u64,
    /// Its content.
    pub content: Content,
    /// The content of the plan but for its title: the same for two plans that are called otherwise and are alike.
    pub body: Content,
}

/// A verdict, and what it was of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KnownVerdict {
    /// The fingerprint of the plan that was proven.
    pub of: Fingerprint,
    /// How many duties are kept.
    pub kept: u64,
    /// Of how many.
    pub duties: u64,
    /// Whether that holds for ever.
    pub for_ever: bool,
}

/// How a plan stands, as far as is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ShelfVerdict {
    /// A duty is broken.
    Broken,
    /// Its duties were not proven, or not since it was changed.
    Unknown,
    /// It has no duties.
    NoDuties,
    /// Every duty is kept.
    Kept,
}

/// A plan on the shelf.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entry {
    /// Its key.
    pub key: String,
    /// What somebody said of it.
    pub own: Own,
    /// What it tells.
    pub facts: Facts,
    /// Whether what is kept can't be read as a plan throughout. It stays as it is.
    pub damaged: bool,
}

impl Entry {
    /// Its title, or what it is called without one.
    pub fn name(&self) -> String {
        match self.facts.number {
            _ if !self.facts.title.is_empty() => self.facts.title.clone(),
            0 | 1 => "Untitled".into(),
            number => format!("Untitled {number}"),
        }
    }

    /// Whether it is in the bin.
    pub fn is_binned(&self) -> bool {
        self.own.binned.is_some()
    }

    /// How the plan stands.
    pub fn verdict(&self) -> ShelfVerdict {
        match self.facts.verdict {
            Some(known) if Some(known.of) == self.facts.fingerprint => match known {
                KnownVerdict { duties: 0, .. } => ShelfVerdict::NoDuties,
                known if known.kept == known.duties => ShelfVerdict::Kept,
                _ => ShelfVerdict::Broken,
            },
            _ => ShelfVerdict::Unknown,
        }
    }
}

impl Facts {
    /// What a plan tells that is kept as `text` in this revision; when it was changed, its number and its verdict are left
    /// to the caller.
    pub(super) fn of(plan: &Plan, text: &str, revision: u64) -> Facts {
        Facts {
            title: plan.title.clone(),
            notes: plan.notes.clone(),
            parts: plan.parts.len() as u64,
            book: plan.book.book.name.clone(),
            follows: plan.follows.as_ref().map(|follows| follows.world.clone()),
            fingerprint: Some(plan.fingerprint()),
            revision,
            content: Content::of(text),
            body: body_of(&plan.to_value(), &["title"]),
            ..Facts::default()
        }
    }

    /// What can be told of a text that is no sound plan.
    pub(super) fn of_damaged(text: &str, revision: u64) -> Facts {
        let value: Value = serde_json::from_str(text).unwrap_or_default();
        let said = |key: &str| {
            let text = value.get(key).and_then(Value::as_str);
            text.unwrap_or_default().to_string()
        };
        let parts = value.get("parts").and_then(Value::as_array);
        Facts {
            title: said("title"),
            notes: said("notes"),
            parts: parts.map_or(0, |parts| parts.len() as u64),
            revision,
            content: Content::of(text),
            ..Facts::default()
        }
    }

    /// As it is stored.
    pub(super) fn record(&self) -> String {
        // Plain data: writing it can't fail.
        let text = serde_json::to_string(self).unwrap_or_default();
        record(self.revision, self.content, &text)
    }

    pub(super) fn read(record: &str) -> Option<Facts> {
        serde_json::from_str(Record::read(record).text).ok()
    }
}

impl Own {
    /// As it is stored.
    pub(super) fn record(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    pub(super) fn read(record: &str) -> Option<Own> {
        serde_json::from_str(record).ok()
    }
}

/// The text in which a plan is kept.
pub fn text_of(plan: &Plan) -> String {
    plan.to_value().to_string()
}

/// The content of a document without these fields.
pub(super) fn body_of(document: &Value, without: &[&str]) -> Content {
    let mut document = document.clone();
    if let Some(map) = document.as_object_mut() {
        without.iter().for_each(|key| drop(map.shift_remove(*key)));
    }
    Content::of(&document.to_string())
}

/// A title without the number that tells it from others: `Ledge` of `Ledge 2`; and that number, 1 where there is none.
pub(super) fn stem(title: &str) -> (&str, u64) {
    let numbered = title.rsplit_once(' ').and_then(|(stem, number)| {
        let number: u64 = number.parse().ok().filter(|n| (2..1_000_000).contains(n))?;
        Some((stem, number))
    });
    numbered.unwrap_or((title, 1))
}

/// A title that none of `taken` has: `Ledge`, `Ledge 2`, `Ledge 3`. A number at its end is counted on.
pub fn free_title(title: &str, taken: &dyn Fn(&str) -> bool) -> String {
    if !taken(title) {
        return title.into();
    }
    let (stem, from) = stem(title);
    let mut titles = (from + 1..).map(|number| format!("{stem} {number}"));
    titles.find(|title| !taken(title)).unwrap_or_default()
}
