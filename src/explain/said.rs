//! An explanation in words, passage by passage, each with the parts that it is about: what every face shows.

use super::explanation::Explanation;
use super::passage::{LinkTarget, Passage};
use super::words::ExplainWords;
use crate::plan::{PartId, Plan};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// One passage.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SaidPassage {
    /// The parts that it is about, each once, what it is mainly about first.
    pub parts: Vec<PartId>,
    /// What it says.
    pub says: Passage,
}

/// An explanation in words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SaidExplanation {
    /// Which day is told.
    pub heading: Passage,
    /// Parts that are understood better together.
    pub groups: Vec<SaidPassage>,
    /// Every part, in the plan's order, each first among the parts of its passage.
    pub parts: Vec<SaidPassage>,
    /// The day, each passage with its moment in milliseconds since midnight of day 1.
    pub day: Vec<(Ms, SaidPassage)>,
    /// A dull day.
    pub dull: Vec<SaidPassage>,
    /// What to watch out for.
    pub watch: Vec<SaidPassage>,
}

impl SaidPassage {
    fn new(first: &[PartId], says: Passage) -> SaidPassage {
        let mut seen = BTreeSet::new();
        let linked = says.links().filter_map(|link| match link {
            LinkTarget::Part(id) => Some(id),
            _ => None,
        });
        let parts = first.iter().chain(linked);
        let parts = parts.filter(|id| seen.insert((*id).clone())).cloned();
        SaidPassage {
            parts: parts.collect(),
            says,
        }
    }

    fn is_about(&self, part: &PartId) -> bool {
        self.parts.contains(part)
    }
}

impl SaidExplanation {
    /// The words for the explanation of a plan.
    pub fn of(plan: &Plan, explanation: &Explanation) -> SaidExplanation {
        let words = ExplainWords::new(plan, explanation);
        let groups = explanation.groups.iter();
        let parts = explanation.parts.iter();
        let day = explanation.day.iter();
        let dull = explanation.dull.iter();
        let watch = explanation.watch.iter();
        SaidExplanation {
            heading: words.heading(),
            groups: groups
                .map(|group| SaidPassage::new(&group.parts, words.group(group)))
                .collect(),
            parts: parts
                .map(|story| {
                    SaidPassage::new(std::slice::from_ref(&story.part), words.story(story))
                })
                .collect(),
            day: day
                .map(|step| (step.t, SaidPassage::new(&step.parts(), words.step(step))))
                .collect(),
            dull: dull
                .map(|news| SaidPassage::new(&news.parts(plan), words.dull(news)))
                .collect(),
            watch: watch
                .map(|caution| SaidPassage::new(&caution.parts(plan), words.caution(caution)))
                .collect(),
        }
    }

    /// All of it as plain text under headings, a line a passage, with a plan's title above where it has one.
    pub fn text(&self, title: &str) -> String {
        let plain = |text: &str| text.replace(char::is_control, " ");
        let mut text = String::new();
        if !title.is_empty() {
            text += &format!("{}\n", plain(title));
        }
        let mut section = |heading: &str, lead: &str, lines: Vec<String>| {
            if lines.is_empty() {
                return;
            }
            text += &format!("\n{heading}\n");
            if !lead.is_empty() {
                text += &format!("{lead}\n");
            }
            lines
                .iter()
                .for_each(|line| text += &format!("- {}\n", plain(line)));
        };
        let says = |all: &[SaidPassage]| all.iter().map(|said| said.says.text()).collect();
        section("Groups", "", says(&self.groups));
        let parts = self.parts.iter().filter_map(|said| {
            let id = said.parts.first()?;
            Some(format!("{id}: {}", said.says.text()))
        });
        section("Parts", "", parts.collect());
        let day = self.day.iter().map(|(_, said)| said.says.text());
        section("The day", &self.heading.text(), day.collect());
        section("On a dull day", "", says(&self.dull));
        section("Watch out", "", says(&self.watch));
        text
    }

    /// What of it is about one part: of the parts' passages that part's own.
    pub fn about(mut self, part: &PartId) -> SaidExplanation {
        self.groups.retain(|said| said.is_about(part));
        self.parts.retain(|said| said.parts.first() == Some(part));
        self.day.retain(|(_, said)| said.is_about(part));
        self.dull.retain(|said| said.is_about(part));
        self.watch.retain(|said| said.is_about(part));
        self
    }
}
