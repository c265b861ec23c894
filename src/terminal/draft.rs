//! `duskline draft`: plans made from what is wanted, each wired, laid out and proven; or why there is none.

use super::{Answer, lines, plan_of, print, table::Table, text_of};
use crate::draft::{
    DraftAnswer, DraftOrder, DraftSearch, Drafted, Impossible, OneMore, answer_json, change_said,
    contradiction_said, demand_said, draft, one_more, one_more_json, order_of, read_order,
    searched_said,
};
use crate::plan::{Plan, read_plan};
use crate::sheet::draft_said::{
    holds, kept, laid_out, level, remark, spilled_a_day, spilled_said, without,
};
use crate::works::materials_said;
use clap::Args;
use serde_json::Value;
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
    let mut answer = answer_json(order, found, &document);
    let plans = answer.get_mut("plans").and_then(Value::as_array_mut);
    for (plan, drafted) in plans.into_iter().flatten().zip(&found.plans) {
        plan["one_more"] = one_more_json(drafted, &one_more(drafted, order));
    }
    answer
}

fn document(drafted: &Drafted) -> Value {
    serde_json::from_str(&drafted.plan.print()).unwrap_or(Value::Null)
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
        text.push_str(&contradiction(order, impossible));
    }
    let _ = writeln!(text, "{}", searched_said(found));
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
        table.row([
            (number + 1).to_string(),
            plan.materials_sum.to_string(),
            plan.parts.to_string(),
            plan.stage.to_string(),
            kept(plan.for_ever).into(),
            holds(plan.holds),
            plan.dull_days.to_string(),
            level(plan.lowest.as_ref()),
            plan.single_points.to_string(),
            spilled_a_day(plan),
        ]);
    }
    table.to_string()
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
        table.row([
            one.part.to_string(),
            drafted.plan.called(&one.part),
            one.count.to_string(),
            one.materials_sum.to_string(),
            holds(one.holds),
            one.dull_days.to_string(),
            level(one.lowest.as_ref()),
            one.single_points.to_string(),
            spilled_said(one.spilled, unit),
            remark(one).into(),
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
        table.row([
            reason.part.to_string(),
            plan.called(&reason.part),
            count.to_string(),
            without(plan, reason),
        ]);
    }
    table.to_string()
}

fn contradiction(order: &DraftOrder, impossible: &Impossible) -> String {
    let mut text = format!("{}\n", contradiction_said(impossible));
    for demand in &impossible.because {
        let _ = writeln!(text, "  {} ({})", demand_said(order, demand), demand.path());
    }
    for change in &impossible.instead {
        let _ = writeln!(text, "{}", change_said(order, change));
    }
    text
}
