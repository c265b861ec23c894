//! Closed loops: wires that lead back to where they came from carry nothing.

use super::words::{ids, names, problem};
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{PartId, Plan};
use serde::{Deserialize, Serialize};

/// Wires that lead round in a closed loop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClosedLoop {
    /// The parts that they join, in the plan's order.
    pub parts: Vec<PartId>,
}

impl ClosedLoop {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        format!(
            "The wires among {} lead round in a closed loop and carry nothing. Take one of them away, or break the loop \
             with a battery or a signal.",
            names(plan, &self.parts)
        )
    }
}

/// One problem a loop.
pub(super) fn find(plan: &Plan, net: &Net) -> Vec<Problem> {
    net.loops.iter().map(|wires| of(plan, net, wires)).collect()
}

fn of(plan: &Plan, net: &Net, wires: &[usize]) -> Problem {
    let mut parts: Vec<usize> = wires
        .iter()
        .flat_map(|w| [net.part_of[net.wires[*w].from], net.wires[*w].to])
        .collect();
    parts.sort_unstable();
    parts.dedup();
    let kind = ProblemKind::ClosedLoop(ClosedLoop {
        parts: ids(plan, &parts),
    });
    problem(plan, kind, Weight::Error, parts, wires.to_vec())
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn a_loop_led_back_to_its_own_start_is_named() {
        let plan = plan(
            r#"{ "parts": { "bar": "busbar-2", "lamp": "lamp", "gen": "generator" },
                 "wires": ["gen.out bar.in1", "bar.out lamp.in", "lamp.loop bar.in2"] }"#,
        );
        assert_eq!(
            said(&plan, "closed-loop"),
            [
                "error [bar lamp] [w2 w3] The wires among bar and lamp lead round in a closed loop and carry nothing. \
                 Take one of them away, or break the loop with a battery or a signal."
            ]
        );
    }

    #[test]
    fn a_long_loop_names_the_first_four() {
        let plan = plan(
            r#"{ "parts": { "a": "lamp", "b": "lamp", "c": "lamp", "d": "lamp", "e": "lamp", "f": "lamp" },
                 "wires": ["a.loop b.in", "b.loop c.in", "c.loop d.in", "d.loop e.in", "e.loop f.in", "f.loop a.in"] }"#,
        );
        let said = said(&plan, "closed-loop");
        assert!(
            said[0].contains("among a, b, c, d and 2 more lead"),
            "{said:?}"
        );
    }

    #[test]
    fn a_signal_led_back_or_a_battery_makes_no_closed_loop() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "keep": "or", "tap": "tap", "lamp": "lamp", "cell": "battery", "bar": "busbar-2" },
                 "wires": ["gen.out keep.feed", "keep.out tap.in", "tap.tap keep.a", "tap.rest bar.in1",
                           "bar.out cell.in", "cell.out lamp.in", "lamp.loop bar.in2"] }"#,
        );
        assert!(said(&plan, "closed-loop").is_empty());
    }
}
