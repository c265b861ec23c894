//! Islands: parts that hang together by feed wires, signal wires or what a charge contact watches, at whatever distance.
//! Offers and takes go along wires only, so what an island does is the same alone as within the plan, but for one thing
//! that all share: a contact is held for chatter by its changes since no contact's change at all was pending. Who looks at
//! an island alone must make sure of that; here it isn't looked at.

use crate::net::Net;
use crate::plan::{Function, Plan, Spec};
use petgraph::unionfind::UnionFind;
use std::collections::BTreeMap;

/// The islands of a plan, each as the places of its parts, in the order of their first parts.
pub fn islands(plan: &Plan, net: &Net) -> Vec<Vec<usize>> {
    let mut sets: UnionFind<usize> = UnionFind::new(plan.parts.len());
    let parts = plan.parts.iter().enumerate();
    let places: BTreeMap<&str, usize> = parts.map(|(at, p)| (p.id.as_str(), at)).collect();
    for wire in &plan.wires {
        let place = |id: &str| places.get(id).copied();
        if let (Some(a), Some(b)) = (place(wire.from.part.as_str()), place(wire.to.part.as_str())) {
            sets.union(a, b);
        }
    }
    for (at, node) in net.nodes.iter().enumerate() {
        if let Some(Spec::Contact {
            function: Function::Charge { watches, .. },
            ..
        }) = &node.spec
            && let Some(battery) = places.get(watches.as_str())
        {
            sets.union(at, *battery);
        }
    }
    let mut lists: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut first: BTreeMap<usize, usize> = BTreeMap::new();
    for at in 0..plan.parts.len() {
        let of = *first.entry(sets.find(at)).or_insert(at);
        lists.entry(of).or_default().push(at);
    }
    lists.into_values().collect()
}

/// The plan of some of a plan's parts, in their order, with the wires between them and without duties.
pub fn part_of(plan: &Plan, parts: &[usize]) -> Plan {
    let mut of: Vec<bool> = vec![false; plan.parts.len()];
    parts.iter().for_each(|at| of[*at] = true);
    let ids = parts.iter().map(|at| &plan.parts[*at].id);
    let ids: std::collections::BTreeSet<_> = ids.collect();
    let wires = plan.wires.iter();
    Plan {
        title: String::new(),
        notes: String::new(),
        book: plan.book.clone(),
        world: plan.world.clone(),
        follows: None,
        site: plan.site.clone(),
        parts: parts.iter().map(|at| plan.parts[*at].clone()).collect(),
        wires: wires
            .filter(|w| ids.contains(&w.from.part) && ids.contains(&w.to.part))
            .cloned()
            .collect(),
        duties: Vec::new(),
        meant: Vec::new(),
        walk: None,
        exercise: None,
        by_hand: Vec::new(),
        next: plan.next,
        extra: serde_json::Map::new(),
    }
}
