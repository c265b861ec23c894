//! `duskline explain`: what a plan does and why each part is there, for reading or as JSON; of one part on request.

use super::{Answer, print};
use crate::explain::{Caution, Explanation, SaidExplanation, SaidPassage, explain};
use crate::net::Weight;
use crate::plan::{PartId, Plan};
use crate::quantity::Ms;
use clap::Args;
use serde::Serialize;

/// What is explained, and in which form.
#[derive(Args)]
pub(super) struct Options {
    /// Only what speaks of this part: its id, or its name where no other part has it
    #[arg(long, value_name = "PART")]
    part: Option<String>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct ExplainOutput<'a> {
    told: String,
    groups: Vec<SaidOutput<'a>>,
    parts: Vec<PartOutput<'a>>,
    day: Vec<StepOutput<'a>>,
    dull: Vec<SaidOutput<'a>>,
    watch: Vec<SaidOutput<'a>>,
}

#[derive(Serialize)]
struct SaidOutput<'a> {
    parts: Vec<&'a PartId>,
    says: String,
}

#[derive(Serialize)]
struct PartOutput<'a> {
    part: &'a PartId,
    says: String,
    without: WithoutOutput<'a>,
}

#[derive(Serialize)]
struct WithoutOutput<'a> {
    breaks: &'a [usize],
    stops: &'a [PartId],
}

#[derive(Serialize)]
struct StepOutput<'a> {
    t: Ms,
    parts: Vec<&'a PartId>,
    says: String,
}

/// The explanation, as JSON or for reading.
pub(super) fn answer(plan: &Plan, options: &Options) -> Result<Answer, String> {
    let named = options
        .part
        .as_ref()
        .map(|part| super::part_named(plan, ("--part", "part"), part));
    let only = named.transpose()?;
    let explanation = explain(plan);
    let said = SaidExplanation::of(plan, &explanation);
    let said = match &only {
        Some(part) => said.about(part),
        None => said,
    };
    let text = match options.json {
        true => as_json(&explanation, &said),
        false => said.text(&plan.title),
    };
    let fails = |caution: &Caution| match caution {
        Caution::Broken { .. } => true,
        Caution::Problem(problem) => problem.weight == Weight::Error,
        _ => false,
    };
    Ok(Answer {
        text,
        failed: explanation.watch.iter().any(fails),
    })
}

fn as_json(explanation: &Explanation, said: &SaidExplanation) -> String {
    fn one(said: &SaidPassage) -> SaidOutput<'_> {
        SaidOutput {
            parts: said.parts.iter().collect(),
            says: said.says.text(),
        }
    }
    fn all(all: &[SaidPassage]) -> Vec<SaidOutput<'_>> {
        all.iter().map(one).collect()
    }
    let stories = explanation.parts.iter();
    let parts = stories.filter_map(|story| {
        let is_own = |said: &&SaidPassage| said.parts.first() == Some(&story.part);
        let said = said.parts.iter().find(is_own)?;
        Some(PartOutput {
            part: &story.part,
            says: said.says.text(),
            without: WithoutOutput {
                breaks: &story.without.breaks,
                stops: &story.without.stops,
            },
        })
    });
    let day = said.day.iter().map(|(t, said)| StepOutput {
        t: *t,
        parts: said.parts.iter().collect(),
        says: said.says.text(),
    });
    print(&ExplainOutput {
        told: said.heading.text(),
        groups: all(&said.groups),
        parts: parts.collect(),
        day: day.collect(),
        dull: all(&said.dull),
        watch: all(&said.watch),
    })
}
