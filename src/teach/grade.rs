//! What a learner's plan is worth against an exercise, as data. The words are in [`super::words`].
//!
//! Duties, parts and trials are named by the exercise's own places and ids. Times in milliseconds since midnight of day 1,
//! amounts of materials in the units of the book's costs, all materials added up. It works out nothing.

use crate::net::Problem;
use crate::plan::{PartId, Reach};
use crate::proof::{Cause, GapEnd, Loss};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A learner's plan, graded.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Grade {
    /// Whether it is within the rules and every trial is kept: the first star.
    pub kept: bool,
    /// Where it is not within the rules.
    pub breaches: Vec<Breach>,
    /// What of it was not taken over, since the exercise's own stands.
    pub overruled: Vec<Overruled>,
    /// How the trials went, the plain days first, then the exercise's own in their order.
    pub trials: Vec<TrialOutcome>,
    /// How many single losses were tried on the plain days, and those that break a duty; none where that was not asked, for
    /// the plan is not kept.
    pub losses: Option<LossesTried>,
    /// The materials of what the learner built, all added up.
    pub materials: u64,
    /// How many parts the learner built, banks multiplied out.
    pub parts: u64,
    /// Whether the materials are no more than the exercise allows for; none where it names no number.
    pub cheap: Option<bool>,
    /// Where a duty is broken first, in the first trial that is not kept.
    pub since: Option<Since>,
}

/// Where a learner's plan is not within the rules of its exercise.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Breach {
    /// None of the given parts is there: it is quite another plan.
    OtherPlan,
    /// A given part is not there.
    Missing(PartId),
    /// A given part is of another type.
    OtherType {
        /// The part.
        part: PartId,
        /// The type that was given.
        given: String,
        /// The type that it has.
        found: String,
    },
    /// A given part is another number of equal ones.
    OtherCount {
        /// The part.
        part: PartId,
        /// How many were given.
        given: u64,
        /// How many there are.
        found: u64,
    },
    /// A given part is set otherwise.
    OtherSetting {
        /// The part.
        part: PartId,
        /// The setting's name in a file.
        setting: String,
        /// What was given, as JSON; none where the setting has no value.
        given: Option<String>,
        /// What it is, as JSON.
        found: Option<String>,
    },
    /// A given part is marked as in others' reach.
    OtherReach {
        /// The part.
        part: PartId,
        /// As given.
        given: Option<Reach>,
        /// As it is.
        found: Option<Reach>,
    },
    /// Parts of a type that the exercise's book does not have.
    NotInBook {
        /// The type's name.
        kind: String,
        /// The parts.
        parts: Vec<PartId>,
    },
    /// More parts of a type were built than may be.
    TooMany {
        /// The type's name.
        kind: String,
        /// How many may be built; 0 where the type may not be built at all.
        most: u64,
        /// How many were built, banks multiplied out.
        built: u64,
        /// The parts.
        parts: Vec<PartId>,
    },
}

/// What of a learner's plan was not taken over.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Overruled {
    /// Its book is another one.
    Book,
    /// Its world is another one.
    World,
    /// Its duties are others.
    Duties,
    /// What this battery starts with was set otherwise.
    Start(PartId),
}

/// How one trial went.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct TrialOutcome {
    /// Whether every duty is kept, no problem of weight error stands, and no loss that is tried breaks a duty.
    pub kept: bool,
    /// Whether that holds for ever: a midnight repeated an earlier one.
    pub for_ever: bool,
    /// How many whole days were run.
    pub days: u64,
    /// The duties that are broken, in their order.
    pub broken: Vec<BrokenDuty>,
    /// The problems of weight error.
    pub problems: Vec<Problem>,
    /// Where each single part or wire is lost in turn: what that comes to.
    pub losses: Option<LossesTried>,
}

/// A duty that is broken.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BrokenDuty {
    /// The duty, by its place among the exercise's.
    pub duty: usize,
    /// Its load.
    pub load: PartId,
    /// When its first gap begins.
    pub from: Ms,
    /// When that gap ends.
    pub ends: GapEnd,
    /// Whether the load runs in it though it should be off.
    pub on: bool,
    /// How many gaps there are up to the last midnight that was run.
    pub gaps: usize,
    /// Why the first gap is there.
    pub cause: Option<Cause>,
}

/// Single losses that were tried.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LossesTried {
    /// How many.
    pub tried: usize,
    /// Those that break a duty which should stand them, in the plan's order.
    pub breaking: Vec<BreakingLoss>,
}

/// A loss that breaks a duty.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BreakingLoss {
    /// What is lost.
    pub loss: Loss,
    /// The duties that it breaks.
    pub breaks: Vec<LostDuty>,
    /// Why the first of them is broken; only of the first few losses.
    pub cause: Option<Cause>,
}

/// A duty that a loss breaks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LostDuty {
    /// The duty, by its place among the exercise's.
    pub duty: usize,
    /// Its load.
    pub load: PartId,
    /// When it is first broken.
    pub from: Ms,
    /// When that ends.
    pub ends: GapEnd,
}

/// Where a duty is broken first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Since {
    /// The trial, by its place in [`Grade::trials`]: 0 for the plain days.
    pub trial: usize,
    /// The moment.
    pub t: Ms,
    /// The duty, by its place among the exercise's.
    pub duty: usize,
    /// What is lost, where the trial loses one thing after the other.
    pub loss: Option<Loss>,
}

/// Why nothing can be graded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum GradeError {
    /// The plan sets no exercise.
    NoExercise,
    /// A trial's world can't be: the trial by its place, and what is wrong with it.
    Trial(usize, String),
}

impl Grade {
    /// Whether every duty of a plan that is kept stands any single loss, but for what it can't: the third star.
    pub fn is_sturdy(&self) -> bool {
        self.kept && (self.losses.as_ref()).is_some_and(|losses| losses.breaking.is_empty())
    }

    /// How many stars it has, of [`Grade::most_stars`].
    pub fn stars(&self) -> u8 {
        let stars = [
            self.kept,
            self.kept && self.cheap == Some(true),
            self.is_sturdy(),
        ];
        stars.into_iter().map(u8::from).sum()
    }

    /// How many stars there are to be had.
    pub fn most_stars(&self) -> u8 {
        2 + u8::from(self.cheap.is_some())
    }
}

impl fmt::Display for GradeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            GradeError::NoExercise => {
                write!(
                    f,
                    "this plan sets no exercise: its file has no field \"exercise\""
                )
            }
            GradeError::Trial(at, fault) => {
                write!(
                    f,
                    "the world of trial {} of the exercise can't be: {fault}",
                    at + 1
                )
            }
        }
    }
}

impl std::error::Error for GradeError {}
