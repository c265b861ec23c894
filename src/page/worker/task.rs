//! The questions that the worker answers, and the answers. A question comes with its plan; an answer may come in
//! several pieces, the last of which ends it.

use super::proof;
use crate::plan::Plan;
use crate::proof::{Findings, LogicTable, LossReport, PairReport, Row, WeakPoint};
use crate::quantity::Ms;
use crate::run::{Course, Extent, Journey, Reserve, reserve};
use serde::{Deserialize, Serialize};

/// A question.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Task {
    /// Run the plan.
    Day(Extent),
    /// What batteries have in reserve at the last dusk of so many days.
    Reserve(u64),
    /// Every single loss, and whether batteries found empty are among them.
    Losses(bool),
    /// Every pair of the losses reported.
    Pairs(Vec<LossReport>),
    /// What contacts do at an instant.
    Logic(Ms),
}

/// A piece of an answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Answer {
    /// So many of so many steps are done.
    Progress(u64, u64),
    /// A run that came to its end. The last piece.
    Day(Box<Journey>),
    /// The reserve, where it ever turns dark. The last piece.
    Reserve(Option<Reserve>),
    /// Some more losses.
    SomeLosses(Vec<LossReport>),
    /// All losses were told. The last piece.
    Losses {
        /// Whether the days of the whole plan repeat.
        for_ever: bool,
        /// How many days of it were run.
        days: u64,
        /// What all power goes through.
        weak: Vec<WeakPoint>,
    },
    /// Some more pairs.
    SomePairs(Vec<PairReport>),
    /// All pairs were told. The last piece.
    Pairs,
    /// What the columns of a table of contacts are.
    LogicTable(LogicTable),
    /// Some more of its rows.
    LogicRows(Vec<Row>),
    /// What comes of changing inputs in turn. The last piece.
    Logic(Findings),
}

impl Answer {
    /// Whether nothing comes after this piece.
    pub fn is_last(&self) -> bool {
        !matches!(
            self,
            Answer::Progress(..)
                | Answer::SomeLosses(_)
                | Answer::SomePairs(_)
                | Answer::LogicTable(_)
                | Answer::LogicRows(_)
        )
    }
}

/// How many events are gone through before progress is told.
const PIECE: u64 = 20_000;

/// Works a question out; `say` is told every piece as it comes.
pub fn answer(task: Task, plan: &Plan, say: &mut dyn FnMut(Answer)) {
    match task {
        Task::Day(extent) => {
            let mut course = Course::new(plan, extent);
            while !course.go(PIECE) {
                let (done, of) = course.days();
                say(Answer::Progress(done, of));
            }
            say(Answer::Day(Box::new(course.finish(plan))));
        }
        Task::Reserve(days) => say(Answer::Reserve(reserve(plan, days))),
        Task::Losses(empty) => proof::every_loss(plan, empty, say),
        Task::Pairs(singles) => proof::every_pair(plan, &singles, say),
        Task::Logic(t) => proof::contacts(plan, t, say),
    }
}
