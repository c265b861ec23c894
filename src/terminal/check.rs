//! `duskline check`: duties proven.

use super::output::problems;
use super::proof_output::{CauseOutput, CheckOutput, DutyOutput};
use super::{Answer, print, problems_text, table::Table};
use crate::plan::Plan;
use crate::proof::{self, Cause, Check, Gap};
use crate::sheet::losses::moment;
use crate::sheet::verdict;

/// The verdict on every duty, as JSON or for reading.
pub(super) fn answer(plan: &Plan, json: bool, why: bool) -> Answer {
    let check = proof::check(plan);
    let causes = match why || !json {
        true => proof::causes(plan, &check, &mut |_, _| {}),
        false => Vec::new(),
    };
    let text = if json {
        print(&as_json(plan, &check, &causes))
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

/// `causes` is empty unless they were asked for: then the answer has none.
fn as_json<'a>(plan: &Plan, check: &'a Check, causes: &'a [Vec<Cause>]) -> CheckOutput<'a> {
    let cause = |cause: &'a Cause| CauseOutput {
        says: cause.says(plan),
        parts: &cause.parts,
        wires: &cause.wires,
    };
    let duties = check.duties.iter().enumerate();
    let duty = |(at, duty): (usize, &'a proof::Verdict)| DutyOutput {
        part: &duty.part,
        kept: duty.kept,
        gaps: duty.gaps.iter().map(|g| (g.from, g.to, word(g))).collect(),
        causes: causes
            .get(at)
            .map(|causes| causes.iter().map(cause).collect()),
    };
    CheckOutput {
        for_ever: check.for_ever,
        days: check.days,
        duties: duties.map(duty).collect(),
        problems: problems(plan, &check.problems),
        differs: (!check.for_ever).then_some(&check.differs),
    }
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
    let said: Vec<String> = causes.iter().flatten().map(|c| c.says(plan)).collect();
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
        problems_text(plan, &check.problems)
    )
}
