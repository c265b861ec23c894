//! Which worlds explain a table's readings: the cells and airs where there are any, and how far each number goes in them.

use super::arc::Arc;
use super::asks::{Ask, EXPLAINED};
use super::cells::cells;
use super::steps::{Aim, Way};
use super::task::Cell;
use crate::sky::Air;

/// How many of a cell's starts are tried.
pub(super) const STARTS: usize = 3;
/// How many of all starts are tried where nothing is explained yet.
const HARD: usize = 12;

/// A part of the worlds that explain the readings.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) air: Air,
    pub(super) cell: Cell,
    /// Worlds in it from different starts.
    pub(super) worlds: Vec<Arc>,
}

/// The parts in which all of `asks` are explained, if each may be off by `slack` more.
pub(super) fn explaining(asks: &[&Ask], airs: &[Air], slack: f64) -> Vec<Part> {
    let cells = cells(asks, 0);
    let mut parts = Vec::new();
    for &air in airs {
        for cell in &cells {
            let starts = cell.starts(air, STARTS);
            let mut worlds: Vec<Arc> = Vec::new();
            for (_, start) in starts {
                let aim = Aim::Inside(0.0);
                let found = Way { cell, air, slack, aim }.go(start);
                if cell.farthest(found, air, slack) <= EXPLAINED {
                    worlds.push(found);
                }
            }
            if !worlds.is_empty() {
                parts.push(Part {
                    air,
                    cell: cell.clone(),
                    worlds,
                });
            }
        }
    }
    parts
}

/// Whether any world explains all of `asks`.
pub(super) fn is_explained(asks: &[&Ask], airs: &[Air]) -> bool {
    let cells = cells(asks, 0);
    let mut starts: Vec<(f64, Air, &Cell, Arc)> = Vec::new();
    for &air in airs {
        for cell in &cells {
            let best = cell.starts(air, STARTS).into_iter();
            starts.extend(best.map(|(sum, start)| (sum, air, cell, start)));
        }
    }
    starts.sort_by(|a, b| a.0.total_cmp(&b.0));
    starts.truncate(HARD);
    starts.into_iter().any(|(_, air, cell, start)| {
        let aim = Aim::Inside(0.0);
        let found = Way { cell, air, slack: 0.0, aim }.go(start);
        cell.farthest(found, air, 0.0) <= EXPLAINED
    })
}

impl Part {
    /// The worlds at the two ends of each number's range: first the least, then the most, of number 0, then of number 1.
    pub(super) fn ends(&self, slack: f64) -> Vec<Arc> {
        let mut ends: Vec<Arc> = Vec::new();
        for place in 0..5 {
            for up in [false, true] {
                let mut best: Option<Arc> = None;
                for start in &self.worlds {
                    let aim = Aim::End { place, up };
                    let way = Way { cell: &self.cell, air: self.air, slack, aim };
                    let arc = way.go(*start);
                    let farther = |best: Arc| (arc.0[place] > best.0[place]) == up;
                    if best.is_none_or(farther) {
                        best = Some(arc);
                    }
                }
                ends.extend(best);
            }
        }
        ends
    }
}
