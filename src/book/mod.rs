//! The parts book: part types, their behaviours and their numbers. Data, never code.
//!
//! A [`Book`] names a unit, the size of a step and the lag of its contacts, and lists [`PartType`]s. Powers are whole
//! steps, capacities unit-hours, shares per mille. Built-in books lie under `assets/books`. A book has a file form
//! ([`read_book`], [`Book::print`]) and can be a table of a spreadsheet ([`table`]). It knows no plan.

mod behaviour;
mod built_in;
mod ports;
mod read;
pub(crate) mod setting;
pub mod table;
mod write;

pub use behaviour::{Behaviour, FunctionName, Profile, Short};
#[cfg(test)]
pub(crate) use built_in::built_in_types;
pub use built_in::{built_in, built_in_names, built_in_text};
pub use ports::{Port, Side};
pub use read::read_book;
pub(crate) use read::{read_book_at, with_stages};
pub(crate) use setting::words;

use crate::limits::{self, Field};
use crate::quantity::{Ms, Unit};
use serde_json::{Map, Value};

/// A parts book.
#[derive(Clone, Debug, PartialEq)]
pub struct Book {
    /// The name by which a plan refers to a built-in book.
    pub name: String,
    /// Its name for people; may be empty.
    pub label: String,
    /// The unit of power and the size of a step.
    pub unit: Unit,
    /// How long a contact takes to follow its function, in milliseconds; at least 1.
    pub lag_ms: Ms,
    /// What it is for, in one line; may be empty.
    pub says: String,
    /// What whoever plans with it must know of the world outside; empty where there is nothing to warn of.
    pub caution: String,
    /// The part types, in the book's order.
    pub types: Vec<PartType>,
    /// Fields that this program does not know, kept.
    pub extra: Map<String, Value>,
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
    /// Where its numbers come from; may be empty.
    pub source: String,
    /// Fields that this program does not know, kept.
    pub extra: Map<String, Value>,
}

/// The symbols of what gives light.
pub const LIGHTS: [&str; 4] = ["lamp", "floodlight", "beacon", "grow-light"];

impl PartType {
    /// Whether it gives light, so that it is said to go dark.
    pub fn gives_light(&self) -> bool {
        LIGHTS.contains(&self.symbol.as_str())
    }

    /// Whether somebody throws it and it stays so: a switch.
    pub fn is_switch(&self) -> bool {
        self.has_function(FunctionName::Manual)
    }

    /// Whether somebody throws or presses it: a switch or a button.
    pub fn is_hand_operated(&self) -> bool {
        self.is_switch() || self.has_function(FunctionName::Button)
    }

    fn has_function(&self, name: FunctionName) -> bool {
        matches!(self.behaviour, Behaviour::Contact { function, .. } if function == name)
    }

    /// The ports, inputs first, then outputs, then signals.
    pub fn ports(&self) -> Vec<Port> {
        ports::of(&self.behaviour)
    }

    /// The port called `name`.
    pub fn port(&self, name: &str) -> Option<Port> {
        self.ports().into_iter().find(|p| p.name == name)
    }

    /// The numbers of what it does, as they stand on the type.
    pub fn numbers(&self) -> &'static [Field] {
        read::numbers_of(self.behaviour.name())
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

/// A name for a part type, made of its label: small letters and digits with hyphens; `other` where none are left.
pub(crate) fn name_of_label(label: &str, other: &str) -> String {
    let plain = label.to_lowercase();
    let words = plain.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    if words.is_empty() {
        other.into()
    } else {
        words.join("-")
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
