//! What is against the rules of an exercise, and what of a plan did not count, in words: what it is, and what to do.

use super::grade::{Breach, Overruled};
use super::sentence::{GradeSentence, on_one_line};
use crate::book::Behaviour;
use crate::net::words::list;
use crate::plan::{PartId, Plan, Reach};
use crate::works::StepWords;
use serde_json::Value;

/// Says breaches of one solution.
pub(super) struct BreachWords<'a> {
    /// What was given.
    pub given: &'a Plan,
    /// The plan as tried on plain days.
    pub tried: &'a Plan,
    /// The learner's plan.
    pub solution: &'a Plan,
}

impl BreachWords<'_> {
    /// What is against the rules.
    pub fn breach(&self, breach: &Breach) -> GradeSentence {
        let (says, parts) = match breach {
            Breach::OtherPlan => (
                "This is quite another plan: nothing that was given is in it. Start again from what was given, or send the link of the plan that was begun there.".into(),
                Vec::new(),
            ),
            Breach::Missing(part) => (self.missing(part), vec![part.clone()]),
            Breach::OtherType { part, given, found } => {
                let (given, found) = (self.label(given), self.label(found));
                let name = self.name(part);
                let says = format!(
                    "{name} was given as a part of type {given} and must stay one, but it is of type {found} now. Start again from what was given."
                );
                (says, vec![part.clone()])
            }
            Breach::OtherCount { part, given, found } => {
                let name = self.name(part);
                let says = format!(
                    "{name} was given as {given} and must stay so, but there are {found} of it now. Set its number back to {given}."
                );
                (says, vec![part.clone()])
            }
            Breach::OtherSetting {
                part,
                setting,
                given,
                ..
            } => (
                self.set(part, setting, given.as_deref()),
                vec![part.clone()],
            ),
            Breach::OtherReach { part, given, .. } => {
                let (name, reach) = (self.name(part), reach(*given));
                let says = format!(
                    "{name} was given as {reach} and must stay one, but it is marked otherwise. Mark it so again."
                );
                (says, vec![part.clone()])
            }
            Breach::NotInBook { kind, parts } => (self.unknown(kind, parts), parts.clone()),
            Breach::TooMany {
                kind,
                most,
                built,
                parts,
            } => (self.too_many(kind, *most, *built), parts.clone()),
        };
        GradeSentence {
            says: on_one_line(&says),
            parts,
            ..GradeSentence::default()
        }
    }

    fn missing(&self, part: &PartId) -> String {
        let name = self.given.called(part);
        format!(
            "{name} was given and must stay, but it is not there. Start again from what was given, or undo its removal."
        )
    }

    fn set(&self, part: &PartId, setting: &str, given: Option<&str>) -> String {
        let name = self.name(part);
        let value = given.and_then(|given| serde_json::from_str::<Value>(given).ok());
        let value = value.or_else(|| self.unset(part, setting));
        let back = match value {
            Some(value) => {
                let set = StepWords::setting_of(self.given, setting, &value);
                format!("Set {set} again.")
            }
            None => format!("Take its setting “{setting}” back."),
        };
        format!("{name} was given and must stay as it was, but it is set otherwise. {back}")
    }

    /// What a setting is of which neither plan nor book say anything.
    fn unset(&self, part: &PartId, setting: &str) -> Option<Value> {
        let kind = self
            .given
            .part(part)
            .and_then(|part| self.given.kind_of(part));
        match (setting, &kind?.behaviour) {
            ("short", Behaviour::Load { short, .. }) => Some(short.word().into()),
            ("contact", _) => Some("make".into()),
            ("dominant", _) => Some("set".into()),
            ("closed", _) => Some(false.into()),
            ("least", _) => Some(1.into()),
            ("schedule" | "presses" | "times", _) => Some(Value::Array(Vec::new())),
            _ => None,
        }
    }

    fn unknown(&self, kind: &str, parts: &[PartId]) -> String {
        let names: Vec<String> = parts
            .iter()
            .map(|part| self.solution.called(part))
            .collect();
        let (kind, names) = (self.label(kind), list(&names));
        format!(
            "The book of this exercise has no part type {kind}, so {names} was left out. Take it away."
        )
    }

    fn too_many(&self, kind: &str, most: u64, built: u64) -> String {
        let label = self.label(kind);
        match (most, built) {
            (0, 1) => format!("{label} may not be built here, and one was. Take it away."),
            (0, built) => {
                format!("{label} may not be built here, and {built} were. Take them away.")
            }
            (most, built) => format!(
                "Of {label} at most {most} may be built beside what was given, and {built} were. Take {} away.",
                built.saturating_sub(most)
            ),
        }
    }

    /// What of the plan did not count.
    pub fn overruled(&self, what: &Overruled) -> GradeSentence {
        let (says, parts) = match what {
            Overruled::Book => (
                "The plan has another parts book. It was tried with that of the exercise.".into(),
                Vec::new(),
            ),
            Overruled::World => (
                "The plan has another world. It was tried in that of the exercise.".into(),
                Vec::new(),
            ),
            Overruled::Duties => (
                "The plan has other duties. What counts are those of the exercise.".into(),
                Vec::new(),
            ),
            Overruled::Start(part) => {
                let name = self.name(part);
                let says = format!(
                    "What {name} is charged to at the start was set otherwise. It was tried with what it begins with in this exercise."
                );
                (says, vec![part.clone()])
            }
        };
        GradeSentence {
            says: on_one_line(&says),
            parts,
            ..GradeSentence::default()
        }
    }

    fn name(&self, part: &PartId) -> String {
        self.tried.called(part)
    }

    /// What people call a type: in the exercise's book, else in the learner's.
    fn label(&self, kind: &str) -> String {
        let of = |plan: &Plan| plan.book.book.find(kind).map(|found| found.label.clone());
        let found = of(self.given).or_else(|| of(self.solution));
        found.unwrap_or_else(|| format!("“{kind}”"))
    }
}

fn reach(reach: Option<Reach>) -> &'static str {
    match reach {
        None => "a part without a mark of who can reach it",
        Some(Reach::Builders) => "a part within reach of the builders alone",
        Some(Reach::Friends) => "a part within reach of friends",
        Some(Reach::Anyone) => "a part within reach of anyone",
    }
}
