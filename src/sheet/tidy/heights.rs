//! How high the cards of a row stand: in the order given, as near as can be to where their wires run straight.
//!
//! For each column in turn the sum of the distances to the neighbours' ports is least that the order allows: an isotonic
//! regression by medians, with the pool of adjacent violators (Ayer et al. 1955; Robertson, Wright and Dykstra 1988). A
//! median is the height of some port, so most wires of a chain run straight.

use super::GAP_DOWN;
use super::order::Row;

/// How much a card keeps where it stands, against the weights of wires.
const STAYS: u32 = 1;
/// What is left free above and below, beyond what the tallest column needs.
const FREE: f64 = 48.0;
/// Rounds to and fro.
const ROUNDS: usize = 6;

/// The top of every slot, and the height of the row. All are multiples of 8.
pub fn heights(row: &Row, limit: f64) -> (Vec<f64>, f64) {
    let passing = |column: &Vec<usize>| {
        let cards = column.iter().filter(|s| row.slots[**s].card.is_some());
        column.len() - cards.count()
    };
    let most = row.columns.iter().map(passing).max().unwrap_or(0);
    // Wires that pass a column have room there while that costs no more than a quarter of the height.
    let lane = match most as f64 * 4.0 / limit.max(1.0) {
        share if share * 16.0 <= 1.0 => 16.0,
        share if share * 8.0 <= 1.0 => 8.0,
        _ => 0.0,
    };
    let stacks: Vec<Stack> = (row.columns.iter())
        .map(|column| Stack::new(row, column, lane))
        .collect();
    let high = stacks.iter().map(|s| s.high).fold(0.0, f64::max) + FREE;
    let mut top = vec![0.0; row.slots.len()];
    for stack in &stacks {
        for (slot, offset) in stack.slots.iter().zip(&stack.offset) {
            top[*slot] = *offset;
        }
    }
    for round in 0..2 * ROUNDS {
        let leftward = round % 2 == 1;
        for step in 0..stacks.len() {
            let at = if leftward {
                stacks.len() - 1 - step
            } else {
                step
            };
            let both = round + 2 >= 2 * ROUNDS;
            let sides = (at > 0 && (both || !leftward), both || leftward);
            stacks[at].settle(row, at, sides, high, &mut top);
        }
    }
    let cards = || (0..top.len()).filter(|s| row.slots[*s].card.is_some());
    let first = cards().map(|s| top[s]).fold(f64::INFINITY, f64::min);
    let first = if first.is_finite() { first } else { 0.0 };
    let last = cards().map(|s| top[s] + row.slots[s].tall);
    let high = last.fold(first, f64::max) - first;
    top.iter_mut().for_each(|y| *y -= first);
    (top, high)
}

/// A column with the least distance of each slot from its top.
struct Stack {
    slots: Vec<usize>,
    offset: Vec<f64>,
    high: f64,
}

impl Stack {
    fn new(row: &Row, column: &[usize], lane: f64) -> Stack {
        let mut offset = Vec::with_capacity(column.len());
        let (mut y, mut high) = (0.0, 0.0);
        let mut before: Option<bool> = None;
        for slot in column {
            let is_card = row.slots[*slot].card.is_some();
            y += match (before, is_card) {
                (None, _) => 0.0,
                (Some(true), true) => GAP_DOWN,
                (Some(true), false) | (Some(false), true) if lane > 0.0 => 16.0,
                _ => lane,
            };
            // Two cards keep their distance also where only wires without room pass between them.
            if let (true, Some(least)) = (is_card, least_below(row, column, &offset)) {
                y = f64::max(y, least);
            }
            offset.push(y);
            y += row.slots[*slot].tall;
            high = y;
            before = Some(is_card);
        }
        Stack {
            slots: column.to_vec(),
            offset,
            high,
        }
    }

    /// Sets the tops of the column by those of its neighbours.
    fn settle(&self, row: &Row, at: usize, sides: (bool, bool), high: f64, top: &mut [f64]) {
        let mut wishes: Vec<Vec<(f64, u32)>> = vec![Vec::new(); self.slots.len()];
        let mut place = vec![usize::MAX; row.slots.len()];
        for (i, slot) in self.slots.iter().enumerate() {
            place[*slot] = i;
            wishes[i].push((top[*slot] - self.offset[i], STAYS));
        }
        let mut wish = |slot: usize, y: f64, weight: u32| {
            let i = place[slot];
            wishes[i].push((y - self.offset[i], 2 * weight));
        };
        if sides.0 && at > 0 {
            for l in &row.links[at - 1] {
                wish(l.to, top[l.from] + l.from_y - l.to_y, l.weight);
            }
        }
        if sides.1 {
            for l in &row.links[at] {
                wish(l.from, top[l.to] + l.to_y - l.from_y, l.weight);
            }
        }
        let most = (high - self.high).max(0.0);
        for (i, y) in isotonic(wishes).into_iter().enumerate() {
            top[self.slots[i]] = self.offset[i] + y.clamp(0.0, most);
        }
    }
}

/// Where a card may begin at the earliest, below the last card of the column so far.
fn least_below(row: &Row, column: &[usize], offset: &[f64]) -> Option<f64> {
    let mut above = column[..offset.len()].iter().zip(offset).rev();
    let (slot, y) = above.find(|(slot, _)| row.slots[**slot].card.is_some())?;
    Some(y + row.slots[*slot].tall + GAP_DOWN)
}

/// The numbers that nowhere fall and whose weighted distances from the wishes are least in sum. Every place has a wish.
fn isotonic(wishes: Vec<Vec<(f64, u32)>>) -> Vec<f64> {
    struct Block {
        wishes: Vec<(f64, u32)>,
        count: usize,
        median: f64,
    }
    let mut blocks: Vec<Block> = Vec::new();
    for mut own in wishes {
        own.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut block = Block {
            median: median(&own),
            wishes: own,
            count: 1,
        };
        while let Some(before) = blocks.pop_if(|before| before.median > block.median) {
            let mut wishes = before.wishes;
            wishes.extend(block.wishes);
            wishes.sort_by(|a, b| a.0.total_cmp(&b.0));
            block = Block {
                median: median(&wishes),
                wishes,
                count: before.count + block.count,
            };
        }
        blocks.push(block);
    }
    let each = blocks
        .iter()
        .map(|b| std::iter::repeat_n(b.median, b.count));
    each.flatten().collect()
}

/// The lower weighted median of a sorted list; 0 of an empty one.
fn median(sorted: &[(f64, u32)]) -> f64 {
    let all: u32 = sorted.iter().map(|(_, weight)| weight).sum();
    let mut passed = 0;
    let found = sorted.iter().find(|(_, weight)| {
        passed += weight;
        2 * passed >= all
    });
    found.map_or(0.0, |(value, _)| *value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wishes_in_order_are_granted_and_others_meet_at_the_median() {
        let one = |y: f64| vec![(y, 1)];
        assert_eq!(
            isotonic(vec![one(0.0), one(8.0), one(40.0)]),
            [0.0, 8.0, 40.0]
        );
        assert_eq!(isotonic(vec![one(40.0), one(8.0), one(0.0)]), [8.0; 3]);
        assert_eq!(isotonic(vec![one(8.0), vec![(0.0, 5)]]), [0.0; 2]);
        assert_eq!(isotonic(Vec::new()), Vec::<f64>::new());
    }
}
