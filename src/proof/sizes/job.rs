//! A search for the least sizes of a plan: its pieces one after the other, the answer put together from theirs, and what is
//! told beside it. What a piece's search does stands in [`super::search`].

use super::after::After;
use super::grid::{self, Tried};
use super::measure::Worth;
use super::piece::{self, Piece};
use super::search::{Point, Search};
use super::{Ask, Progress, SizedPart, SizedPlan, Sizes, Turned};
use crate::plan::{PartId, Plan};
use crate::proof::check::check;

/// Finds the least sizes of `plan`. `watch` is called after every run, and now and then between
/// two, and says whether to go on; where it says not, the answer holds the best found so far.
pub fn sizes(plan: &Plan, ask: &Ask, watch: &mut dyn FnMut(&Progress) -> bool) -> Sizes {
    let mut job = Job {
        plan,
        ask,
        watch,
        runs: 0,
        stopped: false,
        done: Vec::new(),
    };
    let pieces = piece::pieces(plan);
    if pieces.len() > 1 && !job.search(&pieces) {
        // A contact changed so often that the others' pending changes may matter: the plan is one piece then.
        job.done.clear();
        job.search(&[piece::whole(plan)]);
    } else if pieces.len() <= 1 {
        job.search(&pieces);
    }
    job.answer()
}

/// A piece that was searched.
pub(super) struct Done {
    pub piece: Piece,
    pub units: Vec<Worth>,
    pub tried: Vec<Tried>,
    pub best: Option<Point>,
    pub present: Point,
    pub exact: bool,
    pub most: u64,
}

struct Job<'a> {
    plan: &'a Plan,
    ask: &'a Ask,
    watch: &'a mut dyn FnMut(&Progress) -> bool,
    runs: u64,
    /// Whether no run is left, or the watcher has had enough.
    stopped: bool,
    done: Vec<Done>,
}

impl Job<'_> {
    /// Searches the pieces one after the other; false where one can't be looked at alone.
    fn search(&mut self, pieces: &[Piece]) -> bool {
        for (number, piece) in pieces.iter().enumerate() {
            let units: Vec<Worth> = piece
                .banks
                .iter()
                .map(|bank| self.ask.measure.unit(&piece.plan, &piece.plan.parts[*bank]))
                .collect();
            let mut tried = Vec::new();
            if !piece.duties.is_empty() {
                tried.extend(
                    self.ask
                        .aims
                        .iter()
                        .flat_map(|g| grid::aims(&piece.plan, *g)),
                );
                if self.ask.taps {
                    tried.extend(grid::amounts(&piece.plan));
                }
            }
            let before = self.so_far((number, pieces.len()));
            let left = if self.stopped {
                0
            } else {
                self.ask.runs - self.runs
            };
            let watch = &mut *self.watch;
            let mut tell = |still: u64, best: Option<&Point>| {
                let mut progress = before.clone();
                progress.runs.0 += left - still;
                add(&mut progress, piece, &units, &tried, best);
                watch(&progress)
            };
            let mut search = Search::new(piece, &units, &tried, self.ask.for_ever, left, &mut tell);
            let present = search.present();
            let found = search.go();
            self.runs += left - search.left;
            self.stopped |= !found.exact;
            if found.restless && pieces.len() > 1 {
                return false;
            }
            self.done.push(Done {
                best: found.best,
                present,
                exact: found.exact,
                most: found.most,
                piece: piece.clone(),
                units,
                tried,
            });
        }
        true
    }

    /// What was found in the pieces done.
    fn so_far(&self, pieces: (usize, usize)) -> Progress {
        let mut progress = Progress {
            runs: (self.runs, self.ask.runs),
            pieces,
            found: Vec::new(),
            turned: Vec::new(),
            worth: Some(Worth::default()),
        };
        for done in &self.done {
            let best = done.best.as_ref();
            add(&mut progress, &done.piece, &done.units, &done.tried, best);
        }
        progress
    }

    fn worth(&self, point: impl Fn(&Done) -> Option<&Point>) -> Option<Worth> {
        let mut sum = Worth::default();
        for done in &self.done {
            sum = sum.plus(worth(&done.units, &point(done)?.counts));
        }
        Some(sum)
    }

    /// Lays out each bank, with what was found of it and of the settings where all pieces have something.
    fn lay_out(&self, sizes: &mut Sizes, found: bool) {
        for done in &self.done {
            for (dim, bank) in done.piece.banks.iter().enumerate() {
                let part = &done.piece.plan.parts[*bank];
                let count = done.best.as_ref().map(|b| b.counts[dim]);
                sizes.rows.push(SizedPart {
                    part: part.id.clone(),
                    present: part.count,
                    least: count.filter(|_| found),
                    fewer: None,
                });
            }
            if let Some(best) = done.best.as_ref().filter(|_| found) {
                sizes.turned.extend(turned(&done.tried, best));
            }
        }
        let place = |id: &PartId| self.plan.parts.iter().position(|p| p.id == *id);
        sizes.rows.sort_by_key(|row| place(&row.part));
    }

    fn answer(mut self) -> Sizes {
        let worth = self.worth(|d| Some(&d.present)).unwrap_or_default();
        let present = SizedPlan::of(worth, &check(self.plan));
        if present.does(self.ask) {
            // What the plan has is found, also where no run was left to find it.
            let without = self
                .done
                .iter_mut()
                .filter(|d| d.best.is_none() && !d.exact);
            without.for_each(|d| d.best = Some(d.present.clone()));
        }
        let least = self.worth(|d| d.best.as_ref());
        // One piece that nothing mends is enough for the whole not to be mended.
        let none = self.done.iter().filter(|d| d.best.is_none() && d.exact);
        let none = none.map(|d| d.most).max();
        let mut sizes = Sizes {
            present,
            least: None,
            exact: none.is_some() || self.done.iter().all(|d| d.exact),
            rows: Vec::new(),
            turned: Vec::new(),
            cheaper: None,
            tried: self.done.iter().flat_map(|d| d.tried.clone()).collect(),
            most: none.unwrap_or(1),
            runs: 0,
            stopped: false,
        };
        self.lay_out(&mut sizes, least.is_some());
        if let Some(worth) = least {
            let mut variant = self.plan.clone();
            if variant.apply_all(sizes.edits()).is_ok() {
                let judged = SizedPlan::of(worth, &check(&variant));
                // The pieces' midnights repeat each in its own time, the whole plan's only when all do.
                sizes.exact &= judged.breaks.is_empty();
                sizes.least = Some(judged);
            }
            let progress = self.so_far((self.done.len(), self.done.len()));
            let mut after = After {
                ask: self.ask,
                watch: self.watch,
                progress,
                stopped: self.stopped,
                least: worth,
            };
            after.fewer(&self.done, &mut sizes);
            after.cheaper(&self.done, &mut sizes);
            self.runs = after.progress.runs.0;
            self.stopped = after.stopped;
        }
        sizes.runs = self.runs;
        sizes.stopped = self.stopped;
        sizes
    }
}

/// What counts of units are worth together.
pub(super) fn worth(units: &[Worth], counts: &[u64]) -> Worth {
    let each = units.iter().zip(counts);
    each.fold(Worth::default(), |sum, (unit, count)| {
        sum.plus(unit.times(*count))
    })
}

/// Adds what a piece's combination differs in, and what it is worth.
fn add(
    progress: &mut Progress,
    piece: &Piece,
    units: &[Worth],
    tried: &[Tried],
    point: Option<&Point>,
) {
    let Some(point) = point else {
        progress.worth = None;
        return;
    };
    for (bank, count) in piece.banks.iter().zip(&point.counts) {
        let part = &piece.plan.parts[*bank];
        if part.count != *count {
            progress.found.push((part.id.clone(), *count));
        }
    }
    progress.turned.extend(turned(tried, point));
    progress.worth = progress
        .worth
        .map(|sum| sum.plus(worth(units, &point.counts)));
}

/// The settings of a combination that differ from the plan's.
fn turned(tried: &[Tried], point: &Point) -> Vec<Turned> {
    let each = tried.iter().zip(&point.settings);
    each.filter(|(_, number)| **number > 0)
        .map(|(tried, number)| Turned {
            part: tried.part.clone(),
            present: tried.settings[0],
            least: tried.settings[*number],
        })
        .collect()
}
