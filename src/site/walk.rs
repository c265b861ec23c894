//! How far somebody walks from one place of a site to another.
//!
//! He goes from cell to cell beside it where both have ground underfoot and no wall is between, which takes the edge of a
//! cell, and through a hatch or by stairs up or down, which takes the height of a storey. Found by Dijkstra's method of
//! the crate pathfinding.

use super::cell::Edge;
use super::face::{Face, Surface};
use super::place::Site;
use pathfinding::prelude::dijkstra_all;
use std::collections::BTreeMap;

/// A cell: storey, x, y.
type Place = (u8, u8, u8);

impl Site {
    /// Where somebody stands who works at a face: its cell, or of a cell of air the nearest one below that has ground.
    pub fn stand_at(&self, face: Face) -> Option<Place> {
        let mut storeys = (0..=face.storey).rev();
        let bears = |s: &u8| self.cell(*s, face.x, face.y).bears();
        storeys.find(bears).map(|s| (s, face.x, face.y))
    }

    /// How far it is from a cell to every other that can be walked to, in millimetres; the cell itself is not told.
    pub fn walks_from(&self, from: Place) -> BTreeMap<Place, u64> {
        let all = dijkstra_all(&from, |at| self.paces(*at));
        all.into_iter().map(|(to, (_, mm))| (to, mm)).collect()
    }

    /// The cells to which one step leads, with how far they are.
    fn paces(&self, (s, x, y): Place) -> Vec<(Place, u64)> {
        let mut paces = Vec::new();
        for wall in Surface::WALLS {
            let next = self.beside(x, y, wall);
            let is_free = self.edge(s, x, y, wall) != Edge::Wall;
            if let Some((x, y)) = next.filter(|(x, y)| is_free && self.cell(s, *x, *y).bears()) {
                paces.push(((s, x, y), self.cell_mm()));
            }
        }
        let below = s
            .checked_sub(1)
            .filter(|_| self.cell(s, x, y).is_open_below());
        let above = Some(s + 1).filter(|s| self.cell(*s, x, y).is_open_below());
        for s in [below, above].into_iter().flatten() {
            if self.cell(s, x, y).bears() {
                paces.push(((s, x, y), self.storey_mm()));
            }
        }
        paces
    }
}
