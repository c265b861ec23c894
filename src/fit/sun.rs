//! The sun of the world and the peak of its panels: the world that is answered, and the worlds that might as well be.

use super::arc::{AZIMUTH, Arc, HIGHEST, PER_PEAK, RISE, SET};
use super::asks::{Ask, EXPLAINED, MOST_PEAK, limits};
use super::contradict::{Left, left};
use super::search::Part;
use super::steps::{Aim, Way};
use super::task::{Cell, Task, within};
use crate::sky::Air;

/// What the readings of the sun come to.
#[derive(Clone, Debug)]
pub(super) struct Sun {
    pub(super) air: Air,
    pub(super) arc: Arc,
    /// The cell that it is in; none where nothing explains the readings.
    pub(super) cell: Option<Cell>,
    /// Which open numbers are at their defaults.
    pub(super) pinned: [bool; 5],
    /// The least and the most of each number, the peak itself in the last place.
    pub(super) ranges: [(f64, f64); 5],
    /// Whether no panel gives anything.
    pub(super) dark: bool,
    /// Which numbers the readings do not settle.
    pub(super) open: [bool; 5],
    /// Whether either air would do.
    pub(super) any_air: bool,
    pub(super) contradicts: Vec<usize>,
    pub(super) slack: f64,
    /// Worlds that explain the readings as well as the one answered, with their air.
    pub(super) worlds: Vec<(Air, Arc)>,
}

/// The numbers of a world of which nothing is known: those of the arc that a plan's world starts with, and the peak of
/// the book's sun panel.
pub(super) const DEFAULT: Arc = Arc([6.0, 18.0, 90.0, 60.0, 1.0 / 12.0]);

/// How far within their stretches values are kept, so that numbers may be rounded; the first that there is room for.
const ROOM: [f64; 3] = [0.02, 0.001, 0.0];

impl Sun {
    /// Works out the sun from what its readings ask.
    pub(super) fn of(asks: &[Ask], known: Option<Air>, tell: &mut dyn FnMut(u64, u64)) -> Sun {
        let asks: Vec<&Ask> = asks.iter().collect();
        let airs = known.map_or(vec![Air::Clear, Air::None], |air| vec![air]);
        let Left {
            parts,
            contradicts,
            slack,
        } = left(&asks, &airs, tell);
        let ends: Vec<(usize, Arc)> = parts
            .iter()
            .enumerate()
            .flat_map(|(part, of)| of.ends(slack).into_iter().map(move |arc| (part, arc)))
            .collect();
        let ranges = ranges(&asks, &ends);
        let open = open(&asks, &ranges);
        let has = |air| parts.iter().any(|part| part.air == air);
        let any_air = airs.len() > 1 && has(Air::Clear) == has(Air::None);
        let mut best: Option<(f64, &Part, Middle)> = None;
        for (number, part) in parts.iter().enumerate() {
            if any_air && part.air != Air::Clear {
                continue;
            }
            let own = ends.iter().filter(|(of, _)| *of == number);
            let own: Vec<Arc> = own.map(|(_, arc)| *arc).collect();
            let middle = part.middle(&own, &open, slack);
            let sum = part.cell.ways(middle.arc, part.air);
            if best.is_none_or(|(least, ..)| sum < least) {
                best = Some((sum, part, middle));
            }
        }
        let mut middle = best.map_or(Middle::NONE, |(.., middle)| middle);
        let part = best.map(|(_, part, _)| part);
        let air = part.map_or(known.unwrap_or(Air::Clear), |part| part.air);
        let dark = part.is_none_or(|part| !part.cell.asks.iter().any(Ask::is_lit));
        if dark {
            let believed = asks
                .iter()
                .filter(|ask| !contradicts.contains(&ask.reading));
            let believed: Vec<&Ask> = believed.copied().collect();
            middle.arc = darkened(middle.arc, air, &believed);
        }
        let worlds = ends.iter().map(|(part, arc)| (parts[*part].air, *arc));
        Sun {
            air,
            arc: middle.arc,
            cell: part.map(|part| part.cell.clone()),
            pinned: middle.pinned,
            ranges,
            dark,
            open,
            any_air,
            contradicts,
            slack,
            worlds: worlds.collect(),
        }
    }
}

/// The world with the peak nearest to its own at which no panel gives a step; none of them gave any.
fn darkened(arc: Arc, air: Air, asks: &[&Ask]) -> Arc {
    let steps = asks
        .iter()
        .filter(|ask| ask.hour().is_some())
        .map(|ask| ask.shows(arc, air));
    let most = steps.fold(0.0, f64::max);
    let mut darkened = arc;
    if most >= 1.0 {
        darkened.0[PER_PEAK] *= 1.001 * most;
    }
    darkened
}

/// The least and the most of each number over the ends of all parts; its limits where there is no part.
fn ranges(asks: &[&Ask], ends: &[(usize, Arc)]) -> [(f64, f64); 5] {
    let limits = limits(asks);
    std::array::from_fn(|place| {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for (_, arc) in ends {
            low = low.min(arc.0[place]);
            high = high.max(arc.0[place]);
        }
        if low > high {
            (low, high) = limits[place];
        }
        if place == PER_PEAK {
            (1.0 / high, 1.0 / low)
        } else {
            (low, high)
        }
    })
}

/// A number is open where its range is half of what it could be at all, for a time a quarter of the day; and a peak where
/// the most is twice the least.
fn open(asks: &[&Ask], ranges: &[(f64, f64); 5]) -> [bool; 5] {
    let wide = |place: usize, most: f64| ranges[place].1 - ranges[place].0 >= most;
    let (least, most) = ranges[PER_PEAK];
    let dark = !asks.iter().any(|ask| ask.is_lit());
    [
        wide(RISE, 6.0),
        wide(SET, 6.0),
        wide(AZIMUTH, 90.0),
        wide(HIGHEST, 45.0),
        dark || most >= 2.0 * least || most >= MOST_PEAK,
    ]
}

/// The world answered of a part.
#[derive(Clone, Copy, Debug)]
struct Middle {
    arc: Arc,
    pinned: [bool; 5],
}

impl Middle {
    const NONE: Middle = Middle {
        arc: DEFAULT,
        pinned: [true; 5],
    };
}

impl Part {
    /// The world that is answered: by least squares from the middles of the stretches, open numbers at their defaults;
    /// where that leaves a reading unexplained, the nearest that leaves none, each number measured by its range.
    fn middle(&self, ends: &[Arc], open: &[bool; 5], slack: f64) -> Middle {
        let range = |place: usize| {
            let each = ends.iter().map(|arc| arc.0[place]);
            each.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), n| {
                (low.min(n), high.max(n))
            })
        };
        let mut narrow = self.cell.clone();
        let mut pinned = [false; 5];
        for place in 0..5 {
            let (low, high) = range(place);
            // A peak fits the panels as well as goes with everything else; only where no panel gives anything it is free.
            let tells = place == PER_PEAK && self.cell.asks.iter().any(|ask| ask.is_lit());
            if open[place] && !tells && low <= high {
                let at = DEFAULT.0[place].max(low).min(high);
                narrow.limits[place] = (at, at);
                pinned[place] = true;
            }
        }
        let measure = std::array::from_fn(|place| {
            let (low, high) = range(place);
            if high - low > 1e-9 { high - low } else { 1e-9 }
        });
        let squares = narrow.squares(self, ends);
        for (cell, pinned) in [(&narrow, pinned), (&self.cell, [false; 5])] {
            for room in ROOM {
                let arc = cell.nearest(self.air, squares, measure, slack - room, ends);
                if cell.farthest(arc, self.air, slack - room) <= EXPLAINED {
                    return Middle { arc, pinned };
                }
            }
        }
        Middle {
            arc: squares,
            pinned,
        }
    }
}

impl Cell {
    /// The best least-squares world of this cell, from the worlds of a part.
    fn squares(&self, part: &Part, ends: &[Arc]) -> Arc {
        let mut best: Option<(f64, Arc)> = None;
        let mean = mean(ends);
        for start in part.worlds.iter().copied().chain(mean) {
            let arc = Task::new(self, part.air).solve(start);
            let sum = self.ways(arc, part.air);
            if best.is_none_or(|(least, _)| sum < least) {
                best = Some((sum, arc));
            }
        }
        best.map_or(DEFAULT, |(_, arc)| arc)
    }

    /// The world nearest to `arc` that explains everything if each reading may be off by `slack` more; looked for from there
    /// and, if that does not help, from `others`.
    pub(super) fn nearest(
        &self,
        air: Air,
        arc: Arc,
        measure: [f64; 5],
        slack: f64,
        others: &[Arc],
    ) -> Arc {
        let way = |aim| Way {
            cell: self,
            air,
            slack,
            aim,
        };
        let arc = within(arc, &self.limits);
        let mut inside = arc;
        for start in std::iter::once(&arc).chain(others) {
            inside = way(Aim::Inside(0.0)).go(*start);
            if self.farthest(inside, air, slack) <= EXPLAINED {
                break;
            }
        }
        if inside == arc {
            return arc;
        }
        way(Aim::Near { arc, measure }).go(inside)
    }
}

/// The mean of some worlds, number by number.
fn mean(worlds: &[Arc]) -> Option<Arc> {
    let count = worlds.len() as f64;
    (!worlds.is_empty()).then(|| {
        Arc(std::array::from_fn(|place| {
            worlds.iter().map(|arc| arc.0[place]).sum::<f64>() / count
        }))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::read_readings;
    use serde_json::Value;

    /// Tables of readings with what scipy 1.17.1 makes of them, by `tests/fixtures/fit_scipy.py`.
    fn tables() -> Vec<Value> {
        let text = include_str!("../../tests/fixtures/fit_scipy.json");
        serde_json::from_str(text).unwrap()
    }

    fn numbers(list: &Value) -> Vec<f64> {
        let each = list.as_array().unwrap().iter();
        each.map(|n| n.as_f64().unwrap()).collect()
    }

    fn asks(table: &Value) -> (Vec<Ask>, Option<Air>) {
        let readings = read_readings(&table["file"].to_string()).unwrap();
        let each = readings.list.iter().enumerate();
        let asks = each.flat_map(|(number, reading)| Ask::of_reading(number, reading));
        (asks.collect(), readings.air)
    }

    #[test]
    fn ranges_end_where_scipy_finds_their_ends() {
        let mut wrong = Vec::new();
        for (number, table) in tables().iter().enumerate() {
            let (asks, air) = asks(table);
            let sun = Sun::of(&asks, air, &mut |_, _| ());
            assert_eq!(
                (sun.slack, &sun.contradicts[..]),
                (0.0, &[][..]),
                "{number}"
            );
            for (place, range) in table["ranges"].as_array().unwrap().iter().enumerate() {
                let (low, high) = sun.ranges[place];
                let range = numbers(range);
                let close = 1e-4 * (range[1] - range[0]) + 1e-6;
                let apart = (low - range[0]).abs().max((high - range[1]).abs());
                if apart > close {
                    wrong.push(format!("{number}.{place}: {low} to {high}, not {range:?}"));
                }
            }
        }
        assert!(wrong.is_empty(), "{wrong:#?}");
    }

    #[test]
    fn least_squares_are_those_of_scipy() {
        for (number, table) in tables().iter().enumerate() {
            let (asks, air) = asks(table);
            let (asks, air) = (asks.iter().collect::<Vec<_>>(), air.unwrap());
            let world = numbers(&table["world"]);
            let is_in = |cell: &&Cell| {
                (0..2).all(|place| {
                    let (low, high) = cell.limits[place];
                    low <= world[place] && world[place] <= high
                })
            };
            let cells = super::super::cells::cells(&asks, 0);
            let cell = cells.iter().find(is_in).unwrap();
            let start = Arc(std::array::from_fn(|place| match place {
                PER_PEAK => 1.0 / world[PER_PEAK],
                _ => world[place],
            }));
            let found = Task::new(cell, air).solve(start);
            let sum = table["sum"].as_f64().unwrap();
            let got = cell.ways(found, air);
            assert!(
                (got - sum).abs() < 1e-6 * (1.0 + sum),
                "{number}: {got}, not {sum}"
            );
        }
    }
}
