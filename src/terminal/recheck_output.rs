//! What came of a folder's files, and what `recheck --json` prints of it, as types: the order of the fields is the order
//! of the keys.

use crate::plan::Plan;
use crate::proof::recheck::{DutyChange, Recheck};
use crate::proof::{Check, Verdict};
use crate::quantity::Ms;
use crate::sheet::numbers_changed;
use crate::sheet::recheck_report::Counts;
use serde::Serialize;

/// What became of one file.
pub(super) struct Told {
    /// The file's name within the folder.
    pub file: String,
    /// What became of it.
    pub outcome: Outcome,
}

/// What became of one plan's file.
pub(super) enum Outcome {
    /// It can't be read: the faults, each a line.
    Unreadable(Vec<String>),
    /// The new numbers do not concern it: its title, and why, as a sentence.
    NotConcerned(String, &'static str, String),
    /// It can't stand on them: its title, and the reasons, each a sentence.
    Refused(String, Vec<String>),
    /// It was rechecked: the plan as it was, and what came of it.
    Rechecked(Box<(Plan, Recheck)>),
}

/// The whole answer.
#[derive(Serialize)]
pub(super) struct RecheckOutput {
    /// How many duties turned which way.
    worse: usize,
    otherwise: usize,
    better: usize,
    same: usize,
    /// The files, in the order of names.
    plans: Vec<PlanOutput>,
}

#[derive(Serialize)]
struct PlanOutput {
    file: String,
    /// `rechecked`, `not-concerned`, `refused`, `unreadable`.
    state: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<String>,
    /// Why it is not concerned: `other-book`, `other-world`, `follows-none`.
    #[serde(skip_serializing_if = "Option::is_none")]
    because: Option<&'static str>,
    /// Sentences: why it was refused or is not concerned, or the faults of the file.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    says: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    numbers: Option<Vec<NumberOutput>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    duties: Option<Vec<DutyOutput>>,
}

/// A number that differs and that a part has to do with.
#[derive(Serialize)]
struct NumberOutput {
    what: String,
    from: serde_json::Value,
    to: serde_json::Value,
}

#[derive(Serialize)]
struct DutyOutput {
    part: String,
    duty: String,
    turn: &'static str,
    before: VerdictOutput,
    after: VerdictOutput,
    causes: Vec<String>,
}

#[derive(Serialize)]
struct VerdictOutput {
    kept: bool,
    for_ever: bool,
    days: u64,
    gaps: Vec<(Ms, Ms, &'static str)>,
}

/// The answer as it is printed.
pub(super) fn output(told: &[Told]) -> RecheckOutput {
    let counts = told.iter().filter_map(|t| match &t.outcome {
        Outcome::Rechecked(both) => Some(Counts::of(&both.1)),
        _ => None,
    });
    let counts = counts.fold(Counts::default(), Counts::and);
    RecheckOutput {
        worse: counts.worse,
        otherwise: counts.otherwise,
        better: counts.better,
        same: counts.same,
        plans: told.iter().map(plan_output).collect(),
    }
}

fn plan_output(told: &Told) -> PlanOutput {
    let plain = |state: &'static str, title: Option<&String>, says: Vec<String>| PlanOutput {
        file: told.file.clone(),
        state,
        title: title.cloned(),
        because: None,
        says,
        numbers: None,
        duties: None,
    };
    match &told.outcome {
        Outcome::Unreadable(faults) => plain("unreadable", None, faults.clone()),
        Outcome::Refused(title, why) => plain("refused", Some(title), why.clone()),
        Outcome::NotConcerned(title, code, why) => PlanOutput {
            because: Some(code),
            ..plain("not-concerned", Some(title), vec![why.clone()])
        },
        Outcome::Rechecked(both) => {
            let (plan, found) = &**both;
            let used = found.numbers.iter().filter(|n| n.is_in_use(plan));
            let number = |n: &crate::plan::NumberChange| NumberOutput {
                what: numbers_changed::change(n, &plan.book.book, &found.plan.book.book).what,
                from: n.from.clone(),
                to: n.to.clone(),
            };
            let duties = found.duties.iter().map(|d| duty(plan, found, d));
            PlanOutput {
                numbers: Some(used.map(number).collect()),
                duties: Some(duties.collect()),
                ..plain("rechecked", Some(&plan.title), Vec::new())
            }
        }
    }
}

fn duty(plan: &Plan, found: &Recheck, duty: &DutyChange) -> DutyOutput {
    DutyOutput {
        part: duty.duty.part.to_string(),
        duty: crate::sheet::verdict::duty(plan, &duty.duty),
        turn: duty.turn.word(),
        before: verdict(&found.before, &duty.before),
        after: verdict(&found.after, &duty.after),
        causes: duty.causes.iter().map(|c| c.says(&found.plan)).collect(),
    }
}

fn verdict(check: &Check, verdict: &Verdict) -> VerdictOutput {
    let word = |on: bool| if on { "on" } else { "off" };
    VerdictOutput {
        kept: verdict.kept,
        for_ever: check.for_ever,
        days: check.days,
        gaps: verdict
            .gaps
            .iter()
            .map(|g| (g.from, g.to, word(g.on)))
            .collect(),
    }
}
