//! Faces: the surfaces of a cell, on which parts hang and wires run. A wall has a face in the cell on either side.

use crate::limits::{SITE_SIDE, SITE_STOREYS};
use crate::read::{self, FaultKind, Faults, Place};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use std::fmt;

/// A surface of a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Surface {
    /// The ground underfoot.
    Floor,
    /// The underside of the cell above.
    Ceiling,
    /// The wall in the north of the cell.
    North,
    /// The wall in the east of the cell.
    East,
    /// The wall in the south of the cell.
    South,
    /// The wall in the west of the cell.
    West,
    /// The top of furniture.
    Furniture,
}

impl Surface {
    /// Every surface.
    pub const ALL: [Surface; 7] = [
        Surface::Floor,
        Surface::Ceiling,
        Surface::North,
        Surface::East,
        Surface::South,
        Surface::West,
        Surface::Furniture,
    ];
    /// The four walls, clockwise from the north.
    pub const WALLS: [Surface; 4] = [Surface::North, Surface::East, Surface::South, Surface::West];

    /// The word in a file.
    pub const fn word(self) -> &'static str {
        match self {
            Surface::Floor => "floor",
            Surface::Ceiling => "ceiling",
            Surface::North => "north",
            Surface::East => "east",
            Surface::South => "south",
            Surface::West => "west",
            Surface::Furniture => "furniture",
        }
    }

    /// The step to the cell beside on that side; none but for walls.
    pub const fn beside(self) -> Option<(i8, i8)> {
        match self {
            Surface::North => Some((0, -1)),
            Surface::East => Some((1, 0)),
            Surface::South => Some((0, 1)),
            Surface::West => Some((-1, 0)),
            _ => None,
        }
    }

    /// The wall on the other side of the cell; others have none and stay.
    pub const fn opposite(self) -> Surface {
        match self {
            Surface::North => Surface::South,
            Surface::East => Surface::West,
            Surface::South => Surface::North,
            Surface::West => Surface::East,
            other => other,
        }
    }

    /// Whether it is a wall.
    pub const fn is_wall(self) -> bool {
        self.beside().is_some()
    }
}

/// One surface of one cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Face {
    /// The storey, from 0 at the bottom.
    pub storey: u8,
    /// Cells from the west.
    pub x: u8,
    /// Cells from the north.
    pub y: u8,
    /// The surface.
    pub surface: Surface,
}

impl Face {
    /// The surface of that cell.
    pub const fn new(storey: u8, x: u8, y: u8, surface: Surface) -> Face {
        Face {
            storey,
            x,
            y,
            surface,
        }
    }

    /// The cell that it belongs to.
    pub const fn cell(self) -> (u8, u8, u8) {
        (self.storey, self.x, self.y)
    }

    /// As in a file: `[0, 3, 2, "north"]`.
    pub fn to_value(self) -> Value {
        json!([self.storey, self.x, self.y, self.surface.word()])
    }

    /// Reads what [`Face::to_value`] wrote. Whether a site has such a face is not asked.
    pub fn read(value: &Value, place: &Place, faults: &mut Faults) -> Option<Face> {
        let Some([storey, x, y, surface]) = value.as_array().map(Vec::as_slice) else {
            let expected = "[storey, x, y, surface], such as [0, 3, 2, \"north\"]";
            faults.push(place.wrong(FaultKind::Type, value, expected));
            return None;
        };
        let mut below = |at: usize, value: &Value, end: u8| {
            let most = u64::from(end - 1);
            read::whole(value, 0, most, &place.index(at), faults).and_then(|n| u8::try_from(n).ok())
        };
        let (storey, x, y) = (
            below(0, storey, SITE_STOREYS),
            below(1, x, SITE_SIDE),
            below(2, y, SITE_SIDE),
        );
        let word = surface.as_str();
        let found = Surface::ALL.into_iter().find(|s| Some(s.word()) == word);
        if found.is_none() {
            let words: Vec<&str> = Surface::ALL.iter().map(|s| s.word()).collect();
            let expected = format!("one of {}", words.join(", "));
            let at = place.index(3);
            faults.push(at.wrong(FaultKind::Unknown, surface, expected));
        }
        Some(Face::new(storey?, x?, y?, found?))
    }
}

impl fmt::Display for Face {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Face { storey, x, y, .. } = self;
        write!(f, "[{storey}, {x}, {y}, \"{}\"]", self.surface.word())
    }
}
