//! One thing built otherwise than the plan has it, as data, and the plan as it was then built.

use crate::book::setting;
use crate::plan::{End, PartId, Plan, WireId};
use crate::proof::{Loss, without};
use crate::quantity::number;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// A single fault. A wire keeps its id at its output end, whatever becomes of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum SingleFault {
    /// A wire is not there.
    Missing {
        /// The wire.
        wire: WireId,
    },
    /// Two wires have changed over their input ends.
    Exchanged {
        /// The wires, the earlier one of the plan first.
        wires: [WireId; 2],
    },
    /// One end of a wire is on another port of its part.
    Port {
        /// The wire.
        wire: WireId,
        /// The port that it is on.
        port: End,
    },
    /// A switch does the opposite of its settings, as when a loss throws it.
    Reversed {
        /// The switch.
        part: PartId,
    },
    /// A make contact is a break contact, or the other way round.
    Contact {
        /// The contact.
        part: PartId,
    },
    /// A setting has another value.
    Setting {
        /// The part.
        part: PartId,
        /// The setting's name in a file.
        name: String,
        /// The value that it has.
        value: f64,
    },
    /// A part does nothing, and its wires carry nothing.
    Dead {
        /// The part.
        part: PartId,
    },
}

impl SingleFault {
    /// The word for its kind.
    pub const fn kind(&self) -> &'static str {
        match self {
            SingleFault::Missing { .. } => "missing",
            SingleFault::Exchanged { .. } => "exchanged",
            SingleFault::Port { .. } => "port",
            SingleFault::Reversed { .. } => "reversed",
            SingleFault::Contact { .. } => "contact",
            SingleFault::Setting { .. } => "setting",
            SingleFault::Dead { .. } => "dead",
        }
    }

    /// The parts and wires that it is about.
    pub fn about(&self) -> (Vec<PartId>, Vec<WireId>) {
        match self {
            SingleFault::Missing { wire } | SingleFault::Port { wire, .. } => {
                (Vec::new(), vec![wire.clone()])
            }
            SingleFault::Exchanged { wires } => (Vec::new(), wires.to_vec()),
            SingleFault::Reversed { part }
            | SingleFault::Contact { part }
            | SingleFault::Setting { part, .. }
            | SingleFault::Dead { part } => (vec![part.clone()], Vec::new()),
        }
    }

    /// The plan as it was built with this fault. What names nothing of the plan leaves it as it is.
    pub fn built(&self, plan: &Plan) -> Plan {
        let mut built = match self {
            SingleFault::Missing { wire } => return without(plan, &Loss::Wire(wire.clone())),
            SingleFault::Reversed { part } => return without(plan, &Loss::Switch(part.clone())),
            SingleFault::Dead { part } => return without(plan, &Loss::Part(part.clone())),
            _ => plan.clone(),
        };
        match self {
            SingleFault::Exchanged { wires: [a, b] } => {
                if let (Some(a), Some(b)) = (plan.wire_place(a), plan.wire_place(b)) {
                    exchange(&mut built, a, b);
                }
            }
            SingleFault::Port { wire, port } => {
                if let Some(at) = plan.wire_place(wire) {
                    let is_out = plan
                        .port(port)
                        .is_some_and(|p| p.side == crate::book::Side::Out);
                    let wire = &mut built.wires[at];
                    let end = if is_out { &mut wire.from } else { &mut wire.to };
                    *end = port.clone();
                }
            }
            SingleFault::Contact { part } => {
                let other = if is_break(plan, part) {
                    "make"
                } else {
                    "break"
                };
                set(&mut built, part, "contact", Value::from(other));
            }
            SingleFault::Setting { part, name, value } => {
                set(&mut built, part, name, number(*value));
            }
            _ => {}
        }
        built
    }
}

/// Changes over the input ends of the wires at two places of the plan; done twice, all is as before.
pub(super) fn exchange(plan: &mut Plan, a: usize, b: usize) {
    let first = plan.wires[a].to.clone();
    let second = std::mem::replace(&mut plan.wires[b].to, first);
    plan.wires[a].to = second;
}

/// Whether a contact is set to be a break contact.
pub(super) fn is_break(plan: &Plan, part: &PartId) -> bool {
    value_of(plan, part, "contact").and_then(Value::as_str) == Some("break")
}

/// A part's setting: its own, else the book's.
pub(super) fn value_of<'a>(plan: &'a Plan, part: &PartId, name: &str) -> Option<&'a Value> {
    let part = plan.part(part)?;
    let own = part.set.get(name);
    own.or_else(|| plan.kind_of(part)?.set.get(name))
}

/// How a switch stands in the plan, where it stands so all day; none where it is thrown by a schedule.
pub(super) fn stands_closed(plan: &Plan, part: &PartId) -> Option<bool> {
    let schedule = value_of(plan, part, "schedule").and_then(setting::schedule);
    let closed = value_of(plan, part, "closed").and_then(Value::as_bool);
    let is_plain = schedule.is_none_or(|entries| entries.is_empty());
    is_plain.then_some(closed.unwrap_or(false))
}

fn set(plan: &mut Plan, part: &PartId, name: &str, value: Value) {
    if let Some(part) = plan.parts.iter_mut().find(|p| p.id == *part) {
        part.set.insert(name.into(), value);
    }
}
