//! Charge contacts that watch no battery, and so are never true.

use super::words::{contacts, problem, stays};
use crate::gather::Gather;
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{Function, PartId, Plan, Spec};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// A charge contact that watches no battery.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WatchesNothing {
    /// The contact.
    pub part: PartId,
    /// Whether it stays closed, or else open.
    pub stays_closed: bool,
}

impl WatchesNothing {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        let stays = stays(self.stays_closed);
        format!(
            "{} watches no battery and stays {stays}. Choose the battery that it is to watch.",
            plan.called(&self.part)
        )
    }
}

/// One problem a contact.
pub(super) fn find(plan: &Plan, net: &Net) -> Vec<Problem> {
    let parts = net.nodes.iter().enumerate();
    let batteries: BTreeSet<&str> = parts
        .filter(|(_, node)| matches!(node.spec, Some(Spec::Battery { .. })))
        .map(|(part, _)| plan.parts[part].id.as_str())
        .gather();
    let of = |(part, breaks, function): (usize, bool, &Function)| {
        let Function::Charge { watches, .. } = function else {
            return None;
        };
        if batteries.contains(watches.as_str()) {
            return None;
        }
        let kind = ProblemKind::WatchesNothing(WatchesNothing {
            part: plan.parts[part].id.clone(),
            stays_closed: breaks,
        });
        Some(problem(plan, kind, Weight::Warning, vec![part], vec![]))
    };
    contacts(net).filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn a_contact_that_watches_nothing_or_a_lamp_is_named() {
        let plan = plan(
            r#"{ "parts": { "lamp": "lamp", "a": "charge", "b": ["charge", { "watches": "lamp", "contact": "break" }] },
                 "wires": [] }"#,
        );
        assert_eq!(
            said(&plan, "watches-nothing"),
            [
                "warning [a] [] a watches no battery and stays open. Choose the battery that it is to watch.",
                "warning [b] [] b watches no battery and stays closed. Choose the battery that it is to watch."
            ]
        );
    }

    #[test]
    fn one_that_watches_a_battery_is_none() {
        let plan = plan(
            r#"{ "parts": { "cell": "battery", "a": ["charge", { "watches": "cell" }] }, "wires": [] }"#,
        );
        assert!(said(&plan, "watches-nothing").is_empty());
    }
}
