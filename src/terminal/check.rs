//! `duskline check`: duties proven.

use super::{Answer, print, problems_json, problems_text, table::Table};
use crate::plan::Plan;
use crate::proof::{self, Cause, Check, Gap};
use crate::sheet::losses::moment;
use crate::sheet::verdict;
use serde_json::{Value, json};

/// The verdict on every duty, as JSON or for reading.
pub(super) fn answer(plan: &Plan, json: bool, why: bool) -> Answer {
    let check = proof::check(plan);
    let causes = match why || !json {
        true => proof::causes(plan, &check, &mut |_, _| {}),
        false => Vec::new(),
    };
    let text = if json {
        print(&as_json(&check, &causes))
    } else {
        as_text(plan, &check, &causes)
    };
    Answer {
        text,
        failed: !check.is_fine(),
    }
}

fn word(gap: &Gap) -> &'static str {
    if gap.on { "on" } else { "off" }
}

fn cause_json(cause: &Cause) -> Value {
    let parts: Vec<&str> = cause.parts.iter().map(|id| id.as_str()).collect();
    let wires: Vec<&str> = cause.wires.iter().map(|id| id.as_str()).collect();
    json!({ "says": cause.says, "parts": parts, "wires": wires })
}

/// `causes` is empty unless they were asked for: then the answer has none.
fn as_json(check: &Check, causes: &[Vec<Cause>]) -> Value {
    let gap = |g: &Gap| json!([g.from, g.to, word(g)]);
    let duty = |(at, d): (usize, &proof::Verdict)| {
        let gaps: Vec<Value> = d.gaps.iter().map(gap).collect();
        let mut value = json!({ "part": d.part.as_str(), "kept": d.kept, "gaps": gaps });
        if let Some(causes) = causes.get(at) {
            value["causes"] = causes.iter().map(cause_json).collect();
        }
        value
    };
    let mut value = json!({
        "for_ever": check.for_ever,
        "days": check.days,
        "duties": check.duties.iter().enumerate().map(duty).collect::<Vec<_>>(),
        "problems": problems_json(&check.problems),
    });
    if !check.for_ever {
        let differs: Vec<&str> = check.differs.iter().map(|id| id.as_str()).collect();
        value["differs"] = differs.into();
    }
    value
}

fn holds(check: &Check) -> String {
    let found = match (check.for_ever, check.days) {
        (false, _) => String::new(),
        (true, 1) => " (found in 1 day)".into(),
        (true, days) => format!(" (found in {days} days)"),
    };
    format!("{}{found}", verdict::holds(check))
}

fn as_text(plan: &Plan, check: &Check, causes: &[Vec<Cause>]) -> String {
    let mut table = Table::new(&["duty", "verdict", "from", "to", "load"]);
    for (duty, verdict) in plan.duties.iter().zip(&check.duties) {
        let words = verdict::duty(plan, duty);
        if verdict.kept {
            table.row([
                words,
                format!("kept {}", holds(check)),
                String::new(),
                String::new(),
                String::new(),
            ]);
            continue;
        }
        for gap in &verdict.gaps {
            let (from, to) = (moment(plan, gap.from), moment(plan, gap.to));
            table.row([words.clone(), "broken".into(), from, to, word(gap).into()]);
        }
    }
    let duties = if table.is_empty() {
        "The plan has no duties.\n".into()
    } else {
        table.to_string()
    };
    let said: Vec<&str> = causes.iter().flatten().map(|c| c.says.as_str()).collect();
    let why = match said.is_empty() {
        true => String::new(),
        false => format!("\n{}\n", said.join("\n")),
    };
    let mut differs = String::new();
    if !check.differs.is_empty() {
        let names: Vec<String> = check.differs.iter().map(|id| plan.called(id)).collect();
        differs = format!(
            "No midnight repeated an earlier one. What differed: {}.\n",
            names.join(", ")
        );
    }
    let summary = match plan.duties.is_empty() {
        true => String::new(),
        false => format!("{}.\n\n", verdict::summary(check)),
    };
    format!(
        "{summary}{duties}{why}{differs}\n{}",
        problems_text(&check.problems)
    )
}
