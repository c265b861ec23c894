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
mod cover;
mod given;
mod grid;
mod job;
mod measure;
mod monotone;
mod piece;
mod search;
mod settings;
mod spare;

pub use grid::{Grid, MOST_AMOUNTS, Setting, Tried};
pub use job::sizes;
pub use measure::{Measure, Worth};
pub use spare::{Carries, MoreCapacity, Spare, banks, spares};

use super::check::{Check, DAYS};
use super::stretch::Stretch;
use crate::plan::{Edit, PartId};
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

/// A plan or a variant of it, judged.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SizedPlan {
    /// What its sources and batteries are worth.
    pub worth: Worth,
    /// The duties, by their places in the plan, that it breaks, with the first gap of each.
    pub breaks: Vec<(usize, Stretch)>,
    /// Whether that holds for ever.
    pub for_ever: bool,
    /// How many days were run.
    pub days: u64,
}

impl SizedPlan {
    /// What a check says of a combination of this worth.
    fn of(worth: Worth, check: &Check) -> SizedPlan {
        let broken = check.duties.iter().enumerate();
        SizedPlan {
            worth,
            breaks: broken
                .filter_map(|(at, d)| Some((at, *d.gaps.first()?)))
                .collect(),
            for_ever: check.for_ever,
            days: check.days,
        }
    }

    /// Whether it does what was asked. A run that ended before its days were over shows nothing.
    pub fn does(&self, ask: &Ask) -> bool {
        self.breaks.is_empty() && (self.for_ever || (!ask.for_ever && self.days >= DAYS))
    }
}

/// A source or battery in the answer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SizedPart {
    /// The part.
    pub part: PartId,
    /// Its count in the plan.
    pub present: u64,
    /// Its count in the least combination, where one was found.
    pub least: Option<u64>,
    /// What becomes of the least combination with one of these fewer, where it has more than one and that was tried.
    pub fewer: Option<SizedPlan>,
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
    pub side: SizedPlan,
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sizes {
    /// The plan as it is.
    pub present: SizedPlan,
    /// The least combination found; none where none keeps the duties.
    pub least: Option<SizedPlan>,
    /// Whether it is certain that nothing that is worth less keeps the duties; without a least combination, that nothing
    /// with up to `most` of each does.
    pub exact: bool,
    /// The sources and batteries, in the plan's order.
    pub rows: Vec<SizedPart>,
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
    /// Whether it was ended before it was complete: no run was left, or the watcher had enough.
    pub stopped: bool,
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
