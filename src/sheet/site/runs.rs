//! Runs of wires in a storey: the line of each, told apart by its number and by a lane of its own where several run side
//! by side; exposed stretches, bends by hand, and where a run leaves to another storey.

use super::places::{BOX, CELL, Point, wire_place};
use crate::plan::{Plan, WireId};
use crate::site::{Face, Heading, Leg, Route};
use crate::works::OnSite;

/// How far apart lanes are.
const LANE: f64 = 4.0;
/// The most lanes to one side; more lie on each other.
const MOST_LANES: i32 = 5;
/// How far from a wall a run goes round its end.
const ROUND: f64 = 4.0;

/// A stretch of a run on one storey.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its corners.
    pub points: Vec<Point>,
    /// Whether it is exposed.
    pub exposed: bool,
    /// The place that a bend made there has among the wire's bends.
    pub bend: usize,
}

/// Where a run leaves to another storey or comes from one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leaving {
    /// Where.
    pub at: Point,
    /// Whether the other storey is above.
    pub up: bool,
    /// Whether it is exposed there.
    pub exposed: bool,
}

/// A run as it is drawn on one storey.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnRun {
    /// The wire.
    pub wire: WireId,
    /// Its number in the cable schedule.
    pub number: usize,
    /// What of it is on the storey.
    pub pieces: Vec<Piece>,
    /// Where it leaves.
    pub leaves: Vec<Leaving>,
    /// The bends by hand on the storey, by their places among the wire's bends.
    pub bends: Vec<(usize, Point)>,
}

/// Every run that has something on a storey, in the plan's order.
pub fn runs(plan: &Plan, on_site: &OnSite, storey: u8) -> Vec<DrawnRun> {
    let run = |wire: &crate::plan::Wire| {
        let run = on_site.run_of(&wire.id)?;
        let route = run.route.as_ref()?;
        let mut drawn = DrawnRun {
            wire: wire.id.clone(),
            number: run.number,
            pieces: Vec::new(),
            leaves: Vec::new(),
            bends: Vec::new(),
        };
        for (at, face) in wire.via.iter().enumerate() {
            if face.storey == storey {
                drawn.bends.push((at, wire_place(*face)));
            }
        }
        let is_exposed = |face: Face| on_site.exposure().is_exposed(face);
        let lane = |step: usize| run.lane(step);
        trace(route, &wire.via, storey, &is_exposed, &lane, &mut drawn);
        (!drawn.pieces.is_empty() || !drawn.leaves.is_empty()).then_some(drawn)
    };
    plan.wires.iter().filter_map(run).collect()
}

fn trace(
    route: &Route,
    via: &[Face],
    storey: u8,
    is_exposed: &dyn Fn(Face) -> bool,
    lane: &dyn Fn(usize) -> i32,
    drawn: &mut DrawnRun,
) {
    let mut from = route.from;
    let mut passed = via.iter().take_while(|face| **face == from).count();
    for (step, leg) in route.legs.iter().enumerate() {
        match (from.storey == storey, leg.to.storey == storey) {
            (true, true) => {
                let line = beside(&course(from, leg), lane(step));
                halves(&line, from, leg, is_exposed, passed, drawn);
            }
            (true, false) => drawn.leaves.push(Leaving {
                at: beside_part(from, step == 0),
                up: leg.to.storey > storey,
                exposed: is_exposed(from),
            }),
            (false, true) => drawn.leaves.push(Leaving {
                at: beside_part(leg.to, step + 1 == route.legs.len()),
                up: from.storey > storey,
                exposed: is_exposed(leg.to),
            }),
            (false, false) => {}
        }
        from = leg.to;
        while via.get(passed) == Some(&from) {
            passed += 1;
        }
    }
}

/// Where a mark stands on a face: beside the part, where the run ends at one.
fn beside_part(face: Face, at_part: bool) -> Point {
    let (x, y) = wire_place(face);
    let by = if at_part { BOX / 2.0 + 8.0 } else { 0.0 };
    (x + by, y)
}

/// The corners of a step between two faces of a storey.
fn course(from: Face, leg: &Leg) -> Vec<Point> {
    let (a, b) = (wire_place(from), wire_place(leg.to));
    let across = |heading| matches!(heading, Heading::East | Heading::West);
    let upright = |heading| matches!(heading, Heading::Up | Heading::Down);
    let (out, back) = (leg.leaves, leg.arrives);
    if !upright(out) && !upright(back) && out != back && across(out) == across(back) {
        // Round the end of a wall and back on its other side.
        let edge =
            |n: f64, by: f64| (n / CELL).floor() * CELL + CELL / 2.0 + by * (CELL / 2.0 + ROUND);
        return match out {
            Heading::East => vec![a, (edge(a.0, 1.0), a.1), (edge(a.0, 1.0), b.1), b],
            Heading::West => vec![a, (edge(a.0, -1.0), a.1), (edge(a.0, -1.0), b.1), b],
            Heading::South => vec![a, (a.0, edge(a.1, 1.0)), (b.0, edge(a.1, 1.0)), b],
            _ => vec![a, (a.0, edge(a.1, -1.0)), (b.0, edge(a.1, -1.0)), b],
        };
    }
    if a.0 == b.0 || a.1 == b.1 {
        return vec![a, b];
    }
    let first_across = match upright(out) {
        false => across(out),
        true => !across(back),
    };
    let corner = if first_across { (b.0, a.1) } else { (a.0, b.1) };
    vec![a, corner, b]
}

/// The line moved to its lane: what goes across is moved down, what goes down is moved across.
fn beside(line: &[Point], lane: i32) -> Vec<Point> {
    let by = f64::from(lane.clamp(-MOST_LANES, MOST_LANES)) * LANE;
    if by == 0.0 {
        return line.to_vec();
    }
    let level = |a: Point, b: Point| a.1 == b.1;
    let moved = |at: usize| {
        let (x, y) = line[at];
        let sides = [
            at.checked_sub(1).map(|before| (before, at)),
            Some((at, at + 1)),
        ];
        let mut to = (x, y);
        for (a, b) in sides.into_iter().flatten() {
            let Some((a, b)) = line.get(a).zip(line.get(b)) else {
                continue;
            };
            match level(*a, *b) {
                true => to.1 = y + by,
                false => to.0 = x + by,
            }
        }
        to
    };
    (0..line.len()).map(moved).collect()
}

/// Adds a step, its half on the face that it leaves and its half on the one that it comes to.
fn halves(
    line: &[Point],
    from: Face,
    leg: &Leg,
    is_exposed: &dyn Fn(Face) -> bool,
    bend: usize,
    drawn: &mut DrawnRun,
) {
    let long: f64 = line.windows(2).map(|p| apart(p[0], p[1])).sum();
    let (a, b) = (is_exposed(from), is_exposed(leg.to));
    let (whole, share) = (leg.mm.0 + leg.mm.1, leg.mm.0);
    if a == b || long == 0.0 || whole == 0 {
        return add(line.to_vec(), a || b, bend, drawn);
    }
    let mut left = long * share as f64 / whole as f64;
    let mut first = vec![line[0]];
    let mut rest = line;
    while let [start, end, ..] = rest {
        let far = apart(*start, *end);
        if far >= left {
            let part = if far > 0.0 { left / far } else { 0.0 };
            let middle = (
                start.0 + (end.0 - start.0) * part,
                start.1 + (end.1 - start.1) * part,
            );
            first.push(middle);
            let second = std::iter::once(middle).chain(rest[1..].iter().copied());
            let second = second.collect();
            add(first, a, bend, drawn);
            return add(second, b, bend, drawn);
        }
        left -= far;
        first.push(*end);
        rest = &rest[1..];
    }
    add(first, a, bend, drawn);
}

/// Adds a stretch to the one before, where it goes on from it alike.
fn add(points: Vec<Point>, exposed: bool, bend: usize, drawn: &mut DrawnRun) {
    if let Some(last) = drawn.pieces.last_mut()
        && last.exposed == exposed
        && last.bend == bend
        && let (Some(end), Some(start)) = (last.points.last(), points.first())
        && apart(*end, *start) < CELL / 2.0
    {
        let joins = end == start;
        last.points
            .extend(points.into_iter().skip(usize::from(joins)));
        return;
    }
    drawn.pieces.push(Piece {
        points,
        exposed,
        bend,
    });
}

pub(super) fn apart(a: Point, b: Point) -> f64 {
    (a.0 - b.0).abs() + (a.1 - b.1).abs()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Edit, End, Part, PartId};
    use crate::site::{Surface, ready_site};

    /// A panel on the hut's roof, wired twice to a divider and a tap on its inner walls.
    fn wired() -> Plan {
        let mut plan = Plan::empty();
        let mut edits = vec![Edit::Site(ready_site("Hut").map(Box::new))];
        let parts = [
            ("p1", "sun-panel", Face::new(1, 3, 3, Surface::Floor)),
            ("p2", "divider-2", Face::new(0, 3, 2, Surface::North)),
            ("p3", "lamp", Face::new(0, 5, 4, Surface::East)),
            ("p4", "lamp", Face::new(0, 5, 3, Surface::East)),
        ];
        for (at, (id, kind, face)) in parts.into_iter().enumerate() {
            let part = Part::new(PartId::from(id), kind, (0.0, 0.0));
            edits.push(Edit::AddPart(at, part));
            edits.push(Edit::Hang(PartId::from(id), Some(face)));
        }
        plan.apply_all(edits).expect("sound edits");
        let end = |part: &str, port: &str| End::new(&PartId::from(part), port);
        for (from, to) in [
            (end("p1", "out"), end("p2", "in")),
            (end("p2", "out1"), end("p3", "in")),
            (end("p2", "out2"), end("p4", "in")),
        ] {
            let wire = crate::plan::Wire::new(plan.new_wire_id(), from, to);
            let at = plan.wires.len();
            plan.apply_all(vec![Edit::AddWire(at, wire)])
                .expect("a wire");
        }
        plan
    }

    #[test]
    fn a_run_from_the_roof_is_on_both_storeys_with_marks_where_it_leaves() {
        let plan = wired();
        let on_site = OnSite::of(&plan).expect("a site");
        let (inside, roof) = (runs(&plan, &on_site, 0), runs(&plan, &on_site, 1));
        assert_eq!(
            inside.iter().map(|r| r.number).collect::<Vec<_>>(),
            [1, 2, 3]
        );
        assert_eq!(roof.len(), 1);
        assert!(roof[0].leaves.iter().all(|leaving| !leaving.up));
        assert!(inside[0].leaves.iter().any(|leaving| leaving.up));
        assert!(inside[1].leaves.is_empty());
    }

    #[test]
    fn wires_side_by_side_lie_on_no_common_line() {
        let plan = wired();
        let on_site = OnSite::of(&plan).expect("a site");
        let inside = runs(&plan, &on_site, 0);
        let straight = |run: &DrawnRun| -> Vec<(Point, Point)> {
            let all = run.pieces.iter().flat_map(|p| p.points.windows(2));
            let long = all.filter(|p| apart(p[0], p[1]) > CELL / 2.0);
            long.map(|p| (p[0], p[1])).collect()
        };
        let (a, b) = (straight(&inside[1]), straight(&inside[2]));
        assert!(!a.is_empty() && !b.is_empty());
        for one in &a {
            assert!(!b.contains(one), "{one:?} is on both");
        }
    }

    #[test]
    fn every_line_is_straight_along_an_axis() {
        let plan = wired();
        let on_site = OnSite::of(&plan).expect("a site");
        for run in runs(&plan, &on_site, 0) {
            for piece in run.pieces {
                for pair in piece.points.windows(2) {
                    let (a, b) = (pair[0], pair[1]);
                    let far = apart(a, b);
                    assert!(
                        a.0 == b.0 || a.1 == b.1 || far < CELL / 2.0,
                        "{a:?} to {b:?}"
                    );
                }
            }
        }
    }
}
