//! What the layout asks of a plan: cards, and the wires between them that lead forward.

use super::tall;
use crate::book::{Port, Side};
use crate::gather::Gather;
use crate::plan::{End, PartId, Plan};
use crate::sheet::card;
use std::collections::BTreeMap;

/// What a wire counts for the places of its ends: feed, or signal.
const WEIGHT: (u32, u32) = (4, 1);
/// How far below its card a signal is led.
const STUB: f64 = 16.0;

/// One wire that leads forward.
#[derive(Clone, Copy, Debug)]
pub struct Edge {
    /// The number of the wire in the plan.
    pub wire: usize,
    /// The card that it leaves.
    pub from: usize,
    /// The card that it enters.
    pub to: usize,
    /// Where it leaves, from the top of the card.
    pub from_y: f64,
    /// Where it enters; a signal where its stub below the card ends.
    pub to_y: f64,
    /// The port that it enters, from the card's top left corner.
    pub to_at: (f64, f64),
    /// How far its middle piece is shifted, as in `route`.
    pub lane: i32,
    /// Whether it is a signal.
    pub is_signal: bool,
    /// What it counts.
    pub weight: u32,
}

/// An island: cards that hang together by wires, in the plan's order.
#[derive(Clone, Debug, Default)]
pub struct Graph {
    /// The numbers of the parts in the plan.
    pub parts: Vec<usize>,
    /// The heights of their cards.
    pub tall: Vec<f64>,
    /// The wires but for those that close a loop.
    pub edges: Vec<Edge>,
    /// All wires.
    pub wires: Vec<Edge>,
}

impl Graph {
    /// The islands among the parts with these numbers, in the plan's order.
    pub fn islands(plan: &Plan, at: &[usize]) -> Vec<Graph> {
        let known: BTreeMap<&PartId, usize> = (at.iter().enumerate())
            .map(|(i, part)| (&plan.parts[*part].id, i))
            .gather();
        let ports: Vec<Vec<card::PortPlace>> = at
            .iter()
            .map(|i| {
                let kind = plan.kind_of(&plan.parts[*i]);
                let ports: Vec<Port> = kind.map(|t| t.ports()).unwrap_or_default();
                card::places(&ports)
            })
            .collect();
        let end = |end: &End| {
            let i = *known.get(&end.part)?;
            let port = ports[i].iter().find(|p| p.name == end.port)?;
            Some((i, port))
        };
        let mut edges = Vec::new();
        for (number, wire) in plan.wires.iter().enumerate() {
            let (Some((from, out)), Some((to, input))) = (end(&wire.from), end(&wire.to)) else {
                continue;
            };
            let is_signal = input.side == Side::Signal;
            let outs = || ports[from].iter().filter(|p| p.side == Side::Out);
            let place = outs().position(|p| p.name == out.name).unwrap_or(0);
            edges.push(Edge {
                wire: number,
                from,
                to,
                from_y: out.y,
                to_y: input.y + if is_signal { STUB } else { 0.0 },
                to_at: (input.x, input.y),
                lane: outs().count() as i32 / 2 - place as i32,
                is_signal,
                weight: if is_signal { WEIGHT.1 } else { WEIGHT.0 },
            });
        }
        split(plan, at, &edges)
    }

    /// The wires that leave each card, by the height of their port.
    pub fn leaving(&self) -> Vec<Vec<usize>> {
        let mut leaving = vec![Vec::new(); self.parts.len()];
        for (i, edge) in self.edges.iter().enumerate() {
            leaving[edge.from].push(i);
        }
        for list in &mut leaving {
            list.sort_by(|a, b| {
                let (a, b) = (self.edges[*a], self.edges[*b]);
                a.from_y.total_cmp(&b.from_y).then(a.to.cmp(&b.to))
            });
        }
        leaving
    }

    /// Leaves out wires that close a loop; of a loop with a signal in it a signal.
    fn open_loops(&mut self) {
        let (feeds, signals): (Vec<Edge>, Vec<Edge>) =
            (self.wires.iter()).partition(|e| !e.is_signal);
        let mut next = vec![Vec::new(); self.parts.len()];
        self.edges = without_back(feeds, self.parts.len());
        for edge in &self.edges {
            next[edge.from].push(edge.to);
        }
        for edge in signals {
            if !leads(&next, edge.to, edge.from) {
                next[edge.from].push(edge.to);
                self.edges.push(edge);
            }
        }
    }
}

/// Islands by the smallest number of a card in each.
fn split(plan: &Plan, at: &[usize], edges: &[Edge]) -> Vec<Graph> {
    let mut root: Vec<usize> = (0..at.len()).collect();
    fn top(root: &mut [usize], mut i: usize) -> usize {
        while root[i] != i {
            root[i] = root[root[i]];
            i = root[i];
        }
        i
    }
    for edge in edges {
        let (a, b) = (top(&mut root, edge.from), top(&mut root, edge.to));
        root[a.max(b)] = a.min(b);
    }
    let mut graphs: Vec<Graph> = Vec::new();
    // Of each card the island, and its number there.
    let mut own = Vec::with_capacity(at.len());
    let mut island = vec![usize::MAX; at.len()];
    for (i, part) in at.iter().enumerate() {
        let root = top(&mut root, i);
        if island[root] == usize::MAX {
            island[root] = graphs.len();
            graphs.push(Graph::default());
        }
        let graph = &mut graphs[island[root]];
        own.push((island[root], graph.parts.len()));
        graph.parts.push(*part);
        graph.tall.push(tall(plan, *part));
    }
    for edge in edges.iter().filter(|e| e.from != e.to) {
        let (island, from) = own[edge.from];
        let to = own[edge.to].1;
        graphs[island].wires.push(Edge { from, to, ..*edge });
    }
    graphs.iter_mut().for_each(Graph::open_loops);
    graphs
}

/// The edges but for those that lead back to where a walk from the sources comes from.
fn without_back(edges: Vec<Edge>, count: usize) -> Vec<Edge> {
    let mut leaving = vec![Vec::new(); count];
    let mut is_fed = vec![false; count];
    for (i, edge) in edges.iter().enumerate() {
        leaving[edge.from].push(i);
        is_fed[edge.to] = true;
    }
    #[derive(Clone, Copy, PartialEq)]
    enum Seen {
        Not,
        OnTheWay,
        Done,
    }
    let mut seen = vec![Seen::Not; count];
    let mut back = vec![false; edges.len()];
    let (sources, rest): (Vec<usize>, Vec<usize>) = (0..count).partition(|i| !is_fed[*i]);
    for start in sources.into_iter().chain(rest) {
        if seen[start] != Seen::Not {
            continue;
        }
        seen[start] = Seen::OnTheWay;
        let mut way = vec![(start, 0)];
        while let Some((card, gone)) = way.last_mut() {
            let Some(i) = leaving[*card].get(*gone) else {
                seen[*card] = Seen::Done;
                way.pop();
                continue;
            };
            *gone += 1;
            let to = edges[*i].to;
            match seen[to] {
                Seen::Not => {
                    seen[to] = Seen::OnTheWay;
                    way.push((to, 0));
                }
                Seen::OnTheWay => back[*i] = true,
                Seen::Done => {}
            }
        }
    }
    let kept = edges.into_iter().zip(back);
    kept.filter(|(_, back)| !back).map(|(e, _)| e).collect()
}

/// Whether a way leads from one card to another.
fn leads(next: &[Vec<usize>], from: usize, to: usize) -> bool {
    let mut seen = vec![false; next.len()];
    let mut open = vec![from];
    while let Some(card) = open.pop() {
        if card == to {
            return true;
        }
        if !std::mem::replace(&mut seen[card], true) {
            open.extend(&next[card]);
        }
    }
    false
}
