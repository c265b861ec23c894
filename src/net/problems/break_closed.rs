//! Break switches that are set closed, and so are open: right by the rules, and rarely what was meant.

use super::words::problem;
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{Function, PartId, Plan, Spec};
use serde::{Deserialize, Serialize};

/// A break switch that is set closed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BreakClosed {
    /// The switch.
    pub part: PartId,
}

impl BreakClosed {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        format!(
            "{} is a break contact and set closed, so it is open. Set it not closed if it is to conduct, or make it a \
             make contact.",
            plan.called(&self.part)
        )
    }
}

/// One problem a switch.
pub(super) fn find(plan: &Plan, net: &Net) -> Vec<Problem> {
    let of = |(part, node): (usize, &crate::net::Node)| match &node.spec {
        Some(Spec::Contact {
            breaks: true,
            function: Function::Manual { closed: true, .. },
            ..
        }) if plan.parts[part].set.contains_key("closed") => {
            let id = plan.parts[part].id.clone();
            let kind = ProblemKind::BreakClosed(BreakClosed { part: id });
            Some(problem(plan, kind, Weight::Hint, vec![part], vec![]))
        }
        _ => None,
    };
    net.nodes.iter().enumerate().filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn a_break_switch_set_closed_is_said_to_be_open() {
        let plan = plan(
            r#"{ "parts": { "door": ["switch", { "contact": "break", "closed": true }] }, "wires": [] }"#,
        );
        assert_eq!(
            said(&plan, "break-closed"),
            [
                "hint [door] [] door is a break contact and set closed, so it is open. Set it not closed if it is to \
                 conduct, or make it a make contact."
            ]
        );
    }

    #[test]
    fn a_make_switch_set_closed_is_none() {
        let plan = plan(
            r#"{ "parts": { "a": ["switch", { "closed": true }], "b": ["switch", { "contact": "break", "closed": false }] },
                 "wires": [] }"#,
        );
        assert!(said(&plan, "break-closed").is_empty());
    }
}
