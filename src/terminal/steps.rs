//! `duskline steps`: in which order a plan is built, with what each check shows.

use super::{Answer, print};
use crate::plan::{Clock, PartId, Plan, WireId};
use crate::sheet::step_list::StepList;
use crate::works::{Reads, Shows, StepWords, Walks, Work, WorkOrder, WorkStep};
use serde::Serialize;
use serde_json::{Map, Value};

#[derive(Serialize)]
struct StepsOutput<'a> {
    at: String,
    steps: Vec<StepOutput<'a>>,
}

#[derive(Serialize)]
struct StepOutput<'a> {
    n: usize,
    #[serde(flatten)]
    work: WorkOutput<'a>,
    branch: usize,
    says: String,
}

#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum WorkOutput<'a> {
    Place {
        part: &'a PartId,
        r#type: &'a str,
        count: u64,
    },
    Set {
        part: &'a PartId,
        set: Map<String, Value>,
    },
    Wire {
        wire: &'a WireId,
        from: String,
        to: String,
    },
    Check {
        reads: Vec<ReadsOutput<'a>>,
    },
}

#[derive(Serialize)]
#[serde(untagged)]
enum ReadsOutput<'a> {
    Part {
        part: &'a PartId,
        shows: String,
    },
    Level {
        part: &'a PartId,
        level: u64,
    },
    Wire {
        wire: &'a WireId,
        take: u64,
        offer: u64,
    },
}

/// The order of work, with checks for the time `at`.
pub(super) fn answer(plan: &Plan, at: Clock, json: bool) -> Answer {
    let walks = Walks::of(plan);
    let order = WorkOrder::of(plan, at, &|from, to| walks.cm(from, to));
    let text = if json {
        let words = StepWords::new(plan, &order);
        let steps = order.steps.iter().enumerate();
        print(&StepsOutput {
            at: order.at.to_string(),
            steps: steps
                .map(|(at, step)| step_json(plan, &words, at + 1, step))
                .collect(),
        })
    } else {
        StepList::of(plan, &order).text()
    };
    Answer::new(text, &[])
}

fn step_json<'a>(
    plan: &'a Plan,
    words: &StepWords,
    n: usize,
    step: &'a WorkStep,
) -> StepOutput<'a> {
    let work = match &step.work {
        Work::Place { part, count } => WorkOutput::Place {
            part,
            r#type: plan.part(part).map_or("", |part| &part.kind),
            count: *count,
        },
        Work::Set { part, names } => {
            let own = plan.part(part).map(|part| &part.set);
            let value = |name: &String| Some((name.clone(), own?.get(name)?.clone()));
            WorkOutput::Set {
                part,
                set: names.iter().filter_map(value).collect(),
            }
        }
        Work::Wire { wire, from, to } => WorkOutput::Wire {
            wire,
            from: from.to_string(),
            to: to.to_string(),
        },
        Work::Check(reads) => WorkOutput::Check {
            reads: reads.iter().map(reads_json).collect(),
        },
    };
    StepOutput {
        n,
        work,
        branch: step.branch,
        says: words.says(&step.work),
    }
}

fn reads_json(reads: &Reads) -> ReadsOutput<'_> {
    match reads {
        Reads::Part { part, shows } => ReadsOutput::Part {
            part,
            shows: match shows {
                Shows::Runs => "runs".into(),
                Shows::Off => "off".into(),
                Shows::Short(lacks) => format!("short {lacks}"),
                Shows::Conducts => "conducts".into(),
                Shows::Open => "open".into(),
            },
        },
        Reads::Level { part, level } => ReadsOutput::Level {
            part,
            level: *level,
        },
        Reads::Wire {
            wire, take, offer, ..
        } => ReadsOutput::Wire {
            wire,
            take: *take,
            offer: *offer,
        },
    }
}
