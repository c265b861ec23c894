//! What outsiders see and touch: the faces on which a wire is exposed.
//!
//! An outsider is anybody who stands where [`Reach::Anyone`] comes. His eyes are over the middle of the cell, five
//! eighths of a storey above the ground. He sees a face if the straight line from there to its middle meets no wall, no
//! door, no hatch and no ground, and comes to it from the cell that the face belongs to. Of a line that leaves a cell
//! exactly through an edge or a corner it is enough that one of the ways round is free. He touches the faces of the
//! cell in which he stands, but for the ceiling. How far away he is does not count, nor does the light.

use super::cell::{Edge, Fitting};
use super::face::{Face, Surface};
use super::place::Site;
use super::reach::Reach;
use serde::{Deserialize, Serialize};

/// The height of the eyes, in eighths of a storey.
const EYES: i64 = 5;

/// A cell as storey, x, y; signed, so that steps out of the site can be told.
pub(super) type Place = [i64; 3];

/// Which faces of a site are exposed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Exposure {
    width: usize,
    depth: usize,
    /// For each cell a bit a surface.
    seen: Vec<u8>,
    touched: Vec<u8>,
}

impl Exposure {
    /// What outsiders see and touch of a site.
    pub fn of(site: &Site) -> Exposure {
        let cells = site.cells().count();
        let mut exposure = Exposure {
            width: site.width.into(),
            depth: site.depth.into(),
            seen: vec![0; cells],
            touched: vec![0; cells],
        };
        let volumes = Volumes::of(site);
        let outsiders = site
            .cells()
            .filter(|(s, x, y)| site.who_comes(*s, *x, *y) == Some(Reach::Anyone));
        let mut by_volume: Vec<Vec<(u8, u8, u8)>> = vec![Vec::new(); cells];
        for cell in outsiders {
            by_volume[volumes.of[exposure.index(cell)]].push(cell);
        }
        for face in site.faces() {
            let at = exposure.index(face.cell());
            let bit = 1 << face.surface as u8;
            let sees = |from: &(u8, u8, u8)| sees(site, *from, face);
            if by_volume[volumes.of[at]].iter().any(sees) {
                exposure.seen[at] |= bit;
            }
            if site.who_touches(face) == Some(Reach::Anyone) {
                exposure.touched[at] |= bit;
            }
        }
        exposure
    }

    fn index(&self, (s, x, y): (u8, u8, u8)) -> usize {
        (usize::from(s) * self.depth + usize::from(y)) * self.width + usize::from(x)
    }

    fn has(&self, of: &[u8], face: Face) -> bool {
        let is_inside = usize::from(face.x) < self.width && usize::from(face.y) < self.depth;
        let at = of.get(self.index(face.cell()));
        is_inside && at.is_some_and(|bits| bits >> face.surface as u8 & 1 == 1)
    }

    /// Whether an outsider sees the face.
    pub fn is_seen(&self, face: Face) -> bool {
        self.has(&self.seen, face)
    }

    /// Whether an outsider touches the face.
    pub fn is_touched(&self, face: Face) -> bool {
        self.has(&self.touched, face)
    }

    /// Whether a wire on the face is exposed: an outsider sees or touches it.
    pub fn is_exposed(&self, face: Face) -> bool {
        self.is_seen(face) || self.is_touched(face)
    }
}

/// Which cells hang together by open sides, so that nobody looks for a line where there can be none.
struct Volumes {
    /// For each cell the index of the first cell of its volume.
    of: Vec<usize>,
}

impl Volumes {
    fn of(site: &Site) -> Volumes {
        let cells: Vec<(u8, u8, u8)> = site.cells().collect();
        let (w, d) = (usize::from(site.width), usize::from(site.depth));
        let mut of = vec![usize::MAX; cells.len()];
        for first in 0..cells.len() {
            if of[first] != usize::MAX {
                continue;
            }
            of[first] = first;
            let mut open = vec![cells[first]];
            while let Some((s, x, y)) = open.pop() {
                let from = [i64::from(s), i64::from(x), i64::from(y)];
                for axis in 0..3 {
                    for way in [-1, 1] {
                        let Some(to) = step(site, from, axis, way) else {
                            continue;
                        };
                        let [s, x, y] = to.map(|n| n as usize);
                        let at = (s * d + y) * w + x;
                        if of[at] == usize::MAX {
                            of[at] = first;
                            open.push(cells[at]);
                        }
                    }
                }
            }
        }
        Volumes { of }
    }
}

/// What a line meets where it leaves a cell along an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Beyond {
    /// The next cell, and nothing between.
    Cell(Place),
    /// The end of the site.
    Outside,
    /// A wall, a door, a hatch or ground.
    Shut,
}

/// What a line from the cell `at` meets along an axis (storeys, east, south), the one way or the other.
pub(super) fn beyond(site: &Site, at: Place, axis: usize, way: i64) -> Beyond {
    let mut to = at;
    to[axis] += way;
    let of = |place: Place| -> Option<(u8, u8, u8)> {
        let [s, x, y] = place.map(|n| u8::try_from(n).ok());
        let (s, x, y) = (s?, x?, y?);
        let is_there = usize::from(s) < site.storeys.len() && x < site.width && y < site.depth;
        is_there.then_some((s, x, y))
    };
    let Some((s, x, y)) = of(at) else {
        return Beyond::Outside;
    };
    let next = of(to);
    let wall = match (axis, way > 0) {
        (1, true) => Some(Surface::East),
        (1, false) => Some(Surface::West),
        (2, true) => Some(Surface::South),
        (2, false) => Some(Surface::North),
        _ => None,
    };
    let is_open = match wall {
        Some(wall) => site.edge(s, x, y, wall) == Edge::Open,
        None => {
            let upper = if way > 0 { next } else { Some((s, x, y)) };
            let cell = upper.map(|(s, x, y)| site.cell(s, x, y));
            cell.is_none_or(|cell| !cell.bears() || cell.fitting == Fitting::Stairs)
        }
    };
    match (is_open, next) {
        (false, _) => Beyond::Shut,
        (true, None) => Beyond::Outside,
        (true, Some(_)) => Beyond::Cell(to),
    }
}

/// The cell to which a line goes from `at` along an axis, if the site has one there and nothing is between.
fn step(site: &Site, at: Place, axis: usize, way: i64) -> Option<Place> {
    match beyond(site, at, axis, way) {
        Beyond::Cell(to) => Some(to),
        Beyond::Outside | Beyond::Shut => None,
    }
}

/// The middle of a face: eighths of a storey, halves of a cell to the east and to the south.
fn middle(face: Face) -> Place {
    let [s, x, y] = [face.storey, face.x, face.y].map(i64::from);
    let (dx, dy) = face.surface.beside().unwrap_or_default();
    let height = match face.surface {
        Surface::Floor => 0,
        Surface::Ceiling => 8,
        _ => 4,
    };
    let half = |cells: i64, to: i8| 2 * cells + 1 + i64::from(to);
    [8 * s + height, half(x, dx), half(y, dy)]
}

/// Whether somebody who stands in the cell `from` sees the face.
fn sees(site: &Site, from: (u8, u8, u8), face: Face) -> bool {
    let start = [from.0, from.1, from.2].map(i64::from);
    let eye = [8 * start[0] + EYES, 2 * start[1] + 1, 2 * start[2] + 1];
    let to = middle(face);
    let sizes = [8, 2, 2];
    let gone: Place = [0, 1, 2].map(|axis| to[axis] - eye[axis]);
    let mut at = start;
    loop {
        // How far along the line the next side is met on each axis, as a fraction of all of it.
        let mut next: Option<(i64, i64)> = None;
        let mut axes = Vec::with_capacity(3);
        for axis in 0..3 {
            if gone[axis] == 0 {
                continue;
            }
            let side = sizes[axis] * (at[axis] + i64::from(gone[axis] > 0));
            let met = ((side - eye[axis]).abs(), gone[axis].abs());
            let order = next.map(|next| (met.0 * next.1).cmp(&(next.0 * met.1)));
            match order {
                None | Some(std::cmp::Ordering::Less) => {
                    next = Some(met);
                    axes = vec![axis];
                }
                Some(std::cmp::Ordering::Equal) => axes.push(axis),
                Some(std::cmp::Ordering::Greater) => {}
            }
        }
        // What is met at the end of the line or behind it is no longer in the way.
        if next.is_none_or(|(met, all)| met >= all) {
            let [s, x, y] = [face.storey, face.x, face.y].map(i64::from);
            return at == [s, x, y];
        }
        match cross(site, at, &axes, gone) {
            Some(there) => at = there,
            None => return false,
        }
    }
}

/// The cell behind a side, an edge or a corner that is crossed along these axes at once, if one of the ways is free.
fn cross(site: &Site, at: Place, axes: &[usize], gone: Place) -> Option<Place> {
    if axes.is_empty() {
        return Some(at);
    }
    axes.iter().find_map(|axis| {
        let there = step(site, at, *axis, gone[*axis].signum())?;
        let rest: Vec<usize> = axes.iter().copied().filter(|a| a != axis).collect();
        cross(site, there, &rest, gone)
    })
}
