//! What is lost, in words.

use super::Loss;
use crate::plan::{End, Plan};

impl Loss {
    /// What is lost, as the subject of a row: `Roof panel`, `Wire from Roof panel to Tap`, `Gate switch, thrown`.
    pub fn called(&self, plan: &Plan) -> String {
        match self {
            Loss::Part(id) => plan.called(id),
            Loss::Wire(id) => match plan.wire(id) {
                Some(wire) => format!(
                    "Wire from {} to {}",
                    port(plan, &wire.from),
                    port(plan, &wire.to)
                ),
                None => format!("Wire {id}"),
            },
            Loss::Switch(id) => format!("{}, thrown", plan.called(id)),
            Loss::Empty(id) => format!("{}, found empty", plan.called(id)),
        }
    }

    /// The plan as it would be: `Without Roof panel`, `With Gate switch thrown`.
    pub fn would_be(&self, plan: &Plan) -> String {
        match self {
            Loss::Part(id) => format!("Without {}", plan.called(id)),
            Loss::Wire(id) => match plan.wire(id) {
                Some(wire) => format!(
                    "Without the wire from {} to {}",
                    port(plan, &wire.from),
                    port(plan, &wire.to)
                ),
                None => format!("Without wire {id}"),
            },
            Loss::Switch(id) => format!("With {} thrown", plan.called(id)),
            Loss::Empty(id) => format!("With {} found empty", plan.called(id)),
        }
    }
}

/// A port, only named where its part has more than one on that side.
fn port(plan: &Plan, end: &End) -> String {
    let name = plan.called(&end.part);
    let kind = plan.part(&end.part).and_then(|p| plan.kind_of(p));
    let ports = kind.map(|k| k.ports()).unwrap_or_default();
    let side = ports.iter().find(|p| p.name == end.port).map(|p| p.side);
    let alone = ports.iter().filter(|p| Some(p.side) == side).count() < 2;
    if alone {
        name
    } else {
        format!("{name} ({})", end.port)
    }
}
