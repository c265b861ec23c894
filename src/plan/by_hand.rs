//! What is thrown by hand at one moment of the run, beside what the plan's switches and buttons do every day.
//!
//! It belongs to a plan that is tried, never to the document: no file and no link holds it, and a plan's fingerprint
//! leaves it out. [`Plan::taken_by_hand`] makes lasting settings of it.

use super::{Clock, Edit, Part, PartId, Plan};
use crate::book::setting;
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// A switch thrown or a button pressed, once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Throw {
    /// When, in milliseconds since midnight of day 1.
    pub at: Ms,
    /// The switch or the button.
    pub part: PartId,
    /// What the switch is then: closed or open. A button is always pressed.
    pub closed: bool,
}

impl Plan {
    /// The edits that write what was thrown by hand into the daily schedules of switches and the presses of buttons: at the
    /// same places of the dial, on every day. An entry at the same minute is replaced.
    pub fn taken_by_hand(&self, throws: &[Throw]) -> Vec<Edit> {
        let day = self.world.day_ms();
        let mut by_part: BTreeMap<&PartId, Vec<&Throw>> = BTreeMap::new();
        for throw in throws {
            by_part.entry(&throw.part).or_default().push(throw);
        }
        let edits = by_part.into_iter().filter_map(|(id, throws)| {
            let part = self.part(id)?;
            let times = throws
                .into_iter()
                .map(|t| (Clock::at(t.at % day, day), t.closed));
            let (name, value) = match self.is_button(part) {
                true => ("presses", presses(self.setting_of(part, "presses"), times)),
                false => (
                    "schedule",
                    schedule(self.setting_of(part, "schedule"), times),
                ),
            };
            Some(Edit::Set(id.clone(), name.into(), Some(value)))
        });
        edits.collect()
    }

    fn setting_of<'a>(&'a self, part: &'a Part, name: &str) -> Option<&'a Value> {
        let own = part.set.get(name);
        own.or_else(|| self.kind_of(part)?.set.get(name))
    }

    fn is_button(&self, part: &Part) -> bool {
        let function = |spec| match spec {
            super::Spec::Contact { function, .. } => Some(function),
            _ => None,
        };
        let function = self.spec(part).and_then(function);
        matches!(function, Some(super::Function::Button { .. }))
    }
}

/// A switch's schedule with these entries as well, in the order of the dial.
fn schedule(before: Option<&Value>, throws: impl Iterator<Item = (Clock, bool)>) -> Value {
    let before = before.and_then(setting::schedule).unwrap_or_default();
    let mut entries: BTreeMap<Clock, bool> = before.into_iter().collect();
    entries.extend(throws);
    let entries = entries
        .into_iter()
        .map(|(at, closed)| json!([at.to_string(), closed]));
    entries.collect()
}

/// A button's presses with these as well, in the order of the dial.
fn presses(before: Option<&Value>, throws: impl Iterator<Item = (Clock, bool)>) -> Value {
    let mut all = before.and_then(setting::presses).unwrap_or_default();
    all.extend(throws.map(|(at, _)| at));
    all.sort_unstable();
    all.dedup();
    all.into_iter()
        .map(|at| Value::from(at.to_string()))
        .collect()
}
