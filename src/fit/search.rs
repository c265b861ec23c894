//! Which worlds explain a table's readings: the cells and airs where there are any, and how far each number goes in them.

use super::arc::{Arc, RISE, SET};
use super::asks::{Ask, EXPLAINED};
use super::cells::cells;
use super::steps::{Aim, Way};
use super::task::{Cell, within};
use crate::sky::Air;

/// How many of a cell's starts are tried.
pub(super) const STARTS: usize = 3;
/// How many are tried where it is in doubt whether anything is explained.
const HARD: usize = 8;
/// From how many ends of other numbers an end is looked for again.
const AGAIN: usize = 2;
/// How many cells are tried at most.
const CELLS: usize = 64;

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
    let mut parts = Vec::new();
    for &air in airs {
        for Tried { cell, starts, .. } in tried(asks, air, slack) {
            let found = starts
                .into_iter()
                .map(|start| explain(&cell, air, slack, start));
            let worlds: Vec<Arc> = found.flatten().collect();
            if !worlds.is_empty() {
                parts.push(Part { air, cell, worlds });
            }
        }
    }
    parts
}

/// Whether any world explains all of `asks`.
pub(super) fn is_explained(asks: &[&Ask], airs: &[Air]) -> bool {
    let all = airs.iter().flat_map(|air| {
        let tried = tried(asks, *air, 0.0).into_iter();
        tried.map(move |tried| (*air, tried))
    });
    let mut all: Vec<(Air, Tried)> = all.collect();
    all.sort_by(|a, b| a.1.sum.total_cmp(&b.1.sum));
    all.truncate(HARD);
    all.iter().any(|(air, tried)| {
        let mut starts = tried.starts.iter();
        starts.any(|start| explain(&tried.cell, *air, 0.0, *start).is_some())
    })
}

/// A world of the cell that explains everything, found from `start`.
fn explain(cell: &Cell, air: Air, slack: f64, start: Arc) -> Option<Arc> {
    let aim = Aim::Inside(0.0);
    let way = Way {
        cell,
        air,
        slack,
        aim,
    };
    let found = way.go(start);
    (cell.farthest(found, air, slack) <= EXPLAINED).then_some(found)
}

/// A cell to be tried, and from where.
struct Tried {
    cell: Cell,
    starts: Vec<Arc>,
    /// The least sum of squares of what lies outside, over the starts.
    sum: f64,
}

/// The cells that are worth trying, those with the best starts at most [`CELLS`].
///
/// At first the panels that give nothing are left out, so that there is one cell. How far rise and set go in it says in
/// which cells of all readings they can be; where nothing explains the rest, nothing explains all.
fn tried(asks: &[&Ask], air: Air, slack: f64) -> Vec<Tried> {
    let telling: Vec<&Ask> = asks
        .iter()
        .copied()
        .filter(|ask| ask.is_lit() || ask.hour().is_none())
        .collect();
    let mut pool = Vec::new();
    let mut spans = [(f64::INFINITY, f64::NEG_INFINITY); 2];
    for cell in cells(&telling, 0) {
        let starts = cell.starts(air, HARD);
        let found = starts
            .into_iter()
            .map(|(_, start)| explain(&cell, air, slack, start));
        let worlds: Vec<Arc> = found.flatten().take(STARTS).collect();
        let part = Part { air, cell, worlds };
        let mut ends = part.ends_of(&[RISE, SET], slack);
        for arc in &ends {
            for (place, span) in spans.iter_mut().enumerate() {
                *span = (span.0.min(arc.0[place]), span.1.max(arc.0[place]));
            }
        }
        pool.append(&mut ends);
        pool.extend(part.worlds);
    }
    let mut all: Vec<Tried> = Vec::new();
    for cell in cells(asks, 0) {
        let meets = |place: usize| {
            let ((low, high), (least, most)) = (cell.limits[place], spans[place]);
            let margin = 0.1 + 0.25 * (most - least);
            low <= most + margin && high >= least - margin
        };
        if !meets(RISE) || !meets(SET) {
            continue;
        }
        let own = cell.starts(air, STARTS);
        let others = pool.iter().map(|arc| {
            let arc = within(*arc, &cell.limits);
            (cell.outside(arc, air), arc)
        });
        let mut starts: Vec<(f64, Arc)> = own.into_iter().chain(others).collect();
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        starts.dedup();
        let sum = starts.first().map_or(f64::INFINITY, |(sum, _)| *sum);
        let starts = starts
            .into_iter()
            .take(STARTS)
            .map(|(_, arc)| arc)
            .collect();
        all.push(Tried { cell, starts, sum });
    }
    all.sort_by(|a, b| a.sum.total_cmp(&b.sum));
    all.truncate(CELLS);
    all
}

impl Part {
    /// The worlds at the two ends of each number's range: first the least, then the most, of number 0, then of number 1.
    pub(super) fn ends(&self, slack: f64) -> Vec<Arc> {
        self.ends_of(&[0, 1, 2, 3, 4], slack)
    }

    /// As [`Part::ends`], of some of the numbers.
    fn ends_of(&self, places: &[usize], slack: f64) -> Vec<Arc> {
        let push = |place: usize, up: bool, starts: &[Arc]| {
            let mut best: Option<Arc> = None;
            for start in starts {
                let aim = Aim::End { place, up };
                let way = Way {
                    cell: &self.cell,
                    air: self.air,
                    slack,
                    aim,
                };
                let arc = way.go(*start);
                let farther = |best: Arc| (arc.0[place] > best.0[place]) == up;
                if best.is_none_or(farther) {
                    best = Some(arc);
                }
            }
            best
        };
        let ways = || {
            places
                .iter()
                .flat_map(|place| [(*place, false), (*place, true)])
        };
        let first: Vec<Arc> = ways()
            .filter_map(|(place, up)| push(place, up, &self.worlds))
            .collect();
        // What is the end of one number may be a better start for another.
        let again = ways().zip(&first).map(|((place, up), end)| {
            let mut starts = first.clone();
            starts.sort_by(|a, b| a.0[place].total_cmp(&b.0[place]));
            if up {
                starts.reverse();
            }
            starts.truncate(AGAIN);
            let found = push(place, up, &starts);
            found
                .filter(|arc| (arc.0[place] > end.0[place]) == up)
                .unwrap_or(*end)
        });
        again.collect()
    }
}
