//! Power that a source could give and nobody takes. In steps.

use super::words::{first, name, power, problem};
use crate::net::{Controls, Live, Net, Problem, ProblemKind, Weight};
use crate::plan::{Plan, Spec};

/// One problem a source.
pub(super) fn find(plan: &Plan, net: &Net, live: &Live, controls: &Controls) -> Vec<Problem> {
    let of = |(part, node): (usize, &crate::net::Node)| {
        if !matches!(node.spec, Some(Spec::Source { .. })) {
            return None;
        }
        let wire = first(&node.outs);
        let (available, taken) = (controls.available[part], live.taken(wire));
        let spilled = available.checked_sub(taken).filter(|s| *s > 0)?;
        let says = format!(
            "{} could give {}, and {} of it is spilled. Charge a battery with it, or hang more on it.",
            name(plan, part),
            power(plan, available),
            power(plan, spilled)
        );
        let what = (ProblemKind::Spilled, Weight::Hint);
        Some(problem(
            plan,
            what,
            vec![part],
            wire.into_iter().collect(),
            says,
        ))
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
