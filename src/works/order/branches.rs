//! Into which branches a plan is parted to be built, and which branch must stand before which.
//!
//! A plan is cut at the wires at which one line ends and another begins: behind each output of a tap or a divider with
//! several, ahead of each input of a busbar or a changeover with several, behind a battery, and ahead of every signal
//! port. What is still joined is a group. Groups that lead into each other in a circle, such as a contact that holds
//! itself, are one. A group in which a builder can read something (a load, a contact, a charged battery, a meter) makes a
//! branch, with all groups ahead of it in which nothing can be read; whatever else is ahead of it is a branch before it.
//! So power and signals come to a branch only out of branches that stand.
//!
//! Parts and wires are told by their places in the plan.

use crate::book::{Behaviour, FunctionName, Side};
use crate::plan::{End, Part, PartId, Plan};
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::unionfind::UnionFind;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// One branch.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Branch {
    /// Its parts, in the plan's order.
    pub parts: Vec<usize>,
    /// The wires that end at them, in the plan's order.
    pub wires: Vec<usize>,
}

/// A plan parted into branches, in an order in which they can be built.
#[derive(Clone, Debug, Default)]
pub(super) struct Branches {
    /// The branches.
    pub list: Vec<Branch>,
    /// Pairs of branches of which the first must stand before the second.
    pub before: Vec<(usize, usize)>,
    /// The branch of each part.
    pub of_part: Vec<usize>,
    /// For each wire the parts that it joins; none where an end is no part of the plan.
    pub ends: Vec<Option<(usize, usize)>>,
    /// For each part which island it belongs to: parts of different islands have nothing to do with each other.
    pub island: Vec<usize>,
}

/// The groups of parts, by the plan's order of their first parts.
struct Groups {
    /// The group of each part.
    of: Vec<usize>,
    /// The groups ahead of each.
    ahead: Vec<BTreeSet<usize>>,
    /// Whether something can be read in each.
    tells: Vec<bool>,
}

impl Branches {
    /// The branches of a plan.
    pub fn of(plan: &Plan) -> Branches {
        let places = plan.parts.iter().enumerate();
        let places: BTreeMap<&PartId, usize> = places.map(|(at, part)| (&part.id, at)).collect();
        let place = |end: &End| places.get(&end.part).copied();
        let wires = plan.wires.iter();
        let ends: Vec<Option<(usize, usize)>> = wires
            .map(|wire| place(&wire.from).zip(place(&wire.to)))
            .collect();
        let watched = watched(plan, &places);
        let groups = Groups::of(plan, &ends, &watched);
        let lists = groups.in_branches();
        let mut branch_of_group = vec![0; groups.ahead.len()];
        for (branch, list) in lists.iter().enumerate() {
            list.iter()
                .for_each(|group| branch_of_group[*group] = branch);
        }
        let of_part: Vec<usize> = groups
            .of
            .iter()
            .map(|group| branch_of_group[*group])
            .collect();
        let mut list = vec![Branch::default(); lists.len()];
        for (part, branch) in of_part.iter().enumerate() {
            list[*branch].parts.push(part);
        }
        for (wire, ends) in ends.iter().enumerate() {
            if let Some((_, to)) = ends {
                list[of_part[*to]].wires.push(wire);
            }
        }
        let joined = ends.iter().flatten().chain(&watched);
        let before = joined
            .clone()
            .map(|(from, to)| (of_part[*from], of_part[*to]));
        let before: BTreeSet<(usize, usize)> = before.filter(|(a, b)| a != b).collect();
        let mut islands = UnionFind::<usize>::new(plan.parts.len());
        for (from, to) in joined {
            islands.union(*from, *to);
        }
        Branches {
            list,
            before: before.into_iter().collect(),
            of_part,
            island: islands.into_labeling(),
            ends,
        }
    }
}

/// Each battery that a contact watches, with the contact.
fn watched(plan: &Plan, places: &BTreeMap<&PartId, usize>) -> Vec<(usize, usize)> {
    let watches = |part: &Part| -> Option<PartId> {
        let kind = plan.kind_of(part)?;
        let Behaviour::Contact {
            function: FunctionName::Charge,
            ..
        } = kind.behaviour
        else {
            return None;
        };
        let own = part.set.get("watches").or_else(|| kind.set.get("watches"));
        own.and_then(Value::as_str).map(PartId::from)
    };
    let parts = plan.parts.iter().enumerate();
    let pairs = parts.filter_map(|(at, part)| Some((*places.get(&watches(part)?)?, at)));
    pairs
        .filter(|(battery, contact)| battery != contact)
        .collect()
}

impl Groups {
    fn of(plan: &Plan, ends: &[Option<(usize, usize)>], watched: &[(usize, usize)]) -> Groups {
        let mut joined = UnionFind::<usize>::new(plan.parts.len());
        let cuts = cuts(plan, ends);
        for (ends, cut) in ends.iter().zip(&cuts) {
            if let (Some((from, to)), false) = (ends, cut) {
                joined.union(*from, *to);
            }
        }
        let label = joined.into_labeling();
        let pairs = || ends.iter().flatten().chain(watched);
        // Groups that lead into each other in a circle are one.
        let mut graph = DiGraph::<(), ()>::new();
        for _ in &plan.parts {
            graph.add_node(());
        }
        for (from, to) in pairs() {
            let node = |part: usize| NodeIndex::new(label[part]);
            graph.add_edge(node(*from), node(*to), ());
        }
        let mut circle = vec![0; plan.parts.len()];
        for (number, nodes) in kosaraju_scc(&graph).iter().enumerate() {
            nodes.iter().for_each(|node| circle[node.index()] = number);
        }
        let mut numbers: BTreeMap<usize, usize> = BTreeMap::new();
        let of: Vec<usize> = label
            .iter()
            .map(|label| {
                let next = numbers.len();
                *numbers.entry(circle[*label]).or_insert(next)
            })
            .collect();
        let mut ahead = vec![BTreeSet::new(); numbers.len()];
        for (from, to) in pairs() {
            if of[*from] != of[*to] {
                ahead[of[*to]].insert(of[*from]);
            }
        }
        let mut tells = vec![false; numbers.len()];
        for (part, group) in plan.parts.iter().zip(&of) {
            tells[*group] |= can_tell(plan, part);
        }
        Groups { of, ahead, tells }
    }

    /// The groups of each branch, in an order in which the branches can be built: the plan's as far as that goes.
    fn in_branches(&self) -> Vec<Vec<usize>> {
        let count = self.ahead.len();
        let mut branches = Vec::new();
        let mut built = vec![false; count];
        let telling = (0..count).filter(|group| self.tells[*group]);
        let others = (0..count).filter(|group| !self.tells[*group]);
        let mut seen = vec![false; count];
        // After all in which something can be read comes what leads nowhere.
        for root in telling.chain(others) {
            // What is ahead is finished first; a stack of our own, for a chain of branches may be long.
            let mut stack = vec![(root, false)];
            while let Some((group, left)) = stack.pop() {
                if left {
                    if self.tells[group] || (group == root && !built[group]) {
                        branches.push(self.with_what_is_ahead(group, &mut built));
                    }
                } else if !std::mem::replace(&mut seen[group], true) {
                    stack.push((group, true));
                    let ahead = self.ahead[group].iter().rev();
                    stack.extend(ahead.filter(|g| !seen[**g]).map(|group| (*group, false)));
                }
            }
        }
        branches
    }

    /// A group with those ahead of it that are not built, in none of which anything can be read.
    fn with_what_is_ahead(&self, group: usize, built: &mut [bool]) -> Vec<usize> {
        let mut found = vec![group];
        built[group] = true;
        let mut at = 0;
        while let Some(group) = found.get(at).copied() {
            for ahead in &self.ahead[group] {
                if !std::mem::replace(&mut built[*ahead], true) {
                    found.push(*ahead);
                }
            }
            at += 1;
        }
        found
    }
}

/// For each wire whether one line ends and another begins at it.
fn cuts(plan: &Plan, ends: &[Option<(usize, usize)>]) -> Vec<bool> {
    let behaviour = |part: usize| plan.kind_of(&plan.parts[part]).map(|kind| &kind.behaviour);
    let is_signal = |end: &End| plan.port(end).is_some_and(|port| port.side == Side::Signal);
    let mut outs = vec![0usize; plan.parts.len()];
    let mut ins = vec![0usize; plan.parts.len()];
    for (from, to) in ends.iter().flatten() {
        outs[*from] += 1;
        ins[*to] += 1;
    }
    let wires = plan.wires.iter().zip(ends);
    let cut = wires.map(|(wire, ends)| {
        let Some((from, to)) = *ends else { return true };
        let leaves = match behaviour(from) {
            Some(Behaviour::Tap | Behaviour::Divider { .. }) => outs[from] > 1,
            Some(Behaviour::Battery { .. }) => true,
            _ => false,
        };
        let enters = match behaviour(to) {
            Some(Behaviour::Busbar { .. } | Behaviour::Changeover) => ins[to] > 1,
            _ => false,
        };
        leaves || enters || is_signal(&wire.to)
    });
    cut.collect()
}

/// Whether a builder can read something at a part that is wired as in the plan.
fn can_tell(plan: &Plan, part: &Part) -> bool {
    let has = |port: &str| plan.wire_at(&End::new(&part.id, port)).is_some();
    match plan.kind_of(part).map(|kind| &kind.behaviour) {
        Some(Behaviour::Load { .. } | Behaviour::Battery { .. }) => has("in"),
        Some(Behaviour::Meter) => has("in") || has("out"),
        Some(Behaviour::Contact { .. }) => plan.wires_of(&part.id).next().is_some(),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;

    /// The branches of a plan, each as the places of its parts.
    fn branches(text: &str) -> Vec<Vec<usize>> {
        let list = Branches::of(&plan(text)).list;
        list.into_iter().map(|branch| branch.parts).collect()
    }

    #[test]
    fn lines_on_which_nothing_is_read_go_with_the_first_that_needs_them() {
        let parts = branches(
            r#"{ "parts": { "hall": "lamp", "gen": "generator", "spare": "generator", "bus": "busbar-2", "share": "divider-2",
                            "stair": "lamp", "cell": "battery", "cellar": "lamp" },
                 "wires": ["gen.out bus.in1", "spare.out bus.in2", "bus.out share.in", "share.out1 hall.in",
                           "share.out2 cell.in", "cell.out cellar.in", "hall.loop stair.in"] }"#,
        );
        // The hall's line with both generators, the busbar and the divider; the battery; what the battery feeds.
        assert_eq!(parts, [vec![0, 1, 2, 3, 4, 5], vec![6], vec![7]]);
    }

    #[test]
    fn a_control_circuit_comes_first_and_a_circle_is_one_branch() {
        let parts = branches(
            r#"{ "parts": { "relay": "relay", "lamp": "lamp", "gen": "generator", "share": "divider-2", "button": "button" },
                 "wires": ["gen.out share.in", "share.out1 relay.feed", "relay.out lamp.in", "share.out2 button.feed",
                           "button.out relay.coil"] }"#,
        );
        assert_eq!(parts, [vec![2, 3, 4], vec![0, 1]]);
        let parts = branches(
            r#"{ "parts": { "gen": "generator", "relay": "relay", "tap": "tap", "lamp": "lamp" },
                 "wires": ["gen.out relay.feed", "relay.out tap.in", "tap.tap relay.coil", "tap.rest lamp.in"] }"#,
        );
        assert_eq!(parts, [vec![0, 1, 2], vec![3]]);
    }

    #[test]
    fn what_leads_nowhere_comes_last() {
        let parts = branches(
            r#"{ "parts": { "gen": "generator", "tap": "tap", "idle": "generator", "lamp": "lamp" },
                 "wires": ["gen.out tap.in", "tap.tap lamp.in"] }"#,
        );
        assert_eq!(parts, [vec![0, 1, 3], vec![2]]);
    }
}
