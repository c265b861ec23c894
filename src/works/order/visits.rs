//! What is done in one branch, in order: parts are placed and set, then wires are laid, those by which power comes in
//! last. Distances in centimetres.

use super::branches::{Branch, Branches};
use super::{Distance, Work};
use crate::book::Behaviour;
use crate::plan::{PartId, Plan};
use crate::works::tour::Tour;
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use std::collections::BTreeMap;

/// Goes from branch to branch.
pub(super) struct Visits<'a> {
    plan: &'a Plan,
    branches: &'a Branches,
    walk: Distance<'a>,
    /// The part at which the last thing was done.
    stands: Option<usize>,
    /// How far it was so far.
    pub walked: u64,
}

/// Something to be done between two parts: it begins at the one and ends at the other.
type Visit = (usize, usize);

impl<'a> Visits<'a> {
    /// Nothing done yet.
    pub fn new(plan: &'a Plan, branches: &'a Branches, walk: Distance<'a>) -> Visits<'a> {
        Visits {
            plan,
            branches,
            walk,
            stands: None,
            walked: 0,
        }
    }

    /// All that is done in a branch but its check.
    pub fn of(&mut self, branch: &Branch) -> Vec<Work> {
        let mut work = Vec::new();
        let places: Vec<Visit> = branch.parts.iter().map(|part| (*part, *part)).collect();
        for at in self.tour(&places, &[]) {
            let part = &self.plan.parts[branch.parts[at]];
            work.push(Work::Place {
                part: part.id.clone(),
                count: part.count,
            });
            if !part.set.is_empty() {
                work.push(Work::Set {
                    part: part.id.clone(),
                    names: part.set.keys().cloned().collect(),
                });
            }
        }
        for wires in self.ranks(branch) {
            let ends = wires.iter().filter_map(|wire| self.branches.ends[*wire]);
            // A wire is led from its far end to the supply.
            let visits: Vec<Visit> = ends.map(|(from, to)| (to, from)).collect();
            for at in self.tour(&visits, &far_ends_first(&visits)) {
                let wire = &self.plan.wires[wires[at]];
                work.push(Work::Wire {
                    wire: wire.id.clone(),
                    from: wire.from.clone(),
                    to: wire.to.clone(),
                });
            }
        }
        work
    }

    /// A branch's wires: those that are dead until power comes in, those from branches that are live, those out of
    /// sources and batteries.
    fn ranks(&self, branch: &Branch) -> [Vec<usize>; 3] {
        let mut ranks = [Vec::new(), Vec::new(), Vec::new()];
        for wire in &branch.wires {
            let Some((from, to)) = self.branches.ends[*wire] else {
                continue;
            };
            let kind = self.plan.kind_of(&self.plan.parts[from]);
            let supplies = matches!(
                kind.map(|kind| &kind.behaviour),
                Some(Behaviour::Source { .. } | Behaviour::Battery { .. })
            );
            let of_part = &self.branches.of_part;
            let rank = match (supplies, of_part[from] != of_part[to]) {
                (true, _) => 2,
                (false, true) => 1,
                (false, false) => 0,
            };
            ranks[rank].push(*wire);
        }
        ranks
    }

    /// Puts visits in an order with little walking from where one stands, and goes there.
    fn tour(&mut self, visits: &[Visit], before: &[(usize, usize)]) -> Vec<usize> {
        let id = |part: usize| -> &PartId { &self.plan.parts[part].id };
        let far = |from: usize, to: usize| (self.walk)(id(from), id(to));
        let tour = Tour {
            count: visits.len(),
            start: &|visit| self.stands.map_or(0, |from| far(from, visits[visit].0)),
            step: &|a, b| far(visits[a].1, visits[b].0),
            before,
        };
        let order = tour.order();
        let own = order
            .iter()
            .map(|visit| far(visits[*visit].0, visits[*visit].1));
        let walked = own.fold(tour.length(&order), u64::saturating_add);
        self.walked = self.walked.saturating_add(walked);
        if let Some(last) = order.last() {
            self.stands = Some(visits[*last].1);
        }
        order
    }
}

/// For wires, each from its far end to the supply: pairs of which the first lies behind the second. Wires of one circle
/// have no far end.
fn far_ends_first(wires: &[Visit]) -> Vec<(usize, usize)> {
    let mut nodes: BTreeMap<usize, NodeIndex> = BTreeMap::new();
    let mut graph = DiGraph::<(), ()>::new();
    let mut leaving: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (wire, (to, from)) in wires.iter().enumerate() {
        let [from_node, to_node] =
            [from, to].map(|part| *nodes.entry(*part).or_insert_with(|| graph.add_node(())));
        graph.add_edge(from_node, to_node, ());
        leaving.entry(*from).or_default().push(wire);
    }
    let mut circle = vec![0; graph.node_count()];
    for (number, list) in kosaraju_scc(&graph).iter().enumerate() {
        list.iter().for_each(|node| circle[node.index()] = number);
    }
    let circle = |part: usize| nodes.get(&part).map(|node| circle[node.index()]);
    let mut pairs = Vec::new();
    for (wire, (to, from)) in wires.iter().enumerate() {
        for behind in leaving.get(to).into_iter().flatten() {
            let (end, _) = wires[*behind];
            if circle(*from) != circle(*to) || circle(*to) != circle(end) {
                pairs.push((*behind, wire));
            }
        }
    }
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wires_behind_come_first_and_a_circle_has_no_far_end() {
        // 0 → 1 → 2, and 1 → 3 → 1 in a circle; each wire as (to, from).
        let wires = [(1, 0), (2, 1), (3, 1), (1, 3)];
        let mut pairs = far_ends_first(&wires);
        pairs.sort_unstable();
        assert_eq!(pairs, [(1, 0), (1, 3), (2, 0)]);
    }
}
