//! Which column each card stands in, and where columns are folded into rows.

use super::graph::Graph;
use super::{GAP_DOWN, GAP_ROWS};

/// What a wire that a fold cuts costs, in pixels of height.
const CUT: f64 = 32.0;

/// The column of each card: every wire leads to a later one, and no column is taller than `limit` unless a single card is.
pub fn columns(graph: &Graph, limit: f64) -> Vec<usize> {
    let count = graph.parts.len();
    let (mut entering, mut leaving) = (vec![Vec::new(); count], vec![Vec::new(); count]);
    for edge in &graph.edges {
        entering[edge.to].push((edge.from, edge.weight));
        leaving[edge.from].push((edge.to, edge.weight));
    }
    let order = along(&entering, &leaving);
    let ahead = longest(&order, &entering);
    let back: Vec<usize> = order.iter().rev().copied().collect();
    let behind = longest(&back, &leaving);
    // By the longest way to a card; of those alike, the one with the longest way behind it.
    let mut order = order;
    order.sort_by_key(|i| (ahead[*i], usize::MAX - behind[*i], *i));
    let mut column = vec![0; count];
    let mut used: Vec<f64> = Vec::new();
    let has_room = |used: &[f64], at: usize, tall: f64| {
        let used = used.get(at).copied().unwrap_or(0.0);
        used == 0.0 || used + GAP_DOWN + tall <= limit
    };
    for i in &order {
        let before = entering[*i].iter().map(|(from, _)| column[*from] + 1);
        let mut at = before.max().unwrap_or(0);
        while !has_room(&used, at, graph.tall[*i]) {
            at += 1;
        }
        if used.len() <= at {
            used.resize(at + 1, 0.0);
        }
        used[at] += graph.tall[*i] + GAP_DOWN;
        column[*i] = at;
    }
    // A card from which more leads on than leads to it goes near to where that leads.
    let weight = |list: &[(usize, u32)]| list.iter().map(|(_, w)| w).sum::<u32>();
    for i in order.iter().rev() {
        let Some(last) = leaving[*i].iter().map(|(to, _)| column[*to]).min() else {
            continue;
        };
        if weight(&leaving[*i]) > weight(&entering[*i]) {
            let tall = graph.tall[*i];
            let later = (column[*i] + 1..last).rev();
            if let Some(at) = later.into_iter().find(|at| has_room(&used, *at, tall)) {
                used[column[*i]] -= tall + GAP_DOWN;
                used[at] += tall + GAP_DOWN;
                column[*i] = at;
            }
        }
    }
    without_empty(column)
}

/// Closes up over columns that have become empty.
fn without_empty(mut column: Vec<usize>) -> Vec<usize> {
    let count = column.iter().max().map_or(0, |most| most + 1);
    let mut is_used = vec![0; count];
    column.iter().for_each(|at| is_used[*at] = 1);
    let mut before = 0;
    let shift: Vec<usize> = (is_used.iter())
        .map(|used| {
            before += used;
            before - used
        })
        .collect();
    column.iter_mut().for_each(|at| *at = shift[*at]);
    column
}

/// The cards in an order in which every wire leads forward.
fn along(entering: &[Vec<(usize, u32)>], leaving: &[Vec<(usize, u32)>]) -> Vec<usize> {
    let mut missing: Vec<usize> = entering.iter().map(Vec::len).collect();
    let mut order: Vec<usize> = (0..missing.len()).filter(|i| missing[*i] == 0).collect();
    let mut next = 0;
    while let Some(i) = order.get(next).copied() {
        next += 1;
        for (to, _) in &leaving[i] {
            missing[*to] -= 1;
            if missing[*to] == 0 {
                order.push(*to);
            }
        }
    }
    order
}

/// The number of wires of the longest way to each card.
fn longest(order: &[usize], before: &[Vec<(usize, u32)>]) -> Vec<usize> {
    let mut long = vec![0; before.len()];
    for i in order {
        let ways = before[*i].iter().map(|(from, _)| long[*from] + 1);
        long[*i] = ways.max().unwrap_or(0);
    }
    long
}

/// Where rows begin if none has more than `most` columns: as low as can be with few wires cut.
pub fn rows(graph: &Graph, column: &[usize], most: usize) -> Vec<usize> {
    let count = column.iter().max().map_or(0, |last| last + 1);
    let (mut tall, mut cut) = (vec![-GAP_DOWN; count], vec![0i64; count + 1]);
    for (i, at) in column.iter().enumerate() {
        tall[*at] += graph.tall[i] + GAP_DOWN;
    }
    for edge in &graph.edges {
        cut[column[edge.from] + 1] += 1;
        cut[column[edge.to] + 1] -= 1;
    }
    for at in 1..=count {
        cut[at] += cut[at - 1];
    }
    // For each number of columns the least cost, and where its last row begins.
    let mut best = vec![(0.0, 0)];
    for end in 1..=count {
        let (mut least, mut from, mut high) = (f64::INFINITY, end - 1, 0.0f64);
        for begin in (end.saturating_sub(most.max(1))..end).rev() {
            high = high.max(tall[begin]);
            let fold = if begin == 0 {
                0.0
            } else {
                GAP_ROWS + CUT * cut[begin] as f64
            };
            let cost = best[begin].0 + high + fold;
            if cost < least {
                (least, from) = (cost, begin);
            }
        }
        best.push((least, from));
    }
    let mut begins = Vec::new();
    let mut end = count;
    while end > 0 {
        end = best[end].1;
        begins.push(end);
    }
    begins.reverse();
    begins
}
