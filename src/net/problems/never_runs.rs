//! Loads that can never run, since more than ever comes to them is drawn.
//!
//! A load to which nothing leads is another kind's business.

use super::most::Most;
use super::no_source::fed;
use super::words::{first, power, problem};
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{PartId, Plan, Spec};
use crate::quantity::Steps;
use serde::{Deserialize, Serialize};

/// A load that can never run.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NeverRuns {
    /// The load.
    pub part: PartId,
    /// What it draws.
    pub draw: Steps,
    /// No more than this can ever come to it.
    pub most: Steps,
}

impl NeverRuns {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        let (name, draw) = (plan.called(&self.part), power(plan, self.draw));
        match self.most {
            Steps(0) => format!(
                "{name} can never run: nothing ever comes to it, since a contact or a tap before it lets nothing through."
            ),
            most => format!(
                "{name} can never run: it draws {draw}, and no more than {} can ever come to it. Lead more to it, or use a \
                 smaller one.",
                power(plan, most)
            ),
        }
    }
}

/// One problem a load.
pub(super) fn find(plan: &Plan, net: &Net, most: &Most) -> Vec<Problem> {
    let fed = fed(net);
    let of = |(part, node): (usize, &crate::net::Node)| {
        let Some(Spec::Load { draw, .. }) = node.spec else {
            return None;
        };
        let wire = first(&node.ins).filter(|wire| !net.wires[*wire].closed && fed[part])?;
        if most.offer(wire) >= draw {
            return None;
        }
        let kind = ProblemKind::NeverRuns(NeverRuns {
            part: plan.parts[part].id.clone(),
            draw: Steps(draw),
            most: Steps(most.offer(wire)),
        });
        Some(problem(plan, kind, Weight::Warning, vec![part], vec![wire]))
    };
    net.nodes.iter().enumerate().filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn a_load_behind_too_small_a_tap_is_named_with_what_it_would_need() {
        let text = |amount: u64| {
            format!(
                r#"{{ "parts": {{ "sun": ["generator", {{}}, 9], "tap": ["tap", {{ "amount": {amount} }}], "heater": "heater" }},
                      "wires": ["sun.out tap.in", "tap.tap heater.in"] }}"#
            )
        };
        let draw = (1..).find(|n| said(&plan(&text(*n)), "never-runs").is_empty());
        let draw = draw.expect("with enough it runs");
        assert!(draw > 1);
        assert_eq!(
            said(&plan(&text(draw - 1)), "never-runs"),
            [format!(
                "warning [heater] [w2] heater can never run: it draws {draw} u, and no more than {} u can ever come to it. \
                 Lead more to it, or use a smaller one.",
                draw - 1
            )]
        );
    }

    #[test]
    fn a_load_behind_a_contact_that_never_closes_is_named() {
        let plan = plan(
            r#"{ "parts": { "sun": "generator", "home": "home", "lamp": "lamp" },
                 "wires": ["sun.out home.feed", "home.out lamp.in"] }"#,
        );
        assert_eq!(said(&plan, "never-runs").len(), 1);
    }

    #[test]
    fn a_load_that_only_runs_while_others_cannot_is_not_named() {
        // The heater takes nearly all where it runs; what it can't use it passes on.
        let plan = plan(
            r#"{ "parts": { "sun": "sun-panel", "heater": "heater", "lamp": "lamp" },
                 "wires": ["sun.out heater.in", "heater.loop lamp.in"] }"#,
        );
        assert!(said(&plan, "never-runs").is_empty());
    }
}
