//! Whether a learner's plan is within the rules of its exercise, and what he built: both told by comparing it with what was
//! given. Amounts are counts with banks multiplied out; sums stop at the largest number rather than overflow.
//!
//! A given part that is free may be set otherwise, be more or fewer, or be gone; of another type it counts as taken away and
//! built anew, and more of it than was given count as built. One with a duty stays what it is, free or not, for otherwise
//! the duty would be made light. How a battery is charged at the start is no setting that a builder makes, so that it
//! breaks no rule: the grade overrules it.

use super::grade::{Breach, Overruled};
use crate::book::Behaviour;
use crate::plan::{Exercise, Part, PartId, Plan};
use serde_json::Value;
use std::collections::BTreeSet;

/// The setting that says how a battery is charged at the start.
pub(super) const START: &str = "start";

/// What the learner built.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Built {
    /// Each type in the order in which his plan first names it, with how many, and the parts.
    pub kinds: Vec<(String, u64, Vec<PartId>)>,
}

impl Built {
    fn add(&mut self, part: &Part, count: u64) {
        let known = self.kinds.iter_mut().find(|(kind, ..)| *kind == part.kind);
        match known {
            Some((_, sum, parts)) => {
                *sum = sum.saturating_add(count);
                parts.push(part.id.clone());
            }
            None => {
                let parts = vec![part.id.clone()];
                self.kinds.push((part.kind.clone(), count, parts));
            }
        }
    }

    /// How many parts.
    pub fn parts(&self) -> u64 {
        let counts = self.kinds.iter().map(|(_, count, _)| *count);
        counts.fold(0, u64::saturating_add)
    }

    /// All materials added up, by the costs of the exercise's book.
    pub fn materials(&self, given: &Plan) -> u64 {
        let kinds = self.kinds.iter();
        let costs = kinds.flat_map(|(kind, count, _)| {
            let cost = given.book.book.find(kind).map(|kind| &kind.cost[..]);
            let amounts = cost.unwrap_or_default().iter();
            amounts.map(move |(_, amount)| amount.saturating_mul(*count))
        });
        costs.fold(0, u64::saturating_add)
    }
}

/// The rules of an exercise: what was given, and what may be done with it.
pub(super) struct Rules<'a> {
    pub exercise: &'a Exercise,
    pub given: &'a Plan,
}

impl Rules<'_> {
    /// Whether a duty speaks of the part.
    fn has_duty(&self, part: &PartId) -> bool {
        self.given.duties.iter().any(|duty| duty.part == *part)
    }

    /// Whether the given part may be set otherwise.
    pub fn is_free(&self, part: &PartId) -> bool {
        self.exercise.free.contains(part)
    }

    /// Whether the given part must be there.
    pub fn must_stay(&self, part: &PartId) -> bool {
        !self.is_free(part) || self.has_duty(part)
    }

    /// What of the learner's plan the learner built.
    pub fn built(&self, solution: &Plan) -> Built {
        let mut built = Built::default();
        for part in &solution.parts {
            match self.given.part(&part.id) {
                Some(given) if self.must_stay(&given.id) => {}
                Some(given) if given.kind == part.kind => {
                    let more = part.count.saturating_sub(given.count);
                    if more > 0 {
                        built.add(part, more);
                    }
                }
                _ => built.add(part, part.count),
            }
        }
        built
    }

    /// Where the learner's plan, of which `built` is what he built, is not within the rules.
    pub fn breaches(&self, solution: &Plan, built: &Built) -> Vec<Breach> {
        let mut breaches = Vec::new();
        if self.is_other_plan(solution) {
            return vec![Breach::OtherPlan];
        }
        for given in &self.given.parts {
            match solution.part(&given.id) {
                None if self.must_stay(&given.id) => {
                    breaches.push(Breach::Missing(given.id.clone()));
                }
                Some(found) if self.must_stay(&given.id) => {
                    breaches.extend(self.changes(given, found));
                }
                _ => {}
            }
        }
        for (kind, count, parts) in &built.kinds {
            breaches.extend(self.unlawful(kind, *count, parts));
        }
        breaches
    }

    /// Whether none of several given parts that must stay is there with its type: then somebody sent the wrong plan, and to
    /// list all that is missing in it would tell him nothing.
    fn is_other_plan(&self, solution: &Plan) -> bool {
        let is_there = |given: &Part| {
            let found = solution.part(&given.id);
            found.is_some_and(|found| found.kind == given.kind)
        };
        let stay = || {
            self.given
                .parts
                .iter()
                .filter(|part| self.must_stay(&part.id))
        };
        stay().count() > 1 && !stay().any(is_there)
    }

    /// What is otherwise about a given part that must stay.
    fn changes(&self, given: &Part, found: &Part) -> Vec<Breach> {
        let part = given.id.clone();
        if given.kind != found.kind {
            return vec![Breach::OtherType {
                part,
                given: given.kind.clone(),
                found: found.kind.clone(),
            }];
        }
        let mut changes = Vec::new();
        if given.count != found.count {
            changes.push(Breach::OtherCount {
                part: part.clone(),
                given: given.count,
                found: found.count,
            });
        }
        if self.is_free(&given.id) {
            return changes;
        }
        let written = |value: &Value| value.to_string();
        for setting in self.otherwise_set(given, found) {
            changes.push(Breach::OtherSetting {
                part: part.clone(),
                given: self.value(given, &setting).map(written),
                found: self.value(found, &setting).map(written),
                setting,
            });
        }
        if given.reach != found.reach {
            changes.push(Breach::OtherReach {
                part,
                given: given.reach,
                found: found.reach,
            });
        }
        changes
    }

    fn unlawful(&self, kind: &str, built: u64, parts: &[PartId]) -> Option<Breach> {
        if self.given.book.book.find(kind).is_none() {
            return Some(Breach::NotInBook {
                kind: kind.into(),
                parts: parts.to_vec(),
            });
        }
        let may = self.exercise.may.as_ref()?;
        let most = match may.iter().find(|(name, _)| name == kind) {
            None => 0,
            Some((_, most)) => (*most)?,
        };
        (built > most).then(|| Breach::TooMany {
            kind: kind.into(),
            most,
            built,
            parts: parts.to_vec(),
        })
    }

    /// The settings that make a part another than the one that was given, but for a battery's charge. How a setting is
    /// written, and one that says what goes without saying, make no difference.
    fn otherwise_set(&self, given: &Part, found: &Part) -> Vec<String> {
        let spec = self.given.spec(given);
        let differs = |key: &&String| {
            let mut part = given.clone();
            match found.set.get(*key) {
                Some(value) => part.set.insert((*key).clone(), value.clone()),
                None => part.set.remove(*key),
            };
            let is_charge = *key == START && self.is_battery(given);
            !is_charge && self.given.spec(&part) != spec
        };
        let keys: BTreeSet<&String> = given.set.keys().chain(found.set.keys()).collect();
        keys.into_iter().filter(differs).cloned().collect()
    }

    /// A setting of a part, or the exercise's book's.
    fn value<'v>(&'v self, part: &'v Part, key: &str) -> Option<&'v Value> {
        let of_book = || self.given.kind_of(part)?.set.get(key);
        part.set.get(key).or_else(of_book)
    }

    pub fn is_battery(&self, part: &Part) -> bool {
        let kind = self.given.kind_of(part);
        kind.is_some_and(|kind| matches!(kind.behaviour, Behaviour::Battery { .. }))
    }

    /// What of the learner's plan does not count, though it breaks no rule.
    pub fn overruled(&self, solution: &Plan) -> Vec<Overruled> {
        let mut overruled = Vec::new();
        if solution.book != self.given.book {
            overruled.push(Overruled::Book);
        }
        if solution.world != self.given.world {
            overruled.push(Overruled::World);
        }
        if solution.duties != self.given.duties {
            overruled.push(Overruled::Duties);
        }
        for part in solution.parts.iter().filter(|part| self.is_battery(part)) {
            let counts = self.counting_start(part);
            if part.set.contains_key(START) && !is_same(self.value(part, START), counts) {
                overruled.push(Overruled::Start(part.id.clone()));
            }
        }
        overruled
    }

    /// What counts as the charge of a battery at the start: that of the given part, else the book's.
    fn counting_start(&self, part: &Part) -> Option<&Value> {
        match self.given.part(&part.id) {
            Some(given) if given.kind == part.kind => self.value(given, START),
            _ => self.given.kind_of(part)?.set.get(START),
        }
    }
}

/// Whether two settings are the same; a number is, however it is written.
fn is_same(a: Option<&Value>, b: Option<&Value>) -> bool {
    match (a, b) {
        (Some(Value::Number(a)), Some(Value::Number(b))) => a == b || a.as_f64() == b.as_f64(),
        (a, b) => a == b,
    }
}
