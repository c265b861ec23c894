//! The courses of all wires of a board, kept: one is found anew only where its own ends or a card near it changed.
//!
//! Pixels of the board. Cards and wires are put in, moved and taken out one by one, which only marks the wires concerned
//! as stale; `settle` and its relatives then find their courses. After settling, every course is the one that
//! [`route::route`] gives for all cards in the order of their ids, whatever happened before. A wire's course stays as it
//! was while it is stale. Nothing here fails; an unknown id changes nothing. Ports are the caller's to place.

use super::numbers::{Ground, Numbers, Size};
use super::route::{self, Ask, Box};
use super::spatial::Spatial;
use crate::book::Side;
use crate::gather::Gather;
use crate::plan::{PartId, WireId};
use std::collections::{BTreeMap, BTreeSet};

/// The radius of a course's corners as drawn.
const RADIUS: f64 = 4.0;

/// One end of a wire: the part and the place of its port on the board.
#[derive(Clone, Debug, PartialEq)]
pub struct Port {
    /// The part.
    pub part: PartId,
    /// The port's place.
    pub at: (f64, f64),
}

/// All of a wire that its course hangs on, but for the cards.
#[derive(Clone, Debug, PartialEq)]
pub struct WireEnds {
    /// The output port.
    pub from: Port,
    /// The input or signal port.
    pub to: Port,
    /// On which side of its card `to` stands.
    pub to_side: Side,
    /// How far the middle piece is shifted, as in [`route::route`].
    pub lane: i32,
    /// Places through which it is led by hand, in order.
    pub bends: Vec<(f64, f64)>,
}

impl WireEnds {
    fn ask<'a>(&'a self, avoid: &'a [Box]) -> Ask<'a> {
        Ask {
            from: self.from.at,
            to: self.to.at,
            to_side: self.to_side,
            bends: &self.bends,
            avoid,
        }
    }
}

#[derive(Clone, Debug)]
struct Entry {
    ends: WireEnds,
    points: Vec<(f64, f64)>,
    d: String,
}

/// Cards, wires and their courses.
#[derive(Clone, Debug, Default)]
pub struct Courses {
    cards: Spatial<PartId>,
    wires: BTreeMap<WireId, Entry>,
    /// The wires that hang on a part.
    hanging: BTreeMap<PartId, BTreeSet<WireId>>,
    /// The areas whose cards a wire's course hangs on.
    areas: Spatial<WireId>,
    /// The bounds of the courses that are found.
    drawn: Spatial<WireId>,
    stale: BTreeSet<WireId>,
    numbers: Numbers,
    found: u64,
}

impl Courses {
    /// No cards, no wires.
    pub fn new() -> Courses {
        Courses::default()
    }

    /// Puts a card on the board, or moves or resizes it. The ends of its wires are put by themselves.
    pub fn put_card(&mut self, id: &PartId, area: Box) {
        let before = self.cards.put(id, area);
        if before != Some(area) {
            self.mark(before.as_ref());
            self.mark(Some(&area));
        }
    }

    /// Takes a card off the board; its wires are taken off by themselves.
    pub fn remove_card(&mut self, id: &PartId) {
        let before = self.cards.remove(id);
        self.mark(before.as_ref());
    }

    /// Marks the wires whose course hangs on the cards there.
    fn mark(&mut self, area: Option<&Box>) {
        if let Some(area) = area {
            let near = self.areas.touching(area).into_iter();
            self.stale.extend(near.map(|(id, _)| id.clone()));
            self.numbers.mark(area, &self.drawn);
        }
    }

    /// Puts a wire on the board, or changes what its course hangs on.
    pub fn put_wire(&mut self, id: &WireId, ends: WireEnds) {
        if self.wires.get(id).is_some_and(|e| e.ends == ends) {
            return;
        }
        self.unhang(id);
        for part in [&ends.from.part, &ends.to.part] {
            let hanging = self.hanging.entry(part.clone()).or_default();
            hanging.insert(id.clone());
        }
        self.areas.put(id, ends.ask(&[]).area());
        self.stale.insert(id.clone());
        match self.wires.get_mut(id) {
            Some(entry) => entry.ends = ends,
            None => {
                let entry = Entry {
                    ends,
                    points: Vec::new(),
                    d: String::new(),
                };
                self.wires.insert(id.clone(), entry);
            }
        }
    }

    /// Takes a wire off the board.
    pub fn remove_wire(&mut self, id: &WireId) {
        self.unhang(id);
        self.wires.remove(id);
        self.areas.remove(id);
        self.numbers.put(id, None, &self.drawn);
        if let Some(before) = self.drawn.remove(id) {
            self.numbers.mark(&before, &self.drawn);
        }
        self.stale.remove(id);
    }

    fn unhang(&mut self, id: &WireId) {
        let Some(entry) = self.wires.get(id) else {
            return;
        };
        for part in [&entry.ends.from.part, &entry.ends.to.part] {
            if let Some(hanging) = self.hanging.get_mut(part) {
                hanging.remove(id);
                if hanging.is_empty() {
                    self.hanging.remove(part);
                }
            }
        }
    }

    /// Finds the courses of all stale wires; gives those whose course is another one now, in the order of their ids.
    pub fn settle(&mut self) -> Vec<WireId> {
        let stale = std::mem::take(&mut self.stale);
        self.find(stale)
    }

    /// As [`Courses::settle`], but only for wires that hang on one of these parts: what a drag needs at each move. The other
    /// wires stay marked.
    pub fn settle_only<'a>(&mut self, parts: impl IntoIterator<Item = &'a PartId>) -> Vec<WireId> {
        let hanging = parts.into_iter().filter_map(|p| self.hanging.get(p));
        let chosen: BTreeSet<WireId> = hanging
            .flatten()
            .filter(|id| self.stale.contains(*id))
            .cloned()
            .gather();
        self.find(chosen)
    }

    /// As [`Courses::settle`], but at most so many wires, first those near the area `first`: for pieces of work that leave
    /// the page's thread free in between, until [`Courses::is_settled`]. At least one is found in each call.
    pub fn settle_some(&mut self, most: usize, first: &Box) -> Vec<WireId> {
        let most = most.max(1);
        let near = self.areas.touching(first).into_iter().map(|(id, _)| id);
        let mut chosen: BTreeSet<WireId> = near
            .filter(|id| self.stale.contains(*id))
            .take(most)
            .cloned()
            .gather();
        for id in &self.stale {
            if chosen.len() >= most {
                break;
            }
            chosen.insert(id.clone());
        }
        self.find(chosen)
    }

    /// Whether no wire is stale.
    pub fn is_settled(&self) -> bool {
        self.stale.is_empty()
    }

    fn find(&mut self, ids: BTreeSet<WireId>) -> Vec<WireId> {
        let mut changed = Vec::new();
        for id in ids {
            self.stale.remove(&id);
            let (Some(entry), Some(area)) = (self.wires.get_mut(&id), self.areas.get(&id)) else {
                continue;
            };
            let near = self.cards.touching(area).into_iter();
            let avoid: Vec<Box> = near.map(|(_, area)| *area).collect();
            let points = route::route(&entry.ends.ask(&avoid), entry.ends.lane);
            self.found += 1;
            if points != entry.points {
                entry.d = route::path(&points, RADIUS);
                entry.points = points;
                let now = bounds(&entry.points);
                let before = self.drawn.put(&id, now);
                for area in before.iter().chain([&now]) {
                    self.numbers.mark(area, &self.drawn);
                }
                changed.push(id);
            }
        }
        changed
    }

    /// A wire's course as last found: its corners, both ports included. `None` before it is found.
    pub fn course(&self, id: &WireId) -> Option<&[(f64, f64)]> {
        let points = self.wires.get(id)?.points.as_slice();
        (!points.is_empty()).then_some(points)
    }

    /// SVG path data of a wire's course. `None` before it is found.
    pub fn d(&self, id: &WireId) -> Option<&str> {
        let d = self.wires.get(id)?.d.as_str();
        (!d.is_empty()).then_some(d)
    }

    /// Gives a wire's number its size, or takes it away.
    pub fn put_number(&mut self, id: &WireId, size: Option<Size>) {
        let size = size.filter(|_| self.wires.contains_key(id));
        self.numbers.put(id, size, &self.drawn);
    }

    /// Finds the places of the numbers near which a card or a course has changed; gives the wires whose number stands
    /// elsewhere now, in the order of their ids.
    pub fn settle_numbers(&mut self) -> Vec<WireId> {
        let wires = &self.wires;
        let course = |id: &WireId| wires.get(id).map_or(&[][..], |e| e.points.as_slice());
        self.numbers.settle(&Ground {
            cards: &self.cards,
            drawn: &self.drawn,
            course,
        })
    }

    /// The middle of a wire's number as last found; `None` where it has no clear place.
    pub fn number(&self, id: &WireId) -> Option<(f64, f64)> {
        self.numbers.place(id)
    }

    /// How many numbers have been looked at so far: the work done.
    pub fn numbers_looked_at(&self) -> u64 {
        self.numbers.looked()
    }

    /// The length of a wire's course.
    pub fn long(&self, id: &WireId) -> Option<f64> {
        Some(route::long(self.course(id)?))
    }

    /// The ground of a card.
    pub fn card(&self, id: &PartId) -> Option<&Box> {
        self.cards.get(id)
    }

    /// What was put in for a wire.
    pub fn ends(&self, id: &WireId) -> Option<&WireEnds> {
        Some(&self.wires.get(id)?.ends)
    }

    /// The cards that touch an area, in the order of their ids.
    pub fn cards_in(&self, area: &Box) -> Vec<PartId> {
        let found = self.cards.touching(area).into_iter();
        found.map(|(id, _)| id.clone()).collect()
    }

    /// The wires whose course's bounds touch an area, in the order of their ids.
    pub fn wires_in(&self, area: &Box) -> Vec<WireId> {
        let found = self.drawn.touching(area).into_iter();
        found.map(|(id, _)| id.clone()).collect()
    }

    /// The smallest rectangle around all cards and found courses, if there are any.
    pub fn bounds(&self) -> Option<Box> {
        match (self.cards.bounds(), self.drawn.bounds()) {
            (Some(a), Some(b)) => Some(super::spatial::around(&a, &b)),
            (a, b) => a.or(b),
        }
    }

    /// How many courses have been found so far: the work done.
    pub fn routes_found(&self) -> u64 {
        self.found
    }
}

/// The smallest rectangle around a course.
fn bounds(points: &[(f64, f64)]) -> Box {
    let first = points.first().copied().unwrap_or_default();
    let (mut low, mut high) = (first, first);
    for (x, y) in points {
        low = (low.0.min(*x), low.1.min(*y));
        high = (high.0.max(*x), high.1.max(*y));
    }
    Box {
        x: low.0,
        y: low.1,
        w: high.0 - low.0,
        h: high.1 - low.1,
    }
}
