//! What a cell is made of: what is underfoot, what stands there, and what is between it and the next.

use serde::{Deserialize, Serialize};

/// What is underfoot in a cell. All but air is also the ceiling of the cell below.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Ground {
    /// Nothing: one looks down into the cell below.
    #[default]
    Air,
    /// The ground outside.
    Ground,
    /// A floor.
    Floor,
    /// A flat roof, a gallery, a terrace.
    Roof,
}

/// What stands on a cell's ground, or leads through it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Fitting {
    /// Nothing.
    #[default]
    None,
    /// Furniture, half a storey high, to put things on.
    Furniture,
    /// A hatch to the cell below, kept shut.
    Hatch,
    /// The opening of stairs that stand in the cell below.
    Stairs,
}

/// What is between a cell and the next one beside it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Edge {
    /// Nothing.
    #[default]
    Open,
    /// A wall.
    Wall,
    /// A door, kept shut.
    Door,
}

/// A cell.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cell {
    /// What is underfoot.
    pub ground: Ground,
    /// What stands on it or leads through it; none where the ground is air.
    pub fitting: Fitting,
    /// Which of the site's rooms it belongs to.
    pub room: Option<u8>,
}

impl Cell {
    /// Whether one can stand here.
    pub fn bears(self) -> bool {
        self.ground != Ground::Air
    }

    /// Whether its ground has an opening to the cell below.
    pub fn is_open_below(self) -> bool {
        matches!(self.fitting, Fitting::Hatch | Fitting::Stairs)
    }
}
