//! The layout of one island: the arrangement of columns and rows, of a few tried, that suits a screen best.

use super::columns::{columns, rows};
use super::graph::{Edge, Graph};
use super::heights::heights;
use super::order::Row;
use super::{GAP_ACROSS, GAP_DOWN, GAP_ROWS, SCREEN, scale};
use crate::sheet::card;

/// Places from the island's top left corner.
#[derive(Clone, Debug, Default)]
pub struct Layout {
    /// Of each card.
    pub places: Vec<(f64, f64)>,
    /// Of wires that lead from row to row: the wire's number in the plan, and a place between the rows to lead it through.
    pub bends: Vec<(usize, (f64, f64))>,
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

/// Lays an island out.
pub fn lay_out(graph: &Graph) -> Layout {
    let rank = ranks(graph);
    let tall: f64 = graph.tall.iter().map(|tall| tall + GAP_DOWN).sum();
    let ground = tall * (card::WIDTH + GAP_ACROSS.0);
    let mut factor = (ground / (SCREEN.0 * SCREEN.1)).sqrt().max(1.0);
    let mut best: Option<(f64, Layout)> = None;
    for _ in 0..8 {
        let screen = (SCREEN.0 * factor, SCREEN.1 * factor);
        let mut fitting: Option<(usize, Layout)> = None;
        for parts in 1..=3 {
            let limit = (screen.1 - GAP_ROWS * f64::from(parts - 1)) / f64::from(parts);
            let Some((cost, layout)) = attempt(graph, &rank, screen, limit) else {
                continue;
            };
            let fits = scale(layout.size) * factor >= 1.0;
            if fits && fitting.as_ref().is_none_or(|(least, _)| cost < *least) {
                fitting = Some((cost, layout));
            } else if best
                .as_ref()
                .is_none_or(|(most, _)| scale(layout.size) > *most)
            {
                best = Some((scale(layout.size), layout));
            }
        }
        if let Some((_, layout)) = fitting {
            return layout;
        }
        factor *= STEP;
    }
    best.map(|(_, layout)| layout).unwrap_or_default()
}

/// The layout for a screen of this size with columns of at most this height, and what it costs in crossings.
fn attempt(
    graph: &Graph,
    rank: &[usize],
    screen: (f64, f64),
    limit: f64,
) -> Option<(usize, Layout)> {
    let column = columns(graph, limit);
    let most = ((screen.0 + GAP_ACROSS.0) / (card::WIDTH + GAP_ACROSS.0)) as usize;
    let begins = rows(graph, &column, most);
    let count = column.iter().max()? + 1;
    let ends = begins.iter().skip(1).copied().chain([count]);
    let spans: Vec<(usize, usize)> = begins.iter().copied().zip(ends).collect();
    let widest = spans.iter().map(|(from, to)| to - from).max()?;
    let gap = gap(widest, screen.0);
    let pitch = card::WIDTH + gap;
    let mut layout = Layout {
        places: vec![(0.0, 0.0); graph.parts.len()],
        bends: Vec::new(),
        size: (widest as f64 * pitch - gap, 0.0),
    };
    let row_of = |card: usize| begins.partition_point(|begin| *begin <= column[card]) - 1;
    // The wires that come into each row from another.
    let mut coming: Vec<Vec<&Edge>> = vec![Vec::new(); begins.len()];
    for edge in &graph.edges {
        if row_of(edge.from) != row_of(edge.to) {
            coming[row_of(edge.to)].push(edge);
        }
    }
    let mut cost = FOLDED * coming.iter().map(Vec::len).sum::<usize>();
    for (number, span) in spans.into_iter().enumerate() {
        let mut row = Row::new(graph, &column, span, rank);
        cost += row.sort();
        let (top, high) = heights(&row, limit);
        if number > 0 {
            let x = |card: usize, begin: usize| (column[card] - begin) as f64 * pitch;
            let from_to = |e: &Edge| {
                let from = x(e.from, begins[row_of(e.from)]) + card::WIDTH + LANE;
                let (left, right) = (x(e.to, span.0) - LANE, x(e.to, span.0) + card::WIDTH + LANE);
                // A signal is entered from below, and so may be come to from either side.
                (
                    from,
                    if e.is_signal && from >= right {
                        right
                    } else {
                        left
                    },
                )
            };
            lead(&coming[number], from_to, &mut layout);
        }
        for (slot, y) in row.slots.iter().zip(top) {
            if let Some(card) = slot.card {
                let x = (column[card] - span.0) as f64 * pitch;
                layout.places[card] = (x, layout.size.1 + y);
            }
        }
        layout.size.1 += high;
    }
    Some((cost, layout))
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
