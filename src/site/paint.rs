//! Changes of a site, mark by mark: drawing gives what stood there before, so that it can be taken back.

use super::cell::{Edge, Fitting, Ground};
use super::face::Surface;
use super::place::Site;
use serde::{Deserialize, Serialize};

/// What is drawn at one place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Mark {
    /// What is underfoot, and what stands on it.
    Ground(Ground, Fitting),
    /// Which room the cell belongs to.
    Room(Option<u8>),
    /// What stands on one of the cell's four sides.
    Edge(Surface, Edge),
}

/// A mark with its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Patch {
    /// The storey, from 0.
    pub storey: u8,
    /// Cells from the west.
    pub x: u8,
    /// Cells from the north.
    pub y: u8,
    /// What is drawn.
    pub mark: Mark,
}

impl Site {
    /// Draws one mark; gives the one that takes it back. None where the site has no such place or room, or the mark makes
    /// no sense, such as furniture on air; nothing is changed then.
    pub fn paint(&mut self, patch: Patch) -> Option<Patch> {
        let Patch { storey, x, y, mark } = patch;
        let before = match mark {
            Mark::Ground(ground, fitting) => {
                if ground == Ground::Air && fitting != Fitting::None {
                    return None;
                }
                let cell = self.cell_mut(storey, x, y)?;
                let before = Mark::Ground(cell.ground, cell.fitting);
                (cell.ground, cell.fitting) = (ground, fitting);
                before
            }
            Mark::Room(room) => {
                let rooms = self.rooms.len();
                if room.is_some_and(|room| usize::from(room) >= rooms) {
                    return None;
                }
                Mark::Room(std::mem::replace(
                    &mut self.cell_mut(storey, x, y)?.room,
                    room,
                ))
            }
            Mark::Edge(wall, edge) => {
                let place = self.edge_mut(storey, x, y, wall)?;
                Mark::Edge(wall, std::mem::replace(place, edge))
            }
        };
        Some(Patch {
            mark: before,
            ..patch
        })
    }
}
