//! The questions that the worker answers, and the answers. A question comes with its plan; an answer may come in
//! several pieces, the last of which ends it.

use crate::plan::Plan;
use crate::run::{Course, Extent, Journey, Reserve, reserve};
use serde::{Deserialize, Serialize};

/// A question.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Task {
    /// Run the plan.
    Day(Extent),
    /// What batteries have in reserve at the last dusk of so many days.
    Reserve(u64),
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
}

impl Answer {
    /// Whether nothing comes after this piece.
    pub fn is_last(&self) -> bool {
        !matches!(self, Answer::Progress(..))
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
    }
}
