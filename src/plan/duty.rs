//! Duties: when a load must run. Grace in seconds in the file, in milliseconds here.

use super::{PartId, Span};
use crate::quantity::{self, Ms};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// When a duty applies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum When {
    /// At every moment.
    Always,
    /// While the sun is at or below the horizon.
    Dark,
    /// While the sun is above the horizon.
    Light,
    /// While the world's home hours hold.
    Home,
    /// While they do not.
    Away,
    /// In a stretch of the dial.
    Clock(Span),
}

impl When {
    /// In words that go on from "must run": `while it is dark`.
    pub fn said(self) -> String {
        match self {
            When::Always => "always".into(),
            When::Dark => "while it is dark".into(),
            When::Light => "while it is light".into(),
            When::Home => "while somebody is home".into(),
            When::Away => "while nobody is home".into(),
            When::Clock(span) => format!("from {} to {}", span.from, span.to),
        }
    }

    /// The word in a file.
    pub const fn word(self) -> &'static str {
        match self {
            When::Always => "always",
            When::Dark => "dark",
            When::Light => "light",
            When::Home => "home",
            When::Away => "away",
            When::Clock(_) => "clock",
        }
    }
}

/// A duty of one load.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Duty {
    /// The load.
    pub part: PartId,
    /// When it must run.
    pub when: When,
    /// Whether it must not run otherwise.
    pub only: bool,
    /// The longest stretch, in seconds as written, by which it may be broken.
    pub grace_s: f64,
    /// Fields that this program does not know, kept.
    #[serde(with = "super::crossing")]
    pub extra: Map<String, Value>,
}

impl Duty {
    /// The grace in milliseconds.
    pub fn grace_ms(&self) -> Ms {
        quantity::seconds_to_ms(self.grace_s).unwrap_or(0)
    }
}

/// The grace of a duty that names none, in seconds.
pub const GRACE_S: f64 = 60.0;
