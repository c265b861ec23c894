//! What one more of anything would bring to a drafted plan: each bank beside the wants with one more in it, run and judged
//! as the plan itself was.

use super::judge::{Drafted, LowestLevel, judged, keeps_all, serves};
use super::order::DraftOrder;
use crate::plan::{PartId, Plan};
use crate::quantity::{Energy, Ms};
use serde_json::{Value, json};

/// A plan with one more in one of its banks.
#[derive(Clone, Debug, PartialEq)]
pub struct OneMore {
    /// The bank.
    pub part: PartId,
    /// How many are in it then.
    pub count: u64,
    /// Whether the order lets so many be used.
    pub within: bool,
    /// Whether all that the order asks is kept then, for ever. One more panel may move the minute of a dusk relay.
    pub keeps: bool,
    /// The materials of the whole plan then, added up.
    pub materials_sum: u64,
    /// How long every duty holds without sun and wind then; none where nothing ever breaks.
    pub holds: Option<Ms>,
    /// How many days without sun in a row it survives then.
    pub dull_days: u64,
    /// The lowest level of a battery then.
    pub lowest: Option<LowestLevel>,
    /// How many single points of failure there are then.
    pub single_points: u64,
    /// What is spilled then over the days that repeat, and how many those are.
    pub spilled: (Energy, u64),
}

/// Each bank of sources and batteries with one more in it, in the plan's order.
pub fn one_more(drafted: &Drafted, order: &DraftOrder) -> Vec<OneMore> {
    let plan = &drafted.plan;
    let banks = (0..plan.parts.len()).filter(|at| {
        let part = &plan.parts[*at];
        let behaviour = plan.kind_of(part).map(|kind| kind.behaviour.name());
        matches!(behaviour, Some("source" | "battery"))
    });
    let each = banks.filter(|at| plan.parts[*at].count < crate::limits::COUNT);
    each.map(|at| with_one_more(drafted, order, at)).collect()
}

fn with_one_more(drafted: &Drafted, order: &DraftOrder, at: usize) -> OneMore {
    let mut plan = drafted.plan.clone();
    let id = plan.parts[at].id.clone();
    let part = plan.parts.iter_mut().find(|part| part.id == id);
    part.into_iter().for_each(|part| part.count += 1);
    let count = plan.parts[at].count;
    let keeps = serves(&plan).is_some_and(|check| keeps_all(&plan, &check, order));
    let within = is_within(&plan, order, &plan.parts[at].kind);
    let then = judged(plan);
    OneMore {
        part: id,
        count,
        within: within && has_materials(&then, order),
        keeps,
        materials_sum: then.materials_sum,
        holds: then.holds,
        dull_days: then.dull_days,
        lowest: then.lowest,
        single_points: then.single_points,
        spilled: then.spilled,
    }
}

/// Whether so many of a type may be used beside the wants.
fn is_within(plan: &Plan, order: &DraftOrder, kind: &str) -> bool {
    let Some(may) = &order.may else {
        return true;
    };
    let of_kind = plan.parts.iter().filter(|part| part.kind == kind);
    let used = of_kind.fold(0u64, |sum, part| sum.saturating_add(part.count));
    may.get(kind)
        .is_some_and(|most| most.is_none_or(|most| used <= most))
}

fn has_materials(then: &Drafted, order: &DraftOrder) -> bool {
    let mut named = order.materials.iter();
    named.all(|(name, there)| {
        then.materials
            .get(name)
            .is_none_or(|needed| needed <= there)
    })
}

/// What one more would bring, as JSON.
pub fn one_more_json(drafted: &Drafted, more: &[OneMore]) -> Value {
    let book = &drafted.plan.book.book;
    let each = more.iter().map(|one| {
        json!({
            "part": one.part,
            "count": one.count,
            "within": one.within,
            "keeps": one.keeps,
            "materials_sum": one.materials_sum,
            "hours": one.holds.map(super::answer::hours),
            "dull_days": one.dull_days,
            "lowest": one.lowest.as_ref().map(|lowest| lowest.json(&book.unit)),
            "single_points": one.single_points,
            "spilled": book.unit.hours(one.spilled.0) / one.spilled.1 as f64,
        })
    });
    Value::Array(each.collect())
}
