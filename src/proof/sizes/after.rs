//! What is told beside the least: what becomes of it with one fewer of a bank, and with the dearest cheaper combination.
//!
//! Each is a run, judged within its piece: counted, told to the watcher, and left out where no run is left or the watcher
//! has had enough. Nothing here says that the least is the least.

use super::job::{Done, worth};
use super::measure::Worth;
use super::search::{self, Point};
use super::{Ask, Cheaper, Progress, SizedPlan, Sizes};
use crate::limits::COUNT;
use crate::proof::check::check;

/// The runs after a search.
pub(super) struct After<'a> {
    pub ask: &'a Ask,
    pub watch: &'a mut dyn FnMut(&Progress) -> bool,
    /// How far all is.
    pub progress: Progress,
    /// Whether nothing is to be run any more.
    pub stopped: bool,
    /// What the least is worth.
    pub least: Worth,
}

impl After<'_> {
    /// What each bank's last unit is needed for.
    pub fn fewer(&mut self, all: &[Done], sizes: &mut Sizes) {
        for done in all {
            let Some(best) = &done.best else { continue };
            for (dim, bank) in done.piece.banks.iter().enumerate() {
                if best.counts[dim] < 2 {
                    continue;
                }
                let mut point = best.clone();
                point.counts[dim] -= 1;
                let Some(side) = self.judge(done, &point) else {
                    return;
                };
                let id = &done.piece.plan.parts[*bank].id;
                if let Some(row) = sizes.rows.iter_mut().find(|r| r.part == *id) {
                    row.fewer = Some(side);
                }
            }
        }
    }

    /// The dearest cheaper combination: one bank less, and of another as many more as stay cheaper.
    pub fn cheaper(&mut self, all: &[Done], sizes: &mut Sizes) {
        let mut dearest: Option<(Worth, &Done, Point)> = None;
        for done in all {
            let Some(best) = &done.best else { continue };
            let whole = worth(&done.units, &best.counts);
            for point in swaps(done, best) {
                let worth = swapped(self.least, whole, worth(&done.units, &point.counts));
                if dearest.as_ref().is_none_or(|(other, ..)| worth > *other) {
                    dearest = Some((worth, done, point));
                }
            }
        }
        sizes.cheaper = dearest.and_then(|(_, done, point)| {
            let best = done.best.as_ref()?;
            let side = self.judge(done, &point)?;
            let counts = done.piece.banks.iter().enumerate();
            Some(Cheaper {
                counts: counts
                    .filter(|(dim, _)| best.counts[*dim] != point.counts[*dim])
                    .map(|(dim, bank)| (done.piece.plan.parts[*bank].id.clone(), point.counts[dim]))
                    .collect(),
                side,
            })
        });
    }

    /// The least combination with another one for one of its pieces, judged within the piece; none where it is left out.
    fn judge(&mut self, done: &Done, point: &Point) -> Option<SizedPlan> {
        if self.stopped || self.progress.runs.0 >= self.ask.runs {
            return None;
        }
        let mut plan = done.piece.plan.clone();
        for (bank, count) in done.piece.banks.iter().zip(&point.counts) {
            plan.parts[*bank].count = *count;
        }
        search::set(&mut plan.parts, &done.tried, &point.settings);
        let best = done.best.as_ref().unwrap_or(point);
        let (whole, now) = (
            worth(&done.units, &best.counts),
            worth(&done.units, &point.counts),
        );
        let mut side = SizedPlan::of(swapped(self.least, whole, now), &check(&plan));
        for (duty, _) in &mut side.breaks {
            *duty = done.piece.duties[*duty];
        }
        self.progress.runs.0 += 1;
        self.stopped = !(self.watch)(&self.progress);
        Some(side)
    }
}

/// The combinations of a piece that have one less of a bank and as many more of another as stay cheaper than `best`. Banks
/// whose units are worth the same stand in for each other, so one of each kind of unit is enough.
fn swaps(done: &Done, best: &Point) -> Vec<Point> {
    let units = &done.units;
    let whole = worth(units, &best.counts);
    let first_of_kind = |fit: &dyn Fn(usize) -> bool| {
        let mut kinds = std::collections::BTreeMap::new();
        for dim in (0..units.len()).filter(|dim| fit(*dim)) {
            kinds.entry(units[dim]).or_insert(dim);
        }
        let mut dims: Vec<usize> = kinds.into_values().collect();
        dims.sort_unstable();
        dims
    };
    let kinds = first_of_kind(&|_| true);
    let mut found = Vec::new();
    for less in first_of_kind(&|dim| best.counts[dim] > 1) {
        let mut fewer = best.clone();
        fewer.counts[less] -= 1;
        let left = worth(units, &fewer.counts);
        for kind in &kinds {
            if units[*kind] == units[less] {
                // Another of the same worth would be no cheaper.
                found.push(fewer.clone());
                continue;
            }
            let room = whole.room(left, units[*kind], COUNT - 1);
            let same = (0..units.len()).filter(|dim| units[*dim] == units[*kind]);
            let more = same.max_by_key(|dim| {
                let fits = room.min(COUNT.saturating_sub(fewer.counts[*dim]));
                (fits, std::cmp::Reverse(*dim))
            });
            let Some(more) = more else { continue };
            let mut point = fewer.clone();
            point.counts[more] = point.counts[more].saturating_add(room).min(COUNT);
            found.push(point);
        }
    }
    found
}

/// What a sum is worth with one of its terms in place of another.
fn swapped(sum: Worth, term: Worth, other: Worth) -> Worth {
    Worth {
        cost: sum
            .cost
            .saturating_add(other.cost)
            .saturating_sub(term.cost),
        parts: sum
            .parts
            .saturating_add(other.parts)
            .saturating_sub(term.parts),
    }
}
