//! Sequential linear programming with a trust region: an arc goes on, step by step, to the best that the readings allow
//! when each of them is taken as even around where it stands (R. Fletcher, E. Sainz de la Maza, "Nonlinear programming
//! and nonsmooth optimization by successive linear programming", Mathematical Programming 43, 1989).
//!
//! The best lies where stretches end, in a corner, and corners are found exactly where least squares creep.

use super::arc::{Arc, PER_PEAK, RISE, SET};
use super::linear::{Row, UNKNOWNS, Vector, best, dot};
use super::task::{Cell, within};
use crate::sky::Air;

/// The place of the sixth unknown: how far anything may lie outside.
const OUTSIDE: usize = 5;
/// How much the way outside counts against the way of what is pushed.
const PRICE: f64 = 1e3;
/// How often a step is bent.
const BENDS: usize = 4;
/// The most steps.
const STEPS: usize = 80;
/// So many steps that each do little for the way inside that is left are enough.
const PATIENCE: usize = 5;
/// Steps shorter than this, in the scale of the numbers, are none.
const SHORT: f64 = 1e-9;
/// The shortest daylight, in hours: a minute.
const DAYLIGHT: f64 = 1.0 / 60.0;

/// What an arc goes after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Aim {
    /// Nothing outside its stretch, and every value as far inside as goes, up to so much.
    Inside(f64),
    /// One number as large as goes, or as small.
    End { place: usize, up: bool },
    /// The least of the largest ways of its numbers from others, each in its measure.
    Near { arc: Arc, measure: [f64; 5] },
}

/// A way through a cell.
pub(super) struct Way<'c> {
    pub(super) cell: &'c Cell,
    pub(super) air: Air,
    /// How much more than they say the readings may be off.
    pub(super) slack: f64,
    pub(super) aim: Aim,
}

impl Way<'_> {
    /// Goes from `start`; the arc is at least as good as that.
    pub(super) fn go(&self, start: Arc) -> Arc {
        let mut arc = within(start, &self.cell.limits);
        let mut merit = self.merit(arc);
        let mut reach = 0.5;
        let mut stale = 0;
        for _ in 0..STEPS {
            if matches!(self.aim, Aim::Inside(enough) if merit >= enough) {
                break;
            }
            let scale = self.scale(arc);
            let rows = self.rows(arc, &scale);
            let Some((step, expected)) = self.step(arc, &scale, reach, &rows, &[]) else {
                reach *= 0.25;
                if reach < SHORT {
                    break;
                }
                continue;
            };
            if expected <= 1e-11 {
                break;
            }
            let (next, new) = self.bend(arc, step, &scale, reach, &rows, merit + 0.9 * expected);
            let share = (new - merit) / expected;
            if let Aim::Inside(enough) = self.aim {
                let little = new - merit < 0.05 * (enough - merit);
                stale = if little { stale + 1 } else { 0 };
                if stale > PATIENCE {
                    break;
                }
            }
            if new > merit && share > 0.01 {
                (arc, merit) = (next, new);
            }
            let longest = step[..OUTSIDE]
                .iter()
                .fold(0.0, |most: f64, d| most.max(d.abs()));
            if share < 0.25 {
                reach = longest.min(reach) * 0.3;
            } else if share > 0.5 && longest > 0.99 * reach {
                reach = (reach * 2.0).min(4.0);
            }
            if reach < SHORT {
                break;
            }
        }
        arc
    }

    /// Where a step leads, and how good that is. While it is less than `enough`, what the curves of the readings took away
    /// is given back.
    fn bend(
        &self,
        arc: Arc,
        step: Vector,
        scale: &[f64; 5],
        reach: f64,
        rows: &[Row],
        enough: f64,
    ) -> (Arc, f64) {
        let mut best = self.after(arc, &step, scale);
        let mut last = (best.0, step);
        for _ in 0..BENDS {
            if best.1 > enough {
                break;
            }
            let bent = self.bent(last.0, &last.1, rows);
            let Some((other, _)) = self.step(arc, scale, reach, rows, &bent) else {
                break;
            };
            let there = self.after(arc, &other, scale);
            last = (there.0, other);
            if there.1 <= best.1 {
                break;
            }
            best = there;
        }
        best
    }

    /// What is to become large: the aim, less what lies outside.
    fn merit(&self, arc: Arc) -> f64 {
        let farthest = self.farthest(arc);
        let scale = self.cell_scale();
        match self.aim {
            Aim::Inside(_) => -farthest,
            Aim::End { place, up } => {
                let way = arc.0[place] / scale[place];
                (if up { way } else { -way }) - PRICE * farthest.max(0.0)
            }
            Aim::Near {
                arc: other,
                measure,
            } => {
                let ways = arc.0.iter().zip(other.0).zip(measure);
                let far = ways.map(|((a, b), m)| (a - b).abs() / m);
                -far.fold(0.0, f64::max) - PRICE * farthest.max(0.0)
            }
        }
    }

    /// The farthest outside, negative where all lies inside.
    fn farthest(&self, arc: Arc) -> f64 {
        let mut farthest = (arc.0[RISE] + DAYLIGHT - arc.0[SET]) / DAYLIGHT;
        for ask in &self.cell.asks {
            let (low, high) = ask.stretch(self.slack);
            let value = ask.value(arc, self.air);
            farthest = farthest.max(value - high).max(low - value);
        }
        farthest
    }

    /// A measure for each number, the same throughout a cell.
    fn cell_scale(&self) -> [f64; 5] {
        [1.0, 1.0, 10.0, 10.0, self.cell.limits[PER_PEAK].1]
    }

    /// A measure for each number's step; one over the peak goes in shares of itself.
    fn scale(&self, arc: Arc) -> [f64; 5] {
        let mut scale = self.cell_scale();
        scale[PER_PEAK] = arc.0[PER_PEAK];
        scale
    }

    /// The readings, taken as even around an arc: what a step may be.
    fn rows(&self, arc: Arc, scale: &[f64; 5]) -> Vec<Row> {
        let mut rows = Vec::with_capacity(2 * self.cell.asks.len() + 8);
        let mut along = [0.0; UNKNOWNS];
        (along[RISE], along[SET]) = (scale[RISE] / DAYLIGHT, -scale[SET] / DAYLIGHT);
        along[OUTSIDE] = -1.0;
        let most = (arc.0[SET] - arc.0[RISE] - DAYLIGHT) / DAYLIGHT;
        rows.push(Row { along, most });
        for ask in &self.cell.asks {
            let (low, high) = ask.stretch(self.slack);
            let (value, slopes) = ask.slopes(arc, self.air);
            let mut along = [0.0; UNKNOWNS];
            for ((along, slope), scale) in along.iter_mut().zip(slopes).zip(scale) {
                *along = slope * scale;
            }
            let mut back = along.map(|a| -a);
            (along[OUTSIDE], back[OUTSIDE]) = (-1.0, -1.0);
            // An end that is not there bounds nothing.
            if low.is_finite() {
                let most = value - low;
                rows.push(Row { along: back, most });
            }
            let most = high - value;
            rows.push(Row { along, most });
        }
        rows
    }

    /// By how much each row was farther off after a step than it should have been.
    fn bent(&self, next: Arc, step: &Vector, rows: &[Row]) -> Vec<f64> {
        let mut values = vec![(next.0[RISE] + DAYLIGHT - next.0[SET]) / DAYLIGHT];
        for ask in &self.cell.asks {
            let (low, high) = ask.stretch(self.slack);
            let value = ask.value(next, self.air);
            if low.is_finite() {
                values.push(low - value);
            }
            values.push(value - high);
        }
        let mut even = *step;
        even[OUTSIDE] = 0.0;
        let each = values.iter().zip(rows);
        each.map(|(value, row)| value - (dot(&row.along, &even) - row.most))
            .collect()
    }

    /// The best step within reach, and the gain that it promises.
    fn step(
        &self,
        arc: Arc,
        scale: &[f64; 5],
        reach: f64,
        rows: &[Row],
        bent: &[f64],
    ) -> Option<(Vector, f64)> {
        let mut rows = rows.to_vec();
        for (row, bent) in rows.iter_mut().zip(bent) {
            row.most -= bent;
        }
        for (place, (low, high)) in self.cell.limits.iter().enumerate() {
            let mut along = [0.0; UNKNOWNS];
            along[place] = 1.0;
            let most = (high - arc.0[place]) / scale[place];
            rows.push(Row { along, most });
            let most = (arc.0[place] - low) / scale[place];
            let along = along.map(|a| -a);
            rows.push(Row { along, most });
        }
        let farthest = self.farthest(arc);
        let mut bounds = [reach; UNKNOWNS];
        bounds[OUTSIDE] = farthest.abs() + 2.0;
        let mut worth = [0.0; UNKNOWNS];
        let fixed = self.cell_scale();
        let mut nothing = [0.0; UNKNOWNS];
        nothing[OUTSIDE] = -1.0;
        match self.aim {
            Aim::Inside(enough) => {
                worth[OUTSIDE] = -1.0;
                rows.push(Row {
                    along: nothing,
                    most: enough,
                });
            }
            Aim::End { place, up } => {
                worth[place] = scale[place] / fixed[place] * if up { 1.0 } else { -1.0 };
                worth[OUTSIDE] = -PRICE;
                rows.push(Row {
                    along: nothing,
                    most: 0.0,
                });
            }
            Aim::Near { .. } => return self.nearer(arc, scale, reach, rows),
        }
        let step = best(worth, bounds, &rows)?;
        let mut from = [0.0; UNKNOWNS];
        from[OUTSIDE] = match self.aim {
            Aim::Inside(_) => farthest,
            _ => farthest.max(0.0),
        };
        let gain = dot(&worth, &step) - dot(&worth, &from);
        Some((step, gain))
    }

    /// As [`Way::step`] for nearness: the sixth unknown is the largest way from the other arc, and no reading gives way.
    fn nearer(
        &self,
        arc: Arc,
        scale: &[f64; 5],
        reach: f64,
        mut rows: Vec<Row>,
    ) -> Option<(Vector, f64)> {
        let Aim::Near {
            arc: other,
            measure,
        } = self.aim
        else {
            return None;
        };
        for row in &mut rows {
            row.along[OUTSIDE] = 0.0;
        }
        let mut far: f64 = 0.0;
        for place in 0..5 {
            let way = (arc.0[place] - other.0[place]) / measure[place];
            far = far.max(way.abs());
            let mut along = [0.0; UNKNOWNS];
            along[place] = scale[place] / measure[place];
            along[OUTSIDE] = -1.0;
            rows.push(Row { along, most: -way });
            along[place] = -along[place];
            rows.push(Row { along, most: way });
        }
        let mut bounds = [reach; UNKNOWNS];
        bounds[OUTSIDE] = far + 1.0;
        let mut worth = [0.0; UNKNOWNS];
        worth[OUTSIDE] = -1.0;
        let step = best(worth, bounds, &rows)?;
        let gain = far - step[OUTSIDE] + PRICE * self.farthest(arc).max(0.0);
        Some((step, gain))
    }

    fn after(&self, arc: Arc, step: &Vector, scale: &[f64; 5]) -> (Arc, f64) {
        let mut numbers = arc.0;
        for ((number, step), scale) in numbers.iter_mut().zip(step).zip(scale) {
            *number += step * scale;
        }
        let next = within(Arc(numbers), &self.cell.limits);
        (next, self.merit(next))
    }
}
