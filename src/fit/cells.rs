//! The cells of a table: pairs of stretches of the dial, between times of panel readings, in which the sun rises and sets;
//! and worlds of each cell to start a fit from.
//!
//! Across a reading's time a rise or set puts a panel into the dark at one go, which no fit follows. Within a cell all is
//! smooth.

use super::arc::{AZIMUTH, Arc, PER_PEAK, RISE, SET};
use super::asks::{Ask, Of, limits};
use super::task::Cell;
use crate::sky::Air;

/// How far a rise keeps before a time at which a panel has sun, and a set after it, in hours: a second, the finest that
/// is answered.
const APART: f64 = 1.0 / 3600.0;
/// A stretch at most this long, in hours, has one start; a longer one three.
const SHORT: f64 = 1.5;
/// Azimuths at rise and heights to start from, in degrees.
const AZIMUTHS: [f64; 4] = [35.0, 70.0, 105.0, 145.0];
const HEIGHTS: [f64; 4] = [12.0, 35.0, 60.0, 83.0];

/// The cells in which at most `lost` panels that give something are in the dark.
pub(super) fn cells(asks: &[&Ask], lost: usize) -> Vec<Cell> {
    let whole = limits(asks);
    let mut times: Vec<f64> = Vec::new();
    // Where no panel gives anything a small peak explains all of them, and they say nothing of the sun.
    if asks.iter().any(|ask| ask.is_lit()) {
        times.extend(asks.iter().filter_map(|ask| ask.hour()));
    }
    times.sort_by(f64::total_cmp);
    times.dedup();
    let mut cells = Vec::new();
    for first in 0..=times.len() {
        // The sun is up at the times from `first` to before `end`.
        for end in first..=times.len() {
            let up = |hour: f64| times[first..end].contains(&hour);
            let is_dark = |ask: &Ask| !times.is_empty() && !ask.hour().is_none_or(up);
            let dark: Vec<&Ask> = asks.iter().copied().filter(|ask| is_dark(ask)).collect();
            let dark_lit: Vec<usize> = dark
                .iter()
                .filter(|ask| ask.is_lit())
                .map(|ask| ask.reading)
                .collect();
            if dark_lit.len() > lost {
                continue;
            }
            let mut limits = whole;
            if first > 0 {
                limits[RISE].0 = times[first - 1];
            }
            if first < times.len() {
                limits[RISE].1 = times[first] - APART;
            }
            if end > 0 {
                limits[SET].0 = times[end - 1] + APART;
            }
            if end < times.len() {
                limits[SET].1 = times[end];
            }
            if limits[RISE].0 > limits[RISE].1 || limits[SET].0 > limits[SET].1 {
                continue;
            }
            let kept = asks.iter().filter(|ask| !is_dark(ask));
            let kept = kept.filter(|ask| !times.is_empty() || ask.hour().is_none());
            cells.push(Cell {
                limits,
                asks: kept.copied().cloned().collect(),
                lost: dark_lit,
            });
        }
    }
    cells
}

impl Cell {
    /// Worlds to start from, each with the sum of squares of what lies outside, the best first; at most `most`.
    pub(super) fn starts(&self, air: Air, most: usize) -> Vec<(f64, Arc)> {
        let rises = self.times(RISE);
        let sets = self.times(SET);
        let azimuths = self.read(AZIMUTH).unwrap_or_else(|| AZIMUTHS.to_vec());
        let mut starts: Vec<(f64, Arc)> = Vec::new();
        for &rise in &rises {
            for &set in sets.iter().filter(|set| **set > rise) {
                for &azimuth in &azimuths {
                    for highest in HEIGHTS {
                        let arc = self.with_peak([rise, set, azimuth, highest], air);
                        let sum = self.outside(arc, air);
                        let place = starts.partition_point(|(other, _)| *other <= sum);
                        if place < most {
                            starts.insert(place, (sum, arc));
                            starts.truncate(most);
                        }
                    }
                }
            }
        }
        if starts.is_empty() {
            // Rise and set in one short stretch: its ends.
            let (rise, set) = (self.limits[RISE].0, self.limits[SET].1);
            let arc = self.with_peak([rise, set, 90.0, 50.0], air);
            starts.push((self.outside(arc, air), arc));
        }
        starts
    }

    /// The sum of squares of what lies outside.
    pub(super) fn outside(&self, arc: Arc, air: Air) -> f64 {
        let outside = self
            .asks
            .iter()
            .map(|ask| ask.outside(ask.value(arc, air), 0.0));
        outside.map(|outside| outside * outside).sum()
    }

    /// The sum of squares of the ways from the middles of the stretches, in halves of their lengths.
    pub(super) fn ways(&self, arc: Arc, air: Air) -> f64 {
        let ways = self.asks.iter().map(|ask| ask.way(ask.value(arc, air)).0);
        ways.map(|way| way * way).sum()
    }

    /// The farthest that anything lies outside.
    pub(super) fn farthest(&self, arc: Arc, air: Air, slack: f64) -> f64 {
        let outside = self
            .asks
            .iter()
            .map(|ask| ask.outside(ask.value(arc, air), slack).abs());
        outside.fold(0.0, f64::max)
    }

    /// What readings say of one of the numbers, brought within the cell.
    fn read(&self, of: usize) -> Option<Vec<f64>> {
        let (low, high) = self.limits[of];
        let read = self.asks.iter().filter_map(|ask| match ask.of {
            Of::Number { place, read, .. } if place == of => Some(read.max(low).min(high)),
            _ => None,
        });
        let mut read: Vec<f64> = read.collect();
        read.dedup();
        (!read.is_empty()).then_some(read)
    }

    fn times(&self, of: usize) -> Vec<f64> {
        if let Some(read) = self.read(of) {
            return read;
        }
        let (low, high) = self.limits[of];
        let shares = if high - low <= SHORT {
            &[0.5][..]
        } else {
            &[1.0 / 6.0, 0.5, 5.0 / 6.0]
        };
        shares
            .iter()
            .map(|share| low + (high - low) * share)
            .collect()
    }

    /// The arc with the peak that fits best by least squares.
    fn with_peak(&self, [rise, set, azimuth, highest]: [f64; 4], air: Air) -> Arc {
        let mut arc = Arc([rise, set, azimuth, highest, 1.0]);
        let (mut above, mut below) = (0.0, 0.0);
        for ask in self.asks.iter().filter(|ask| ask.is_lit()) {
            if let Of::Panel { gives, .. } = ask.of {
                let share = ask.value(arc, air);
                if share > 0.0 {
                    above += share * share;
                    below += share * (gives + 0.5);
                }
            }
        }
        let (low, high) = self.limits[PER_PEAK];
        let per_peak = if below > 0.0 { above / below } else { high };
        arc.0[PER_PEAK] = per_peak.max(low).min(high);
        arc
    }
}
