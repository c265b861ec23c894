//! Switches that nobody has set and buttons that nobody presses.

use super::words::{contacts, problem, stays};
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{Function, PartId, Plan};
use serde::{Deserialize, Serialize};

/// A switch that nobody has set, or a button that nobody presses.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct UnsetSwitch {
    /// The switch or button.
    pub part: PartId,
    /// Whether that is a button.
    pub is_button: bool,
    /// Whether it stays closed all day, or else open.
    pub stays_closed: bool,
}

impl UnsetSwitch {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        let name = plan.called(&self.part);
        let stays = stays(self.stays_closed);
        match self.is_button {
            false => format!(
                "Nobody has set {name}: it stays {stays} all day. Say whether it is closed, or give it a schedule."
            ),
            true => format!(
                "Nobody presses {name}: it stays {stays} all day. Give it the times at which it is pressed."
            ),
        }
    }
}

/// One problem a switch or button.
pub(super) fn find(plan: &Plan, net: &Net) -> Vec<Problem> {
    let of = |(part, breaks, function): (usize, bool, &Function)| {
        let switch = &plan.parts[part];
        let is_set = switch.set.contains_key("closed");
        let (is_button, stays_closed) = match function {
            Function::Manual { closed, schedule } if schedule.is_empty() && !is_set => {
                (false, *closed != breaks)
            }
            Function::Button { presses, .. } if presses.is_empty() => (true, breaks),
            _ => return None,
        };
        let kind = ProblemKind::UnsetSwitch(UnsetSwitch {
            part: switch.id.clone(),
            is_button,
            stays_closed,
        });
        Some(problem(plan, kind, Weight::Hint, vec![part], vec![]))
    };
    contacts(net).filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn a_switch_as_it_came_and_a_button_without_presses_are_named() {
        let plan = plan(
            r#"{ "parts": { "door": "switch", "stop": ["button", { "contact": "break" }] }, "wires": [] }"#,
        );
        assert_eq!(
            said(&plan, "unset-switch"),
            [
                "hint [door] [] Nobody has set door: it stays open all day. Say whether it is closed, or give it a \
                 schedule.",
                "hint [stop] [] Nobody presses stop: it stays closed all day. Give it the times at which it is pressed."
            ]
        );
    }

    #[test]
    fn a_switch_that_is_set_either_way_is_none() {
        let plan = plan(
            r#"{ "parts": { "a": ["switch", { "closed": false }], "b": ["switch", { "schedule": [["08:00", true]] }],
                            "c": ["button", { "presses": ["08:00"] }] }, "wires": [] }"#,
        );
        assert!(said(&plan, "unset-switch").is_empty());
    }
}
