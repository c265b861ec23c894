//! From a plan to a graph: ports become indices of wires, closed loops are found, and the parts are put in the order in
//! which offers go down and takes come back.
//!
//! Graph indices stay in here; everything outside speaks of places in the plan's lists of parts and wires.

use crate::book::{Port, Side};
use crate::plan::{End, PartId, Plan, Spec};
use petgraph::algo::{kosaraju_scc, toposort};
use petgraph::graph::{DiGraph, NodeIndex};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// The wire at a port, if there is one.
pub type Slot = Option<usize>;

/// A part in the net: what it is and which wires hang on its ports, in the ports' order.
#[derive(Clone, Debug)]
pub struct Node {
    /// What it is; `None` for a part whose type the book does not have, which does nothing.
    pub spec: Option<Spec>,
    /// Wires at the inputs.
    pub ins: Vec<Slot>,
    /// Wires at the outputs.
    pub outs: Vec<Slot>,
    /// Wires at the signals.
    pub signals: Vec<Slot>,
    /// Whether it is a battery whose output leads back to its input.
    pub feeds_itself: bool,
}

/// Where a wire comes from and goes to.
#[derive(Clone, Copy, Debug)]
pub struct Ends {
    /// The half of a part that it leaves, see [`Net::halves`].
    pub from: usize,
    /// The half of a part that it enters.
    pub to: usize,
    /// Whether it ends at a signal port.
    pub signal: bool,
    /// Whether it is on a closed loop.
    pub closed: bool,
    /// Whether it leaves a source or battery, for which what it takes counts.
    pub from_draws: bool,
    /// Whether it enters one.
    pub to_draws: bool,
}

/// A plan, compiled.
#[derive(Clone, Debug)]
pub struct Net {
    /// The parts, in the plan's order.
    pub nodes: Vec<Node>,
    /// The wires, in the plan's order.
    pub wires: Vec<Ends>,
    /// The closed loops: the wires of each.
    pub loops: Vec<Vec<usize>>,
    /// The half that gives a battery's output, by part; other parts have one half, their own number.
    pub out_half: Vec<usize>,
    /// The part of each half.
    pub part_of: Vec<usize>,
    /// The halves in the order in which offers go.
    pub order: Vec<usize>,
    /// Where each half stands in `order`.
    pub place: Vec<usize>,
}

impl Net {
    /// Compiles a plan. Never fails: wires with an end that is no port are left dead.
    pub fn compile(plan: &Plan) -> Net {
        let mut nodes: Vec<Node> = Vec::with_capacity(plan.parts.len());
        let mut kinds: BTreeMap<&str, Ports> = BTreeMap::new();
        let mut index: BTreeMap<&PartId, usize> = BTreeMap::new();
        for (at, part) in plan.parts.iter().enumerate() {
            index.insert(&part.id, at);
            let ports = kinds.entry(&part.kind).or_insert_with(|| {
                let kind = plan.kind_of(part);
                Ports::of(kind.map(|k| k.ports()).unwrap_or_default())
            });
            let slots = |side: Side| vec![None; ports.counts[side as usize]];
            let (ins, outs, signals) = (slots(Side::In), slots(Side::Out), slots(Side::Signal));
            nodes.push(Node {
                spec: plan.spec(part),
                ins,
                outs,
                signals,
                feeds_itself: false,
            });
        }
        let (out_half, part_of) = halves(&nodes);
        let port = |end: &End| {
            let at = *index.get(&end.part)?;
            let ports = kinds.get(plan.parts[at].kind.as_str())?;
            let (_, side, slot) = ports.list.iter().find(|(name, ..)| *name == end.port)?;
            Some((at, *side, *slot))
        };
        let mut wires = Vec::with_capacity(plan.wires.len());
        for (at, wire) in plan.wires.iter().enumerate() {
            let (Some((from, Side::Out, out)), Some((to, side, slot))) =
                (port(&wire.from), port(&wire.to))
            else {
                wires.push(Ends {
                    from: 0,
                    to: 0,
                    signal: false,
                    closed: true,
                    from_draws: false,
                    to_draws: false,
                });
                continue;
            };
            nodes[from].outs[out] = Some(at);
            match side {
                Side::Signal => nodes[to].signals[slot] = Some(at),
                _ => nodes[to].ins[slot] = Some(at),
            }
            let draws = |part: usize| {
                let spec = &nodes[part].spec;
                matches!(spec, Some(Spec::Source { .. } | Spec::Battery { .. }))
            };
            wires.push(Ends {
                from: out_half[from],
                to,
                signal: side == Side::Signal,
                closed: false,
                from_draws: draws(from),
                to_draws: draws(to),
            });
        }
        let loops = close(&mut wires, part_of.len());
        find_self_feeding(&mut nodes, &wires, &part_of);
        let (order, place) = order(&nodes, &wires, &out_half, part_of.len());
        Net {
            nodes,
            wires,
            loops,
            out_half,
            part_of,
            order,
            place,
        }
    }
}

/// The ports of one type: how many of each side, and each with its side and its place among those of it. A plan has few
/// types and many parts.
struct Ports {
    counts: [usize; 3],
    list: Vec<(Cow<'static, str>, Side, usize)>,
}

impl Ports {
    fn of(ports: Vec<Port>) -> Ports {
        let mut counts = [0usize; 3];
        let place = |port: Port| {
            let count = &mut counts[port.side as usize];
            *count += 1;
            (port.name, port.side, *count - 1)
        };
        let list = ports.into_iter().map(place).collect();
        Ports { counts, list }
    }
}

/// A battery's input and output do not depend on each other, so it is two halves.
fn halves(nodes: &[Node]) -> (Vec<usize>, Vec<usize>) {
    let mut part_of: Vec<usize> = (0..nodes.len()).collect();
    let mut out_half = part_of.clone();
    for (at, node) in nodes.iter().enumerate() {
        if matches!(node.spec, Some(Spec::Battery { .. })) {
            out_half[at] = part_of.len();
            part_of.push(at);
        }
    }
    (out_half, part_of)
}

fn graph(halves: usize, edges: impl Iterator<Item = (usize, usize)>) -> DiGraph<(), ()> {
    let mut graph = DiGraph::with_capacity(halves, halves);
    for _ in 0..halves {
        graph.add_node(());
    }
    for (from, to) in edges {
        graph.add_edge(NodeIndex::new(from), NodeIndex::new(to), ());
    }
    graph
}

/// The number of each half's strongly connected component.
fn components(graph: &DiGraph<(), ()>) -> Vec<usize> {
    let mut of = vec![0; graph.node_count()];
    // Kosaraju's walk keeps its own stack; Tarjan's would overflow ours on a long chain.
    for (number, component) in kosaraju_scc(graph).iter().enumerate() {
        for node in component {
            of[node.index()] = number;
        }
    }
    of
}

/// Marks the wires on closed loops and returns them by loop, in the order of their first wire.
pub(super) fn close(wires: &mut [Ends], halves: usize) -> Vec<Vec<usize>> {
    let feed = wires
        .iter()
        .filter(|w| !w.signal && !w.closed)
        .map(|w| (w.from, w.to));
    let of = components(&graph(halves, feed));
    let mut loops: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (at, wire) in wires.iter_mut().enumerate() {
        if !wire.signal && !wire.closed && of[wire.from] == of[wire.to] {
            wire.closed = true;
            loops.entry(of[wire.from]).or_default().push(at);
        }
    }
    let mut loops: Vec<Vec<usize>> = loops.into_values().collect();
    loops.sort();
    loops
}

pub(super) fn find_self_feeding(nodes: &mut [Node], wires: &[Ends], part_of: &[usize]) {
    let feed = |w: &&Ends| !w.signal;
    let edges = wires
        .iter()
        .filter(feed)
        .map(|w| (part_of[w.from], part_of[w.to]));
    let of = components(&graph(nodes.len(), edges));
    // A wire within a component that ends at a battery lies on a way from the battery's output back to it.
    for wire in wires.iter().filter(feed) {
        let (from, to) = (part_of[wire.from], part_of[wire.to]);
        if of[from] == of[to] && matches!(nodes[to].spec, Some(Spec::Battery { .. })) {
            nodes[to].feeds_itself = true;
        }
    }
}

/// The order in which offers go down; takes come back the other way. A battery that does not feed itself stands with its
/// input before its output, so that on the way back what it gives is known before what holds it full.
pub(super) fn order(
    nodes: &[Node],
    wires: &[Ends],
    out_half: &[usize],
    halves: usize,
) -> (Vec<usize>, Vec<usize>) {
    let feed = wires
        .iter()
        .filter(|w| !w.signal && !w.closed)
        .map(|w| (w.from, w.to));
    let held = nodes
        .iter()
        .enumerate()
        .filter(|(at, n)| out_half[*at] != *at && !n.feeds_itself);
    let graph = graph(halves, feed.chain(held.map(|(at, _)| (at, out_half[at]))));
    // Closed loops are out and only batteries off every ring tie their halves, so there is no cycle left.
    let order: Vec<usize> = match toposort(&graph, None) {
        Ok(order) => order.into_iter().map(|n| n.index()).collect(),
        Err(_) => (0..halves).collect(),
    };
    let mut place = vec![0; halves];
    for (at, half) in order.iter().enumerate() {
        place[*half] = at;
    }
    (order, place)
}
