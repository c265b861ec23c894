//! `duskline compare`: two variants of a plan side by side, and what differs between them.

use super::proof_output::{ChangeOutput, ChangedPart, ChangedWire, CompareOutput, PairOfTexts};
use super::{Answer, print, table::Table};
use crate::plan::{Change, Differences, End, Plan, differences};
use crate::proof::compare::{ComparedRow, Figures, figures, rows, survived};

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

fn texts<'a>(what: &'a str, first: &'a str, second: &'a str) -> PairOfTexts<'a> {
    PairOfTexts {
        what,
        first,
        second,
    }
}

fn as_json<'a>(rows: &'a [ComparedRow], found: &'a Differences) -> CompareOutput<'a> {
    let three = |(what, a, b): &'a (String, String, String)| texts(what, a, b);
    let change = |change: &'a Change| match change {
        Change::Added => ChangeOutput::Whole("added"),
        Change::Gone => ChangeOutput::Whole("gone"),
        Change::Changed(all) => ChangeOutput::Changed(all.iter().map(three).collect()),
    };
    let rows = rows.iter().map(|r| texts(&r.what, &r.first, &r.second));
    let parts = found.parts.iter().map(|(part, c)| ChangedPart {
        part,
        change: change(c),
    });
    let wires = found.wires.iter().map(|(wire, c)| ChangedWire {
        wire,
        change: change(c),
    });
    CompareOutput {
        rows: rows.collect(),
        parts: parts.collect(),
        wires: wires.collect(),
        rest: found.rest.iter().map(three).collect(),
    }
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
