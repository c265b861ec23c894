//! The whole state of a run at a midnight, so that two midnights can be compared: levels, outputs, what contacts do,
//! pending changes and timers as time left, truths, counters, signals, chatter counts and holds.

use super::engine::Engine;
use crate::quantity::{Energy, Ms};
use std::collections::BTreeMap;

/// The whole state at a midnight, after its events were applied and solved.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Midnight(BTreeMap<usize, State>);

/// The state of one part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum State {
    Battery {
        level: Energy,
        output: bool,
    },
    Contact {
        conducts: bool,
        truth: bool,
        due: Option<Ms>,
        left: Option<Ms>,
        count: u64,
        before: [bool; 2],
        changes: u32,
        held: bool,
    },
}

impl Midnight {
    /// How much each battery's level went up since `before`; none where anything else differs.
    pub(super) fn moved(&self, before: &Midnight) -> Option<BTreeMap<usize, Energy>> {
        let mut moves = BTreeMap::new();
        for (part, state) in &self.0 {
            match (state, before.0.get(part)?) {
                (
                    State::Battery { level, output },
                    State::Battery {
                        level: was,
                        output: same,
                    },
                ) if output == same => {
                    moves.insert(*part, level - was);
                }
                (now, was) if now == was => {}
                _ => return None,
            }
        }
        Some(moves)
    }

    /// This state with each level moved on by so much so many times.
    pub(super) fn ahead(&self, moves: &BTreeMap<usize, Energy>, times: u64) -> Midnight {
        let mut ahead = self.clone();
        for (part, by) in moves {
            if let Some(State::Battery { level, .. }) = ahead.0.get_mut(part) {
                *level += by * Energy::from(times);
            }
        }
        ahead
    }

    /// The parts, by their places in the plan, whose state differs.
    pub fn differs(&self, other: &Midnight) -> Vec<usize> {
        self.0
            .iter()
            .filter(|(part, state)| other.0.get(part) != Some(state))
            .map(|(part, _)| *part)
            .collect()
    }
}

impl Engine {
    /// The whole state at the midnight `t`, to which the engine has come, that millisecond's events applied.
    pub fn midnight(&self, t: Ms) -> Midnight {
        let mut parts = BTreeMap::new();
        for (part, battery) in &self.batteries {
            parts.insert(
                *part,
                State::Battery {
                    level: battery.at(t),
                    output: self.controls.output[*part],
                },
            );
        }
        for (part, contact) in &self.contacts {
            let memory = &contact.memory;
            let state = State::Contact {
                conducts: self.controls.conducts[*part],
                truth: memory.truth,
                due: contact.due.map(|due| due.saturating_sub(t)),
                left: memory.left(&contact.function, t),
                count: memory.count,
                before: memory.before,
                changes: if contact.round == self.round {
                    contact.changes
                } else {
                    0
                },
                held: contact.held,
            };
            parts.insert(*part, state);
        }
        Midnight(parts)
    }
}
