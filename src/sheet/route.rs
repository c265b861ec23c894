//! The course of a wire on the board: right angles only, clear of cards where that can be done.
//!
//! Pixels of the board, y downwards. A wire leaves an output to the right, enters an input from the left and a signal port
//! from below. The simple courses are tried first; only where a card is in their way is one searched for. The same
//! question always gives the same course. Nothing here fails: where there is no clear course, the wire lies on a card.

pub use super::area::Box;

use super::grid::{self, RIGHT, Search, UP, hits};
use crate::book::Side;
use std::fmt::Write;

/// How far a wire goes straight on from a port.
const STUB: f64 = 16.0;
/// How far a wire keeps from cards.
const CLEAR: f64 = 8.0;
/// How far around a wire's ends and bends cards are looked at.
const ROUND: f64 = 240.0;
/// From lane to lane.
const LANE: f64 = 8.0;
/// The cards that one search looks at, at the most; keeps a crowded board quick.
const MOST_BOXES: usize = 16;

/// What a wire's course hangs on.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// The output port.
    pub from: (f64, f64),
    /// The input or signal port.
    pub to: (f64, f64),
    /// On which side of its card `to` stands.
    pub to_side: Side,
    /// Places through which it is led by hand, in order.
    pub bends: &'a [(f64, f64)],
    /// The cards to keep clear of, its own two among them.
    pub avoid: &'a [Box],
}

impl Ask<'_> {
    /// The wire's ends off its ports, and the way in which it enters the last piece.
    fn stubs(&self) -> ((f64, f64), (f64, f64), usize) {
        let start = (self.from.0 + STUB, self.from.1);
        match self.to_side {
            Side::Signal => (start, (self.to.0, self.to.1 + STUB), UP),
            Side::In | Side::Out => (start, (self.to.0 - STUB, self.to.1), RIGHT),
        }
    }

    /// The corners of the area whose cards the course hangs on.
    fn corners(&self) -> ((f64, f64), (f64, f64)) {
        let (start, goal, _) = self.stubs();
        let (mut low, mut high) = (start, start);
        for (x, y) in self.bends.iter().chain([&goal]) {
            low = (low.0.min(*x), low.1.min(*y));
            high = (high.0.max(*x), high.1.max(*y));
        }
        (
            (low.0 - ROUND, low.1 - ROUND),
            (high.0 + ROUND, high.1 + ROUND),
        )
    }

    /// The area whose cards the course hangs on; a card that does not touch it changes nothing.
    pub fn area(&self) -> Box {
        let (low, high) = self.corners();
        // A pixel more on each side makes up for rounding.
        Box {
            x: low.0 - 1.0,
            y: low.1 - 1.0,
            w: high.0 - low.0 + 2.0,
            h: high.1 - low.1 + 2.0,
        }
    }
}

/// The corners of the course, both ports included; at least two. `lane` shifts the middle piece by so many times 8 px, so
/// that parallel wires don't lie on each other.
pub fn route(ask: &Ask, lane: i32) -> Vec<(f64, f64)> {
    let (start, goal, leaving) = ask.stubs();
    let near = near(ask);
    let mut points = vec![ask.from];
    let plain = ask.bends.is_empty();
    match plain
        .then(|| simple(start, goal, leaving, lane, &near))
        .flatten()
    {
        Some(middle) => points.extend(middle),
        None => {
            let (mut here, mut heading) = (start, RIGHT);
            points.push(start);
            for bend in ask.bends {
                heading = leg(&mut points, (here, heading), (*bend, None), lane, &near);
                here = *bend;
            }
            leg(
                &mut points,
                (here, heading),
                (goal, Some(leaving)),
                lane,
                &near,
            );
        }
    }
    points.push(ask.to);
    straighten(points)
}

/// Cards, with their clearance, around which the wire might have to go.
fn near(ask: &Ask) -> Vec<Box> {
    let wide = |b: &Box| Box {
        x: b.x - CLEAR,
        y: b.y - CLEAR,
        w: b.w + 2.0 * CLEAR,
        h: b.h + 2.0 * CLEAR,
    };
    let (low, high) = ask.corners();
    let is_near = |b: &&Box| hits(low, high, b);
    ask.avoid.iter().filter(is_near).map(wide).collect()
}

/// A course of at most five pieces, if a clear one is among those that come to mind first.
fn simple(
    start: (f64, f64),
    goal: (f64, f64),
    leaving: usize,
    lane: i32,
    near: &[Box],
) -> Option<Vec<(f64, f64)>> {
    // Of the wires of one card the upper ones turn first where they lead up, and last where they lead down.
    let up = leaving != UP && goal.0 >= start.0 && goal.1 < start.1;
    let shift = f64::from(if up { -lane } else { lane }) * LANE;
    let snap = |v: f64| (v / 8.0).round() * 8.0 + shift;
    let (middle_x, middle_y) = (
        snap((start.0 + goal.0) / 2.0),
        snap((start.1 + goal.1) / 2.0),
    );
    let mut tries: Vec<Vec<(f64, f64)>> = Vec::with_capacity(6);
    if leaving == UP {
        if goal.0 >= start.0 && goal.1 >= start.1 {
            tries.push(vec![
                start,
                (start.0, goal.1 + shift.max(0.0)),
                (goal.0, goal.1 + shift.max(0.0)),
            ]);
        }
        let out = start.0 + shift.abs();
        // Leading back to the left at the port's own height would lie on the wire itself.
        let least = if goal.0 <= out {
            start.1 + STUB
        } else {
            start.1
        };
        let below = least.max(goal.1) + shift.abs();
        tries.push(vec![start, (out, start.1), (out, below), (goal.0, below)]);
        if goal.0 > start.0 && start.1 > goal.1 {
            tries.insert(0, vec![start, (goal.0, start.1)]);
        }
    } else if goal.0 >= start.0 {
        if start.1 == goal.1 {
            tries.push(vec![start, goal]);
        }
        let kept = middle_x.clamp(start.0, goal.0);
        for x in [kept, start.0, goal.0] {
            tries.push(vec![start, (x, start.1), (x, goal.1), goal]);
        }
    } else if middle_y != start.1 && middle_y != goal.1 {
        let (out, back) = (start.0 + shift.abs(), goal.0 - shift.abs());
        tries.push(vec![
            start,
            (out, start.1),
            (out, middle_y),
            (back, middle_y),
            (back, goal.1),
            goal,
        ]);
    }
    tries.into_iter().find(|points| {
        points
            .windows(2)
            .all(|p| !near.iter().any(|b| hits(p[0], p[1], b)))
    })
}

/// Searches one leg and appends its corners; returns the way in which it arrives.
fn leg(
    points: &mut Vec<(f64, f64)>,
    (start, heading): ((f64, f64), usize),
    (goal, leaving): ((f64, f64), Option<usize>),
    lane: i32,
    near: &[Box],
) -> usize {
    // A few cards are in the way of most wires: start with those and take in what the course then meets.
    let direct = [start, (goal.0, start.1), goal, (start.0, goal.1), start];
    let is_met = |pieces: &[(f64, f64)], b: &Box| pieces.windows(2).any(|p| hits(p[0], p[1], b));
    let mut met: Vec<usize> = Vec::new();
    let take_in = |met: &mut Vec<usize>, pieces: &[(f64, f64)]| {
        let before = met.len();
        for (i, b) in near.iter().enumerate() {
            if met.len() < MOST_BOXES && !met.contains(&i) && is_met(pieces, b) {
                met.push(i);
            }
        }
        met.len() > before
    };
    take_in(&mut met, &direct);
    loop {
        let boxes: Vec<Box> = met.iter().map(|i| near[*i]).collect();
        let (way, arriving) = grid::search(&Search {
            start,
            heading,
            goal,
            leaving,
            boxes: &boxes,
            past: LANE * f64::from(lane.unsigned_abs() % 4),
        });
        if !take_in(&mut met, &way) {
            points.extend(way);
            return arriving;
        }
    }
}

/// Leaves out points that are no corners.
fn straighten(points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    for p in points {
        if kept.last() == Some(&p) {
            continue;
        }
        if let [.., a, b] = kept[..]
            && ((a.0 == b.0 && b.0 == p.0) || (a.1 == b.1 && b.1 == p.1))
        {
            kept.pop();
        }
        if kept.last() != Some(&p) {
            kept.push(p);
        }
    }
    if let [only] = kept[..] {
        kept.push(only);
    }
    kept
}

/// SVG path data of the course with corners rounded by `radius` px, less where a piece is short.
pub fn path(points: &[(f64, f64)], radius: f64) -> String {
    let mut d = String::new();
    let Some(first) = points.first() else {
        return d;
    };
    let say = |d: &mut String, sign: char, (x, y): (f64, f64)| {
        // Writing to a string can't fail.
        let _ = write!(d, "{sign}{} {}", tidy(x), tidy(y));
    };
    say(&mut d, 'M', *first);
    for i in 1..points.len() {
        let (a, b) = (points[i - 1], points[i]);
        let next = points.get(i + 1);
        let round = next.map_or(0.0, |c| {
            radius.min(length(a, b) / 2.0).min(length(b, *c) / 2.0)
        });
        say(&mut d, 'L', toward(b, a, round));
        if let (Some(c), true) = (next, round > 0.0) {
            let (corner, out) = (b, toward(b, *c, round));
            say(&mut d, 'Q', corner);
            say(&mut d, ' ', out);
        }
    }
    d
}

/// Where a wire's label sits: the middle of the longest level piece or, where no level piece is 48 px long, of the longest
/// piece at all; and whether that piece is level. The origin for an empty course.
pub fn label_place(points: &[(f64, f64)]) -> (f64, f64, bool) {
    let mut best: Option<(f64, f64, f64, bool)> = None;
    for p in points.windows(2) {
        let level = p[0].1 == p[1].1;
        let long = length(p[0], p[1]);
        // A level piece that has room for the label goes before any upright one.
        let rank = if level && long >= 48.0 {
            long + 1e9
        } else {
            long
        };
        if best.is_none_or(|(most, ..)| rank > most) {
            best = Some((
                rank,
                (p[0].0 + p[1].0) / 2.0,
                (p[0].1 + p[1].1) / 2.0,
                level,
            ));
        }
    }
    best.map_or((0.0, 0.0, true), |(_, x, y, level)| (x, y, level))
}

/// Where a label of this width sits: at [`label_place`], but off the two ports, which must stay within reach.
pub fn label_off_ports(points: &[(f64, f64)], wide: f64) -> (f64, f64) {
    let (x, y, _) = label_place(points);
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return (x, y);
    };
    let (least, most) = (first.0 + CLEAR + wide / 2.0, last.0 - CLEAR - wide / 2.0);
    let (at_first, at_last) = (y == first.1, y == last.1);
    match (at_first, at_last) {
        (true, true) if least > most => (x, y),
        (true, _) if x < least && x > first.0 => (least, y),
        (_, true) if x > most && x < last.0 => (most, y),
        _ => (x, y),
    }
}

/// The length of a course along its pieces.
pub fn long(points: &[(f64, f64)]) -> f64 {
    points.windows(2).map(|p| length(p[0], p[1])).sum()
}

fn length(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// The point `far` px from `a` on the way to `b`.
fn toward(a: (f64, f64), b: (f64, f64), far: f64) -> (f64, f64) {
    let long = length(a, b);
    if long == 0.0 {
        return a;
    }
    let share = far / long;
    (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share)
}

/// A coordinate to a hundredth, so that path data stay short.
fn tidy(v: f64) -> f64 {
    let v = (v * 100.0).round() / 100.0;
    if v == 0.0 { 0.0 } else { v }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ask<'a>(from: (f64, f64), to: (f64, f64), avoid: &'a [Box]) -> Ask<'a> {
        Ask {
            from,
            to,
            to_side: Side::In,
            bends: &[],
            avoid,
        }
    }

    fn card(x: f64, y: f64) -> Box {
        Box {
            x,
            y,
            w: 176.0,
            h: 64.0,
        }
    }

    /// Right angles, out to the right, in from the left or from below.
    fn check(points: &[(f64, f64)], side: Side) {
        assert!(points.len() >= 2);
        for p in points.windows(2) {
            let (level, upright) = (p[0].1 == p[1].1, p[0].0 == p[1].0);
            assert!(level != upright, "{points:?}");
        }
        for p in points.windows(3) {
            let turns = (p[0].0 == p[1].0) != (p[1].0 == p[2].0);
            assert!(turns, "no corner at {:?} in {points:?}", p[1]);
        }
        let last = points.len() - 1;
        assert!(points[1].0 > points[0].0, "{points:?}");
        match side {
            Side::Signal => assert!(points[last - 1].1 > points[last].1, "{points:?}"),
            _ => assert!(points[last - 1].0 < points[last].0, "{points:?}"),
        }
    }

    fn is_clear(points: &[(f64, f64)], boxes: &[Box]) -> bool {
        points
            .windows(2)
            .all(|p| !boxes.iter().any(|b| hits(p[0], p[1], b)))
    }

    /// Whether `p` lies on the straight piece from `a` to `b`.
    fn between(a: (f64, f64), b: (f64, f64), p: (f64, f64)) -> bool {
        (length(a, p) + length(p, b) - length(a, b)).abs() < 1e-6
    }

    #[test]
    fn ports_at_one_height_are_joined_straight() {
        let points = route(&ask((0.0, 32.0), (100.0, 32.0), &[]), 0);
        assert_eq!(points, vec![(0.0, 32.0), (100.0, 32.0)]);
    }

    #[test]
    fn a_wire_forward_has_one_step_and_lanes_lie_apart() {
        let a = route(&ask((0.0, 0.0), (160.0, 80.0), &[]), 0);
        let b = route(&ask((0.0, 0.0), (160.0, 80.0), &[]), 1);
        assert_eq!(
            a,
            vec![(0.0, 0.0), (80.0, 0.0), (80.0, 80.0), (160.0, 80.0)]
        );
        assert_eq!(b[1].0, 88.0);
    }

    #[test]
    fn a_card_in_the_way_is_gone_around() {
        let boxes = [
            card(0.0, 0.0),
            card(240.0, 0.0),
            card(480.0, 0.0),
            card(240.0, 80.0),
        ];
        let points = route(&ask((176.0, 32.0), (480.0, 32.0), &boxes), 0);
        check(&points, Side::In);
        assert!(is_clear(&points, &boxes), "{points:?}");
    }

    #[test]
    fn a_wire_back_to_the_left_goes_around_its_own_cards() {
        let boxes = [card(0.0, 0.0), card(300.0, 0.0)];
        for lane in -3..=3 {
            let points = route(&ask((476.0, 32.0), (0.0, 32.0), &boxes), lane);
            check(&points, Side::In);
            assert!(is_clear(&points, &boxes), "{points:?}");
        }
    }

    #[test]
    fn a_part_may_be_wired_to_itself() {
        let boxes = [card(0.0, 0.0)];
        let points = route(&ask((176.0, 32.0), (0.0, 32.0), &boxes), 0);
        check(&points, Side::In);
        assert!(is_clear(&points, &boxes), "{points:?}");
    }

    #[test]
    fn a_signal_is_entered_from_below() {
        let boxes = [card(0.0, 0.0), card(300.0, 40.0)];
        for from_y in [32.0, 200.0, -200.0] {
            let question = Ask {
                from: (176.0, from_y),
                to: (388.0, 104.0),
                to_side: Side::Signal,
                bends: &[],
                avoid: &boxes,
            };
            let points = route(&question, 0);
            check(&points, Side::Signal);
            assert!(is_clear(&points, &boxes), "{points:?}");
        }
    }

    #[test]
    fn a_wire_goes_through_the_bends_given_by_hand() {
        let bends = [(60.0, 200.0), (300.0, 240.0)];
        let question = Ask {
            bends: &bends,
            ..ask((0.0, 0.0), (400.0, 0.0), &[])
        };
        let points = route(&question, 0);
        check(&points, Side::In);
        for bend in bends {
            assert!(
                points.windows(2).any(|p| between(p[0], p[1], bend)),
                "{points:?}"
            );
        }
    }

    #[test]
    fn whatever_is_asked_the_angles_are_right_and_the_ends_as_they_should_be() {
        // A fixed sequence of places stands for chance.
        let mut state = 12_345u32;
        let mut any = |most: u32| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from((state >> 8) % most) * 8.0
        };
        for round in 0..300 {
            let boxes: Vec<Box> = (0..round % 12).map(|_| card(any(100), any(100))).collect();
            let side = if round % 3 == 0 {
                Side::Signal
            } else {
                Side::In
            };
            let bends: Vec<(f64, f64)> = (0..round % 3).map(|_| (any(100), any(100))).collect();
            let question = Ask {
                from: (any(100), any(100)),
                to: (any(100), any(100)),
                to_side: side,
                bends: if round % 5 == 0 { &bends } else { &[] },
                avoid: &boxes,
            };
            let points = route(&question, round % 7 - 3);
            assert_eq!(points.first(), Some(&question.from));
            assert_eq!(points.last(), Some(&question.to));
            if question.from != question.to {
                check(&points, side);
            }
            assert_eq!(points, route(&question, round % 7 - 3));
        }
    }

    #[test]
    fn corners_are_rounded_and_short_pieces_less() {
        let points = [(0.0, 0.0), (40.0, 0.0), (40.0, 4.0), (80.0, 4.0)];
        assert_eq!(
            path(&points, 6.0),
            "M0 0L38 0Q40 0 40 2L40 2Q40 4 42 4L80 4"
        );
        assert_eq!(path(&[], 6.0), "");
    }

    #[test]
    fn a_label_keeps_off_the_ports() {
        let points = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (100.0, 20.0)];
        assert_eq!(label_off_ports(&points, 40.0), (30.0, 0.0));
        assert_eq!(label_off_ports(&points, 80.0), (48.0, 0.0));
        assert_eq!(label_off_ports(&[], 80.0), (0.0, 0.0));
        assert_eq!(long(&points), 120.0);
    }

    #[test]
    fn the_label_sits_on_the_longest_level_piece() {
        let points = [(0.0, 0.0), (60.0, 0.0), (60.0, 500.0), (100.0, 500.0)];
        assert_eq!(label_place(&points), (30.0, 0.0, true));
        assert_eq!(label_place(&points[1..]), (60.0, 250.0, false));
        assert_eq!(label_place(&[]), (0.0, 0.0, true));
    }
}
