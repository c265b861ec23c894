//! Where things of a site stand in its drawing, and what of the site is at a place of the drawing.

use crate::limits::SITE_SIDE;
use crate::site::{Edge, Face, Ground, Site, Surface};

/// The side of a cell.
pub const CELL: f64 = 64.0;
/// The side of the box around a part's symbol.
pub const BOX: f64 = 20.0;

/// How far from its wall the middle of a part is.
const PART_FROM_WALL: f64 = 14.0;
/// How far from its wall a wire runs.
const WIRE_FROM_WALL: f64 = 8.0;
/// From the middle of a cell to its edge.
const HALF: f64 = CELL / 2.0;
/// How far a part under the ceiling stands aside from what is in the middle of the cell.
const ASIDE: f64 = -18.0;

/// A place of the drawing.
pub type Point = (f64, f64);
/// A rectangle of the drawing: left, top, width, height.
pub type Rect = (f64, f64, f64, f64);

/// The rectangle of a cell.
pub fn cell_rect(x: u8, y: u8) -> Rect {
    (f64::from(x) * CELL, f64::from(y) * CELL, CELL, CELL)
}

/// The rectangle of all cells.
pub fn site_rect(site: &Site) -> Rect {
    let (width, depth) = (f64::from(site.width), f64::from(site.depth));
    (0.0, 0.0, width * CELL, depth * CELL)
}

/// The rectangle of all cells with a floor, a roof or a wall in any storey, and one cell around them; all cells where nothing
/// is built.
pub fn built_rect(site: &Site) -> Rect {
    built_in(site, &|_| true, &[])
}

/// The same of one storey, with these places as well.
pub fn storey_rect(site: &Site, storey: u8, places: &[Point]) -> Rect {
    built_in(site, &|at| at == storey, places)
}

fn built_in(site: &Site, is_meant: &dyn Fn(u8) -> bool, places: &[Point]) -> Rect {
    // Lines between cells, from the west and from the north.
    let mut ends: Option<[u8; 4]> = None;
    let mut take = |west: u8, north: u8, east: u8, south: u8| {
        let [w, n, e, s] = ends.unwrap_or([west, north, east, south]);
        ends = Some([w.min(west), n.min(north), e.max(east), s.max(south)]);
    };
    for (x, y) in places.iter().filter_map(|at| cell_at(site, *at)) {
        take(x, y, x + 1, y + 1);
    }
    for (s, x, y) in site.cells().filter(|(s, ..)| is_meant(*s)) {
        if matches!(site.cell(s, x, y).ground, Ground::Floor | Ground::Roof) {
            take(x, y, x + 1, y + 1);
        }
        let walls = Surface::WALLS.into_iter();
        for side in walls.filter(|side| site.edge(s, x, y, *side) != Edge::Open) {
            match side {
                Surface::North => take(x, y, x + 1, y),
                Surface::South => take(x, y + 1, x + 1, y + 1),
                Surface::West => take(x, y, x, y + 1),
                _ => take(x + 1, y, x + 1, y + 1),
            }
        }
    }
    let Some([west, north, east, south]) = ends else {
        return site_rect(site);
    };
    let (left, top) = (west.saturating_sub(1), north.saturating_sub(1));
    let (right, below) = ((east + 1).min(site.width), (south + 1).min(site.depth));
    let (x, y, ..) = cell_rect(left, top);
    (
        x,
        y,
        f64::from(right - left) * CELL,
        f64::from(below - top) * CELL,
    )
}

fn middle(face: Face) -> Point {
    let (x, y, ..) = cell_rect(face.x, face.y);
    (x + HALF, y + HALF)
}

fn by_wall(face: Face, from_wall: f64) -> Point {
    let (x, y) = middle(face);
    let (dx, dy) = face.surface.beside().unwrap_or_default();
    let far = HALF - from_wall;
    (x + f64::from(dx) * far, y + f64::from(dy) * far)
}

/// The middle of a part on a face. `shares`: something else is in the middle of the cell, which a part under the ceiling
/// leaves to it.
pub fn part_place(face: Face, shares: bool) -> Point {
    let (x, y) = by_wall(face, PART_FROM_WALL);
    match face.surface {
        Surface::Ceiling if shares => (x + ASIDE, y + ASIDE),
        _ => (x, y),
    }
}

/// Where a wire is that comes to the middle of a face.
pub fn wire_place(face: Face) -> Point {
    by_wall(face, WIRE_FROM_WALL)
}

/// The cell at a place.
pub fn cell_at(site: &Site, at: Point) -> Option<(u8, u8)> {
    let cell = |n: f64, end: u8| {
        let n = (n / CELL).floor();
        (n >= 0.0 && n < f64::from(end)).then_some(n as u8)
    };
    Some((cell(at.0, site.width)?, cell(at.1, site.depth)?))
}

/// The cell at a place, or the nearest to it.
pub fn nearest_cell(site: &Site, at: Point) -> (u8, u8) {
    let cell = |n: f64, end: u8| {
        let last = end.saturating_sub(1).min(SITE_SIDE - 1);
        (n / CELL).floor().clamp(0.0, f64::from(last)) as u8
    };
    (cell(at.0, site.width), cell(at.1, site.depth))
}

/// The side of a cell that is nearest to a place within it.
pub fn nearest_side(cell: (u8, u8), at: Point) -> Surface {
    let (x, y, ..) = cell_rect(cell.0, cell.1);
    let (dx, dy) = (at.0 - x - HALF, at.1 - y - HALF);
    match (dx.abs() > dy.abs(), dx > 0.0, dy > 0.0) {
        (true, true, _) => Surface::East,
        (true, false, _) => Surface::West,
        (false, _, true) => Surface::South,
        (false, _, false) => Surface::North,
    }
}

/// The face of that cell and storey nearest to a place, of those that `fits` lets pass.
pub fn nearest_face(
    (storey, x, y): (u8, u8, u8),
    at: Point,
    fits: impl Fn(Face) -> bool,
) -> Option<Face> {
    let faces = Surface::ALL.map(|surface| Face::new(storey, x, y, surface));
    let far = |face: &Face| {
        let shares = face.surface == Surface::Ceiling;
        let (px, py) = part_place(*face, shares);
        (px - at.0).hypot(py - at.1)
    };
    let fitting = faces.into_iter().filter(|face| fits(*face));
    fitting.min_by(|a, b| far(a).total_cmp(&far(b)))
}

/// The two ends of a cell's side.
pub fn side_line(x: u8, y: u8, side: Surface) -> (Point, Point) {
    let (left, top, wide, high) = cell_rect(x, y);
    let (right, below) = (left + wide, top + high);
    match side {
        Surface::North => ((left, top), (right, top)),
        Surface::South => ((left, below), (right, below)),
        Surface::West => ((left, top), (left, below)),
        Surface::East => ((right, top), (right, below)),
        _ => ((left, top), (left, top)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_drawn_at_a_place_is_found_there() {
        let site = Site::empty(4, 3);
        for surface in Surface::ALL {
            let face = Face::new(0, 2, 1, surface);
            let at = part_place(face, surface == Surface::Ceiling);
            assert_eq!(cell_at(&site, at), Some((2, 1)), "{surface:?}");
            // Floor and furniture are one place: no part stands on a floor under furniture.
            let fits = |f: Face| f.surface != Surface::Floor || surface != Surface::Furniture;
            assert_eq!(nearest_face((0, 2, 1), at, fits), Some(face));
            if surface.is_wall() {
                assert_eq!(nearest_side((2, 1), at), surface);
            }
        }
        assert_eq!(built_rect(&site), site_rect(&site), "nothing is built");
        let hut = crate::site::ready_site("Hut").expect("a ready site");
        assert_eq!(built_rect(&hut), (64.0, 64.0, 384.0, 320.0));
        let (x, y, ..) = storey_rect(&hut, 0, &[]);
        assert_eq!((x, y), (64.0, 64.0));
        // What hangs away from all that is built is in it, too.
        let (x, y, w, h) = storey_rect(&hut, 1, &[(10.0, 10.0)]);
        let (right, below) = (x + w, y + h);
        assert_eq!((x, y), (0.0, 0.0));
        let (bx, by, bw, bh) = storey_rect(&hut, 1, &[]);
        assert_eq!((right, below), (bx + bw, by + bh));
        assert_eq!(cell_at(&site, (-1.0, 5.0)), None);
        assert_eq!(nearest_cell(&site, (-1.0, 9000.0)), (0, 2));
    }
}
