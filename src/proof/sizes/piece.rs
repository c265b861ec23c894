//! A plan taken apart into pieces that have nothing to do with each other, so that each can be sized alone.
//!
//! Two parts are of one piece where wires, signals included, or a contact that watches a battery join them, at whatever
//! distance. Offers and takes go along wires only, so what a piece does is the same alone as within the plan. One thing
//! is shared by all: a contact is held for chatter by its changes since no contact's change at all was pending. A
//! contact that changes less than a hundred times is never held, whatever the others do; a trial tells of more.

use crate::book::Behaviour;
use crate::plan::{Function, Plan, Spec};
use std::collections::BTreeMap;

/// A piece of a plan.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    /// The piece as a plan.
    pub plan: Plan,
    /// The places of its duties among the whole plan's.
    pub duties: Vec<usize>,
    /// The places, in the piece, of the sources and batteries.
    pub banks: Vec<usize>,
}

/// The pieces of `plan` in the order of their first parts.
pub(super) fn pieces(plan: &Plan) -> Vec<Piece> {
    let at: BTreeMap<&str, usize> = plan
        .parts
        .iter()
        .enumerate()
        .map(|(at, p)| (p.id.as_str(), at))
        .collect();
    let mut of: Vec<usize> = (0..plan.parts.len()).collect();
    let mut join = |a: usize, b: usize| {
        let (a, b) = (root(&mut of, a), root(&mut of, b));
        of[a.max(b)] = a.min(b);
    };
    for wire in &plan.wires {
        if let (Some(a), Some(b)) = (
            at.get(wire.from.part.as_str()),
            at.get(wire.to.part.as_str()),
        ) {
            join(*a, *b);
        }
    }
    for (place, part) in plan.parts.iter().enumerate() {
        if let Some(Spec::Contact {
            function: Function::Charge { watches, .. },
            ..
        }) = plan.spec(part)
            && let Some(battery) = at.get(watches.as_str())
        {
            join(place, *battery);
        }
    }
    let mut members: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for place in 0..plan.parts.len() {
        members.entry(root(&mut of, place)).or_default().push(place);
    }
    members
        .into_values()
        .map(|places| piece(plan, &places, &at))
        .collect()
}

/// The whole plan as one piece.
pub(super) fn whole(plan: &Plan) -> Piece {
    let places: Vec<usize> = (0..plan.parts.len()).collect();
    let at = plan.parts.iter().enumerate();
    piece(
        plan,
        &places,
        &at.map(|(at, p)| (p.id.as_str(), at)).collect(),
    )
}

fn root(of: &mut [usize], at: usize) -> usize {
    let mut top = at;
    while of[top] != top {
        top = of[top];
    }
    let mut at = at;
    while of[at] != top {
        at = std::mem::replace(&mut of[at], top);
    }
    top
}

fn piece(plan: &Plan, places: &[usize], at: &BTreeMap<&str, usize>) -> Piece {
    let within = |id: &str| at.get(id).is_some_and(|p| places.binary_search(p).is_ok());
    let duties: Vec<usize> = (0..plan.duties.len())
        .filter(|d| within(plan.duties[*d].part.as_str()))
        .collect();
    let part = Plan {
        title: String::new(),
        notes: String::new(),
        book: plan.book.clone(),
        world: plan.world.clone(),
        parts: places.iter().map(|p| plan.parts[*p].clone()).collect(),
        wires: plan
            .wires
            .iter()
            .filter(|w| within(w.from.part.as_str()) && within(w.to.part.as_str()))
            .cloned()
            .collect(),
        duties: duties.iter().map(|d| plan.duties[*d].clone()).collect(),
        next: plan.next,
        extra: Default::default(),
    };
    let bank = |place: &usize| {
        let kind = part.kind_of(&part.parts[*place]).map(|t| &t.behaviour);
        matches!(
            kind,
            Some(Behaviour::Source { .. } | Behaviour::Battery { .. })
        )
    };
    let banks = (0..part.parts.len()).filter(bank).collect();
    Piece {
        plan: part,
        duties,
        banks,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn wires_and_watching_join_and_nothing_else_does() {
        let plan = plan(
            r#"{"parts": {"a": "generator", "b": "generator", "c": "lamp", "d": "battery",
                          "e": ["charge", {"watches": "d"}], "f": "lamp"},
                "wires": ["a.out c.in", "e.out f.in"], "duties": [{"part": "f", "when": "dark"}, {"part": "c", "when": "dark"}]}"#,
        );
        let all = pieces(&plan);
        let names = |p: &Piece| {
            p.plan
                .parts
                .iter()
                .map(|p| p.id.to_string())
                .collect::<String>()
        };
        let found: Vec<_> = all
            .iter()
            .map(|p| (names(p), p.duties.clone(), p.banks.clone()))
            .collect();
        let expected = [
            ("ac".to_string(), vec![1], vec![0]),
            ("b".to_string(), vec![], vec![0]),
            ("def".to_string(), vec![0], vec![0]),
        ];
        assert_eq!(found, expected);
    }
}
