//! `duskline compare`: two variants of a plan side by side, and what differs between them.

use super::{Answer, print, table::Table};
use crate::plan::{Change, Differences, End, Plan, differences};
use crate::proof::compare::{ComparedRow, Figures, figures, rows, survived};
use serde_json::{Value, json};

/// The comparison, as JSON or for reading.
pub(super) fn answer(first: &Plan, second: &Plan, with_losses: bool, json: bool) -> Answer {
    let of = |plan: &Plan| {
        let losses = with_losses.then(|| survived(plan, &mut |_, _| true));
        Figures {
            losses: losses.flatten(),
            ..figures(plan)
        }
    };
    let (a, b) = (of(first), of(second));
    let rows = rows(first, &a, second, &b);
    let differences = differences(first, second);
    let text = if json {
        print(&as_json(&rows, &differences))
    } else {
        as_text(first, second, &rows, &differences)
    };
    Answer {
        text,
        failed: a.kept() < a.duties.len() || b.kept() < b.duties.len(),
    }
}

fn as_json(rows: &[ComparedRow], found: &Differences) -> Value {
    let change = |change: &Change| match change {
        Change::Added => json!("added"),
        Change::Gone => json!("gone"),
        Change::Changed(all) => all
            .iter()
            .map(|(what, a, b)| json!({ "what": what, "first": a, "second": b }))
            .collect(),
    };
    let row = |r: &ComparedRow| json!({ "what": r.what, "first": r.first, "second": r.second });
    let part = |(id, c): &(crate::plan::PartId, Change)| json!({ "part": id.as_str(), "change": change(c) });
    let wire = |(id, c): &(crate::plan::WireId, Change)| json!({ "wire": id.as_str(), "change": change(c) });
    let rest =
        |(what, a, b): &(String, String, String)| json!({ "what": what, "first": a, "second": b });
    json!({
        "rows": rows.iter().map(row).collect::<Vec<_>>(),
        "parts": found.parts.iter().map(part).collect::<Vec<_>>(),
        "wires": found.wires.iter().map(wire).collect::<Vec<_>>(),
        "rest": found.rest.iter().map(rest).collect::<Vec<_>>(),
    })
}

fn as_text(a: &Plan, b: &Plan, rows: &[ComparedRow], found: &Differences) -> String {
    let mut table = Table::new(&["", "first", "second"]);
    for row in rows {
        table.row([row.what.as_str(), row.first.as_str(), row.second.as_str()]);
    }
    let mut changes = Table::new(&["what", "difference", "first", "second"]);
    let mut told = |what: String, change: &Change| {
        let plain = |said: &str| [what.clone(), said.into(), String::new(), String::new()];
        match change {
            Change::Added => changes.row(plain("only in the second")),
            Change::Gone => changes.row(plain("only in the first")),
            Change::Changed(all) => {
                for (field, a, b) in all {
                    changes.row([what.clone(), field.clone(), a.clone(), b.clone()]);
                }
            }
        }
    };
    for (id, change) in &found.parts {
        let plan = if *change == Change::Added { b } else { a };
        told(plan.called(id), change);
    }
    for (id, change) in &found.wires {
        let plan = if *change == Change::Added { b } else { a };
        let end = |end: &End| format!("{}.{}", plan.called(&end.part), end.port);
        let ends = plan
            .wire(id)
            .map(|w| format!("{} to {}", end(&w.from), end(&w.to)));
        told(ends.unwrap_or_else(|| id.to_string()), change);
    }
    for (what, x, y) in &found.rest {
        changes.row([what.clone(), String::new(), x.clone(), y.clone()]);
    }
    if changes.is_empty() {
        format!("{table}\nNothing differs.\n")
    } else {
        format!("{table}\n{changes}")
    }
}
