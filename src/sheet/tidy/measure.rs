//! What the courses of an island's wires cost once its cards have places: crossings, wires that lie on each other, length.
//!
//! Pixels from the island's top left corner. Courses are those of the board (`route`), kept from one measurement to the
//! next where neither a wire's ends nor a card near it has moved. It places nothing.

use super::graph::{Edge, Graph};
use crate::book::Side;
use crate::sheet::area::Box;
use crate::sheet::card;
use crate::sheet::grid::hits;
use crate::sheet::route::{Ask, long, route};

/// A wire's number in the plan, and a place to lead it through.
pub type Bend = (usize, (f64, f64));

/// What one crossing costs, in pixels of wire.
const CROSSING: f64 = 1000.0;

/// The measure of one island.
pub struct Measure<'a> {
    graph: &'a Graph,
    known: Vec<Known>,
}

/// A course, and all that it hangs on.
#[derive(Clone, Default)]
struct Known {
    from: (f64, f64),
    to: (f64, f64),
    bends: Vec<(f64, f64)>,
    near: Vec<Box>,
    course: Vec<(f64, f64)>,
}

impl<'a> Measure<'a> {
    /// Nothing is measured yet.
    pub fn new(graph: &'a Graph) -> Measure<'a> {
        Measure {
            graph,
            known: vec![Known::default(); graph.wires.len()],
        }
    }

    /// What cards at these places cost, with wires led through these bends.
    pub fn cost(&mut self, places: &[(f64, f64)], bends: &[Bend]) -> f64 {
        let cards: Vec<Box> = (places.iter().zip(&self.graph.tall))
            .map(|((x, y), tall)| Box {
                x: *x,
                y: *y,
                w: card::WIDTH,
                h: *tall,
            })
            .collect();
        for (edge, known) in self.graph.wires.iter().zip(&mut self.known) {
            known.lead(edge, places, bends, &cards);
        }
        let mut cost = 0.0;
        for (i, a) in self.known.iter().enumerate() {
            let meets: usize = self.known[..i]
                .iter()
                .map(|b| meetings(&a.course, &b.course))
                .sum();
            cost += CROSSING * meets as f64 + long(&a.course);
        }
        cost
    }
}

impl Known {
    /// Finds the course where something that it hangs on has changed.
    fn lead(&mut self, edge: &Edge, places: &[(f64, f64)], bends: &[Bend], cards: &[Box]) {
        let at = |card: usize, (x, y): (f64, f64)| (places[card].0 + x, places[card].1 + y);
        let bends = bends.iter().filter(|(wire, _)| *wire == edge.wire);
        let mut now = Known {
            from: at(edge.from, (card::WIDTH, edge.from_y)),
            to: at(edge.to, edge.to_at),
            bends: bends.map(|(_, at)| *at).collect(),
            ..Known::default()
        };
        let side = if edge.is_signal {
            Side::Signal
        } else {
            Side::In
        };
        let area = now.ask(side, &[]).area();
        let corner = (area.x + area.w, area.y + area.h);
        let near = cards
            .iter()
            .filter(|card| hits((area.x, area.y), corner, card));
        now.near = near.copied().collect();
        if now.from != self.from
            || now.to != self.to
            || now.bends != self.bends
            || now.near != self.near
        {
            now.course = route(&now.ask(side, &now.near), edge.lane);
            *self = now;
        }
    }

    fn ask<'a>(&'a self, to_side: Side, avoid: &'a [Box]) -> Ask<'a> {
        Ask {
            from: self.from,
            to: self.to,
            to_side,
            bends: &self.bends,
            avoid,
        }
    }
}

/// How often two courses cross or lie on each other.
fn meetings(a: &[(f64, f64)], b: &[(f64, f64)]) -> usize {
    let pairs = a.windows(2).flat_map(|p| b.windows(2).map(move |q| (p, q)));
    pairs.filter(|(p, q)| meet(p, q)).count()
}

/// Whether two straight pieces have more in common than an end of one of them.
fn meet(p: &[(f64, f64)], q: &[(f64, f64)]) -> bool {
    let span = |a: f64, b: f64| (a.min(b), a.max(b));
    let (px, py) = (span(p[0].0, p[1].0), span(p[0].1, p[1].1));
    let (qx, qy) = (span(q[0].0, q[1].0), span(q[0].1, q[1].1));
    let both = |a: (f64, f64), b: (f64, f64)| a.0 < b.1 && b.0 < a.1;
    match (py.0 == py.1, qy.0 == qy.1) {
        (true, true) => py.0 == qy.0 && both(px, qx),
        (false, false) => px.0 == qx.0 && both(py, qy),
        _ => both(px, qx) && both(py, qy),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crossings_and_wires_on_each_other_are_counted_and_ends_that_touch_are_not() {
        let level = [(0.0, 8.0), (100.0, 8.0)];
        let upright = |x: f64| [(x, 0.0), (x, 40.0)];
        assert_eq!(meetings(&level, &upright(50.0)), 1);
        assert_eq!(meetings(&level, &upright(100.0)), 0);
        assert_eq!(meetings(&level, &[(40.0, 8.0), (60.0, 8.0)]), 1);
        assert_eq!(meetings(&level, &[(100.0, 8.0), (160.0, 8.0)]), 0);
        assert_eq!(meetings(&level, &[(40.0, 16.0), (60.0, 16.0)]), 0);
    }
}
