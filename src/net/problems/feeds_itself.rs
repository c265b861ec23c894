//! Batteries that feed themselves: what they give comes back to them, less what their efficiency loses, even when full.

use super::words::{ids, names, problem};
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{PartId, Plan};
use serde::{Deserialize, Serialize};

/// Batteries on one ring that feed themselves.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FeedsItself {
    /// The batteries, in the plan's order.
    pub batteries: Vec<PartId>,
}

impl FeedsItself {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        let called = names(plan, &self.batteries);
        let leads = if self.batteries.len() == 1 {
            format!("The output of {called} leads back to its input: it burns")
        } else {
            format!("The outputs of {called} lead back to their inputs: they burn")
        };
        format!(
            "{leads} energy even when full. Take away the wire that leads back, or end it at a load."
        )
    }
}

/// One problem a ring, whatever number of batteries is on it.
pub(super) fn find(plan: &Plan, net: &Net) -> Vec<Problem> {
    let mut known = vec![false; net.nodes.len()];
    let mut problems = Vec::new();
    for battery in 0..net.nodes.len() {
        if net.nodes[battery].feeds_itself && !known[battery] {
            let ring = ring(net, battery);
            for part in &ring {
                known[*part] = true;
            }
            problems.push(of(plan, net, &ring));
        }
    }
    problems
}

/// The parts on any way from the battery's output back to its input, in the plan's order.
fn ring(net: &Net, battery: usize) -> Vec<usize> {
    let ahead = reach(net, battery, |net, part| {
        let outs = net.nodes[part].outs.iter().flatten();
        outs.filter(|w| !net.wires[**w].signal)
            .map(|w| net.wires[*w].to)
            .collect()
    });
    let behind = reach(net, battery, |net, part| {
        let ins = net.nodes[part].ins.iter().flatten();
        ins.map(|w| net.part_of[net.wires[*w].from]).collect()
    });
    (0..net.nodes.len())
        .filter(|part| ahead[*part] && behind[*part])
        .collect()
}

fn reach(net: &Net, from: usize, next: impl Fn(&Net, usize) -> Vec<usize>) -> Vec<bool> {
    let mut seen = vec![false; net.nodes.len()];
    let mut open = next(net, from);
    while let Some(part) = open.pop() {
        if !std::mem::replace(&mut seen[part], true) {
            open.extend(next(net, part));
        }
    }
    seen
}

fn of(plan: &Plan, net: &Net, ring: &[usize]) -> Problem {
    let batteries: Vec<usize> = ring
        .iter()
        .copied()
        .filter(|part| net.nodes[*part].feeds_itself)
        .collect();
    let on = |part: &usize| ring.binary_search(part).is_ok();
    let wires = ring
        .iter()
        .flat_map(|part| net.nodes[*part].ins.iter().flatten().copied())
        .filter(|w| on(&net.part_of[net.wires[*w].from]))
        .collect();
    let kind = ProblemKind::FeedsItself(FeedsItself {
        batteries: ids(plan, &batteries),
    });
    problem(plan, kind, Weight::Warning, ring.to_vec(), wires)
}

#[cfg(test)]
mod tests {
    use crate::net::testing::{plan, said};

    #[test]
    fn a_battery_whose_loop_comes_back_burns_energy() {
        let plan = plan(
            r#"{ "parts": { "cell": "battery", "lamp": "lamp" }, "wires": ["cell.out lamp.in", "lamp.loop cell.in"] }"#,
        );
        assert_eq!(
            said(&plan, "feeds-itself"),
            [
                "warning [cell lamp] [w1 w2] The output of cell leads back to its input: it burns energy even when full. \
                 Take away the wire that leads back, or end it at a load."
            ]
        );
    }

    #[test]
    fn two_batteries_in_a_ring_are_one_problem() {
        let plan = plan(
            r#"{ "parts": { "a": "battery", "b": "battery" }, "wires": ["a.out b.in", "b.out a.in"] }"#,
        );
        let said = said(&plan, "feeds-itself");
        assert_eq!(said.len(), 1);
        assert!(
            said[0].contains("The outputs of a and b lead back to their inputs: they burn"),
            "{said:?}"
        );
    }

    #[test]
    fn a_battery_behind_a_battery_is_none() {
        let plan = plan(
            r#"{ "parts": { "a": "battery", "b": "battery", "lamp": "lamp" },
                 "wires": ["a.out b.in", "b.out lamp.in"] }"#,
        );
        assert!(said(&plan, "feeds-itself").is_empty());
    }
}
