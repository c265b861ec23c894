//! The steps of an order of work in words: one plain sentence each.
//!
//! Parts are called what the plan calls them; where several are called the same, with their ids beside. Cables have the
//! numbers of the cable schedule. Powers have the book's unit, shares are in per cent.

use super::{Reads, Shows, Work, WorkOrder};
use crate::clock::Clock;
use crate::plan::{End, Part, PartId, Plan, WireId};
use crate::quantity::Short;
use crate::site::face_said;
use crate::works::on_site::OnSite;
use crate::works::setting_words::{SettingWords, percent, share};
use serde_json::Value;
use std::collections::BTreeMap;

/// The setting that is no act at the base: what a battery holds as the run begins.
const START: &str = "start";

/// Says the steps of a plan's order of work.
pub struct StepWords<'a> {
    plan: &'a Plan,
    at: Clock,
    /// Where the plan has a site.
    on_site: Option<OnSite>,
    /// How many parts are called the same.
    called: BTreeMap<String, usize>,
}

impl<'a> StepWords<'a> {
    /// The words for an order of this plan.
    pub fn new(plan: &'a Plan, order: &WorkOrder) -> StepWords<'a> {
        StepWords::about(plan, order.at, OnSite::of(plan))
    }

    /// What is set on each part that has settings of its own, a sentence or two a part, in the plan's order.
    pub fn settings(plan: &Plan) -> Vec<String> {
        let words = StepWords::about(plan, Clock::at(0, plan.world.day_ms()), None);
        let names = |part: &Part| -> Vec<String> { part.set.keys().cloned().collect() };
        let parts = plan.parts.iter().filter(|part| !part.set.is_empty());
        let said = |part: &Part| {
            let (begins, set): (Vec<String>, Vec<String>) =
                names(part).into_iter().partition(|name| name == START);
            let set = words.set(&part.id, &set);
            let begins = (!begins.is_empty()).then(|| {
                let level = share(part.set.get(START).unwrap_or(&Value::Null));
                format!("{} begins charged to {level}.", words.name(&part.id))
            });
            let both: Vec<String> = [set].into_iter().chain(begins).collect();
            both.join(" ").trim().to_string()
        };
        parts.map(said).collect()
    }

    /// A setting with a value that it is set to: `the azimuth to 140°`.
    pub fn setting_of(plan: &Plan, name: &str, value: &Value) -> String {
        let at = Clock::at(0, plan.world.day_ms());
        StepWords::about(plan, at, None).setting(name, value)
    }

    fn about(plan: &'a Plan, at: Clock, on_site: Option<OnSite>) -> StepWords<'a> {
        let mut called: BTreeMap<String, usize> = BTreeMap::new();
        for part in &plan.parts {
            *called.entry(plan.called(&part.id)).or_default() += 1;
        }
        StepWords {
            plan,
            at,
            on_site,
            called,
        }
    }

    /// What is done in a step, as a sentence.
    pub fn says(&self, work: &Work) -> String {
        match work {
            Work::Place { part, count } => self.place(part, *count),
            Work::Set { part, names } => self.set(part, names),
            Work::Wire { wire, from, to } => {
                let number = self.plan.wire_place(wire).map_or(0, |at| at + 1);
                let (from, to) = (self.end(from), self.end(to));
                let run = self.run(wire);
                format!("Wire {from} to {to} with cable {number}{run}.")
            }
            Work::Check(reads) => {
                let said: Vec<String> = reads.iter().map(|reads| self.reading(reads)).collect();
                format!("Check: at {} {}.", self.at, said.join("; "))
            }
        }
    }

    /// What a part is called in a sentence.
    pub fn name(&self, id: &PartId) -> String {
        let called = self.plan.called(id);
        match self.called.get(&called) {
            Some(2..) => format!("{called} {id}"),
            _ => called,
        }
    }

    fn end(&self, end: &End) -> String {
        format!("{} ({})", self.name(&end.part), end.port)
    }

    /// `Place Dusk lamp (Lamp).`, `Place East roof panels (2 × Large sun panel).`, `Place 2 × Lamp.`
    fn place(&self, id: &PartId, count: u64) -> String {
        let part = self.plan.part(id);
        let label = part.and_then(|part| Some(&self.plan.kind_of(part)?.label));
        let label = label.map_or("", String::as_str);
        let is_named = part.is_some_and(|part| !part.name.is_empty() && part.name != *label);
        let name = self.name(id);
        let place = self
            .plan
            .site
            .as_deref()
            .zip(part.and_then(|part| part.hangs));
        let place = place.map(|(site, face)| {
            let (column, row) = (u32::from(face.x) + 1, u32::from(face.y) + 1);
            format!(" {}, column {column}, row {row}", face_said(site, face))
        });
        let place = place.unwrap_or_default();
        match (is_named, count) {
            (true, 1) => format!("Place {name} ({label}){place}."),
            (true, count) => format!("Place {name} ({count} × {label}){place}."),
            (false, 1) => format!("Place {name}{place}."),
            (false, count) => format!("Place {count} × {name}{place}."),
        }
    }

    /// `, 7.5 m: up the north wall, through the hatch`; empty where it is not known.
    fn run(&self, wire: &WireId) -> String {
        let on_site = self.on_site.as_ref();
        let run =
            on_site.and_then(|on_site| Some((on_site, on_site.run_of(wire)?.route.as_ref()?)));
        run.map_or_else(String::new, |(on_site, route)| {
            let metres = Short(route.length_mm as f64 / 1000.0);
            format!(", {metres} m: {}", on_site.said(wire))
        })
    }

    /// `On Dusk tap, set the amount to 5 u.` What a battery starts with is not set: it is to be charged to that.
    fn set(&self, id: &PartId, names: &[String]) -> String {
        let value = |name: &str| {
            let value = self.plan.part(id).and_then(|part| part.set.get(name));
            value.unwrap_or(&Value::Null)
        };
        let settings = names.iter().filter(|name| *name != START);
        let settings: Vec<String> = settings
            .map(|name| self.setting(name, value(name)))
            .collect();
        let set = match settings.as_slice() {
            [] => None,
            [rest @ .., last] if !rest.is_empty() => {
                Some(format!("{} and {last}", rest.join(", ")))
            }
            all => Some(all.concat()),
        };
        let set = set.map(|said| format!("On {}, set {said}.", self.name(id)));
        let is_charged = names.iter().any(|name| name == START);
        let charged = is_charged.then(|| {
            format!(
                "Have {} charged to {} at midnight before the checks, or the readings will differ.",
                self.name(id),
                share(value(START))
            )
        });
        let both: Vec<String> = set.into_iter().chain(charged).collect();
        both.join(" ")
    }

    /// A setting and its value: `the azimuth to 140°`.
    fn setting(&self, name: &str, value: &Value) -> String {
        SettingWords::new(self.plan, &|id| self.name(id)).set_to(name, value)
    }

    /// What is to be read at one place: `Dusk lamp runs`.
    pub fn reading(&self, reads: &Reads) -> String {
        let power = |steps: u64| self.plan.book.book.unit.say_power(steps);
        match reads {
            Reads::Part { part, shows } => {
                let name = self.name(part);
                match shows {
                    Shows::Runs => format!("{name} runs"),
                    Shows::Off => format!("{name} is off"),
                    Shows::Short(lacks) => format!("{name} is short by {}", power(*lacks)),
                    Shows::Conducts => format!("{name} conducts"),
                    Shows::Open => format!("{name} is open"),
                }
            }
            Reads::Level { part, level } => {
                format!("{} holds {}", self.name(part), percent(*level))
            }
            Reads::Wire {
                meter, take, offer, ..
            } => {
                let name = self.name(meter);
                format!("{name} takes {} of {}", power(*take), power(*offer))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};

    #[test]
    fn every_part_with_settings_of_its_own_is_told_with_each_of_them() {
        let mut told = 0;
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let said = StepWords::settings(&plan);
            let set = plan.parts.iter().filter(|part| !part.set.is_empty());
            let set: Vec<&Part> = set.collect();
            assert_eq!(said.len(), set.len(), "{name}");
            for (part, says) in set.into_iter().zip(&said) {
                assert!(says.contains(&plan.called(&part.id)), "{name}: {says}");
                for (setting, value) in &part.set {
                    let amount = value.as_u64().map(|n| n.to_string());
                    // What a battery holds is told in per cent.
                    let is_share = matches!(setting.as_str(), "start" | "low" | "high");
                    let is_told = amount.is_none_or(|n| is_share || says.contains(&n));
                    assert!(is_told, "{name}: {says} of {setting} {value}");
                    told += 1;
                }
            }
        }
        assert!(told > 10);
    }
}
