//! The ports of a plan as slots in a row, and the wires as steps from one free slot to the next.
//!
//! A port takes one wire, and people mostly wire a part to the one they put up next: so each end of a wire is written as
//! the number of free slots between the likely one and the right one, which mostly is 0. A tree of sums keeps that
//! quick on a plan of any size. It does not know what the ports mean.

use crate::book::{PartType, Side};

/// One side's ports of all parts in the plan's order.
pub(super) struct Slots {
    /// For each slot its part and the port's name.
    ends: Vec<(usize, String)>,
    /// For each part its first slot; one more at the end.
    first: Vec<usize>,
    /// Sums of free slots, as a binary indexed tree counted from 1.
    tree: Vec<usize>,
    free: Vec<bool>,
}

impl Slots {
    /// The outputs, or else the inputs and signals, of parts of these types.
    pub(super) fn new(kinds: &[&PartType], out: bool) -> Slots {
        let (mut ends, mut first) = (Vec::new(), Vec::with_capacity(kinds.len() + 1));
        for (part, kind) in kinds.iter().enumerate() {
            first.push(ends.len());
            let ports = kind.ports().into_iter();
            ends.extend(
                ports
                    .filter(|p| (p.side == Side::Out) == out)
                    .map(|p| (part, p.name.into_owned())),
            );
        }
        first.push(ends.len());
        let mut tree: Vec<usize> = (0..=ends.len()).map(|i| i & i.wrapping_neg()).collect();
        tree[0] = 0;
        let free = vec![true; ends.len()];
        Slots {
            ends,
            first,
            tree,
            free,
        }
    }

    /// How many slots are free.
    fn total(&self) -> usize {
        self.before(self.ends.len())
    }

    /// How many slots before `at` are free.
    fn before(&self, mut at: usize) -> usize {
        let mut sum = 0;
        while at > 0 {
            sum += self.tree[at];
            at &= at - 1;
        }
        sum
    }

    /// The free slot before which `rank` free ones lie; there must be more than `rank`.
    fn nth(&self, mut rank: usize) -> usize {
        let mut at = 0;
        let mut step = self.ends.len().checked_ilog2().map_or(0, |bits| 1 << bits);
        while step > 0 {
            if at + step < self.tree.len() && self.tree[at + step] <= rank {
                at += step;
                rank -= self.tree[at];
            }
            step /= 2;
        }
        at
    }

    fn take(&mut self, slot: usize) {
        self.free[slot] = false;
        let mut at = slot + 1;
        while at < self.tree.len() {
            self.tree[at] -= 1;
            at += at & at.wrapping_neg();
        }
    }

    /// Takes the slot of `part`'s port `port`; says how far it lies from the first free one of part `likely` or later.
    /// `None` where there is no such port or it is taken.
    pub(super) fn step_to(&mut self, likely: usize, part: usize, port: &str) -> Option<i64> {
        let range = *self.first.get(part)?..*self.first.get(part + 1)?;
        let slot = range.into_iter().find(|s| self.ends[*s].1 == port)?;
        if !self.free[slot] {
            return None;
        }
        let total = self.total();
        let from = self.before(self.first[likely.min(self.first.len() - 1)]);
        let ahead = (self.before(slot) + total - from % total) % total;
        self.take(slot);
        // The row is a ring: the shorter way round is the smaller number.
        Some(if ahead * 2 > total {
            ahead as i64 - total as i64
        } else {
            ahead as i64
        })
    }

    /// The part and port that lie `step` from the first free one of part `likely` or later; taken then.
    pub(super) fn step(&mut self, likely: usize, step: i64) -> Option<(usize, &str)> {
        let total = self.total();
        if total == 0 {
            return None;
        }
        let from = self.before(self.first[likely.min(self.first.len() - 1)]);
        let ahead = step.rem_euclid(total as i64) as usize;
        let slot = self.nth((from + ahead) % total);
        self.take(slot);
        let (part, port) = self.ends.get(slot)?;
        Some((*part, port))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_lead_to_the_same_slots_again() {
        let book = crate::book::built_in("outpost").unwrap();
        let names = ["sun-panel", "divider-4", "lamp", "latch", "busbar-3", "tap"];
        let kinds: Vec<&PartType> = names.iter().map(|n| book.find(n).unwrap()).collect();
        for out in [true, false] {
            let ends = Slots::new(&kinds, out).ends;
            let (mut write, mut read) = (Slots::new(&kinds, out), Slots::new(&kinds, out));
            // Every slot once, in an order that jumps about; 7 has no divisor in common with either number of slots.
            for i in 0..ends.len() {
                let (part, port) = &ends[i * 7 % ends.len()];
                let step = write.step_to(i % 9, *part, port).unwrap();
                assert_eq!(read.step(i % 9, step), Some((*part, port.as_str())));
                assert_eq!(write.step_to(0, *part, port), None, "taken once only");
            }
            assert_eq!(read.step(0, 0), None, "none is left");
        }
    }
}
