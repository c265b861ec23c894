//! Switches that nobody has set and buttons that nobody presses.

use super::words::{name, problem};
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{Function, Plan, Spec};

/// One problem a switch or button.
pub(super) fn find(plan: &Plan, net: &Net) -> Vec<Problem> {
    let of = |(part, node): (usize, &crate::net::Node)| {
        let Some(Spec::Contact {
            breaks, function, ..
        }) = &node.spec
        else {
            return None;
        };
        let set = &plan.parts[part].set;
        let name = name(plan, part);
        let says = match function {
            Function::Manual { closed, schedule }
                if schedule.is_empty() && !set.contains_key("closed") =>
            {
                let stays = if closed != breaks { "closed" } else { "open" };
                format!(
                    "Nobody has set {name}: it stays {stays} all day. Say whether it is closed, or give it a schedule."
                )
            }
            Function::Button { presses, .. } if presses.is_empty() => {
                let stays = if *breaks { "closed" } else { "open" };
                format!(
                    "Nobody presses {name}: it stays {stays} all day. Give it the times at which it is pressed."
                )
            }
            _ => return None,
        };
        let what = (ProblemKind::UnsetSwitch, Weight::Hint);
        Some(problem(plan, what, vec![part], vec![], says))
    };
    net.nodes.iter().enumerate().filter_map(of).collect()
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
