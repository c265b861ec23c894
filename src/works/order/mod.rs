//! The order of work: in which steps a plan is built, and what is to be read at each check. Centimetres, steps, per mille.
//!
//! The method is that of putting an installation into service line by line (common practice, no source):
//!
//! 1. The plan is parted into branches (`branches`): what a tap, a divider, a busbar, a changeover or a battery separates.
//!    A branch comes after those that its power and its signals come from, so a control circuit stands and is checked
//!    before the contact that it works.
//! 2. In a branch (`visits`) every part is put in its place and set at once. Then the wires are laid from the far end
//!    towards the supply. Those by which power comes in are last: first those from branches that are live already, at the
//!    very end those out of sources and batteries. So nothing in a branch is live while one works at it.
//! 3. Then it is checked (`checks`): what the run of the plan as it then stands shows of the branch's loads, contacts,
//!    batteries and meters, and of those elsewhere that show something else than at their last check.
//!
//! What that leaves free (branches, parts of a branch, wires of equal rank) goes by little walking ([`super::tour`]), and
//! where that says nothing by the plan's order. A wire that closes a loop is in the plan too: a part of a plan has no
//! closed loop that the plan has not. Steps are data; `words` says them. A plan's duties, names and places on the board
//! are no work.

mod branches;
mod checks;
mod visits;
pub(super) mod words;

pub use checks::{Reads, Shows};

use super::tour::Tour;
use crate::clock::Clock;
use crate::plan::{End, PartId, Plan, WireId};
use branches::Branches;
use checks::Checks;
use serde::{Deserialize, Serialize};
use visits::Visits;

/// How far it is from one part to another, in centimetres.
pub type Distance<'a> = &'a dyn Fn(&PartId, &PartId) -> u64;

/// In which steps a plan is built.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkOrder {
    /// The time of day 1 that checks are for.
    pub at: Clock,
    /// The steps, in order.
    pub steps: Vec<WorkStep>,
    /// How far one walks from place to place.
    pub walk_cm: u64,
}

/// One step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkStep {
    /// The number of the branch that it belongs to, from 1.
    pub branch: usize,
    /// What is done.
    pub work: Work,
}

/// What is done in a step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Work {
    /// A part is put in its place, with the book's settings.
    Place {
        /// The part.
        part: PartId,
        /// How many equal ones.
        count: u64,
    },
    /// A part gets its settings.
    Set {
        /// The part.
        part: PartId,
        /// The names of the settings; their values are the plan's.
        names: Vec<String>,
    },
    /// A wire is laid.
    Wire {
        /// The wire.
        wire: WireId,
        /// The output that it comes from.
        from: End,
        /// The input that it goes to.
        to: End,
    },
    /// What stands is read.
    Check(Vec<Reads>),
}

impl WorkOrder {
    /// The order of work for a plan, with checks for the time `at` of day 1. `walk` says how far it is between two parts; of
    /// a plan without a site it is 0 throughout.
    pub fn of(plan: &Plan, at: Clock, walk: Distance) -> WorkOrder {
        let branches = Branches::of(plan);
        let mut checks = Checks::new(plan, &branches, at);
        let mut visits = Visits::new(plan, &branches, walk);
        let mut steps = Vec::new();
        for (number, branch) in sequence(plan, &branches, walk).into_iter().enumerate() {
            let mut work = visits.of(&branches.list[branch]);
            let reads = checks.of(branch);
            if !reads.is_empty() {
                work.push(Work::Check(reads));
            }
            let branch = number + 1;
            steps.extend(work.into_iter().map(|work| WorkStep { branch, work }));
        }
        WorkOrder {
            at,
            steps,
            walk_cm: visits.walked,
        }
    }
}

/// In which order the branches are built, going by the first part of each.
fn sequence(plan: &Plan, branches: &Branches, walk: Distance) -> Vec<usize> {
    let first = |branch: usize| branches.list[branch].parts.first();
    let id = |branch: usize| first(branch).map(|part| &plan.parts[*part].id);
    let step = |a: usize, b: usize| id(a).zip(id(b)).map_or(0, |(a, b)| walk(a, b));
    let tour = Tour {
        count: branches.list.len(),
        start: &|_| 0,
        step: &step,
        before: &branches.before,
    };
    tour.order()
}
