//! `duskline draft`: plans made from what is wanted, each wired, laid out and proven; or why there is none.

use super::{Answer, lines, print, table::Table, text_of};
use crate::draft::{
    DraftAnswer, DraftDemand, Drafted, Impossible, Searched, answer_json, change_said, draft,
    hours, read_order, spilled,
};
use crate::plan::{PartId, Plan};
use crate::quantity::Short;
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
        None if options.json => print(&answer_json(&found, &document)),
        None => as_text(&found),
    };
    Ok(Answer {
        text,
        failed: found.plans.is_empty(),
    })
}

fn document(drafted: &Drafted) -> Value {
    serde_json::from_str(&drafted.plan.print()).unwrap_or(Value::Null)
}

/// The plan with places for its cards and a title.
fn laid_out(plan: &Plan, number: usize) -> Plan {
    let mut laid = plan.clone();
    laid.title = format!("Draft {number}");
    let all: BTreeSet<PartId> = plan.parts.iter().map(|part| part.id.clone()).collect();
    let found = tidy(plan, &all);
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

fn as_text(found: &DraftAnswer) -> String {
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
        "single points",
        "spilled a day",
    ];
    let mut table = Table::new(&heads);
    for (number, plan) in plans.iter().enumerate() {
        let holds = plan.holds.map_or("for ever".into(), |time| {
            format!("{} h", Short((hours(time) * 10.0).floor() / 10.0))
        });
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
            holds,
            plan.dull_days.to_string(),
            plan.single_points.to_string(),
            format!("{} {unit}·h", Short((spilled(plan) * 10.0).round() / 10.0)),
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
