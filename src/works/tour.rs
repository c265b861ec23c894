//! In which order to go to places with little walking, where some must come before others: a shortest open path with
//! precedences (the sequential ordering problem). Costs are whole numbers of any unit, and may differ to and fro.
//!
//! Up to [`EXACT`] items the order is a shortest one, by dynamic programming over subsets (Held and Karp 1962). Above that
//! it is a good one: from the nearest item to the nearest, then made better by moving stretches elsewhere (Or 1976) and
//! turning them round (Croes 1958) for as long as that saves anything; how near it comes is held in `tests/order.rs`
//! against published instances. Of orders that cost the same the exact one has the earliest items first. Precedences that
//! contradict each other are no fault: what is left of them is kept.

/// So many items are put into a shortest order.
pub const EXACT: usize = 12;
/// Up to so many items the costs are written into a table first.
const TABLE: usize = 1000;
/// Up to so many items every pair of neighbouring stretches is tried, and several items as the first.
const SMALL: usize = 64;
/// With more items, how far a stretch is moved at the most, and how many are looked at for the nearest.
const REACH: usize = 64;
/// The longest stretch that is moved among more than [`SMALL`] items.
const STRETCH: usize = 3;
/// How often all is gone through at the most.
const ROUNDS: usize = 100;

/// Items to be put in order.
pub struct Tour<'a> {
    /// How many there are; they are called by their numbers from 0.
    pub count: usize,
    /// What it costs to go to an item first.
    pub start: &'a dyn Fn(usize) -> u64,
    /// What it costs to go from one item to another.
    pub step: &'a dyn Fn(usize, usize) -> u64,
    /// Pairs of which the first comes before the second.
    pub before: &'a [(usize, usize)],
}

impl Tour<'_> {
    /// An order with little walking.
    pub fn order(&self) -> Vec<usize> {
        let count = self.count;
        if count > TABLE {
            return self.good();
        }
        let costs: Vec<u64> = (0..count * count)
            .map(|pair| (self.step)(pair / count, pair % count))
            .collect();
        let tabled = Tour {
            step: &|a, b| costs[a * count + b],
            ..*self
        };
        match count {
            0 => Vec::new(),
            1..=EXACT => tabled.shortest(),
            _ => tabled.good(),
        }
    }

    /// What an order costs.
    pub fn length(&self, order: &[usize]) -> u64 {
        let first = order.first().map_or(0, |item| (self.start)(*item));
        let pairs = order.iter().zip(order.iter().skip(1));
        pairs.fold(first, |sum, (a, b)| sum.saturating_add((self.step)(*a, *b)))
    }

    /// The items that come before each.
    fn earlier(&self) -> Vec<Vec<usize>> {
        let mut earlier = vec![Vec::new(); self.count];
        for (a, b) in self.before.iter().filter(|(a, b)| a != b) {
            earlier[*b].push(*a);
        }
        earlier
    }

    /// A shortest order; memory and time grow twofold with each item, so not for more than some 18.
    pub fn shortest(&self) -> Vec<usize> {
        let count = self.count;
        let earlier: Vec<usize> = self
            .earlier()
            .iter()
            .map(|list| list.iter().fold(0, |mask, item| mask | 1 << item))
            .collect();
        let all = (1usize << count) - 1;
        let may = |done: usize, item: usize| done >> item & 1 == 0 && earlier[item] & !done == 0;
        // What is left to walk from the last item once a set of items is done.
        let mut left = vec![u64::MAX; (all + 1) * count];
        left[all * count..].fill(0);
        for done in (1..all).rev() {
            for last in (0..count).filter(|last| done >> last & 1 == 1) {
                let next = (0..count).filter(|item| may(done, *item));
                let ways = next.map(|item| {
                    let rest = left[(done | 1 << item) * count + item];
                    rest.saturating_add((self.step)(last, item))
                });
                left[done * count + last] = ways.min().unwrap_or(u64::MAX);
            }
        }
        let (mut order, mut done) = (Vec::with_capacity(count), 0);
        while done != all {
            let cost = |item: &usize| {
                let step = match order.last() {
                    Some(last) => (self.step)(*last, *item),
                    None => (self.start)(*item),
                };
                left[(done | 1 << item) * count + item].saturating_add(step)
            };
            let next = (0..count).filter(|item| may(done, *item)).min_by_key(cost);
            // Precedences in a circle leave nothing that may come next: then the first that is left does.
            let next = next.or_else(|| (0..count).find(|item| done >> item & 1 == 0));
            let Some(next) = next else { break };
            order.push(next);
            done |= 1 << next;
        }
        order
    }

    /// A good order.
    pub fn good(&self) -> Vec<usize> {
        let earlier = self.earlier();
        let firsts = (0..self.count).filter(|item| earlier[*item].is_empty());
        let tries = if self.count <= SMALL { SMALL } else { 0 };
        let firsts = std::iter::once(None).chain(firsts.take(tries).map(Some));
        let mut best: Option<(u64, Vec<usize>)> = None;
        for first in firsts {
            let mut walk = Walk {
                tour: self,
                order: self.nearest(&earlier, first),
                place: vec![0; self.count],
                earlier: &earlier,
            };
            walk.improve();
            let length = self.length(&walk.order);
            if best.as_ref().is_none_or(|(least, _)| length < *least) {
                best = Some((length, walk.order));
            }
        }
        best.map(|(_, order)| order).unwrap_or_default()
    }

    /// From the nearest item that may come next to the nearest, of equally near ones the earliest.
    fn nearest(&self, earlier: &[Vec<usize>], first: Option<usize>) -> Vec<usize> {
        let mut waits: Vec<usize> = earlier.iter().map(Vec::len).collect();
        let mut later = vec![Vec::new(); self.count];
        for (item, list) in earlier.iter().enumerate() {
            list.iter().for_each(|before| later[*before].push(item));
        }
        let free = (0..self.count).filter(|item| waits[*item] == 0);
        let mut free: std::collections::BTreeSet<usize> = free.collect();
        let mut done = vec![false; self.count];
        let mut order: Vec<usize> = Vec::with_capacity(self.count);
        let mut unseen = 0;
        while order.len() < self.count {
            let cost = |item: &usize| match order.last() {
                Some(last) => (self.step)(*last, *item),
                None => (self.start)(*item),
            };
            let near = free.iter().copied().take(REACH).min_by_key(cost);
            while done.get(unseen).is_some_and(|done| *done) {
                unseen += 1;
            }
            let next = first.filter(|_| order.is_empty()).or(near);
            let next = next.unwrap_or(unseen);
            free.remove(&next);
            done[next] = true;
            order.push(next);
            for item in &later[next] {
                waits[*item] -= 1;
                if waits[*item] == 0 && !done[*item] {
                    free.insert(*item);
                }
            }
        }
        order
    }
}

/// An order that is being made better.
struct Walk<'a, 'b> {
    tour: &'a Tour<'b>,
    order: Vec<usize>,
    /// Where each item stands.
    place: Vec<usize>,
    earlier: &'a [Vec<usize>],
}

impl Walk<'_, '_> {
    fn improve(&mut self) {
        for (at, item) in self.order.iter().enumerate() {
            self.place[*item] = at;
        }
        for _ in 0..ROUNDS {
            let mut saved = false;
            for from in 0..self.order.len() {
                saved |= self.exchange(from);
                saved |= self.turn(from);
            }
            if !saved {
                break;
            }
        }
    }

    /// What it costs to come to the item at `to` from the one at `from`, the place before it in the order to be; the place
    /// before the first is the start, and nothing comes after the last.
    fn step(&self, from: Option<usize>, to: usize) -> u64 {
        match (from, self.order.get(to)) {
            (_, None) => 0,
            (None, Some(item)) => (self.tour.start)(*item),
            (Some(from), Some(item)) => (self.tour.step)(self.order[from], *item),
        }
    }

    /// Whether the item at `at` must come after one that stands from `from` up to `to`, which is left out.
    fn is_held(&self, at: usize, from: usize, to: usize) -> bool {
        let earlier = self.earlier[self.order[at]].iter();
        earlier
            .map(|item| self.place[*item])
            .any(|place| from <= place && place < to)
    }

    fn settle(&mut self, from: usize, to: usize) {
        for at in from..to {
            self.place[self.order[at]] = at;
        }
    }

    /// Exchanges the stretch that begins at `from` with the one behind it, where that saves something.
    fn exchange(&mut self, from: usize) -> bool {
        let count = self.order.len();
        let small = count <= SMALL;
        let before = from.checked_sub(1);
        let most = if small { count } else { from + REACH };
        for middle in from + 1..count.min(most) {
            let long = middle - from > STRETCH;
            let end = match (small, long) {
                (true, _) => count,
                (false, true) => count.min(middle + STRETCH),
                (false, false) => count.min(middle + REACH),
            };
            for to in middle + 1..=end {
                if self.is_held(to - 1, from, middle) {
                    break;
                }
                let was = [
                    self.step(before, from),
                    self.step(Some(middle - 1), middle),
                    self.step(Some(to - 1), to),
                ];
                let now = [
                    self.step(before, middle),
                    self.step(Some(to - 1), from),
                    self.step(Some(middle - 1), to),
                ];
                if sum(now) < sum(was) {
                    self.order[from..to].rotate_left(middle - from);
                    self.settle(from, to);
                    return true;
                }
            }
        }
        false
    }

    /// Turns a stretch that begins at `from` round, where that saves something.
    fn turn(&mut self, from: usize) -> bool {
        let count = self.order.len();
        let before = from.checked_sub(1);
        let reach = if count <= SMALL { count } else { REACH };
        let (mut there, mut back) = (0u64, 0u64);
        for to in from + 2..=count.min(from + reach) {
            if self.is_held(to - 1, from, to - 1) {
                break;
            }
            there = there.saturating_add(self.step(Some(to - 2), to - 1));
            back = back.saturating_add(self.step(Some(to - 1), to - 2));
            let was = [self.step(before, from), there, self.step(Some(to - 1), to)];
            let now = [self.step(before, to - 1), back, self.step(Some(from), to)];
            if sum(now) < sum(was) {
                self.order[from..to].reverse();
                self.settle(from, to);
                return true;
            }
        }
        false
    }
}

fn sum(costs: [u64; 3]) -> u64 {
    costs.into_iter().fold(0, u64::saturating_add)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(places: &[u64]) -> impl Fn(usize, usize) -> u64 + '_ {
        |a, b| places[a].abs_diff(places[b])
    }

    #[test]
    fn without_distances_the_order_is_the_items_own_as_far_as_it_may_be() {
        let zero = |_: usize, _: usize| 0;
        for count in [1, 2, 9, 12, 200] {
            let mut tour = Tour {
                count,
                start: &|_| 0,
                step: &zero,
                before: &[],
            };
            assert_eq!(tour.order(), Vec::from_iter(0..count));
            if count > 2 {
                let before = [(count - 1, 0)];
                tour.before = &before;
                let mut expected = Vec::from_iter(1..count);
                expected.push(0);
                assert_eq!(tour.order(), expected);
            }
        }
    }

    #[test]
    fn along_a_line_one_goes_to_the_near_end_first() {
        let places = [50, 10, 40, 30, 20];
        let tour = Tour {
            count: 5,
            start: &|item| places[item],
            step: &line(&places),
            before: &[],
        };
        assert_eq!(tour.order(), [1, 4, 3, 2, 0]);
        let tour = Tour {
            before: &[(0, 1)],
            ..tour
        };
        // Item 1 at 10 must wait for item 0 at 50: out and back.
        assert_eq!(tour.length(&tour.order()), 50 + 40);
    }

    #[test]
    fn precedences_in_a_circle_are_no_fault() {
        for count in [3, 30] {
            let tour = Tour {
                count,
                start: &|_| 0,
                step: &|_, _| 1,
                before: &[(0, 1), (1, 0)],
            };
            let mut order = tour.order();
            order.sort_unstable();
            assert_eq!(order, Vec::from_iter(0..count));
        }
    }
}
