//! The shortest way at right angles between two points past boxes: A* over the sparse grid of the boxes' edges.
//!
//! Pixels of the board. Length and bends cost; lying on a box costs so much that it happens only where nothing else is
//! left, and so there is always a way. The same question gives the same way.
//!
//! Why not the crate `pathfinding`: its `astar` 4.16, asked the same, keeps what it has seen in a hashed map and not in a
//! list by place. Natively it needed 119 to 146 ms for all courses of the benchmark's board where this needs 88 to 112,
//! and 5.2 to 5.5 ms for one moved card where this needs 3.6 to 3.8; of ways that cost the same it also takes others.

use super::area::Box;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Right, down, left, up.
const WAYS: [(i32, i32); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];
/// The number of the way to the right.
pub(super) const RIGHT: usize = 0;
/// The number of the way up.
pub(super) const UP: usize = 3;

/// What a bend costs, in pixels of length.
const BEND: u64 = 48;
/// What lying on a box costs, in pixels of length, beside the length on it.
const ON_BOX: u64 = 4000;

/// One question.
pub(super) struct Search<'a> {
    pub start: (f64, f64),
    /// The way in which it arrives at the start.
    pub heading: usize,
    pub goal: (f64, f64),
    /// The way in which it goes on from the goal, if that is given.
    pub leaving: Option<usize>,
    /// Boxes with their clearance; the first 32 count.
    pub boxes: &'a [Box],
    /// How far from a box's clearance a way is led past it.
    pub past: f64,
}

/// Whether the straight piece from `a` to `b` goes through the inside of `b`.
pub(super) fn hits(a: (f64, f64), b: (f64, f64), area: &Box) -> bool {
    let (left, right) = (a.0.min(b.0), a.0.max(b.0));
    let (top, bottom) = (a.1.min(b.1), a.1.max(b.1));
    left < area.x + area.w && right > area.x && top < area.y + area.h && bottom > area.y
}

/// The way's corners from start to goal, both included, and the way in which it arrives.
pub(super) fn search(ask: &Search) -> (Vec<(f64, f64)>, usize) {
    let (xs, ys) = lines(ask);
    let at = |list: &[f64], v: f64| list.iter().position(|x| *x == v).unwrap_or(0);
    let (width, height) = (xs.len(), ys.len());
    let (across, down) = (
        Line::new(&xs, ask.boxes, |b| (b.x, b.x + b.w)),
        Line::new(&ys, ask.boxes, |b| (b.y, b.y + b.h)),
    );
    let node = |x: usize, y: usize| y * width + x;
    let start = node(at(&xs, ask.start.0), at(&ys, ask.start.1)) * 4 + ask.heading;
    let goal = node(at(&xs, ask.goal.0), at(&ys, ask.goal.1));
    let point = |state: usize| (xs[state / 4 % width], ys[state / 4 / width]);
    let rest = |state: usize| {
        let (x, y) = point(state);
        ((x - ask.goal.0).abs() + (y - ask.goal.1).abs()) as u64
    };

    let mut best = vec![u64::MAX; width * height * 4];
    let mut from = vec![usize::MAX; width * height * 4];
    let mut open = BinaryHeap::new();
    best[start] = 0;
    open.push(Reverse((rest(start), start)));
    // The cheapest arrival so far, the turn into the way of leaving counted in.
    let mut arrived: Option<(u64, usize)> = None;
    while let Some(Reverse((guess, state))) = open.pop() {
        if arrived.is_some_and(|(cost, _)| cost <= guess) {
            break;
        }
        let cost = best[state];
        if guess > cost.saturating_add(rest(state)) {
            continue;
        }
        let (x, y, way) = (state / 4 % width, state / 4 / width, state % 4);
        if state / 4 == goal
            && let Some(turn) = ask.leaving.map_or(Some(0), |next| turning(way, next))
            && arrived.is_none_or(|(least, _)| cost + turn < least)
        {
            arrived = Some((cost + turn, state));
        }
        for (next, (dx, dy)) in WAYS.iter().enumerate() {
            let Some(turn) = turning(way, next) else {
                continue;
            };
            let (Some(nx), Some(ny)) = (
                x.checked_add_signed(*dx as isize).filter(|n| *n < width),
                y.checked_add_signed(*dy as isize).filter(|n| *n < height),
            ) else {
                continue;
            };
            let to = node(nx, ny) * 4 + next;
            let (a, b) = ((xs[x], ys[y]), (xs[nx], ys[ny]));
            let long = ((a.0 - b.0).abs() + (a.1 - b.1).abs()) as u64;
            let met = if ny == y {
                across.pieces[x.min(nx)] & down.points[y]
            } else {
                across.points[x] & down.pieces[y.min(ny)]
            };
            let left = across.points[x] & down.points[y];
            let mut step = long + long * 8 * u64::from(met.count_ones());
            if met & !left != 0 {
                step += ON_BOX;
            }
            let total = cost + turn + step;
            if total < best[to] {
                best[to] = total;
                from[to] = state;
                open.push(Reverse((total + rest(to), to)));
            }
        }
    }
    let Some((_, mut state)) = arrived else {
        return (vec![ask.start, ask.goal], ask.heading);
    };
    let arriving = state % 4;
    let mut way = vec![point(state)];
    while from[state] != usize::MAX {
        state = from[state];
        way.push(point(state));
    }
    way.reverse();
    (way, arriving)
}

/// Which boxes lie where along one axis, a bit for each box, so that a piece of the grid is compared with all at once.
struct Line {
    /// The boxes with a coordinate in their inside.
    points: Vec<u32>,
    /// The boxes whose inside meets the piece from a coordinate to the next.
    pieces: Vec<u32>,
}

impl Line {
    fn new(at: &[f64], boxes: &[Box], extent: impl Fn(&Box) -> (f64, f64)) -> Line {
        let meeting = |low: f64, high: f64| {
            let bits = boxes.iter().take(32).enumerate();
            bits.fold(0, |mask, (bit, area)| {
                let (first, last) = extent(area);
                mask | (u32::from(low < last && high > first) << bit)
            })
        };
        Line {
            points: at.iter().map(|v| meeting(*v, *v)).collect(),
            pieces: at.windows(2).map(|v| meeting(v[0], v[1])).collect(),
        }
    }
}

/// What turning from one way to another costs; `None` for turning back.
fn turning(from: usize, to: usize) -> Option<u64> {
    match (from + 4 - to) % 4 {
        0 => Some(0),
        2 => None,
        _ => Some(BEND),
    }
}

/// The grid's upright and level lines, in order.
fn lines(ask: &Search) -> (Vec<f64>, Vec<f64>) {
    let off = 16.0 + ask.past;
    let middle = |a: f64, b: f64| ((a + b) / 16.0).round() * 8.0;
    let mut xs = vec![ask.start.0, ask.goal.0, middle(ask.start.0, ask.goal.0)];
    let mut ys = vec![ask.start.1, ask.goal.1, middle(ask.start.1, ask.goal.1)];
    for (x, y) in [ask.start, ask.goal] {
        xs.extend([x - off, x + off]);
        ys.extend([y - off, y + off]);
    }
    for area in ask.boxes {
        xs.extend([area.x - ask.past, area.x + area.w + ask.past]);
        ys.extend([area.y - ask.past, area.y + area.h + ask.past]);
    }
    for list in [&mut xs, &mut ys] {
        list.sort_by(f64::total_cmp);
        list.dedup();
    }
    (xs, ys)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// What one piece of the grid costs by definition: its length, eight times more for each box that it goes through, and
    /// more still for coming onto one.
    fn step(a: (f64, f64), b: (f64, f64), boxes: &[Box]) -> u64 {
        let long = ((a.0 - b.0).abs() + (a.1 - b.1).abs()) as u64;
        let met: Vec<&Box> = boxes.iter().filter(|area| hits(a, b, area)).collect();
        let comes_on = met.iter().any(|area| !hits(a, a, area));
        long + long * 8 * met.len() as u64 + if comes_on { ON_BOX } else { 0 }
    }

    /// The way from one point of the grid to the next.
    fn heading(a: (f64, f64), b: (f64, f64)) -> usize {
        let sign = |x: f64| if x == 0.0 { 0 } else { x.signum() as i32 };
        let way = (sign(b.0 - a.0), sign(b.1 - a.1));
        WAYS.iter()
            .position(|w| *w == way)
            .expect("one of four ways")
    }

    fn turn(from: usize, to: Option<usize>) -> Option<u64> {
        to.map_or(Some(0), |to| turning(from, to))
    }

    /// What a way costs; `None` where it turns back.
    fn cost(ask: &Search, way: &[(f64, f64)]) -> Option<u64> {
        let (mut sum, mut now) = (0, ask.heading);
        for pair in way.windows(2) {
            let next = heading(pair[0], pair[1]);
            sum += turning(now, next)? + step(pair[0], pair[1], ask.boxes);
            now = next;
        }
        Some(sum + turn(now, ask.leaving)?)
    }

    /// The least cost of any way, found by going over the whole grid until nothing gets better.
    fn least(ask: &Search) -> Option<u64> {
        let (xs, ys) = lines(ask);
        let at = |list: &[f64], v: f64| list.iter().position(|x| *x == v).expect("a line");
        let state = |x: usize, y: usize, way: usize| (y * xs.len() + x) * 4 + way;
        let mut best = vec![None; xs.len() * ys.len() * 4];
        let (x, y) = (at(&xs, ask.start.0), at(&ys, ask.start.1));
        best[state(x, y, ask.heading)] = Some(0u64);
        let mut goes_on = true;
        while std::mem::take(&mut goes_on) {
            for (x, y, way) in (0..xs.len())
                .flat_map(|x| (0..ys.len()).flat_map(move |y| (0..4).map(move |way| (x, y, way))))
            {
                let Some(cost) = best[state(x, y, way)] else {
                    continue;
                };
                for (next, (dx, dy)) in WAYS.iter().enumerate() {
                    let to = (
                        x.checked_add_signed(*dx as isize),
                        y.checked_add_signed(*dy as isize),
                    );
                    let (Some(nx), Some(ny), Some(turn)) = (to.0, to.1, turning(way, next)) else {
                        continue;
                    };
                    let (Some(bx), Some(by)) = (xs.get(nx), ys.get(ny)) else {
                        continue;
                    };
                    let total = cost + turn + step((xs[x], ys[y]), (*bx, *by), ask.boxes);
                    let known = &mut best[state(nx, ny, next)];
                    if known.is_none_or(|known| total < known) {
                        *known = Some(total);
                        goes_on = true;
                    }
                }
            }
        }
        let (x, y) = (at(&xs, ask.goal.0), at(&ys, ask.goal.1));
        let arrived =
            (0..4).filter_map(|way| Some(best[state(x, y, way)]? + turn(way, ask.leaving)?));
        arrived.min()
    }

    fn place(most: i32) -> impl Strategy<Value = (f64, f64)> {
        (0..most, 0..most).prop_map(|(x, y)| (f64::from(x) * 8.0, f64::from(y) * 8.0))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_way_over_the_grid_costs_less(
            start in place(40),
            goal in place(40),
            heading in 0usize..4,
            leaving in proptest::option::of(0usize..4),
            cards in proptest::collection::vec((place(40), (1..12i32, 1..12i32)), 0..5),
        ) {
            prop_assume!(start != goal);
            let area = |((x, y), (w, h)): ((f64, f64), (i32, i32))| Box {
                x,
                y,
                w: f64::from(w) * 8.0,
                h: f64::from(h) * 8.0,
            };
            let boxes: Vec<Box> = cards.into_iter().map(area).collect();
            let ask = Search { start, heading, goal, leaving, boxes: &boxes, past: 8.0 };
            let (way, arriving) = search(&ask);
            prop_assert_eq!((way[0], way[way.len() - 1]), (start, goal));
            let last = way.len() - 2;
            prop_assert_eq!(arriving, self::heading(way[last], way[last + 1]));
            prop_assert_eq!(cost(&ask, &way), least(&ask), "{:?}", way);
        }
    }
}
