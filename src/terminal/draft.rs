//! `duskline draft`: plans made from what is wanted, each wired, laid out and proven; or why there is none.

use super::{Answer, lines, print, table::Table, text_of};
use crate::draft::{
    DraftAnswer, DraftOrder, Drafted, Impossible, answer_json, change_said, contradiction_said,
    demand_said, draft, read_order, searched_said,
};
use crate::sheet::draft_said::{holds, kept, laid_out, spilled_a_day, without};
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
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// The plans, as JSON, for reading, or one of them as its file.
pub(super) fn answer(file: &str, options: &Options) -> Result<Answer, String> {
    let order = read_order(&text_of(file)?).map_err(|faults| lines(file, &faults))?;
    if !order.book.book.caution.is_empty() {
        super::remark(&order.book.book.caution);
    }
    let mut found = draft(&order);
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
        None if options.json => print(&answer_json(&order, &found, &document)),
        None => as_text(&order, &found),
    };
    Ok(Answer {
        text,
        failed: found.plans.is_empty(),
    })
}

fn document(drafted: &Drafted) -> Value {
    serde_json::from_str(&drafted.plan.print()).unwrap_or(Value::Null)
}

fn as_text(order: &DraftOrder, found: &DraftAnswer) -> String {
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
            plan.single_points.to_string(),
            spilled_a_day(plan),
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
