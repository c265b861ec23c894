//! The shortest way at right angles between two points past boxes: A* over the sparse grid of the boxes' edges.
//!
//! Pixels of the board. Length and bends cost; lying on a box costs so much that it happens only where nothing else is
//! left, and so there is always a way. The same question gives the same way.

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
