//! Other sites made of one: of another size, with a storey more or fewer, without a room. Each says where its faces are
//! then, so that what hangs on them can go along.

use super::cell::Fitting;
use super::face::{Face, Surface};
use super::paint::{Mark, Patch};
use super::place::{Site, Storey};
use crate::limits::{SITE_SIDE, SITE_STOREYS};

/// Where a face of a site is in another that was made of it; none where that has no such cell.
pub type Moved = Box<dyn Fn(Face) -> Option<Face>>;

impl Site {
    /// The site with more rows or columns of air on one side, or with fewer. None where that can't be.
    pub fn grown(&self, side: Surface, by: i8) -> Option<(Site, Moved)> {
        let (dx, dy) = side.beside()?;
        let longer = |size: u8, way: i8| match way {
            0 => Some(size),
            _ => size.checked_add_signed(by),
        };
        let (width, depth) = (longer(self.width, dx)?, longer(self.depth, dy)?);
        let fits = |size: u8| (1..=SITE_SIDE).contains(&size);
        if !fits(width) || !fits(depth) {
            return None;
        }
        let shift = (if dx < 0 { by } else { 0 }, if dy < 0 { by } else { 0 });
        let moved = move |face: Face| {
            let x = face.x.checked_add_signed(shift.0)?;
            let y = face.y.checked_add_signed(shift.1)?;
            (x < width && y < depth).then_some(Face { x, y, ..face })
        };
        let empty = |storey: &Storey| Storey::empty(&storey.name, width, depth);
        let mut site = Site {
            width,
            depth,
            storeys: self.storeys.iter().map(empty).collect(),
            ..self.clone()
        };
        self.copy_into(&mut site, &moved);
        Some((site, Box::new(moved)))
    }

    /// The site with a storey of air more, which is number `at` then. None where it has as many as it may.
    pub fn with_storey(&self, at: u8) -> Option<(Site, Moved)> {
        if self.storeys.len() >= usize::from(SITE_STOREYS) || usize::from(at) > self.storeys.len() {
            return None;
        }
        let mut site = self.clone();
        let storey = Storey::empty("", self.width, self.depth);
        site.storeys.insert(usize::from(at), storey);
        let moved = move |face: Face| {
            let storey = face.storey + u8::from(face.storey >= at);
            Some(Face { storey, ..face })
        };
        Some((site, Box::new(moved)))
    }

    /// The site without a storey; what was above it comes down. None for the only one.
    pub fn without_storey(&self, at: u8) -> Option<(Site, Moved)> {
        if self.storeys.len() < 2 || usize::from(at) >= self.storeys.len() {
            return None;
        }
        let mut site = self.clone();
        site.storeys.remove(usize::from(at));
        // The lowest storey has nothing that a hatch or stairs could lead to.
        if at == 0 {
            site.close_the_lowest();
        }
        let moved = move |face: Face| match face.storey.cmp(&at) {
            std::cmp::Ordering::Less => Some(face),
            std::cmp::Ordering::Equal => None,
            std::cmp::Ordering::Greater => Some(Face {
                storey: face.storey - 1,
                ..face
            }),
        };
        Some((site, Box::new(moved)))
    }

    fn close_the_lowest(&mut self) {
        let cells: Vec<_> = self.cells().filter(|(s, ..)| *s == 0).collect();
        for (storey, x, y) in cells {
            let cell = self.cell(storey, x, y);
            if cell.is_open_below() {
                let mark = Mark::Ground(cell.ground, Fitting::None);
                self.paint(Patch { storey, x, y, mark });
            }
        }
    }

    /// The site without a room; its cells belong to none. None where it has no such room.
    pub fn without_room(&self, at: u8) -> Option<Site> {
        if usize::from(at) >= self.rooms.len() {
            return None;
        }
        let mut site = self.clone();
        for (storey, x, y) in self.cells() {
            let room = self.cell(storey, x, y).room;
            let room = room
                .filter(|room| *room != at)
                .map(|r| r - u8::from(r > at));
            let mark = Mark::Room(room);
            site.paint(Patch { storey, x, y, mark });
        }
        site.rooms.remove(usize::from(at));
        Some(site)
    }

    /// Draws all that this one has into another, where its cells are there.
    fn copy_into(&self, site: &mut Site, moved: &dyn Fn(Face) -> Option<Face>) {
        for (storey, x, y) in self.cells() {
            let Some(to) = moved(Face::new(storey, x, y, Surface::Floor)) else {
                continue;
            };
            let cell = self.cell(storey, x, y);
            let edge = |side| Mark::Edge(side, self.edge(storey, x, y, side));
            let own = [
                Mark::Ground(cell.ground, cell.fitting),
                Mark::Room(cell.room),
            ];
            for mark in own.into_iter().chain(Surface::WALLS.map(edge)) {
                let (x, y) = (to.x, to.y);
                site.paint(Patch { storey, x, y, mark });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::ready::{READY, ready_site};
    use super::*;

    #[test]
    fn what_grows_and_shrinks_again_is_as_it_was() {
        for (name, _) in READY {
            let site = ready_site(name).expect(name);
            for side in Surface::WALLS {
                let (more, there) = site.grown(side, 2).expect("room to grow");
                let (again, back) = more.grown(side, -2).expect("room to shrink");
                assert_eq!(again, site, "{name} {side:?}");
                for face in site.faces() {
                    let moved = there(face).expect("it only grows");
                    assert!(more.has(moved));
                    assert_eq!(back(moved), Some(face));
                }
            }
            let (more, there) = site.with_storey(1).expect("room for a storey");
            assert_eq!(more.without_storey(1).expect("two at least").0, site);
            for face in site.faces().filter(|f| f.storey > 0) {
                assert_eq!(there(face).map(|f| f.storey), Some(face.storey + 1));
            }
        }
    }

    #[test]
    fn what_can_not_be_is_refused() {
        let one = Site::empty(1, 32);
        assert!(one.grown(Surface::West, -1).is_none());
        assert!(one.grown(Surface::South, 1).is_none());
        assert!(one.grown(Surface::Floor, 1).is_none());
        assert!(one.without_storey(0).is_none());
        assert!(one.without_room(0).is_none());
    }

    #[test]
    fn the_rooms_behind_one_that_goes_keep_their_cells() {
        let tower = ready_site("Tower").expect("a ready site");
        assert!(tower.rooms.len() > 1);
        let less = tower.without_room(0).expect("a room");
        for (s, x, y) in tower.cells() {
            let name = |site: &Site| {
                let room = site.cell(s, x, y).room?;
                Some(site.rooms[usize::from(room)].name.clone())
            };
            let before = tower.cell(s, x, y).room;
            let expected = name(&tower).filter(|_| before != Some(0));
            assert_eq!(name(&less), expected);
        }
    }
}
