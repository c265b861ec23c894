//! What the sentences of problems are made of: names, amounts with the book's unit, and the problem itself.

use crate::net::compile::Slot;
use crate::net::{Problem, ProblemKind, Weight};
use crate::plan::Plan;

/// What people call the part at this place of the plan.
pub fn name(plan: &Plan, part: usize) -> String {
    let part = &plan.parts[part];
    if part.name.is_empty() {
        let kind = plan.kind_of(part);
        kind.map_or_else(|| part.kind.clone(), |t| t.label.clone())
    } else {
        part.name.clone()
    }
}

/// Names as one reads them out, the first four of them: `A, B and C`.
pub fn names(plan: &Plan, parts: &[usize]) -> String {
    let mut names: Vec<String> = parts.iter().take(4).map(|p| name(plan, *p)).collect();
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
pub fn power(plan: &Plan, steps: u64) -> String {
    plan.book.book.unit.say_power(steps)
}

/// A problem that concerns these parts and wires, by their places in the plan.
pub fn problem(
    plan: &Plan,
    (kind, weight): (ProblemKind, Weight),
    mut parts: Vec<usize>,
    mut wires: Vec<usize>,
    says: String,
) -> Problem {
    for places in [&mut parts, &mut wires] {
        places.sort_unstable();
        places.dedup();
    }
    Problem {
        kind,
        weight,
        parts: parts.iter().map(|p| plan.parts[*p].id.clone()).collect(),
        wires: wires.iter().map(|w| plan.wires[*w].id.clone()).collect(),
        says,
    }
}

/// The wire at the first of these ports.
pub fn first(slots: &[Slot]) -> Slot {
    slots.first().copied().flatten()
}
