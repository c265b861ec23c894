//! Which readings contradict the others, and what is left of the worlds without them.
//!
//! First every reading is left out in turn. Where that mends nothing, several are looked for that are far off a fit that
//! trusts far readings less (Cauchy's weights). Where there are too many of those, the readings are taken to be right to
//! less than they say.

use super::arc::Arc;
use super::asks::Ask;
use super::cells::cells;
use super::search::{Part, STARTS, explaining, is_explained};
use super::task::{Cell, Task};
use crate::sky::Air;

/// The worlds that are left, and what was taken away to have any.
#[derive(Clone, Debug)]
pub(super) struct Left {
    pub(super) parts: Vec<Part>,
    /// Readings that, left out, let the rest be explained: any one of them, or all of them together.
    pub(super) contradicts: Vec<usize>,
    /// How much more than they say the readings may be off.
    pub(super) slack: f64,
}

/// A reading is far off where it is so many times as far as the next.
const FAR: f64 = 4.0;
/// Several readings are only blamed where each is off by more units than this.
const GROSS: f64 = 2.0;
/// How often the weights are worked out anew.
const TURNS: usize = 12;

/// What is left of the worlds; `tell` hears how many readings of how many were left out in turn.
pub(super) fn left(asks: &[&Ask], airs: &[Air], tell: &mut dyn FnMut(u64, u64)) -> Left {
    let found = |parts, contradicts, slack| Left {
        parts,
        contradicts,
        slack,
    };
    // At midnight there is no sun on any arc.
    let never = |ask: &&&Ask| ask.is_lit() && ask.hour() == Some(0.0);
    let mut never: Vec<usize> = asks.iter().filter(never).map(|ask| ask.reading).collect();
    never.dedup();
    let asks = without(asks, &never);
    let parts = explaining(&asks, airs, 0.0);
    if !parts.is_empty() {
        return found(parts, never, 0.0);
    }
    let mut readings: Vec<usize> = asks.iter().map(|ask| ask.reading).collect();
    readings.dedup();
    let mut one = Vec::new();
    for (done, reading) in readings.iter().enumerate() {
        tell(done as u64, readings.len() as u64);
        if is_explained(&without(&asks, &[*reading]), airs) {
            one.push(*reading);
        }
    }
    if !one.is_empty() && never.is_empty() {
        let each = one.iter().map(|reading| without(&asks, &[*reading]));
        let parts = each.flat_map(|asks| explaining(&asks, airs, 0.0));
        return found(parts.collect(), one, 0.0);
    }
    let far = by_distance(&asks, airs, readings.len() / 4 + 1);
    for several in 1..=far.len().min(most_wrong(readings.len())) {
        let mut out: Vec<usize> = far[..several].iter().map(|(reading, _)| *reading).collect();
        if !is_explained(&without(&asks, &out), airs) {
            continue;
        }
        // Those that need not be left out are taken back.
        for (reading, _) in far[..several].iter().rev() {
            let fewer: Vec<usize> = out.iter().copied().filter(|r| r != reading).collect();
            if is_explained(&without(&asks, &fewer), airs) {
                out = fewer;
            }
        }
        let parts = explaining(&without(&asks, &out), airs, 0.0);
        let blamed = |part: &Part| part.is_far_from(&asks, &out);
        if !parts.is_empty() && (out.len() == 1 || parts.iter().all(blamed)) {
            out.extend(&never);
            out.sort_unstable();
            return found(parts, out, 0.0);
        }
    }
    let mut out = never;
    let gap = far
        .windows(2)
        .position(|pair| pair[0].1 > 1.0 && pair[0].1 > FAR * pair[1].1);
    if let Some(gap) = gap.filter(|gap| *gap < most_wrong(readings.len())) {
        out.extend(far[..=gap].iter().map(|(reading, _)| *reading));
        out.sort_unstable();
    }
    loosened(&without(&asks, &out), airs, out)
}

impl Part {
    /// Whether the worlds of the part leave each of some readings off by more than [`GROSS`]: small slips are to be expected of all
    /// readings rather than of a few.
    fn is_far_from(&self, asks: &[&Ask], out: &[usize]) -> bool {
        let far = |ask: &&Ask, arc: &Arc| ask.residual(*arc, self.air).abs() > GROSS;
        let blamed = |reading: &usize, arc: &Arc| {
            let mut own = asks.iter().filter(|ask| ask.reading == *reading);
            own.any(|ask| far(ask, arc))
        };
        let mut worlds = self.worlds.iter();
        worlds.any(|arc| out.iter().all(|reading| blamed(reading, arc)))
    }
}

/// How many of so many readings may be wrong before none is believed more than another.
fn most_wrong(readings: usize) -> usize {
    (readings / 5).max(2).min(readings / 2)
}

fn without<'a>(asks: &[&'a Ask], out: &[usize]) -> Vec<&'a Ask> {
    let kept = asks.iter().filter(|ask| !out.contains(&ask.reading));
    kept.copied().collect()
}

/// The least-squares worlds of `asks`, and how far they leave the farthest reading: so much more all may be off.
fn loosened(asks: &[&Ask], airs: &[Air], contradicts: Vec<usize>) -> Left {
    let mut best: Option<(f64, Part)> = None;
    for &air in airs {
        for cell in cells(asks, 0) {
            for (_, start) in cell.starts(air, STARTS) {
                let arc = Task::new(&cell, air).solve(start);
                let sum = cell.ways(arc, air);
                if best.as_ref().is_none_or(|(least, _)| sum < *least) {
                    let worlds = vec![arc];
                    let cell = cell.clone();
                    best = Some((sum, Part { air, cell, worlds }));
                }
            }
        }
    }
    let Some((_, part)) = best else {
        return Left {
            parts: Vec::new(),
            contradicts,
            slack: 0.0,
        };
    };
    let farthest = part.cell.farthest(part.worlds[0], part.air, 0.0);
    let slack = (farthest * LOOSER).max(1.0);
    let mut parts = explaining(asks, airs, slack);
    if parts.is_empty() {
        parts.push(part);
    }
    Left {
        parts,
        contradicts,
        slack,
    }
}

/// How much more than the farthest reading is off all may be; at least one unit.
const LOOSER: f64 = 1.2;

/// The readings that are off a fit which trusts far ones less, the farthest first, with how far each is off.
fn by_distance(asks: &[&Ask], airs: &[Air], lost: usize) -> Vec<(usize, f64)> {
    let mut best: Option<(f64, Air, Arc)> = None;
    for &air in airs {
        let mut starts: Vec<(f64, Cell, Arc)> = Vec::new();
        for cell in cells(asks, lost.min(2)) {
            let first = cell.starts(air, 1).into_iter();
            // A start is as good as it leaves few readings far off, those in the dark among them.
            starts.extend(first.map(|(_, arc)| (distrust(asks, arc, air), cell.clone(), arc)));
        }
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, cell, start) in starts.into_iter().take(8) {
            let mut arc = start;
            for _ in 0..TURNS {
                let weight = |ask: &Ask| {
                    let (way, _) = ask.way(ask.value(arc, air));
                    1.0 / (1.0 + way * way / 4.0).sqrt()
                };
                let weights: Vec<f64> = cell.asks.iter().map(weight).collect();
                arc = Task::new(&cell, air).weights(&weights).solve(arc);
            }
            let sum = distrust(asks, arc, air);
            if best.is_none_or(|(least, ..)| sum < least) {
                best = Some((sum, air, arc));
            }
        }
    }
    let Some((_, air, arc)) = best else {
        return Vec::new();
    };
    let mut far: Vec<(usize, f64)> = Vec::new();
    for ask in asks {
        let off = ask.residual(arc, air).abs();
        match far.last_mut() {
            Some((reading, most)) if *reading == ask.reading => *most = most.max(off),
            _ => far.push((ask.reading, off)),
        }
    }
    far.retain(|(_, off)| *off > 0.0);
    far.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    far
}

/// The sum of the logarithms by which Cauchy's weights count what is far off.
fn distrust(asks: &[&Ask], arc: Arc, air: Air) -> f64 {
    let each = asks.iter().map(|ask| {
        let way = 2.0 * ask.residual(arc, air);
        libm::log1p(way * way / 4.0)
    });
    each.sum()
}
