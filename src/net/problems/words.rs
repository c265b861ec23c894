//! What the sentences of problems are made of, names and amounts with the book's unit, and what problems themselves are.

use crate::net::compile::Slot;
use crate::net::{Net, Problem, ProblemKind, Weight};
use crate::plan::{Function, PartId, Plan, Spec};
use crate::quantity::Steps;

/// Names as one reads them out, the first four of them: `A, B and C`.
pub fn names(plan: &Plan, parts: &[PartId]) -> String {
    let mut names: Vec<String> = parts.iter().take(4).map(|id| plan.called(id)).collect();
    if parts.len() > 4 {
        names.push(format!("{} more", parts.len() - 4));
    }
    list(&names)
}

/// Words as one reads them out: `a, b and c`.
pub fn list<T: AsRef<str>>(words: &[T]) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().into(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

/// Steps in the book's unit.
pub fn power(plan: &Plan, steps: Steps) -> String {
    plan.book.book.unit.say_power(steps.0)
}

/// The ids of parts at these places of the plan.
pub fn ids(plan: &Plan, parts: &[usize]) -> Vec<PartId> {
    parts.iter().map(|p| plan.parts[*p].id.clone()).collect()
}

/// A problem that concerns these parts and wires, by their places in the plan.
pub fn problem(
    plan: &Plan,
    kind: ProblemKind,
    weight: Weight,
    mut parts: Vec<usize>,
    mut wires: Vec<usize>,
) -> Problem {
    for places in [&mut parts, &mut wires] {
        places.sort_unstable();
        places.dedup();
    }
    Problem {
        kind,
        weight,
        parts: ids(plan, &parts),
        wires: wires.iter().map(|w| plan.wires[*w].id.clone()).collect(),
    }
}

/// The contacts, by their places in the plan: whether each conducts while its function is false, and the function.
pub fn contacts(net: &Net) -> impl Iterator<Item = (usize, bool, &Function)> {
    let nodes = net.nodes.iter().enumerate();
    nodes.filter_map(|(part, node)| match &node.spec {
        Some(Spec::Contact {
            breaks, function, ..
        }) => Some((part, *breaks, function)),
        _ => None,
    })
}

/// `closed` or `open`, as one says how a contact stays.
pub fn stays(closed: bool) -> &'static str {
    if closed { "closed" } else { "open" }
}

/// The wire at the first of these ports.
pub fn first(slots: &[Slot]) -> Slot {
    slots.first().copied().flatten()
}
