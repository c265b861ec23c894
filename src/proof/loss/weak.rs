//! What every way of power to a load goes through, by the wiring alone: dominators from one point that is joined to every
//! source and battery. Whoever loses such a part or wire leaves the load dark for good, whatever the hour.
//!
//! The converse does not hold: a loss may break a duty though another way is left, which then is too weak or too seldom.

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
    /// The loads behind it that power can reach, itself not counted, in the plan's order.
    pub loads: Vec<PartId>,
}

/// Every part and wire that all power of at least one other load goes through: parts first, each kind in the plan's order.
pub fn weak_points(plan: &Plan) -> Vec<WeakPoint> {
    let net = Net::compile(plan);
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
    let mut behind: Vec<Vec<PartId>> = vec![Vec::new(); parts + wires];
    for (at, node) in net.nodes.iter().enumerate() {
        if !matches!(node.spec, Some(Spec::Load { .. })) {
            continue;
        }
        let over = dominators.strict_dominators(NodeIndex::new(at));
        for point in over.into_iter().flatten().filter(|n| *n != root) {
            behind[point.index()].push(plan.parts[at].id.clone());
        }
    }
    let loss = |at: usize| match at.checked_sub(parts) {
        None => Loss::Part(plan.parts[at].id.clone()),
        Some(wire) => Loss::Wire(plan.wires[wire].id.clone()),
    };
    let points = behind.into_iter().enumerate();
    points
        .filter(|(_, loads)| !loads.is_empty())
        .map(|(at, loads)| WeakPoint {
            loss: loss(at),
            loads,
        })
        .collect()
}
