//! The layout of one island: the arrangement of columns and rows, of a few tried, that suits a screen best.

use super::columns::{columns, rows};
use super::graph::{Edge, Graph};
use super::heights::heights;
use super::measure::{Bend, Measure};
use super::order::Row;
use super::{GAP_ACROSS, GAP_DOWN, GAP_ROWS, Screen};
use crate::sheet::card;
use std::collections::BTreeSet;

/// Places from the island's top left corner.
#[derive(Clone, Debug, Default)]
pub struct Layout {
    /// Of each card.
    pub places: Vec<(f64, f64)>,
    /// Of wires that lead from row to row: the wire's number in the plan, and a place between the rows to lead it through.
    pub bends: Vec<Bend>,
    /// Width and height.
    pub size: (f64, f64),
}

/// How much larger the screen is thought from try to try.
const STEP: f64 = 1.12;
/// What a wire from row to row counts, in crossings.
const FOLDED: usize = 2;
/// How far from cards wires run between rows.
const LANE: f64 = 16.0;
/// The lanes between two rows, at the most.
const MOST_LANES: usize = 16;

/// Up to so many wires their courses decide between arrangements; of more, the crossings of straight pieces do.
const MEASURED: usize = 160;
/// How many courses may be looked at in search of a better order.
const WORK: usize = 20_000;

/// Lays an island out for a screen.
pub fn lay_out(graph: &Graph, kind: Screen) -> Layout {
    let rank = ranks(graph);
    let room = kind.room();
    let tall: f64 = graph.tall.iter().map(|tall| tall + GAP_DOWN).sum();
    let ground = tall * (card::WIDTH + GAP_ACROSS.0);
    let mut factor = (ground / (room.0 * room.1)).sqrt().max(1.0);
    let mut best: Option<(f64, Layout)> = None;
    for _ in 0..8 {
        let screen = (room.0 * factor, room.1 * factor);
        let mut fitting: Option<(f64, Layout)> = None;
        for parts in 1..=3 {
            let limit = (screen.1 - GAP_ROWS * f64::from(parts - 1)) / f64::from(parts);
            let Some(mut arrangement) = Arrangement::new(graph, &rank, screen, limit) else {
                continue;
            };
            let layout = arrangement.place();
            let scale = kind.scale(layout.size);
            if scale * factor >= 1.0 {
                let (cost, layout) = match graph.wires.len() <= MEASURED {
                    true => arrangement.improve(layout, kind, factor),
                    false => (arrangement.crossings as f64, layout),
                };
                if fitting.as_ref().is_none_or(|(least, _)| cost < *least) {
                    fitting = Some((cost, layout));
                }
            } else if best.as_ref().is_none_or(|(most, _)| scale > *most) {
                best = Some((scale, layout));
            }
        }
        if let Some((_, layout)) = fitting {
            return layout;
        }
        factor *= STEP;
    }
    best.map(|(_, layout)| layout).unwrap_or_default()
}

/// An island's cards in columns, the columns in rows, and an order in each column.
struct Arrangement<'a> {
    graph: &'a Graph,
    /// The column of each card.
    column: Vec<usize>,
    /// The column at which each row begins.
    begins: Vec<usize>,
    rows: Vec<Row>,
    /// The most columns of a row, and the room between two of them.
    widest: usize,
    gap: f64,
    /// How high a row may be.
    limit: f64,
    /// The signals that go around the right of the card that they enter, by their numbers in the plan.
    around: BTreeSet<usize>,
    /// How often straight pieces cross, with what wires from row to row count.
    crossings: usize,
}

impl Arrangement<'_> {
    /// The arrangement for a screen of this size with columns of at most this height; none of no card.
    fn new<'a>(
        graph: &'a Graph,
        rank: &[usize],
        screen: (f64, f64),
        limit: f64,
    ) -> Option<Arrangement<'a>> {
        let column = columns(graph, limit);
        let most = ((screen.0 + GAP_ACROSS.0) / (card::WIDTH + GAP_ACROSS.0)) as usize;
        let begins = rows(graph, &column, most);
        let count = column.iter().max()? + 1;
        let ends = begins.iter().skip(1).copied().chain([count]);
        let spans: Vec<(usize, usize)> = begins.iter().copied().zip(ends).collect();
        let widest = spans.iter().map(|(from, to)| to - from).max()?;
        let mut arrangement = Arrangement {
            graph,
            column,
            begins,
            rows: Vec::new(),
            widest,
            gap: gap(widest, screen.0),
            limit,
            around: BTreeSet::new(),
            crossings: 0,
        };
        for span in spans {
            let mut row = Row::new(graph, &arrangement.column, span, rank);
            arrangement.crossings += row.sort();
            arrangement.rows.push(row);
        }
        let row_of = |card| arrangement.row_of(card);
        let folded = graph
            .edges
            .iter()
            .filter(|e| row_of(e.from) != row_of(e.to));
        arrangement.crossings += FOLDED * folded.count();
        Some(arrangement)
    }

    fn row_of(&self, card: usize) -> usize {
        let column = self.column[card];
        self.begins.partition_point(|begin| *begin <= column) - 1
    }

    /// Gives every card its place.
    fn place(&self) -> Layout {
        let pitch = card::WIDTH + self.gap;
        let mut layout = Layout {
            places: vec![(0.0, 0.0); self.graph.parts.len()],
            bends: Vec::new(),
            size: (self.widest as f64 * pitch - self.gap, 0.0),
        };
        // The wires that come into each row from another.
        let mut coming: Vec<Vec<&Edge>> = vec![Vec::new(); self.rows.len()];
        for edge in &self.graph.edges {
            if self.row_of(edge.from) != self.row_of(edge.to) {
                coming[self.row_of(edge.to)].push(edge);
            }
        }
        for (number, row) in self.rows.iter().enumerate() {
            let begin = self.begins[number];
            let (top, high) = heights(row, self.limit);
            if number > 0 {
                let x = |card: usize, begin: usize| (self.column[card] - begin) as f64 * pitch;
                let from_to = |e: &Edge| {
                    let from = x(e.from, self.begins[self.row_of(e.from)]) + card::WIDTH + LANE;
                    let left = x(e.to, begin) - LANE;
                    let right = x(e.to, begin) + card::WIDTH + LANE;
                    // A signal is entered from below, and so may be come to from either side.
                    match e.is_signal && from >= right {
                        true => (from, right),
                        false => (from, left),
                    }
                };
                lead(&coming[number], from_to, &mut layout);
            }
            for (slot, y) in row.slots.iter().zip(top) {
                if let Some(card) = slot.card {
                    let x = (self.column[card] - begin) as f64 * pitch;
                    layout.places[card] = (x, layout.size.1 + y);
                }
            }
            layout.size.1 += high;
        }
        let around = (self.graph.edges.iter()).filter(|e| self.around.contains(&e.wire));
        for edge in around {
            let (x, y) = layout.places[edge.to];
            let over = (x + card::WIDTH + LANE, y - LANE);
            layout.bends.push((edge.wire, over));
        }
        layout
    }

    /// Changes orders, and ways of signals, for as long as the courses of the wires become better by it, within the screen;
    /// answers what the best layout costs.
    fn improve(&mut self, layout: Layout, screen: Screen, factor: f64) -> (f64, Layout) {
        let mut measure = Measure::new(self.graph);
        let mut best = (measure.cost(&layout.places, &layout.bends), layout);
        let mut left = WORK / self.graph.wires.len().max(1);
        loop {
            let before = best.0;
            for change in self.changes() {
                if left == 0 {
                    return best;
                }
                left -= 1;
                let kept = self.rows[change.row()].columns.clone();
                self.make(change);
                let layout = self.place();
                let fits = screen.scale(layout.size) * factor >= 1.0;
                let cost = match fits {
                    true => measure.cost(&layout.places, &layout.bends),
                    false => f64::INFINITY,
                };
                if cost < best.0 {
                    best = (cost, layout);
                    continue;
                }
                match change {
                    Change::Exchange { row, .. } => self.rows[row].columns = kept,
                    Change::Around { .. } => self.make(change),
                }
            }
            if best.0 >= before {
                return best;
            }
        }
    }

    fn make(&mut self, change: Change) {
        match change {
            Change::Exchange {
                row,
                column,
                places: (i, j),
                follow,
            } => {
                self.rows[row].columns[column].swap(i, j);
                if follow {
                    self.rows[row].sort_from(column);
                }
            }
            Change::Around { wire, .. } => {
                if !self.around.remove(&wire) {
                    self.around.insert(wire);
                }
            }
        }
    }

    /// All that can be changed.
    fn changes(&self) -> Vec<Change> {
        let mut found = Vec::new();
        for (row, columns) in self.rows.iter().map(|row| &row.columns).enumerate() {
            for (column, slots) in columns.iter().enumerate() {
                let pairs = (1..slots.len()).flat_map(|j| (0..j).map(move |i| (i, j)));
                let both = pairs.flat_map(|places| [(places, false), (places, true)]);
                found.extend(both.map(|(places, follow)| Change::Exchange {
                    row,
                    column,
                    places,
                    follow,
                }));
            }
        }
        for edge in self.graph.edges.iter().filter(|e| e.is_signal) {
            let row = self.row_of(edge.to);
            if self.row_of(edge.from) == row {
                let wire = edge.wire;
                found.push(Change::Around { row, wire });
            }
        }
        found
    }
}

/// One change of an arrangement.
#[derive(Clone, Copy)]
enum Change {
    /// Two places of a column are exchanged; the other columns stay as they are, or follow.
    Exchange {
        row: usize,
        column: usize,
        places: (usize, usize),
        follow: bool,
    },
    /// A signal goes around its card, or no longer does. Made twice it is as before.
    Around { row: usize, wire: usize },
}

impl Change {
    fn row(self) -> usize {
        match self {
            Change::Exchange { row, .. } | Change::Around { row, .. } => row,
        }
    }
}

/// Leads wires through the room between the rows so far and the next one, each in a lane of its own while there are not too
/// many: the farther to the right a wire comes from, the lower, so that few of them cross.
fn lead(coming: &[&Edge], from_to: impl Fn(&Edge) -> (f64, f64), layout: &mut Layout) {
    let mut coming: Vec<&Edge> = coming.to_vec();
    coming.sort_by(|a, b| {
        from_to(b)
            .0
            .total_cmp(&from_to(a).0)
            .then(b.wire.cmp(&a.wire))
    });
    let lanes = coming.len().clamp(1, MOST_LANES);
    for (i, edge) in coming.iter().enumerate() {
        let (from, to) = from_to(edge);
        let x = ((from + to) / 2.0 / card::MODULE).round() * card::MODULE;
        let y = layout.size.1 + LANE + card::MODULE * (i % lanes) as f64;
        layout.bends.push((edge.wire, (x, y)));
    }
    layout.size.1 += f64::max(GAP_ROWS, 2.0 * LANE + card::MODULE * (lanes - 1) as f64);
}

/// The room between so many columns: as much as the screen has, within its limits.
fn gap(columns: usize, wide: f64) -> f64 {
    let free = wide - columns as f64 * card::WIDTH;
    let each = free / columns.saturating_sub(1).max(1) as f64;
    let gap = (each / card::MODULE).floor() * card::MODULE;
    gap.clamp(GAP_ACROSS.0, GAP_ACROSS.1)
}

/// The cards in the order in which a walk along the wires comes to them, ports from top to bottom.
fn ranks(graph: &Graph) -> Vec<usize> {
    let leaving = graph.leaving();
    let mut is_fed = vec![false; graph.parts.len()];
    graph.edges.iter().for_each(|e| is_fed[e.to] = true);
    let mut rank = vec![usize::MAX; graph.parts.len()];
    let mut next = 0;
    let sources = (0..graph.parts.len()).rev().filter(|i| !is_fed[*i]);
    let mut open: Vec<usize> = sources.collect();
    while let Some(card) = open.pop() {
        if rank[card] != usize::MAX {
            continue;
        }
        rank[card] = next;
        next += 1;
        open.extend(leaving[card].iter().rev().map(|e| graph.edges[*e].to));
    }
    rank
}
