//! The answer as JSON, with the names that programs rely on.

use super::asked::DraftDemand;
use super::impossible::{Impossible, OrderChange};
use super::judge::Drafted;
use super::order::DraftOrder;
use super::search::{DraftAnswer, Searched};
use super::words::change_said;
use crate::quantity::{HOUR_MS, Ms};
use serde_json::{Value, json};

/// The answer to an order as JSON; `document` makes a plan's document.
pub fn answer_json(
    order: &DraftOrder,
    answer: &DraftAnswer,
    document: &dyn Fn(&Drafted) -> Value,
) -> Value {
    let plans = answer
        .plans
        .iter()
        .map(|plan| plan_json(plan, document(plan)));
    json!({
        "plans": plans.collect::<Vec<_>>(),
        "searched": searched_word(answer.searched),
        "impossible": answer.impossible.as_ref().map(|found| impossible_json(order, found)),
    })
}

/// The word for how far a search went.
pub fn searched_word(searched: Searched) -> &'static str {
    match searched {
        Searched::Complete => "complete",
        Searched::Stopped => "stopped",
    }
}

fn plan_json(drafted: &Drafted, document: Value) -> Value {
    let why = drafted.why.iter();
    let why = why.map(|reason| json!({ "part": reason.part, "without": reason.without }));
    json!({
        "plan": document,
        "materials": drafted.materials,
        "materials_sum": drafted.materials_sum,
        "parts": drafted.parts,
        "stage": drafted.stage,
        "for_ever": drafted.for_ever,
        "hours": drafted.holds.map(hours),
        "dull_days": drafted.dull_days,
        "lowest": drafted.lowest.as_ref().map(|lowest| lowest.json(&drafted.plan.book.book.unit)),
        "single_points": drafted.single_points,
        "spilled": spilled(drafted),
        "why": why.collect::<Vec<_>>(),
    })
}

/// Milliseconds in hours.
pub fn hours(time: Ms) -> f64 {
    time as f64 / HOUR_MS as f64
}

/// Unit-hours that are spilled a day.
pub fn spilled(drafted: &Drafted) -> f64 {
    let (energy, days) = drafted.spilled;
    drafted.plan.book.book.unit.hours(energy) / days as f64
}

fn impossible_json(order: &DraftOrder, impossible: &Impossible) -> Value {
    let instead = |change: &OrderChange| json!({ "change": change.change, "to": change.to, "says": change_said(order, change) });
    let because = impossible.because.iter().map(DraftDemand::path);
    json!({
        "because": because.collect::<Vec<_>>(),
        "instead": impossible.instead.iter().map(instead).collect::<Vec<_>>(),
    })
}
