//! Sizes: the least counts of sources and batteries, and on request aims and taps, with which a plan keeps its duties;
//! and the reverse, how much more load each could carry.
//!
//! The plan is taken apart into pieces that have nothing to do with each other, and each is searched alone. An answer
//! that calls itself exact is the least of all combinations with a count of 1 or more, with regard to the settings tried:
//! every combination that is worth less was run or is proven to fail. Where the bound on runs is met, or the watcher has
//! had enough, it is the least found so far and says so. That a part could be left out altogether is not asked.
//!
//! What becomes of one fewer is tried after the search, by runs that are counted, told to the watcher and left out as the
//! search's own are. Only the plan and the answer are each run once in any case.
//!
//! Counts are whole, worth as in [`Measure`], times in milliseconds.

mod after;
mod grid;
mod measure;
mod monotone;
mod piece;
mod reserve;
mod search;
mod trial;

pub use grid::{Grid, MOST_AMOUNTS, Setting, Tried};
pub use measure::{Measure, Worth};
pub use reserve::{Carries, Holds, Reserve, banks, reserves};

use super::check::{Check, DAYS, check};
use super::stretch::Stretch;
use crate::plan::{Edit, PartId, Plan};
use after::After;
use piece::Piece;
use search::{Point, Search};
use serde::{Deserialize, Serialize};

/// How many runs a search takes at the most unless it is asked for more.
pub const RUNS: u64 = 20_000;

/// What is asked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ask {
    /// What is to be least.
    pub measure: Measure,
    /// The grid of aims to try, where panels may be turned.
    pub aims: Option<Grid>,
    /// Whether taps may set other amounts aside.
    pub taps: bool,
    /// Whether the duties must be kept for ever; else it is enough that they are kept for as long as a check runs.
    pub for_ever: bool,
    /// How many runs it may take.
    pub runs: u64,
}

impl Default for Ask {
    fn default() -> Ask {
        Ask {
            measure: Measure::Parts,
            aims: None,
            taps: false,
            for_ever: true,
            runs: RUNS,
        }
    }
}

/// What a search must keep to.
#[derive(Clone, Copy, Debug)]
struct Limits {
    for_ever: bool,
}

/// A plan or a variant of it, judged.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Side {
    /// What its sources and batteries are worth.
    pub worth: Worth,
    /// The duties, by their places in the plan, that it breaks, with the first gap of each.
    pub breaks: Vec<(usize, Stretch)>,
    /// Whether that holds for ever.
    pub for_ever: bool,
    /// How many days were run.
    pub days: u64,
}

impl Side {
    /// Whether it does what was asked. A run that ended before its days were over shows nothing.
    pub fn does(&self, ask: &Ask) -> bool {
        self.breaks.is_empty() && (self.for_ever || (!ask.for_ever && self.days >= DAYS))
    }
}

/// A source or battery in the answer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Row {
    /// The part.
    pub part: PartId,
    /// Its count in the plan.
    pub present: u64,
    /// Its count in the least combination, where one was found.
    pub least: Option<u64>,
    /// What becomes of the least combination with one of these fewer, where it has more than one and that was tried.
    pub fewer: Option<Side>,
}

/// A setting in the answer that differs from the plan's.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Turned {
    /// The part.
    pub part: PartId,
    /// Its setting in the plan.
    pub present: Setting,
    /// Its setting in the least combination.
    pub least: Setting,
}

/// A combination that is worth less than the least and fails.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cheaper {
    /// The counts that differ from the least combination's.
    pub counts: Vec<(PartId, u64)>,
    /// How it fails.
    pub side: Side,
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sizes {
    /// The plan as it is.
    pub present: Side,
    /// The least combination found; none where none keeps the duties.
    pub least: Option<Side>,
    /// Whether it is certain that nothing that is worth less keeps the duties; without a least combination, that nothing
    /// with up to `most` of each does.
    pub exact: bool,
    /// The sources and batteries, in the plan's order.
    pub rows: Vec<Row>,
    /// The settings that differ.
    pub turned: Vec<Turned>,
    /// The dearest combination that is cheaper and differs from the least in the count of two parts at the most, where it
    /// was tried.
    pub cheaper: Option<Cheaper>,
    /// The settings that were tried.
    pub tried: Vec<Tried>,
    /// Up to how many of every bank were tried or are proven to fail, where no combination was found: for
    /// [`crate::limits::COUNT`], as many as a plan can have.
    pub most: u64,
    /// How many runs it took.
    pub runs: u64,
}

/// How far a search is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Progress {
    /// Runs so far, and the most there may be.
    pub runs: (u64, u64),
    /// Pieces of the plan done, and how many there are.
    pub pieces: (usize, usize),
    /// The least found so far where it differs from the plan: parts with their counts.
    pub found: Vec<(PartId, u64)>,
    /// Its settings that differ from the plan's.
    pub turned: Vec<Turned>,
    /// What it is worth; none while some piece has none.
    pub worth: Option<Worth>,
}

impl Progress {
    /// The edits that give the plan what was found so far; none while some piece has nothing.
    pub fn edits(&self) -> Vec<Edit> {
        match self.worth {
            Some(_) => edits(self.found.iter().cloned(), &self.turned),
            None => Vec::new(),
        }
    }
}

/// The edits that give parts these counts and settings.
fn edits(counts: impl Iterator<Item = (PartId, u64)>, turned: &[Turned]) -> Vec<Edit> {
    let settings = turned.iter().flat_map(|turned| {
        let entries = grid::entries(turned.least).into_iter();
        entries.map(|(key, value)| Edit::Set(turned.part.clone(), key.to_string(), Some(value)))
    });
    counts
        .map(|(part, count)| Edit::Count(part, count))
        .chain(settings)
        .collect()
}

impl Sizes {
    /// The edits that give the plan the least sizes found; none where it has them.
    pub fn edits(&self) -> Vec<Edit> {
        let counts = self.rows.iter().filter_map(|row| {
            let least = row.least.filter(|least| *least != row.present)?;
            Some((row.part.clone(), least))
        });
        edits(counts, &self.turned)
    }
}

/// Finds the least sizes of `plan`. `watch` is called after every run and says whether to go on.
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
struct Done {
    piece: Piece,
    units: Vec<Worth>,
    tried: Vec<Tried>,
    best: Option<Point>,
    present: Point,
    exact: bool,
    most: u64,
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
            let mut taken = 0;
            let mut tell = |best: Option<&Point>| {
                taken += 1;
                let mut progress = before.clone();
                progress.runs.0 += taken;
                add(&mut progress, piece, &units, &tried, best);
                watch(&progress)
            };
            let limits = Limits {
                for_ever: self.ask.for_ever,
            };
            let mut search = Search::new(piece, &units, &tried, limits, left, &mut tell);
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

    fn answer(mut self) -> Sizes {
        let worth = self.worth(|d| Some(&d.present)).unwrap_or_default();
        let present = side(worth, &check(self.plan));
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
        };
        for done in &self.done {
            for (dim, bank) in done.piece.banks.iter().enumerate() {
                let part = &done.piece.plan.parts[*bank];
                let count = done.best.as_ref().map(|b| b.counts[dim]);
                sizes.rows.push(Row {
                    part: part.id.clone(),
                    present: part.count,
                    least: least.and(count),
                    fewer: None,
                });
            }
            if let (Some(best), Some(_)) = (&done.best, least) {
                sizes.turned.extend(turned(&done.tried, best));
            }
        }
        let place = |id: &PartId| self.plan.parts.iter().position(|p| p.id == *id);
        sizes.rows.sort_by_key(|row| place(&row.part));
        if let Some(worth) = least {
            let mut variant = self.plan.clone();
            if variant.apply_all(sizes.edits()).is_ok() {
                let judged = side(worth, &check(&variant));
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
        }
        sizes.runs = self.runs;
        sizes
    }
}

fn worth(units: &[Worth], counts: &[u64]) -> Worth {
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

fn side(worth: Worth, check: &Check) -> Side {
    let broken = check.duties.iter().enumerate();
    Side {
        worth,
        breaks: broken
            .filter_map(|(at, d)| Some((at, *d.gaps.first()?)))
            .collect(),
        for_ever: check.for_ever,
        days: check.days,
    }
}
