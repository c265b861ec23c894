//! An order of work as it is read: the steps by branches, each with its number, its sentence, and what a check should show.
//!
//! Page, paper and terminal show it. It is plain data, made where the words of the runs in the site are at hand.

use crate::plan::{Clock, Plan};
use crate::works::{Reads, StepKey, StepWords, Work, WorkOrder};
use serde::{Deserialize, Serialize};
use std::fmt::Write;

/// Why nothing is live while one wires.
pub const DEAD_WHILE_WIRING: &str = "In each branch the cables that bring power in, from branches already built and from sources and batteries, are laid last, so nothing in it is live until then.";

/// What checks for the time `at` assume of the base.
pub fn checks_assume(at: Clock) -> String {
    format!(
        "Checks say what is seen at {at} of day 1 where the base has run since midnight and each battery then held what the plan has it start with."
    )
}

/// All steps.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StepList {
    /// What the plan is called; may be empty.
    pub title: String,
    /// The time of day 1 that checks are for.
    pub at: Clock,
    /// The branches in the order in which they are built.
    pub branches: Vec<StepBranch>,
}

/// The steps of a branch.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StepBranch {
    /// Its number, from 1.
    pub number: usize,
    /// What its parts are called, in the order in which they are placed.
    pub parts: String,
    /// Its steps, in order.
    pub steps: Vec<StepLine>,
}

/// One step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StepLine {
    /// Its number in the order, from 1.
    pub number: usize,
    /// What it is, whatever its number.
    pub key: StepKey,
    /// What is done, as a sentence.
    pub says: String,
    /// What a check should show; nothing in any other step.
    pub reads: Vec<StepReading>,
}

/// What a check should show at one place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StepReading {
    /// The reading.
    pub reads: Reads,
    /// What is read there is called.
    pub name: String,
    /// What it should be: `Dusk lamp runs`.
    pub says: String,
}

impl StepList {
    /// The steps of a plan's order of work.
    pub fn of(plan: &Plan, order: &WorkOrder) -> StepList {
        let words = StepWords::new(plan, order);
        let keys = StepKey::all(plan, order);
        let mut branches: Vec<StepBranch> = Vec::new();
        for ((at, step), key) in order.steps.iter().enumerate().zip(keys) {
            if branches
                .last()
                .is_none_or(|branch| branch.number != step.branch)
            {
                branches.push(StepBranch {
                    number: step.branch,
                    parts: String::new(),
                    steps: Vec::new(),
                });
            }
            let Some(branch) = branches.last_mut() else {
                continue;
            };
            if let Work::Place { part, .. } = &step.work {
                let between = if branch.parts.is_empty() { "" } else { ", " };
                branch.parts += between;
                branch.parts += &plain(&words.name(part));
            }
            let reads = match &step.work {
                Work::Check(reads) => reads.iter().map(|reads| reading(&words, reads)).collect(),
                _ => Vec::new(),
            };
            branch.steps.push(StepLine {
                number: at + 1,
                key,
                says: plain(&words.says(&step.work)),
                reads,
            });
        }
        StepList {
            title: plain(&plan.title),
            at: order.at,
            branches,
        }
    }

    /// All steps, in order.
    pub fn steps(&self) -> impl Iterator<Item = &StepLine> {
        self.branches.iter().flat_map(|branch| &branch.steps)
    }

    /// What all steps are, in order.
    pub fn keys(&self) -> Vec<StepKey> {
        self.steps().map(|step| step.key.clone()).collect()
    }

    /// What stands at its head, a sentence each: how many steps there are in how many branches, why nothing is live while one
    /// wires, and what checks assume.
    pub fn head(&self) -> [String; 3] {
        let branches = self.branches.len();
        let word = if branches == 1 { "branch" } else { "branches" };
        [
            format!("{} steps in {branches} {word}.", self.steps().count()),
            DEAD_WHILE_WIRING.into(),
            checks_assume(self.at),
        ]
    }

    /// The steps one under the other with boxes to tick, a heading for each branch.
    pub fn text(&self) -> String {
        if self.branches.is_empty() {
            return "The plan has no parts.\n".into();
        }
        let mut text = match self.title.is_empty() {
            true => String::new(),
            false => format!("{}\n\n", self.title),
        };
        let _ = writeln!(text, "{}", self.head().join("\n"));
        let width = self.steps().count().to_string().len();
        for branch in &self.branches {
            let _ = writeln!(text, "\n{}", branch.heading());
            for step in &branch.steps {
                let _ = writeln!(text, "[ ] {:>width$}  {}", step.number, step.says);
            }
        }
        text
    }
}

impl StepBranch {
    /// What stands above its steps.
    pub fn heading(&self) -> String {
        format!("Branch {}: {}", self.number, self.parts)
    }
}

fn reading(words: &StepWords, reads: &Reads) -> StepReading {
    let part = match reads {
        Reads::Part { part, .. } | Reads::Level { part, .. } => part,
        Reads::Wire { meter, .. } => meter,
    };
    StepReading {
        reads: reads.clone(),
        name: plain(&words.name(part)),
        says: plain(&words.reading(reads)),
    }
}

/// A plan's names may hold control characters.
fn plain(text: &str) -> String {
    text.replace(char::is_control, " ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};

    #[test]
    fn every_example_is_listed_whole_by_branches_with_what_its_checks_should_show() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let at = Clock::parse("12:00").expect("a time");
            let order = WorkOrder::of(&plan, at, &|_, _| 0);
            let list = StepList::of(&plan, &order);
            let numbers: Vec<usize> = list.steps().map(|step| step.number).collect();
            let all: Vec<usize> = (1..=order.steps.len()).collect();
            assert_eq!(numbers, all, "{name}");
            for (step, line) in order.steps.iter().zip(list.steps()) {
                let reads = match &step.work {
                    Work::Check(reads) => reads.as_slice(),
                    _ => &[],
                };
                let listed: Vec<&Reads> = line.reads.iter().map(|one| &one.reads).collect();
                assert_eq!(listed, reads.iter().collect::<Vec<_>>(), "{name}");
                for one in &line.reads {
                    assert!(line.says.contains(&one.says), "{name}: {}", line.says);
                    assert!(one.says.starts_with(&one.name), "{name}: {}", one.says);
                }
            }
            let said = format!("{} steps in {} ", all.len(), list.branches.len());
            let [counts, _, checks] = list.head();
            assert!(counts.starts_with(&said), "{counts}");
            assert!(checks.contains("at 12:00 of day 1"), "{checks}");
        }
    }

    #[test]
    fn a_plan_without_parts_says_so() {
        let plan = Plan::empty();
        let at = Clock::parse("12:00").expect("a time");
        let order = WorkOrder::of(&plan, at, &|_, _| 0);
        assert_eq!(
            StepList::of(&plan, &order).text(),
            "The plan has no parts.\n"
        );
    }
}
