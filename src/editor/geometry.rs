//! Where cards stand and wires run on the board, kept in step with what is drawn.
//!
//! Cards and wires are put one by one as they change; courses are found anew only where something near them changed.
//! Pixels of the board.

use super::layout;
use super::view::{Point, Rect};
use crate::book::Side;
use crate::gather::Gather;
use crate::plan::{End, Part, PartId, Plan, Wire, WireId};
use crate::sheet::card;
use crate::sheet::courses::{Courses, Port, WireEnds};
use crate::sheet::route;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The measures of a card, the same for all parts of one type.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// Where the ports stand.
    pub ports: Vec<card::PortPlace>,
    /// How tall the card is.
    pub height: f64,
}

/// Cards and wires on the board.
#[derive(Clone, Debug, Default)]
pub(super) struct Geometry {
    courses: Courses,
    shapes: BTreeMap<String, Arc<Shape>>,
    cards: BTreeMap<PartId, (Point, Arc<Shape>)>,
    lines: BTreeMap<WireId, Line>,
    /// The wires that hang on each part.
    hang: BTreeMap<PartId, BTreeSet<WireId>>,
}

/// A wire as it was put.
#[derive(Clone, Debug, PartialEq)]
struct Line {
    from: End,
    to: End,
    bends: Vec<Point>,
}

impl Geometry {
    /// The courses.
    pub fn courses(&self) -> &Courses {
        &self.courses
    }

    /// The courses, to find anew what is out of date.
    pub fn courses_mut(&mut self) -> &mut Courses {
        &mut self.courses
    }

    /// The measures of the card of the part `id`.
    pub fn shape(&self, id: &PartId) -> Option<&Arc<Shape>> {
        self.cards.get(id).map(|(_, shape)| shape)
    }

    /// Where the card of the part `id` stands, floating or not.
    pub fn place(&self, id: &PartId) -> Option<Point> {
        self.cards.get(id).map(|(at, _)| *at)
    }

    /// The rectangle of a part's card.
    pub fn rect(&self, id: &PartId) -> Option<Rect> {
        let ((x, y), shape) = self.cards.get(id)?;
        Some((*x, *y, card::WIDTH, shape.height))
    }

    /// The place and the side of a port.
    pub fn port(&self, end: &End) -> Option<(Point, Side)> {
        let ((x, y), shape) = self.cards.get(&end.part)?;
        let place = shape.ports.iter().find(|p| p.name == end.port)?;
        Some(((x + place.x, y + place.y), place.side))
    }

    /// The wires that hang on a part.
    pub fn wires_of(&self, id: &PartId) -> impl Iterator<Item = &WireId> {
        self.hang.get(id).into_iter().flatten()
    }

    /// Puts a card, its wires with it.
    pub fn put_part(&mut self, plan: &Plan, part: &Part, at: Point) {
        let shape = match self.shapes.get(&part.kind) {
            Some(shape) => shape.clone(),
            None => {
                let ports = layout::ports(plan, part);
                let shape = Arc::new(Shape {
                    ports: card::places(&ports),
                    height: card::height(&ports),
                });
                self.shapes.insert(part.kind.clone(), shape.clone());
                shape
            }
        };
        let card = (at, shape);
        if self.cards.get(&part.id) == Some(&card) {
            return;
        }
        let area = route::Box {
            x: at.0,
            y: at.1,
            w: card::WIDTH,
            h: card.1.height,
        };
        self.cards.insert(part.id.clone(), card);
        self.courses.put_card(&part.id, area);
        for id in self.hang.get(&part.id).cloned().unwrap_or_default() {
            self.lead(&id);
        }
    }

    /// Takes a card away.
    pub fn remove_part(&mut self, id: &PartId) {
        self.cards.remove(id);
        self.courses.remove_card(id);
    }

    /// Puts a wire, led through these bends.
    pub fn put_wire(&mut self, wire: &Wire, bends: &[Point]) {
        let is_same = |l: &Line| l.from == wire.from && l.to == wire.to && l.bends[..] == *bends;
        if self.lines.get(&wire.id).is_some_and(is_same) {
            return;
        }
        self.unhang(&wire.id);
        for end in [&wire.from, &wire.to] {
            self.hang
                .entry(end.part.clone())
                .or_default()
                .insert(wire.id.clone());
        }
        self.lines.insert(
            wire.id.clone(),
            Line {
                from: wire.from.clone(),
                to: wire.to.clone(),
                bends: bends.to_vec(),
            },
        );
        self.lead(&wire.id);
    }

    /// Takes a wire away.
    pub fn remove_wire(&mut self, id: &WireId) {
        self.unhang(id);
        self.lines.remove(id);
        self.courses.remove_wire(id);
    }

    fn unhang(&mut self, id: &WireId) {
        let Some(line) = self.lines.get(id) else {
            return;
        };
        for end in [&line.from, &line.to] {
            if let Some(hang) = self.hang.get_mut(&end.part) {
                hang.remove(id);
                if hang.is_empty() {
                    self.hang.remove(&end.part);
                }
            }
        }
    }

    /// Tells the courses where a wire's ends are now.
    fn lead(&mut self, id: &WireId) {
        let Some(line) = self.lines.get(id) else {
            return;
        };
        let (Some((from, _)), Some((to, to_side))) = (self.port(&line.from), self.port(&line.to))
        else {
            return self.courses.remove_wire(id);
        };
        let ends = WireEnds {
            from: Port {
                part: line.from.part.clone(),
                at: from,
            },
            to: Port {
                part: line.to.part.clone(),
                at: to,
            },
            to_side,
            lane: self.lane(&line.from),
            bends: line.bends.clone(),
        };
        self.courses.put_wire(id, ends);
    }

    /// How far from the middle of its card's outputs an output stands, so that wires from one card don't lie on each other.
    fn lane(&self, from: &End) -> i32 {
        let Some((_, shape)) = self.cards.get(&from.part) else {
            return 0;
        };
        let outs = || shape.ports.iter().filter(|p| p.side == Side::Out);
        let at = outs().position(|p| p.name == from.port).unwrap_or(0) as i32;
        outs().count() as i32 / 2 - at
    }

    /// Puts all of a board and takes away what it has no more.
    pub fn put_all(&mut self, plan: &Plan) {
        self.shapes.clear();
        let parts: BTreeSet<&PartId> = plan.parts.iter().map(|p| &p.id).gather();
        let wires: BTreeSet<&WireId> = plan.wires.iter().map(|w| &w.id).gather();
        let gone = |id: &&WireId| !wires.contains(*id);
        for id in self.lines.keys().filter(gone).cloned().collect::<Vec<_>>() {
            self.remove_wire(&id);
        }
        let gone = |id: &&PartId| !parts.contains(*id);
        for id in self.cards.keys().filter(gone).cloned().collect::<Vec<_>>() {
            self.remove_part(&id);
        }
        for part in &plan.parts {
            self.put_part(plan, part, part.at.unwrap_or_default());
        }
        for wire in &plan.wires {
            self.put_wire(wire, &wire.bends);
        }
    }
}
