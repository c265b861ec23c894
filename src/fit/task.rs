//! Nonlinear least squares over an arc's numbers, by Levenberg and Marquardt's method as in MINPACK (the crate rmpfit, a
//! port of CMPFIT: no function of the platform but square roots, so that it goes the same way everywhere).
//!
//! A task stands in one [`Cell`], within which all is smooth. Made least is the sum of squares of the ways of all values
//! from the middles of their stretches, in halves of their lengths.

use super::arc::{Arc, RISE, SET};
use super::asks::Ask;
use crate::sky::Air;
use rmpfit::{MPConfig, MPFitter, MPPar, MPResult, MPSide};

/// A part of the worlds in which the same panels are in the dark.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cell {
    /// How far the arc's numbers go.
    pub(super) limits: [(f64, f64); 5],
    /// The asks that say something there: all but those of panels in the dark that give nothing.
    pub(super) asks: Vec<Ask>,
    /// Readings of panels that give something, and are in the dark there.
    pub(super) lost: Vec<usize>,
}

/// How much more the order of rise and set counts than a reading.
const ORDER: f64 = 1e3;
/// The shortest daylight, in hours: a minute.
const DAYLIGHT: f64 = 1.0 / 60.0;

/// A task of least squares.
pub(super) struct Task<'c> {
    cell: &'c Cell,
    air: Air,
    /// A weight for each ask; none for 1 each.
    weights: Option<&'c [f64]>,
    parameters: [MPPar; 5],
    config: MPConfig,
}

impl<'c> Task<'c> {
    pub(super) fn new(cell: &'c Cell, air: Air) -> Task<'c> {
        let mut config = MPConfig::new();
        config.ftol = 1e-12;
        config.xtol = 1e-10;
        config.gtol = 1e-12;
        config.max_iter = 60;
        let parameters = cell.limits.map(|(low, high)| MPPar {
            fixed: low >= high,
            limited_low: true,
            limited_up: true,
            limit_low: low,
            limit_up: high,
            side: MPSide::User,
            ..MPPar::new()
        });
        Task {
            cell,
            air,
            weights: None,
            parameters,
            config,
        }
    }

    pub(super) fn weights(self, weights: &'c [f64]) -> Task<'c> {
        Task {
            weights: Some(weights),
            ..self
        }
    }

    /// The arc found from `start`, which is brought within the cell.
    pub(super) fn solve(mut self, start: Arc) -> Arc {
        let start = within(start, &self.cell.limits);
        if self.parameters.iter().all(|p| p.fixed) {
            return start;
        }
        let mut found = start.0;
        match self.mpfit(&mut found) {
            Ok(_) if found.iter().all(|n| n.is_finite()) => within(Arc(found), &self.cell.limits),
            _ => start,
        }
    }

    /// Fills the deviations and, where there are columns for them, their derivatives.
    fn work_out(
        &self,
        numbers: &[f64],
        deviates: &mut [f64],
        mut columns: Option<&mut [Option<Vec<f64>>]>,
    ) {
        deviates.fill(0.0);
        let mut arc = Arc([0.0; 5]);
        arc.0.copy_from_slice(numbers);
        let mut put = |row: usize, value: f64, slopes: &[f64; 5], factor: f64| {
            deviates[row] = value;
            if let Some(columns) = &mut columns {
                for (column, slope) in columns.iter_mut().zip(slopes) {
                    if let Some(column) = column {
                        column[row] = slope * factor;
                    }
                }
            }
        };
        let (asks, count) = (&self.cell.asks, self.cell.asks.len());
        for (row, ask) in asks.iter().enumerate() {
            let (value, slopes) = ask.slopes(arc, self.air);
            let (way, steep) = ask.way(value);
            let weight = self.weights.map_or(1.0, |weights| weights[row]);
            put(row, weight * way, &slopes, weight * steep);
        }
        // The sun rises before it sets.
        let late = (arc.0[RISE] + DAYLIGHT - arc.0[SET]) / DAYLIGHT;
        if late > 0.0 {
            let mut slopes = [0.0; 5];
            (slopes[RISE], slopes[SET]) = (1.0 / DAYLIGHT, -1.0 / DAYLIGHT);
            put(count, ORDER * late, &slopes, ORDER);
        }
    }
}

/// The arc with its numbers brought within limits.
pub(super) fn within(arc: Arc, limits: &[(f64, f64); 5]) -> Arc {
    let mut numbers = arc.0;
    for (number, (low, high)) in numbers.iter_mut().zip(limits) {
        *number = if *number < *low {
            *low
        } else if *number > *high {
            *high
        } else {
            *number
        };
    }
    Arc(numbers)
}

impl MPFitter for Task<'_> {
    fn eval(&mut self, params: &[f64], deviates: &mut [f64]) -> MPResult<()> {
        self.work_out(params, deviates, None);
        Ok(())
    }

    fn jacobian(
        &mut self,
        params: &[f64],
        deviates: &mut [f64],
        derivs: &mut [Option<Vec<f64>>],
    ) -> MPResult<()> {
        self.work_out(params, deviates, Some(derivs));
        Ok(())
    }

    fn number_of_points(&self) -> usize {
        let rows = self.cell.asks.len() + 1;
        // The method wants as many deviations as numbers.
        rows.max(5)
    }

    fn config(&self) -> &MPConfig {
        &self.config
    }

    fn parameters(&self) -> &[MPPar] {
        &self.parameters
    }
}
