//! The order of the cards in each column of a row, so that few wires cross: barycentres, column by column, to and fro.

use super::graph::Graph;

/// A card in a column, or the place where a wire passes one.
#[derive(Clone, Copy, Debug)]
pub struct Slot {
    /// The card.
    pub card: Option<usize>,
    /// How tall it is.
    pub tall: f64,
}

/// A piece of a wire from a column to the next.
#[derive(Clone, Copy, Debug)]
pub struct Link {
    /// The slot on the left.
    pub from: usize,
    /// The slot on the right.
    pub to: usize,
    /// Where it leaves, from the top of the slot.
    pub from_y: f64,
    /// Where it enters.
    pub to_y: f64,
    /// What it counts.
    pub weight: u32,
}

/// One row: its columns, with what stands in them from top to bottom.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// Cards and places of wires.
    pub slots: Vec<Slot>,
    /// The slots of each column, in order.
    pub columns: Vec<Vec<usize>>,
    /// Of each column the pieces to the next.
    pub links: Vec<Vec<Link>>,
}

impl Row {
    /// The row of the columns from `from` up to `to`, each in the order in which `rank` has the cards.
    pub fn new(graph: &Graph, column: &[usize], (from, to): (usize, usize), rank: &[usize]) -> Row {
        let mut row = Row {
            columns: vec![Vec::new(); to - from],
            links: vec![Vec::new(); to - from],
            ..Row::default()
        };
        let mut order: Vec<usize> = (0..column.len())
            .filter(|i| (from..to).contains(&column[*i]))
            .collect();
        order.sort_by_key(|i| rank[*i]);
        let mut slot = vec![usize::MAX; column.len()];
        for i in order {
            slot[i] = row.put(column[i] - from, Some(i), graph.tall[i]);
        }
        for edge in &graph.edges {
            let (a, b) = (column[edge.from], column[edge.to]);
            if a < from || b >= to {
                continue;
            }
            let (mut left, mut left_y) = (slot[edge.from], edge.from_y);
            for at in a + 1..=b {
                let (right, right_y) = match at == b {
                    true => (slot[edge.to], edge.to_y),
                    false => (row.put(at - from, None, 0.0), 0.0),
                };
                row.links[at - 1 - from].push(Link {
                    from: left,
                    to: right,
                    from_y: left_y,
                    to_y: right_y,
                    weight: edge.weight,
                });
                (left, left_y) = (right, right_y);
            }
        }
        row
    }

    fn put(&mut self, column: usize, card: Option<usize>, tall: f64) -> usize {
        self.slots.push(Slot { card, tall });
        self.columns[column].push(self.slots.len() - 1);
        self.slots.len() - 1
    }

    /// Brings the columns into an order with few crossings; answers how many are left.
    pub fn sort(&mut self) -> usize {
        let rounds = (24_000 / self.slots.len().max(1)).clamp(2, 16);
        let first = self.columns.clone();
        let mut best = (self.crossings(), first.clone());
        for start in 0..if rounds == 16 { 4 } else { 1 } {
            self.columns = first.clone();
            if start % 2 == 1 {
                self.columns.iter_mut().for_each(|column| column.reverse());
            }
            for round in 0..rounds {
                if best.0 == 0 {
                    break;
                }
                self.sweep(round % 2 == usize::from(start >= 2));
                let mut crossings = self.crossings();
                if rounds == 16 && crossings <= best.0 + 4 {
                    crossings = self.exchange(crossings);
                }
                if crossings < best.0 {
                    best = (crossings, self.columns.clone());
                }
            }
        }
        self.columns = best.1;
        best.0
    }

    /// Orders each column by the one before it, from left to right, or from right to left.
    fn sweep(&mut self, leftward: bool) {
        for step in 1..self.columns.len() {
            let last = self.columns.len() - 1;
            let at = if leftward { last - step } else { step };
            self.sort_column(at, leftward);
        }
    }

    /// Orders the columns on either side of one by it, the near ones first.
    pub fn sort_from(&mut self, at: usize) {
        (at + 1..self.columns.len()).for_each(|at| self.sort_column(at, false));
        (0..at).rev().for_each(|at| self.sort_column(at, true));
    }

    /// Exchanges neighbours in a column where that leaves fewer crossings; answers how many are left of `all`.
    fn exchange(&mut self, mut all: usize) -> usize {
        for at in 0..self.columns.len() {
            for i in 1..self.columns[at].len() {
                let near = |row: &Row| row.crossings_at(at) + row.crossings_at(at + 1);
                let before = near(self);
                self.columns[at].swap(i - 1, i);
                let after = near(self);
                if after < before {
                    all -= before - after;
                } else {
                    self.columns[at].swap(i - 1, i);
                }
            }
        }
        all
    }

    /// Orders one column by the means of where its wires lead: to the right of it, or to the left.
    fn sort_column(&mut self, at: usize, right: bool) {
        let place = self.places(if right { at + 1 } else { at - 1 });
        let links = &self.links[if right { at } else { at - 1 }];
        let mut sums = vec![(0.0, 0.0); self.slots.len()];
        for link in links {
            let (own, other, y) = match right {
                true => (link.from, link.to, link.to_y),
                false => (link.to, link.from, link.from_y),
            };
            let weight = f64::from(link.weight);
            sums[own].0 += weight * (place[other] as f64 + port(y));
            sums[own].1 += weight;
        }
        // What has no wire there stays where it is among the others.
        let mut wired: Vec<usize> = self.columns[at].clone();
        wired.retain(|slot| sums[*slot].1 > 0.0);
        let mean = |slot: usize| sums[slot].0 / sums[slot].1;
        wired.sort_by(|a, b| mean(*a).total_cmp(&mean(*b)));
        let mut sorted = wired.into_iter();
        for slot in &mut self.columns[at] {
            if sums[*slot].1 > 0.0 {
                *slot = sorted.next().unwrap_or(*slot);
            }
        }
    }

    /// Of each slot of a column its place in the order.
    fn places(&self, at: usize) -> Vec<usize> {
        let mut places = vec![0; self.slots.len()];
        for (place, slot) in self.columns[at].iter().enumerate() {
            places[*slot] = place;
        }
        places
    }

    /// How many pairs of pieces cross.
    pub fn crossings(&self) -> usize {
        (1..self.columns.len())
            .map(|at| self.crossings_at(at))
            .sum()
    }

    /// How many pairs cross between a column and the one before it.
    fn crossings_at(&self, at: usize) -> usize {
        if at == 0 || at >= self.columns.len() {
            return 0;
        }
        let (left, right) = (self.places(at - 1), self.places(at));
        let mut ends: Vec<(f64, f64)> = (self.links[at - 1].iter())
            .map(|l| {
                let from = left[l.from] as f64 + port(l.from_y);
                (from, right[l.to] as f64 + port(l.to_y))
            })
            .collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let mut ends: Vec<f64> = ends.into_iter().map(|e| e.1).collect();
        inversions(&mut ends)
    }
}

/// A port's height as a small share of a place in the order: ports of one card stay among themselves.
fn port(y: f64) -> f64 {
    (y / 8192.0).clamp(0.0, 0.9)
}

/// How many pairs stand in the wrong order; sorts the list by merging.
fn inversions(list: &mut [f64]) -> usize {
    if list.len() < 2 {
        return 0;
    }
    let (low, high) = list.split_at_mut(list.len() / 2);
    let mut wrong = inversions(low) + inversions(high);
    let mut merged = Vec::with_capacity(low.len() + high.len());
    let (mut a, mut b) = (low.iter().peekable(), high.iter().peekable());
    while let (Some(x), Some(y)) = (a.peek(), b.peek()) {
        if x <= y {
            merged.extend(a.next());
        } else {
            wrong += a.len();
            merged.extend(b.next());
        }
    }
    merged.extend(a.chain(b));
    list.copy_from_slice(&merged);
    wrong
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_in_the_wrong_order_are_counted() {
        let mut list = [3.0, 1.0, 2.0, 2.0, 0.0];
        let mut wrong = 0;
        for i in 0..list.len() {
            wrong += list[..i].iter().filter(|before| **before > list[i]).count();
        }
        assert_eq!(inversions(&mut list), wrong);
        assert_eq!(list, [0.0, 1.0, 2.0, 2.0, 3.0]);
    }
}
