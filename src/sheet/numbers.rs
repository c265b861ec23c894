//! Where the numbers on wires stand: on their own wire, clear of other wires, of cards and of each other.
//!
//! Pixels of the board. For each straight piece of a course a few places are tried, level pieces first and long ones before
//! short ones. The first that is clear is taken; where none is, the number stands nowhere. A number gives way to those of
//! wires with smaller ids, so the places hang on nothing but courses, cards and sizes, whatever happened before. It keeps
//! what it found; who changes courses or cards marks what is near. Nothing here fails.

use super::area::Box;
use super::grid::hits;
use super::spatial::Spatial;
use crate::plan::{PartId, WireId};
use std::collections::{BTreeMap, BTreeSet};

/// What stays free at a port, for its notch and the wire's beginning.
const AT_PORT: f64 = 8.0;
/// What stays free at a corner.
const AT_CORNER: f64 = 2.0;
/// What stays free around a number.
const AROUND: f64 = 2.0;

/// Width and height of a number.
pub type Size = (f64, f64);

/// The numbers of a board.
#[derive(Clone, Debug, Default)]
pub(super) struct Numbers {
    sizes: BTreeMap<WireId, Size>,
    boxes: Spatial<WireId>,
    stale: BTreeSet<WireId>,
    /// The largest width and height so far: how far from its wire's bounds a number may reach.
    most: Size,
    looked: u64,
}

/// What numbers keep clear of.
pub(super) struct Ground<'a, F> {
    /// The cards.
    pub cards: &'a Spatial<PartId>,
    /// The bounds of the courses.
    pub drawn: &'a Spatial<WireId>,
    /// A wire's course.
    pub course: F,
}

impl Numbers {
    /// Gives a wire's number its size, or takes it away.
    pub fn put(&mut self, id: &WireId, size: Option<Size>, drawn: &Spatial<WireId>) {
        if self.sizes.get(id) == size.as_ref() {
            return;
        }
        if let Some((w, h)) = size {
            self.most = (self.most.0.max(w), self.most.1.max(h));
            self.sizes.insert(id.clone(), (w, h));
            self.stale.insert(id.clone());
            return;
        }
        self.sizes.remove(id);
        self.stale.remove(id);
        if let Some(before) = self.boxes.remove(id) {
            self.mark_later(id, &before, drawn);
        }
    }

    /// A card or a course has changed there: numbers of wires near it are looked at again.
    pub fn mark(&mut self, area: &Box, drawn: &Spatial<WireId>) {
        if self.sizes.is_empty() {
            return;
        }
        let near = grown(
            area,
            self.most.0 / 2.0 + AT_PORT,
            self.most.1 / 2.0 + AT_PORT,
        );
        for (id, _) in drawn.touching(&near) {
            if self.sizes.contains_key(id) {
                self.stale.insert(id.clone());
            }
        }
    }

    /// A number has come or gone there: those that give way to it are looked at again.
    fn mark_later(&mut self, than: &WireId, area: &Box, drawn: &Spatial<WireId>) {
        let near = grown(area, self.most.0, self.most.1);
        for (id, _) in drawn.touching(&near) {
            if id > than && self.sizes.contains_key(id) {
                self.stale.insert(id.clone());
            }
        }
    }

    /// Finds the places of all that is stale; gives the wires whose number stands elsewhere now, in the order of their ids.
    pub fn settle<'a, F>(&mut self, ground: &Ground<'_, F>) -> Vec<WireId>
    where
        F: Fn(&WireId) -> &'a [(f64, f64)],
    {
        let mut changed = Vec::new();
        while let Some(id) = self.stale.pop_first() {
            let Some(size) = self.sizes.get(&id).copied() else {
                continue;
            };
            self.looked += 1;
            let found = self.find(&id, size, ground);
            let before = self.boxes.get(&id).copied();
            if found == before {
                continue;
            }
            match found {
                Some(area) => self.boxes.put(&id, area),
                None => self.boxes.remove(&id),
            };
            for area in [before, found].into_iter().flatten() {
                self.mark_later(&id, &area, ground.drawn);
            }
            changed.push(id);
        }
        changed
    }

    fn find<'a, F>(&self, id: &WireId, size: Size, ground: &Ground<'_, F>) -> Option<Box>
    where
        F: Fn(&WireId) -> &'a [(f64, f64)],
    {
        let course = (ground.course)(id);
        let is_clear = |piece: usize, area: &Box| {
            let wide = grown(area, AROUND, AROUND);
            let notches = grown(area, AT_PORT - AROUND, AT_PORT - AROUND);
            let meets = |course: &[(f64, f64)]| course.windows(2).any(|p| hits(p[0], p[1], &wide));
            ground.cards.touching(&notches).is_empty()
                && !meets(&course[..=piece])
                && !meets(&course[piece + 1..])
                && !(ground.drawn.touching(&wide).iter())
                    .any(|(other, _)| *other != id && meets((ground.course)(other)))
                && !(self.boxes.touching(&wide).iter()).any(|(other, _)| *other < id)
        };
        let places = candidates(course, size);
        let clear = places
            .into_iter()
            .find(|(piece, area)| is_clear(*piece, area));
        clear.map(|(_, area)| area)
    }

    /// The middle of a wire's number; `None` where it has no clear place.
    pub fn place(&self, id: &WireId) -> Option<(f64, f64)> {
        let area = self.boxes.get(id)?;
        Some((area.x + area.w / 2.0, area.y + area.h / 2.0))
    }

    /// How many numbers have been looked at so far: the work done.
    pub fn looked(&self) -> u64 {
        self.looked
    }
}

/// The places that are tried, the best first, each with the number of its piece: level pieces before upright ones, long
/// ones before short ones, on each the middle, then farther out.
fn candidates(course: &[(f64, f64)], (w, h): Size) -> Vec<(usize, Box)> {
    let is_level = |piece: usize| course[piece].1 == course[piece + 1].1;
    let long = |piece: usize| {
        let (a, b) = (course[piece], course[piece + 1]);
        (a.0 - b.0).abs() + (a.1 - b.1).abs()
    };
    let count = course.len().saturating_sub(1);
    let mut pieces: Vec<usize> = (0..count).collect();
    pieces.sort_by(|a, b| {
        let level = is_level(*b).cmp(&is_level(*a));
        level.then(long(*b).total_cmp(&long(*a)))
    });
    let mut found = Vec::new();
    for piece in pieces {
        let (a, b) = (course[piece], course[piece + 1]);
        let half = if is_level(piece) { w / 2.0 } else { h / 2.0 };
        let free = |end: usize| match end == 0 || end == count {
            true => AT_PORT,
            false => AT_CORNER,
        };
        let (from, to) = (half + free(piece), long(piece) - half - free(piece + 1));
        if from > to {
            continue;
        }
        for share in [0.5, 0.0, 1.0, 0.25, 0.75] {
            let along = (from + (to - from) * share) / long(piece);
            let (x, y) = (a.0 + (b.0 - a.0) * along, a.1 + (b.1 - a.1) * along);
            let area = Box {
                x: x - w / 2.0,
                y: y - h / 2.0,
                w,
                h,
            };
            found.push((piece, area));
        }
    }
    found
}

fn grown(area: &Box, across: f64, down: f64) -> Box {
    Box {
        x: area.x - across,
        y: area.y - down,
        w: area.w + 2.0 * across,
        h: area.h + 2.0 * down,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_level_piece_is_tried_first_and_no_short_one() {
        let course = [(0.0, 0.0), (60.0, 0.0), (60.0, 200.0), (300.0, 200.0)];
        let tried = candidates(&course, (56.0, 16.0));
        let pieces: Vec<usize> = tried.iter().map(|(piece, _)| *piece).collect();
        assert_eq!(pieces, [[2; 5], [1; 5]].concat());
        assert_eq!((tried[0].1.x, tried[0].1.y), (149.0, 192.0));
        assert_eq!(candidates(&[], (56.0, 16.0)), []);
        assert_eq!(candidates(&[(0.0, 0.0), (0.0, 0.0)], (56.0, 16.0)), []);
    }
}
