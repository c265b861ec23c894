//! A spatial index: which rectangles touch an area, found without looking at all of them.
//!
//! Pixels of the board. A uniform grid of cells in ordered maps; a rectangle that spans many cells is kept in a list of
//! its own, so that one huge rectangle costs no more than a small one. Answers come in the order of the keys. Nothing here
//! fails. It does not find nearest neighbours.

use super::area::Box;
use std::collections::BTreeMap;

/// The side of a cell.
const CELL: f64 = 256.0;
/// The cells that one rectangle is entered in, at the most.
const MOST_CELLS: i64 = 64;

/// A range of cells: first and last column, first and last row.
#[derive(Clone, Copy, PartialEq)]
struct Span {
    columns: (i64, i64),
    rows: (i64, i64),
}

impl Span {
    fn of(area: &Box) -> Span {
        // The conversion saturates, so no number is too large for it.
        let cell = |v: f64| (v / CELL).floor().clamp(-1e9, 1e9) as i64;
        let span = |v: f64, long: f64| (cell(v), cell(v + long).max(cell(v)));
        Span {
            columns: span(area.x, area.w),
            rows: span(area.y, area.h),
        }
    }

    fn count(&self) -> i64 {
        let long = |(first, last): (i64, i64)| last - first + 1;
        long(self.columns).saturating_mul(long(self.rows))
    }

    fn cells(self) -> impl Iterator<Item = (i64, i64)> {
        let columns = self.columns.0..=self.columns.1;
        columns.flat_map(move |x| (self.rows.0..=self.rows.1).map(move |y| (x, y)))
    }

    fn is_large(&self) -> bool {
        self.count() > MOST_CELLS
    }
}

/// Rectangles by key.
#[derive(Clone, Debug)]
pub struct Spatial<K> {
    items: BTreeMap<K, Box>,
    cells: BTreeMap<(i64, i64), Vec<(K, Box)>>,
    large: BTreeMap<K, Box>,
}

impl<K> Default for Spatial<K> {
    fn default() -> Self {
        Spatial {
            items: BTreeMap::new(),
            cells: BTreeMap::new(),
            large: BTreeMap::new(),
        }
    }
}

impl<K: Ord + Clone> Spatial<K> {
    /// Enters a rectangle, or moves it; gives back where it was.
    pub fn put(&mut self, key: &K, area: Box) -> Option<Box> {
        if self.items.get(key) == Some(&area) {
            return Some(area);
        }
        let before = self.remove(key);
        self.items.insert(key.clone(), area);
        let span = Span::of(&area);
        if span.is_large() {
            self.large.insert(key.clone(), area);
        } else {
            for cell in span.cells() {
                let held = self.cells.entry(cell).or_default();
                held.push((key.clone(), area));
            }
        }
        before
    }

    /// Takes a rectangle out; gives back where it was.
    pub fn remove(&mut self, key: &K) -> Option<Box> {
        let area = self.items.remove(key)?;
        let span = Span::of(&area);
        if span.is_large() {
            self.large.remove(key);
        } else {
            for cell in span.cells() {
                if let Some(held) = self.cells.get_mut(&cell) {
                    held.retain(|(k, _)| k != key);
                    if held.is_empty() {
                        self.cells.remove(&cell);
                    }
                }
            }
        }
        Some(area)
    }

    /// The rectangle of a key.
    pub fn get(&self, key: &K) -> Option<&Box> {
        self.items.get(key)
    }

    /// All rectangles, in the order of their keys.
    pub fn iter(&self) -> impl Iterator<Item = (&K, &Box)> {
        self.items.iter()
    }

    /// The rectangles that share a point with the area, edges included, in the order of their keys.
    pub fn touching(&self, area: &Box) -> Vec<(&K, &Box)> {
        let span = Span::of(area);
        if span.count() > self.cells.len() as i64 {
            return self.items.iter().filter(|(_, b)| touch(area, b)).collect();
        }
        let mut found: Vec<(&K, &Box)> = self.large.iter().collect();
        for column in span.columns.0..=span.columns.1 {
            let rows = (column, span.rows.0)..=(column, span.rows.1);
            for (_, held) in self.cells.range(rows) {
                found.extend(held.iter().map(|(k, b)| (k, b)));
            }
        }
        found.retain(|(_, b)| touch(area, b));
        found.sort_by(|a, b| a.0.cmp(b.0));
        found.dedup_by(|a, b| a.0 == b.0);
        found
    }

    /// The smallest rectangle around all, if there are any.
    pub fn bounds(&self) -> Option<Box> {
        self.items.values().copied().reduce(|a, b| around(&a, &b))
    }
}

/// Whether two rectangles share a point, edges included.
fn touch(a: &Box, b: &Box) -> bool {
    a.x <= b.x + b.w && b.x <= a.x + a.w && a.y <= b.y + b.h && b.y <= a.y + a.h
}

/// The smallest rectangle around two.
pub(super) fn around(a: &Box, b: &Box) -> Box {
    let (x, y) = (a.x.min(b.x), a.y.min(b.y));
    Box {
        x,
        y,
        w: (a.x + a.w).max(b.x + b.w) - x,
        h: (a.y + a.h).max(b.y + b.h) - y,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(x: f64, y: f64, w: f64, h: f64) -> Box {
        Box { x, y, w, h }
    }

    #[test]
    fn finds_what_touches_and_nothing_else() {
        // A fixed sequence of numbers stands for chance.
        let mut state = 7u32;
        let mut any = |most: u32| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from((state >> 8) % most)
        };
        let mut index = Spatial::default();
        for round in 0..2000 {
            let key = any(200) as u32;
            let large = if round % 17 == 0 { 40.0 } else { 1.0 };
            if round % 5 == 0 {
                index.remove(&key);
            } else {
                let wide = any(300) * large;
                index.put(&key, area(any(4000) - 2000.0, any(4000), wide, any(200)));
            }
            let asked = area(any(4000) - 2000.0, any(4000), any(900), any(900));
            let found: Vec<u32> = index.touching(&asked).iter().map(|f| *f.0).collect();
            let all = index.iter().filter(|(_, b)| touch(&asked, b));
            assert_eq!(found, all.map(|(k, _)| *k).collect::<Vec<_>>());
        }
    }

    #[test]
    fn numbers_without_measure_are_taken() {
        let mut index = Spatial::default();
        index.put(&1, area(-1e300, f64::NAN, f64::INFINITY, 1.0));
        index.put(&2, area(1e300, 1e300, 1e300, 1e300));
        index.put(&3, area(0.0, 0.0, 10.0, 10.0));
        let found = index.touching(&area(5.0, 5.0, 1.0, 1.0));
        assert_eq!(found, vec![(&3, &area(0.0, 0.0, 10.0, 10.0))]);
        for key in 1..=3 {
            assert!(index.remove(&key).is_some());
        }
        assert_eq!(index.bounds(), None);
    }
}
