//! Which changes are worth trying to let a load start at another time: each a *line* of changes of one kind, the smallest
//! first, of which the first that does it is offered. Angles in degrees, thresholds of light in thousandths, of charge in
//! per mille, amounts in steps, delays in seconds.

mod contacts;
mod supply;

use super::Side;
use super::window::Window;
use crate::book::Profile;
use crate::plan::{Edit, Spec};
use crate::proof::findings::Simulation;
use serde_json::Value;

/// The most parts of a kind whose settings are tried, the nearest to the load first.
const PARTS: usize = 4;
/// Degrees between two aims that are tried before those between them are.
const TURN: usize = 6;
/// The most units that are tried to be added to a bank or taken from it.
const UNITS: u64 = 4;
/// The most steps by which a tap is tried to be set otherwise.
const STEPS: u64 = 12;
/// The most minutes, seconds or thousandths beyond the wanted time that are tried: contacts take a moment.
const BEYOND: u64 = 5;
/// The most thousandths of light that are tried.
const LIGHTS: u64 = 12;

/// A change to be tried.
#[derive(Clone, Debug)]
pub(super) struct Change {
    /// What is then so: `West roof panels turned to 200°`.
    pub what: String,
    /// In a few words, as an undo step is called.
    pub name: String,
    pub edits: Vec<Edit>,
    /// How large it is.
    pub size: u64,
}

/// Changes of one kind, the smallest first.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub changes: Vec<Change>,
    /// How many are passed over at first; those are tried where one side of them is not like the other.
    pub stride: usize,
}

/// Puts lines together.
struct Lines<'a> {
    seen: &'a Simulation,
    window: Window,
    load: usize,
    out: Vec<Line>,
}

/// All that is worth trying, what costs nothing first.
pub(super) fn lines(seen: &Simulation, window: Window, load: usize) -> Vec<Line> {
    let mut lines = Lines {
        seen,
        window,
        load,
        out: Vec::new(),
    };
    let ahead = seen.ahead(load);
    for part in ahead.iter().copied() {
        if let Some(Spec::Contact { function, .. }) = &seen.specs[part] {
            lines.contact(part, function);
        }
    }
    let of = |is: &dyn Fn(&Spec) -> bool| -> Vec<usize> {
        let found = ahead.iter().copied();
        let found = found.filter(|at| seen.specs[*at].as_ref().is_some_and(is));
        found.take(PARTS).collect()
    };
    let panels = of(&|s| {
        matches!(
            s,
            Spec::Source {
                profile: Profile::Sun,
                ..
            }
        )
    });
    lines.aims(&panels);
    for tap in of(&|s| matches!(s, Spec::Tap(_))) {
        lines.tap(tap);
    }
    for divider in of(&|s| matches!(s, Spec::Divider(_))) {
        lines.ways(divider);
    }
    for bank in of(&|s| matches!(s, Spec::Source { .. } | Spec::Battery { .. })) {
        lines.units(bank);
    }
    for panel in panels.iter().copied().take(2) {
        lines.further_panel(panel);
    }
    for contact in (seen.upstream(load).into_iter())
        .filter(|at| matches!(seen.specs[*at], Some(Spec::Contact { .. })))
        .take(2)
    {
        lines.instead(contact);
    }
    if window.side == Side::NotBefore {
        lines.put_in();
    }
    lines.out
}

impl Lines<'_> {
    fn line(&mut self, stride: usize, changes: Vec<Change>) {
        if !changes.is_empty() {
            self.out.push(Line { changes, stride });
        }
    }

    /// A change of settings of one part; `how` goes on from its name.
    fn set(&self, part: usize, how: &str, size: u64, set: &[(&str, Value)]) -> Change {
        let (name, id) = (self.seen.name(part), self.seen.id(part));
        let edit = |(key, value): &(&str, Value)| {
            Edit::Set(id.clone(), (*key).to_string(), Some(value.clone()))
        };
        Change {
            what: format!("{name} {how}"),
            name: format!("have {name} {how}"),
            edits: set.iter().map(edit).collect(),
            size,
        }
    }

    fn number(&self, part: usize, key: &str) -> f64 {
        let part = &self.seen.plan.parts[part];
        let book = || self.seen.plan.kind_of(part).and_then(|t| t.set.get(key));
        let value = part.set.get(key).or_else(book);
        value.and_then(Value::as_f64).unwrap_or(0.0)
    }
}

/// Several changes as one.
fn together(all: Vec<Change>) -> Option<Change> {
    all.into_iter().reduce(|one, other| Change {
        what: format!("{} and {}", one.what, other.what),
        name: format!(
            "{} and {}",
            one.name,
            other.name.trim_start_matches("have ")
        ),
        edits: [one.edits, other.edits].concat(),
        size: one.size + other.size,
    })
}
