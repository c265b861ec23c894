//! Drafts as faces show them: plans laid out, and what is told of them in words.

use super::tidy::tidy;
use crate::draft::{
    DraftAnswer, DraftOrder, Drafted, Impossible, LowestLevel, OneMore, Reason, change_said,
    contradiction_said, demand_said, hours, one_more, searched_said,
};
use crate::plan::{PartId, Plan};
use crate::quantity::{Energy, Ms, Short, Unit};
use crate::works::Bill;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// What a search for drafts has found, laid out and in words.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct SaidDraft {
    /// The plans, the least first.
    pub plans: Vec<SaidPlan>,
    /// How many circuits were met.
    pub steps: u64,
    /// How far it was searched, in a sentence; none while it is.
    pub searched: Option<String>,
    /// Why there is none, where that was found out.
    pub nothing: Option<SaidContradiction>,
}

/// A drafted plan, laid out and in words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SaidPlan {
    /// The plan's file.
    pub text: String,
    /// The materials of all of it.
    pub materials: BTreeMap<String, u64>,
    /// Their sum.
    pub materials_sum: u64,
    /// Its parts, banks multiplied out.
    pub parts: u64,
    /// The stage it needs.
    pub stage: u64,
    /// For how long duties are kept.
    pub kept: String,
    /// How long duties hold without sun and wind, in hours; none where nothing ever breaks.
    pub hours: Option<f64>,
    /// That in words.
    pub holds: String,
    /// How many days without sun in a row it survives.
    pub dull_days: u64,
    /// The lowest level of a battery, in words.
    pub lowest: String,
    /// How many parts and wires there are whose loss breaks a duty.
    pub single_points: u64,
    /// What is spilled in a day, in words.
    pub spilled: String,
    /// Each part with its name, its count, and what breaks without it.
    pub why: Vec<(PartId, String, u64, String)>,
    /// What one more of each bank would bring; empty until it is told.
    pub one_more: Vec<SaidOneMore>,
}

/// What one more in a bank would bring, in words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SaidOneMore {
    /// The bank, and how many are in it then.
    pub bank: String,
    /// The materials of the whole plan then.
    pub materials_sum: u64,
    /// How long duties hold without sun and wind then.
    pub holds: String,
    /// How many days without sun in a row it survives then.
    pub dull_days: u64,
    /// The lowest level of a battery then.
    pub lowest: String,
    /// How many parts and wires there are then whose loss breaks a duty.
    pub single_points: u64,
    /// What is spilled in a day then.
    pub spilled: String,
    /// What else is to be said.
    pub remark: String,
}

/// Why there is no plan, and what would make one possible.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SaidContradiction {
    /// The sentence ahead of the demands.
    pub says: String,
    /// The demands that stand in the way.
    pub because: Vec<String>,
    /// Changes that make it possible: each in a sentence, and the file of the order with it.
    pub instead: Vec<(String, String)>,
}

impl SaidDraft {
    /// What an answer to an order tells, but for what one more would bring.
    pub fn of(order: &DraftOrder, answer: &DraftAnswer) -> SaidDraft {
        let nothing = answer.impossible.as_ref();
        SaidDraft {
            searched: Some(searched_said(answer).into()),
            nothing: nothing.map(|found| SaidContradiction::of(order, found)),
            ..SaidDraft::so_far(&answer.plans, answer.steps)
        }
    }

    /// What is found so far, after so many circuits.
    pub fn so_far(plans: &[Drafted], steps: u64) -> SaidDraft {
        let said = plans.iter().enumerate();
        SaidDraft {
            plans: said.map(|(at, plan)| SaidPlan::of(plan, at + 1)).collect(),
            steps,
            ..SaidDraft::default()
        }
    }
}

impl SaidPlan {
    /// Tells what one more of each bank would bring; `drafted` is the plan that this is said of.
    pub fn tell_more(&mut self, drafted: &Drafted, order: &DraftOrder) {
        let more = one_more(drafted, order);
        self.one_more = more
            .iter()
            .map(|one| SaidOneMore::of(drafted, one))
            .collect();
    }

    fn of(drafted: &Drafted, number: usize) -> SaidPlan {
        let plan = laid_out(&drafted.plan, number);
        let why = drafted.why.iter().map(|reason| {
            let count = plan.part(&reason.part).map_or(1, |part| part.count);
            let called = plan.called(&reason.part);
            (reason.part.clone(), called, count, without(&plan, reason))
        });
        SaidPlan {
            why: why.collect(),
            one_more: Vec::new(),
            text: plan.print(),
            materials: drafted.materials.clone(),
            materials_sum: drafted.materials_sum,
            parts: drafted.parts,
            stage: drafted.stage,
            kept: kept(drafted.for_ever).into(),
            hours: drafted.holds.map(hours),
            holds: holds(drafted.holds),
            dull_days: drafted.dull_days,
            lowest: level(drafted.lowest.as_ref()),
            single_points: drafted.single_points,
            spilled: spilled_a_day(drafted),
        }
    }
}

impl SaidOneMore {
    fn of(drafted: &Drafted, one: &OneMore) -> SaidOneMore {
        let plan = &drafted.plan;
        SaidOneMore {
            bank: format!("{} × {}", one.count, plan.called(&one.part)),
            materials_sum: one.materials_sum,
            holds: holds(one.holds),
            dull_days: one.dull_days,
            lowest: level(one.lowest.as_ref()),
            single_points: one.single_points,
            spilled: spilled_said(one.spilled, &plan.book.book.unit),
            remark: remark(one).into(),
        }
    }
}

impl SaidContradiction {
    fn of(order: &DraftOrder, found: &Impossible) -> SaidContradiction {
        let because = found
            .because
            .iter()
            .map(|demand| demand_said(order, demand));
        let instead = found.instead.iter();
        let instead = instead.map(|change| (change_said(order, change), change.order.print()));
        SaidContradiction {
            says: contradiction_said(found).into(),
            because: because.collect(),
            instead: instead.collect(),
        }
    }
}

/// The plan of a draft with places for the cards that have none, and where it has no title one with its number from 1.
pub fn laid_out(plan: &Plan, number: usize) -> Plan {
    let mut laid = plan.clone();
    if laid.title.is_empty() {
        laid.title = format!("Draft {number}");
    }
    let new = plan.parts.iter().filter(|part| part.at.is_none());
    let new: BTreeSet<PartId> = new.map(|part| part.id.clone()).collect();
    let found = tidy(plan, &new);
    for (id, at) in found.places {
        let part = laid.parts.iter_mut().find(|part| part.id == id);
        part.into_iter().for_each(|part| part.at = Some(at));
    }
    for (id, bends) in found.bends {
        let wire = laid.wires.iter_mut().find(|wire| wire.id == id);
        wire.into_iter().for_each(|wire| wire.bends = bends.clone());
    }
    laid
}

/// For how long duties are kept.
pub fn kept(for_ever: bool) -> &'static str {
    match for_ever {
        true => "for ever",
        false => "for 60 days",
    }
}

/// How long all duties hold without sun and wind, rounded down to a tenth of an hour.
pub fn holds(time: Option<Ms>) -> String {
    time.map_or("for ever".into(), |time| {
        format!("{} h", Short((hours(time) * 10.0).floor() / 10.0))
    })
}

/// What is spilled in a day, to a tenth.
pub fn spilled_a_day(drafted: &Drafted) -> String {
    spilled_said(drafted.spilled, &drafted.plan.book.book.unit)
}

/// What is spilled in so many days, as so much a day, to a tenth.
pub fn spilled_said((energy, days): (Energy, u64), unit: &Unit) -> String {
    let a_day = unit.hours(energy) / days.max(1) as f64;
    format!("{} {}·h", Short((a_day * 10.0).round() / 10.0), unit.sign)
}

/// A battery's lowest level as a share of what it can hold, rounded down to a tenth of a hundredth.
pub fn level(lowest: Option<&LowestLevel>) -> String {
    lowest.map_or("no battery".into(), |lowest| {
        format!("{} %", Short((lowest.share() * 1000.0).floor() / 10.0))
    })
}

/// What else is to be said of one more in a bank.
pub fn remark(one: &OneMore) -> &'static str {
    match (one.keeps, one.within) {
        (true, true) => "",
        (true, false) => "more than the order lets be used",
        (false, _) => "what is asked is not kept then",
    }
}

/// What losing a part breaks.
pub fn without(plan: &Plan, reason: &Reason) -> String {
    let duties = reason.without.iter().filter_map(|at| plan.duties.get(*at));
    let broken: Vec<String> = duties.map(|duty| plan.called(&duty.part)).collect();
    match broken.is_empty() {
        true => "every duty is still kept".into(),
        false => format!("breaks the duty of {}", broken.join(", ")),
    }
}

/// How the parts of one plan differ from those of another, as a list: `2 more Battery, 1 fewer Tap`; none where they are
/// the same.
pub fn parts_against(before: &Plan, now: &Plan) -> Option<String> {
    let mut counts: BTreeMap<String, (u64, u64)> = BTreeMap::new();
    for line in Bill::of(before).parts {
        counts.entry(line.label).or_default().0 += line.count;
    }
    for line in Bill::of(now).parts {
        counts.entry(line.label).or_default().1 += line.count;
    }
    let said = counts.into_iter().filter_map(|(label, (was, is))| {
        let how = if is > was { "more" } else { "fewer" };
        (was != is).then(|| format!("{} {how} {label}", was.abs_diff(is)))
    });
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| said.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Part, Plan};

    #[test]
    fn parts_are_told_by_how_many_more_and_fewer() {
        let plan = |parts: &[(&str, u64)]| {
            let mut plan = Plan::empty();
            for (kind, count) in parts {
                let mut part = Part::new(plan.new_part_id(), kind, (0.0, 0.0));
                part.count = *count;
                plan.parts.push(part);
            }
            plan
        };
        let before = plan(&[("battery", 1), ("lamp", 2), ("tap", 1)]);
        let now = plan(&[("battery", 3), ("lamp", 2)]);
        let said = parts_against(&before, &now);
        assert_eq!(said.as_deref(), Some("2 more Battery, 1 fewer Tap"));
        assert_eq!(parts_against(&now, &now), None);
    }
}
