//! `duskline explain`: what a plan does and why each part is there, for reading or as JSON; of one part on request.

use super::{Answer, print};
use crate::explain::{Caution, ExplainWords, Explanation, LinkTarget, Passage, explain};
use crate::net::Weight;
use crate::plan::{PartId, Plan};
use crate::quantity::Ms;
use clap::Args;
use serde::Serialize;
use std::collections::BTreeSet;
use std::fmt::Write;

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

/// A passage with what it is about.
struct Told {
    parts: Vec<PartId>,
    says: String,
}

impl Told {
    /// As it is said, with all parts it speaks of, these first.
    fn new(first: &[PartId], said: &Passage) -> Told {
        let mut seen = BTreeSet::new();
        let linked = said.links().filter_map(|link| match link {
            LinkTarget::Part(id) => Some(id),
            _ => None,
        });
        let parts = first.iter().chain(linked);
        Told {
            parts: parts.filter(|id| seen.insert(*id)).cloned().collect(),
            says: said.text(),
        }
    }

    fn has(&self, part: Option<&PartId>) -> bool {
        part.is_none_or(|part| self.parts.contains(part))
    }

    fn output(&self) -> SaidOutput<'_> {
        SaidOutput {
            parts: self.parts.iter().collect(),
            says: self.says.clone(),
        }
    }
}

/// All that is told.
struct All {
    heading: String,
    groups: Vec<Told>,
    /// By the stories' places.
    parts: Vec<(usize, Told)>,
    /// By their moments.
    day: Vec<(Ms, Told)>,
    dull: Vec<Told>,
    watch: Vec<Told>,
}

/// The explanation, as JSON or for reading.
pub(super) fn answer(plan: &Plan, options: &Options) -> Result<Answer, String> {
    let named = options
        .part
        .as_ref()
        .map(|part| super::part_named(plan, ("--part", "part"), part));
    let only = named.transpose()?;
    let explanation = explain(plan);
    let all = all(plan, &explanation, only.as_ref());
    let text = match options.json {
        true => as_json(&explanation, &all),
        false => as_text(plan, &explanation, &all),
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

fn all(plan: &Plan, explanation: &Explanation, only: Option<&PartId>) -> All {
    let words = ExplainWords::new(plan, explanation);
    let told =
        |told: Vec<Told>| -> Vec<Told> { told.into_iter().filter(|t| t.has(only)).collect() };
    let groups = explanation.groups.iter();
    let groups = groups.map(|group| Told::new(&group.parts, &words.group(group)));
    let parts = explanation.parts.iter().enumerate();
    let parts = parts.filter(|(_, story)| only.is_none_or(|id| story.part == *id));
    let day = explanation.day.iter();
    let day = day.map(|step| (step.t, Told::new(&step.parts(), &words.step(step))));
    let dull = explanation.dull.iter();
    let dull = dull.map(|news| Told::new(&news.parts(plan), &words.dull(news)));
    let watch = explanation.watch.iter();
    let watch = watch.map(|caution| Told::new(&caution.parts(plan), &words.caution(caution)));
    All {
        heading: words.heading().text(),
        groups: told(groups.collect()),
        parts: parts
            .map(|(at, story)| (at, Told::new(&[], &words.story(story))))
            .collect(),
        day: day.filter(|(_, told)| told.has(only)).collect(),
        dull: told(dull.collect()),
        watch: told(watch.collect()),
    }
}

fn as_json(explanation: &Explanation, all: &All) -> String {
    let parts = all.parts.iter().map(|(at, told)| {
        let story = &explanation.parts[*at];
        PartOutput {
            part: &story.part,
            says: told.says.clone(),
            without: WithoutOutput {
                breaks: &story.without.breaks,
                stops: &story.without.stops,
            },
        }
    });
    let step = |(t, told): &'_ (Ms, Told)| (*t, told.says.clone());
    let day = all.day.iter().map(|of| {
        let (t, says) = step(of);
        StepOutput {
            t,
            parts: of.1.parts.iter().collect(),
            says,
        }
    });
    print(&ExplainOutput {
        told: all.heading.clone(),
        groups: all.groups.iter().map(Told::output).collect(),
        parts: parts.collect(),
        day: day.collect(),
        dull: all.dull.iter().map(Told::output).collect(),
        watch: all.watch.iter().map(Told::output).collect(),
    })
}

fn as_text(plan: &Plan, explanation: &Explanation, all: &All) -> String {
    let plain = |text: &str| text.replace(char::is_control, " ");
    let mut text = String::new();
    if !plan.title.is_empty() {
        let _ = writeln!(text, "{}", plain(&plan.title));
    }
    let mut section = |heading: &str, lead: &str, lines: Vec<String>| {
        if lines.is_empty() {
            return;
        }
        let _ = writeln!(text, "\n{heading}");
        if !lead.is_empty() {
            let _ = writeln!(text, "{lead}");
        }
        for line in lines {
            let _ = writeln!(text, "- {}", plain(&line));
        }
    };
    let says = |all: &[Told]| -> Vec<String> { all.iter().map(|told| told.says.clone()).collect() };
    section("Groups", "", says(&all.groups));
    let parts = all.parts.iter().map(|(at, told)| {
        let id = &explanation.parts[*at].part;
        format!("{id}: {}", told.says)
    });
    section("Parts", "", parts.collect());
    let day = all.day.iter().map(|(_, told)| told.says.clone());
    section("The day", &all.heading, day.collect());
    section("On a dull day", "", says(&all.dull));
    section("Watch out", "", says(&all.watch));
    text
}
