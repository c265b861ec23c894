//! The site itself: its numbers, storeys and rooms, and plain questions about them.

use super::cell::{Cell, Edge, Fitting, Ground};
use super::face::{Face, Surface};
use super::priorities::Priorities;
use super::reach::Reach;
use serde::{Deserialize, Serialize};

/// A place to build in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Site {
    /// The edge of a cell, in centimetres.
    pub cell_cm: u32,
    /// The height of a storey, in centimetres.
    pub storey_cm: u32,
    /// Cells from west to east.
    pub width: u8,
    /// Cells from north to south.
    pub depth: u8,
    /// The storeys from the lowest up; at least one.
    pub storeys: Vec<Storey>,
    /// The rooms, by the numbers that cells give.
    pub rooms: Vec<Room>,
    /// What counts in the runs of wires beside their length.
    pub priorities: Priorities,
}

/// One storey.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Storey {
    /// What it is called.
    pub name: String,
    /// The cells, row after row from the north-west.
    pub(super) cells: Vec<Cell>,
    /// The edges in the north of each row of cells, and those in the south of the last.
    pub(super) across: Vec<Edge>,
    /// For each row of cells, the edges in the west of each and the one in the east of the last.
    pub(super) along: Vec<Edge>,
}

/// A room: a name and who can come there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Room {
    /// What it is called.
    pub name: String,
    /// Who can come there.
    pub who: Reach,
}

impl Storey {
    /// A storey of air.
    pub fn empty(name: &str, width: u8, depth: u8) -> Storey {
        let (w, d) = (usize::from(width), usize::from(depth));
        Storey {
            name: name.into(),
            cells: vec![Cell::default(); w * d],
            across: vec![Edge::Open; w * (d + 1)],
            along: vec![Edge::Open; (w + 1) * d],
        }
    }
}

impl Site {
    /// A site of one storey of air, with cells of a metre and storeys of two and a half.
    pub fn empty(width: u8, depth: u8) -> Site {
        Site {
            cell_cm: 100,
            storey_cm: 250,
            width,
            depth,
            storeys: vec![Storey::empty("", width, depth)],
            rooms: Vec::new(),
            priorities: Priorities::default(),
        }
    }

    fn index(&self, x: u8, y: u8) -> Option<usize> {
        (x < self.width && y < self.depth)
            .then(|| usize::from(y) * usize::from(self.width) + usize::from(x))
    }

    /// The cell; one of air where the site has none.
    pub fn cell(&self, storey: u8, x: u8, y: u8) -> Cell {
        let at = self.index(x, y);
        let storey = self.storeys.get(usize::from(storey));
        storey
            .zip(at)
            .map_or_else(Cell::default, |(s, at)| s.cells[at])
    }

    pub(super) fn cell_mut(&mut self, storey: u8, x: u8, y: u8) -> Option<&mut Cell> {
        let at = self.index(x, y)?;
        self.storeys.get_mut(usize::from(storey))?.cells.get_mut(at)
    }

    /// Where an edge stands in its storey: whether in `across`, and its index.
    fn edge_place(&self, x: u8, y: u8, wall: Surface) -> Option<(bool, usize)> {
        self.index(x, y)?;
        let (w, x, y) = (usize::from(self.width), usize::from(x), usize::from(y));
        match wall {
            Surface::North => Some((true, y * w + x)),
            Surface::South => Some((true, (y + 1) * w + x)),
            Surface::West => Some((false, y * (w + 1) + x)),
            Surface::East => Some((false, y * (w + 1) + x + 1)),
            _ => None,
        }
    }

    /// What stands on that side of a cell; nothing where the site has no such cell, and on other sides than the four.
    pub fn edge(&self, storey: u8, x: u8, y: u8, wall: Surface) -> Edge {
        let place = self.edge_place(x, y, wall);
        let storey = self.storeys.get(usize::from(storey));
        match storey.zip(place) {
            Some((storey, (true, at))) => storey.across[at],
            Some((storey, (false, at))) => storey.along[at],
            None => Edge::Open,
        }
    }

    pub(super) fn edge_mut(
        &mut self,
        storey: u8,
        x: u8,
        y: u8,
        wall: Surface,
    ) -> Option<&mut Edge> {
        let (across, at) = self.edge_place(x, y, wall)?;
        let storey = self.storeys.get_mut(usize::from(storey))?;
        match across {
            true => storey.across.get_mut(at),
            false => storey.along.get_mut(at),
        }
    }

    /// The cell beside, if the site has one there.
    pub fn beside(&self, x: u8, y: u8, wall: Surface) -> Option<(u8, u8)> {
        let (dx, dy) = wall.beside()?;
        let (x, y) = (x.checked_add_signed(dx)?, y.checked_add_signed(dy)?);
        (x < self.width && y < self.depth).then_some((x, y))
    }

    /// Whether the cell has a ceiling: ground of any kind in the cell above it.
    pub fn has_ceiling(&self, storey: u8, x: u8, y: u8) -> bool {
        self.cell(storey.saturating_add(1), x, y).bears()
    }

    /// Whether nothing is above the cell, in any storey.
    pub fn is_under_the_sky(&self, storey: u8, x: u8, y: u8) -> bool {
        let above = usize::from(storey) + 1..self.storeys.len();
        above
            .filter_map(|s| u8::try_from(s).ok())
            .all(|s| !self.cell(s, x, y).bears())
    }

    /// Whether wires can run over the face. Ground with an opening and ground under furniture count; a part can hang on
    /// neither, see [`Site::takes_parts`].
    pub fn has(&self, face: Face) -> bool {
        let Face {
            storey,
            x,
            y,
            surface,
        } = face;
        if usize::from(storey) >= self.storeys.len() || self.index(x, y).is_none() {
            return false;
        }
        match surface {
            Surface::Floor => self.cell(storey, x, y).bears(),
            Surface::Ceiling => self.has_ceiling(storey, x, y),
            Surface::Furniture => self.cell(storey, x, y).fitting == Fitting::Furniture,
            wall => self.edge(storey, x, y, wall) == Edge::Wall,
        }
    }

    /// Whether a part can hang or stand on the face: wires can run over it, and nothing stands or opens there.
    pub fn takes_parts(&self, face: Face) -> bool {
        let Face { storey, x, y, .. } = face;
        self.has(face)
            && match face.surface {
                Surface::Floor => self.cell(storey, x, y).fitting == Fitting::None,
                Surface::Ceiling => !self.cell(storey + 1, x, y).is_open_below(),
                _ => true,
            }
    }

    /// Who can come to a cell: nobody where one can't stand, else whom its room says; without a room anyone on the ground
    /// outside, and only the builders elsewhere.
    pub fn who_comes(&self, storey: u8, x: u8, y: u8) -> Option<Reach> {
        let cell = self.cell(storey, x, y);
        if !cell.bears() {
            return None;
        }
        let room = cell.room.and_then(|at| self.rooms.get(usize::from(at)));
        let outside = match cell.ground {
            Ground::Ground => Reach::Anyone,
            _ => Reach::Builders,
        };
        Some(room.map_or(outside, |room| room.who))
    }

    /// Who can touch a face: who comes to its cell. Nobody touches a ceiling.
    pub fn who_touches(&self, face: Face) -> Option<Reach> {
        match face.surface {
            Surface::Ceiling => None,
            _ if !self.has(face) => None,
            _ => self.who_comes(face.storey, face.x, face.y),
        }
    }

    /// Every cell with its storey and place, from the lowest storey and the north-west.
    pub fn cells(&self) -> impl Iterator<Item = (u8, u8, u8)> + '_ {
        let storeys = 0..u8::try_from(self.storeys.len()).unwrap_or(u8::MAX);
        storeys.flat_map(move |s| {
            (0..self.depth).flat_map(move |y| (0..self.width).map(move |x| (s, x, y)))
        })
    }

    /// Every face that wires can run over, cell by cell.
    pub fn faces(&self) -> impl Iterator<Item = Face> + '_ {
        self.cells()
            .flat_map(|(s, x, y)| Surface::ALL.map(|surface| Face::new(s, x, y, surface)))
            .filter(|face| self.has(*face))
    }

    /// The edge of a cell in millimetres.
    pub fn cell_mm(&self) -> u64 {
        u64::from(self.cell_cm) * 10
    }

    /// The height of a storey in millimetres.
    pub fn storey_mm(&self) -> u64 {
        u64::from(self.storey_cm) * 10
    }
}
