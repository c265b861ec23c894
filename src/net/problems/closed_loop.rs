//! Closed loops: wires that lead back to where they came from carry nothing.

use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::Plan;

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
    let ids: Vec<_> = parts.iter().map(|p| plan.parts[*p].id.clone()).collect();
    let names: Vec<String> = ids.iter().take(4).map(|id| plan.called(id)).collect();
    let more = if ids.len() > 4 {
        format!(" and {} more", ids.len() - 4)
    } else {
        String::new()
    };
    let says = format!(
        "The wires among {}{more} lead round in a closed loop and carry nothing. Take one of them away, or break the loop \
         with a battery or a signal.",
        names.join(", ")
    );
    let wires = wires.iter().map(|w| plan.wires[*w].id.clone()).collect();
    Problem {
        kind: ProblemKind::ClosedLoop,
        weight: Weight::Error,
        parts: ids,
        wires,
        says,
    }
}
