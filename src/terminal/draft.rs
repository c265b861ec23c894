//! `duskline draft`: plans made from what is wanted, each wired, laid out and proven; or why there is none.

use super::{Answer, lines, plan_of, print, table::Table, text_of};
use crate::draft::{
    DraftAnswer, DraftDemand, DraftOrder, DraftSearch, Drafted, Impossible, LowestLevel, OneMore,
    Searched, answer_json, change_said, draft, hours, one_more, one_more_json, order_of,
    read_order, spilled,
};
use crate::plan::{PartId, Plan, read_plan};
use crate::quantity::{Ms, Short};
use crate::sheet::tidy::tidy;
use crate::works::materials_said;
use clap::Args;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt::Write;

/// In which form the answer is printed.
#[derive(Args)]
pub(super) struct Options {
    /// Print the document of plan N (from 1) instead
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    plan: Option<u64>,
    /// Add what is missing to the plan of this file, of which every part, wire and setting stays
    #[arg(long, value_name = "FILE")]
    complete: Option<String>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// The plans, as JSON, for reading, or one of them as its file.
pub(super) fn answer(file: &str, options: &Options) -> Result<Answer, String> {
    let order = order_in(file)?;
    if !order.book.book.caution.is_empty() {
        super::remark(&order.book.book.caution);
    }
    let mut found = match &options.complete {
        None => draft(&order),
        Some(plan) => completed(&order, &plan_of(plan)?),
    };
    for (number, drafted) in found.plans.iter_mut().enumerate() {
        drafted.plan = laid_out(&drafted.plan, number + 1);
    }
    let text = match options.plan {
        Some(number) => match found.plans.get(number as usize - 1) {
            Some(drafted) => drafted.plan.print(),
            None => {
                let there = found.plans.len();
                return Err(format!(
                    "--plan {number}: found {there} plans, expected a number from 1 to {there}\n"
                ));
            }
        },
        None if options.json => print(&as_json(&found, &order)),
        None => as_text(&found, &order),
    };
    Ok(Answer {
        text,
        failed: found.plans.is_empty(),
    })
}

/// The order in a file, or that which a plan's duties come to.
fn order_in(file: &str) -> Result<DraftOrder, String> {
    let text = text_of(file)?;
    let value: Option<Value> = serde_json::from_str(&text).ok();
    let is_plan = value.is_some_and(|value| value["format"] == crate::plan::FORMAT);
    if !is_plan {
        return read_order(&text).map_err(|faults| lines(file, &faults));
    }
    let order = order_of(&read_plan(&text).map_err(|faults| lines(file, &faults))?);
    match order.wants.is_empty() {
        true => Err(format!(
            "{file}: found no duty of a load, expected a plan whose duties say which loads must run when\n"
        )),
        false => Ok(order),
    }
}

fn completed(order: &DraftOrder, plan: &Plan) -> DraftAnswer {
    let mut search = DraftSearch::completing(order, plan);
    while !search.go(u64::MAX) {}
    search.finish()
}

/// The answer, each plan with what one more of each bank would bring.
fn as_json(found: &DraftAnswer, order: &DraftOrder) -> Value {
    let mut answer = answer_json(found, &document);
    let plans = answer.get_mut("plans").and_then(Value::as_array_mut);
    for (plan, drafted) in plans.into_iter().flatten().zip(&found.plans) {
        plan["one_more"] = one_more_json(drafted, &one_more(drafted, order));
    }
    answer
}

fn document(drafted: &Drafted) -> Value {
    serde_json::from_str(&drafted.plan.print()).unwrap_or(Value::Null)
}

/// The plan with places for the cards that have none, and a title where it has none.
fn laid_out(plan: &Plan, number: usize) -> Plan {
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

fn as_text(found: &DraftAnswer, order: &DraftOrder) -> String {
    let mut text = String::new();
    if !found.plans.is_empty() {
        let _ = writeln!(text, "{}", plans_table(&found.plans));
    }
    for (number, drafted) in found.plans.iter().enumerate() {
        let materials = materials_said(&drafted.materials);
        let _ = writeln!(
            text,
            "Plan {} takes {materials}.\n{}",
            number + 1,
            why(drafted)
        );
        let more = one_more(drafted, order);
        if !more.is_empty() {
            let table = more_table(drafted, &more);
            let _ = writeln!(
                text,
                "What one more would bring to plan {}:\n{table}",
                number + 1
            );
        }
    }
    if let Some(impossible) = &found.impossible {
        text.push_str(&contradiction(impossible));
    }
    text.push_str(match (found.searched, found.plans.is_empty()) {
        (Searched::Complete, false) => {
            "All circuits of the pieces that are searched were gone through or proven to cost more or to fail.\n"
        }
        (Searched::Complete, true) => {
            "Of the pieces that are searched no circuit does what is asked.\n"
        }
        (Searched::Stopped, _) => "There are more circuits than were tried.\n",
    });
    text
}

fn plans_table(plans: &[Drafted]) -> String {
    let heads = [
        "plan",
        "materials",
        "parts",
        "stage",
        "kept",
        "without sun",
        "dull days",
        "lowest level",
        "single points",
        "spilled a day",
    ];
    let mut table = Table::new(&heads);
    for (number, plan) in plans.iter().enumerate() {
        let unit = &plan.plan.book.book.unit.sign;
        let kept = if plan.for_ever {
            "for ever"
        } else {
            "for 60 days"
        };
        table.row([
            (number + 1).to_string(),
            plan.materials_sum.to_string(),
            plan.parts.to_string(),
            plan.stage.to_string(),
            kept.into(),
            holds_said(plan.holds),
            plan.dull_days.to_string(),
            level_said(plan.lowest.as_ref()),
            plan.single_points.to_string(),
            format!("{} {unit}·h", Short((spilled(plan) * 10.0).round() / 10.0)),
        ]);
    }
    table.to_string()
}

fn holds_said(holds: Option<Ms>) -> String {
    holds.map_or("for ever".into(), |time| {
        format!("{} h", Short((hours(time) * 10.0).floor() / 10.0))
    })
}

fn level_said(lowest: Option<&LowestLevel>) -> String {
    lowest.map_or("no battery".into(), |lowest| {
        format!("{} %", Short((lowest.share() * 1000.0).floor() / 10.0))
    })
}

/// Each bank with one more in it, and what the plan is then.
fn more_table(drafted: &Drafted, more: &[OneMore]) -> String {
    let heads = [
        "one more",
        "",
        "count",
        "materials",
        "without sun",
        "dull days",
        "lowest level",
        "single points",
        "spilled a day",
        "",
    ];
    let mut table = Table::new(&heads);
    let unit = &drafted.plan.book.book.unit;
    for one in more {
        let spilled = unit.hours(one.spilled.0) / one.spilled.1 as f64;
        let remark = match (one.keeps, one.within) {
            (true, true) => "",
            (true, false) => "more than the order lets be used",
            (false, _) => "what is asked is not kept then",
        };
        table.row([
            one.part.to_string(),
            drafted.plan.called(&one.part),
            one.count.to_string(),
            one.materials_sum.to_string(),
            holds_said(one.holds),
            one.dull_days.to_string(),
            level_said(one.lowest.as_ref()),
            one.single_points.to_string(),
            format!("{} {}·h", Short((spilled * 10.0).round() / 10.0), unit.sign),
            remark.into(),
        ]);
    }
    table.to_string()
}

/// Each part, and what breaks without it.
fn why(drafted: &Drafted) -> String {
    let mut table = Table::new(&["part", "", "count", "without it"]);
    for reason in &drafted.why {
        let plan = &drafted.plan;
        let count = plan.part(&reason.part).map_or(1, |part| part.count);
        let broken: Vec<String> = reason
            .without
            .iter()
            .filter_map(|duty| plan.duties.get(*duty))
            .map(|duty| plan.called(&duty.part))
            .collect();
        let says = match broken.is_empty() {
            true => "every duty is kept all the same".into(),
            false => format!("fails: {}", broken.join(", ")),
        };
        table.row([
            reason.part.to_string(),
            plan.called(&reason.part),
            count.to_string(),
            says,
        ]);
    }
    table.to_string()
}

fn contradiction(impossible: &Impossible) -> String {
    let because: Vec<String> = impossible.because.iter().map(DraftDemand::path).collect();
    let mut text = match (because.is_empty(), impossible.each) {
        (true, _) => "Nothing does what is asked.\n".to_string(),
        (false, true) => format!(
            "Nothing does what is asked. Leaving out any one of these would make it possible: {}.\n",
            because.join(", ")
        ),
        (false, false) => format!(
            "Nothing does what is asked. These stand against each other: {}.\n",
            because.join(", ")
        ),
    };
    for change in &impossible.instead {
        let _ = writeln!(text, "{}", change_said(change));
    }
    text
}
