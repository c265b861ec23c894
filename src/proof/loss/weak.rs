//! What every way of power to a load goes through, by the wiring alone: dominators from one point that is joined to every
//! source and battery. Whoever loses such a part or wire leaves the load dark for good, whatever the hour.
//!
//! The converse does not hold: a loss may break a duty though another way is left, which then is too weak or too seldom.
//! Told is the tree of dominators, each load once, at the last such point before it: in a chain each load is behind each
//! before it, and lists of all of those would be as long as the square of the chain.

use super::Loss;
use crate::net::Net;
use crate::plan::{PartId, Plan, Spec};
use petgraph::algo::dominators::simple_fast;
use petgraph::graph::{DiGraph, NodeIndex};
use serde::{Deserialize, Serialize};

/// A part or wire that no way to some loads leads around.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WeakPoint {
    /// The part or wire.
    pub loss: Loss,
    /// The last such point that all power comes through before this one, by its place among the points.
    pub after: Option<usize>,
    /// The loads that power can reach and that have this one as the last such point before them, in the plan's order.
    pub loads: Vec<PartId>,
    /// How many loads are behind it in all, itself not counted: these and those behind points after it.
    pub behind: usize,
}

/// Every part and wire that all power of at least one other load goes through: parts first, each kind in the plan's order.
/// As long as the plan, whatever hangs behind what; [`loads_behind`] lists all loads behind one of them.
pub fn weak_points(plan: &Plan) -> Vec<WeakPoint> {
    weak_points_of(plan, &Net::compile(plan))
}

/// As [`weak_points`], of a plan that is compiled.
pub(super) fn weak_points_of(plan: &Plan, net: &Net) -> Vec<WeakPoint> {
    let (parts, wires) = (net.nodes.len(), net.wires.len());
    let mut graph: DiGraph<(), ()> = DiGraph::with_capacity(parts + wires + 1, parts + 2 * wires);
    for _ in 0..=parts + wires {
        graph.add_node(());
    }
    let root = NodeIndex::new(parts + wires);
    for (at, node) in net.nodes.iter().enumerate() {
        if matches!(node.spec, Some(Spec::Source { .. } | Spec::Battery { .. })) {
            graph.add_edge(root, NodeIndex::new(at), ());
        }
    }
    for (at, ends) in net.wires.iter().enumerate() {
        if ends.closed || ends.signal {
            continue;
        }
        let (from, to) = (net.part_of[ends.from], net.part_of[ends.to]);
        graph.add_edge(NodeIndex::new(from), NodeIndex::new(parts + at), ());
        graph.add_edge(NodeIndex::new(parts + at), NodeIndex::new(to), ());
    }
    let dominators = simple_fast(&graph, root);
    let before = |at: usize| {
        let point = dominators.immediate_dominator(NodeIndex::new(at));
        point.filter(|n| *n != root).map(|n| n.index())
    };
    let (mut loads, mut behind) = (vec![Vec::new(); parts + wires], vec![0usize; parts + wires]);
    for (at, node) in net.nodes.iter().enumerate() {
        if matches!(node.spec, Some(Spec::Load { .. }))
            && let Some(point) = before(at)
        {
            loads[point].push(plan.parts[at].id.clone());
            behind[point] += 1;
        }
    }
    add_up(
        &mut behind,
        &(0..parts + wires).map(before).collect::<Vec<_>>(),
    );
    let points: Vec<usize> = (0..parts + wires).filter(|at| behind[*at] > 0).collect();
    let loss = |at: usize| match at.checked_sub(parts) {
        None => Loss::Part(plan.parts[at].id.clone()),
        Some(wire) => Loss::Wire(plan.wires[wire].id.clone()),
    };
    let point = |at: &usize| WeakPoint {
        loss: loss(*at),
        // What is before a point is before the loads behind it, so it is a point too.
        after: before(*at).and_then(|before| points.binary_search(&before).ok()),
        loads: std::mem::take(&mut loads[*at]),
        behind: behind[*at],
    };
    points.iter().map(point).collect()
}

/// Adds what each node of a tree has to the node before it, the leaves first.
fn add_up(counts: &mut [usize], before: &[Option<usize>]) {
    let mut left = vec![0usize; before.len()];
    before.iter().flatten().for_each(|at| left[*at] += 1);
    let mut ready: Vec<usize> = (0..before.len()).filter(|at| left[*at] == 0).collect();
    while let Some(at) = ready.pop() {
        if let Some(before) = before[at] {
            counts[before] += counts[at];
            left[before] -= 1;
            if left[before] == 0 {
                ready.push(before);
            }
        }
    }
}

/// All loads behind one of the points that [`weak_points`] tells, by its place among them; those nearest first.
pub fn loads_behind(points: &[WeakPoint], at: usize) -> Vec<&PartId> {
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); points.len()];
    for (place, point) in points.iter().enumerate() {
        if let Some(list) = point.after.and_then(|at| after.get_mut(at)) {
            list.push(place);
        }
    }
    let (mut found, mut look) = (Vec::new(), std::collections::VecDeque::from([at]));
    while let Some(at) = look.pop_front() {
        found.extend(points.get(at).into_iter().flat_map(|p| &p.loads));
        look.extend(after.get(at).into_iter().flatten());
    }
    found
}
