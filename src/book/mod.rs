//! The parts book: part types, their behaviours and their numbers. Data, never code.
//!
//! A [`Book`] names a unit, the size of a step and the lag of its contacts, and lists [`PartType`]s. Powers are whole
//! steps, capacities unit-hours, shares per mille. Built-in books lie under `assets/books`. It knows no plan.

mod behaviour;
mod ports;
mod read;
pub(crate) mod setting;

pub use behaviour::{Behaviour, FunctionName, Profile, Short};
pub use ports::{Port, Side};
pub use read::read_book;
pub(crate) use read::{read_book_at, with_stages};
pub(crate) use setting::words;

use crate::limits::{self, Field};
use crate::quantity::{Ms, Unit};
use serde_json::{Map, Value};
use std::sync::{Arc, LazyLock};

/// A parts book.
#[derive(Clone, Debug, PartialEq)]
pub struct Book {
    /// The name by which a plan refers to a built-in book.
    pub name: String,
    /// The unit of power and the size of a step.
    pub unit: Unit,
    /// How long a contact takes to follow its function, in milliseconds; at least 1.
    pub lag_ms: Ms,
    /// The part types, in the book's order.
    pub types: Vec<PartType>,
}

/// One part type of a book.
#[derive(Clone, Debug, PartialEq)]
pub struct PartType {
    /// The name by which a plan's parts refer to it.
    pub name: String,
    /// Its name for people.
    pub label: String,
    /// The heading under which the shelf shows it.
    pub group: String,
    /// The name of its drawing.
    pub symbol: String,
    /// What it does, with the behaviour's numbers.
    pub behaviour: Behaviour,
    /// The defaults of its settings.
    pub set: Map<String, Value>,
    /// What it is built of: materials and amounts.
    pub cost: Vec<(String, u64)>,
    /// How far along a builder must be to have it.
    pub stage: u64,
    /// Where it may be put up; empty where the book does not say.
    pub mount: String,
    /// The longest wire it takes, in metres.
    pub max_run: Option<f64>,
    /// What it is, in one line.
    pub says: String,
    /// How to use it.
    pub note: String,
}

impl PartType {
    /// Whether somebody throws or presses it: a switch or a button.
    pub fn is_hand_operated(&self) -> bool {
        matches!(
            self.behaviour,
            Behaviour::Contact {
                function: FunctionName::Manual | FunctionName::Button,
                ..
            }
        )
    }

    /// The ports, inputs first, then outputs, then signals.
    pub fn ports(&self) -> Vec<Port> {
        ports::of(&self.behaviour)
    }

    /// The port called `name`.
    pub fn port(&self, name: &str) -> Option<Port> {
        self.ports().into_iter().find(|p| p.name == name)
    }

    /// The settings that a part of this type has.
    pub fn fields(&self) -> &'static [Field] {
        match self.behaviour {
            Behaviour::Source {
                profile: Profile::Sun,
                ..
            } => limits::SUN,
            Behaviour::Battery { .. } => limits::CHARGE,
            Behaviour::Load { .. } => limits::SHORT,
            Behaviour::Tap => limits::TAP,
            Behaviour::Changeover => limits::CHANGEOVER,
            Behaviour::Contact { function, .. } => limits::of_function(function.name()),
            _ => &[],
        }
    }

    /// Whether a part of this type may stand for a bank of equal ones.
    pub fn banks(&self) -> bool {
        matches!(
            self.behaviour,
            Behaviour::Source { .. } | Behaviour::Battery { .. } | Behaviour::Load { .. }
        )
    }
}

impl Book {
    /// The part type called `name`.
    pub fn find(&self, name: &str) -> Option<&PartType> {
        self.types.iter().find(|t| t.name == name)
    }

    /// The headings of the shelf, in the book's order.
    pub fn groups(&self) -> Vec<&str> {
        let mut groups: Vec<&str> = Vec::new();
        for t in &self.types {
            if !groups.contains(&t.group.as_str()) {
                groups.push(&t.group);
            }
        }
        groups
    }
}

/// The texts of the built-in books, by name.
const BUILT_IN: &[(&str, &str)] = &[("outpost", include_str!("../../assets/books/outpost.json"))];

/// The names of the built-in books.
pub fn built_in_names() -> Vec<&'static str> {
    BUILT_IN.iter().map(|(name, _)| *name).collect()
}

/// The built-in book called `name`.
pub fn built_in(name: &str) -> Option<Arc<Book>> {
    static BOOKS: LazyLock<Vec<Option<Arc<Book>>>> = LazyLock::new(|| {
        let read = |text: &str| {
            serde_json::from_str(text)
                .ok()
                .and_then(|value| read_book(&value).ok())
                .map(Arc::new)
        };
        BUILT_IN.iter().map(|(_, text)| read(text)).collect()
    });
    let at = BUILT_IN.iter().position(|(n, _)| *n == name)?;
    BOOKS[at].clone()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_built_in_book_reads_without_a_fault() {
        for (name, text) in BUILT_IN {
            let value = serde_json::from_str(text).unwrap();
            let book = read_book(&value).unwrap();
            assert_eq!(&book.name, name);
            assert!(
                book.types.len() >= 30,
                "{name} has only {} part types",
                book.types.len()
            );
            for t in &book.types {
                assert!(
                    !t.says.is_empty() && !t.note.is_empty(),
                    "{} is not explained",
                    t.name
                );
                for field in t.fields() {
                    assert!(
                        field.optional || t.set.contains_key(field.key),
                        "{} gives no {}",
                        t.name,
                        field.key
                    );
                }
            }
        }
    }
}
