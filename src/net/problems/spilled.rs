//! Power that a source could give and nobody takes. In steps.

use super::words::{first, power, problem};
use crate::net::{Controls, Live, Net, Problem, ProblemKind, Weight};
use crate::plan::{PartId, Plan, Spec};
use crate::quantity::Steps;
use serde::{Deserialize, Serialize};

/// A source of which not all is taken.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spilled {
    /// The source.
    pub part: PartId,
    /// What it could give.
    pub available: Steps,
    /// What of that nobody takes.
    pub spilled: Steps,
}

impl Spilled {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        format!(
            "{} could give {}, and {} of it is spilled. Charge a battery with it, or hang more on it.",
            plan.called(&self.part),
            power(plan, self.available),
            power(plan, self.spilled)
        )
    }
}

/// One problem a source.
pub(super) fn find(plan: &Plan, net: &Net, live: &Live, controls: &Controls) -> Vec<Problem> {
    let of = |(part, node): (usize, &crate::net::Node)| {
        if !matches!(node.spec, Some(Spec::Source { .. })) {
            return None;
        }
        let wire = first(&node.outs);
        let (available, taken) = (controls.available[part], live.taken(wire));
        let spilled = available.checked_sub(taken).filter(|s| *s > 0)?;
        let kind = ProblemKind::Spilled(Spilled {
            part: plan.parts[part].id.clone(),
            available: Steps(available),
            spilled: Steps(spilled),
        });
        let wires = wire.into_iter().collect();
        Some(problem(plan, kind, Weight::Hint, vec![part], wires))
    };
    net.nodes.iter().enumerate().filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn what_a_generator_could_give_more_is_said() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "heater": "heater", "spare": ["hand-generator", {}, 2] },
                 "wires": ["gen.out heater.in"] }"#,
        );
        assert_eq!(
            said(&plan, "spilled"),
            [
                "hint [gen] [w1] gen could give 20 u, and 17 u of it is spilled. Charge a battery with it, or hang more \
                 on it.",
                "hint [spare] [] spare could give 20 u, and 20 u of it is spilled. Charge a battery with it, or hang \
                 more on it."
            ]
        );
    }

    #[test]
    fn a_battery_that_takes_all_leaves_nothing_to_spill() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "cell": "battery", "panel": "sun-panel" }, "wires": ["gen.out cell.in"] }"#,
        );
        assert!(said(&plan, "spilled").is_empty());
    }
}
