//! Comma-separated values (RFC 4180) for a spreadsheet: what is to be gathered and laid, and any other table.
//!
//! A plan's names are written by whoever sent the plan. A spreadsheet takes a cell that begins with a sign of calculating
//! for a formula, so such a text has an apostrophe put before it, at which spreadsheets take a cell for a text (common
//! practice, no source). Numbers that are worked out here stand as they are.

use super::{Bill, CableSchedule, Missing};
use crate::clock::moment;
use crate::plan::{End, Plan};
use crate::quantity::Short;
use csv::{Terminator, WriterBuilder};
use std::collections::BTreeMap;

/// The cable schedule as a table: powers in steps, lengths in metres.
pub fn cables_table(plan: &Plan, schedule: &CableSchedule) -> String {
    let mut table = vec![
        [
            "number",
            "wire",
            "from",
            "from part",
            "to",
            "to part",
            "most (steps)",
            "at",
            "metres",
            "exposed (m)",
            "run",
        ]
        .map(String::from)
        .to_vec(),
    ];
    let day = plan.world.day_ms();
    let metres = |length: Option<f64>| length.map_or_else(String::new, |m| Short(m).to_string());
    for cable in &schedule.cables {
        let end = |end: &End| [text(&end.to_string()), text(&plan.called(&end.part))];
        let [from, from_part] = end(&cable.from);
        let [to, to_part] = end(&cable.to);
        table.push(vec![
            cable.number.to_string(),
            text(cable.wire.as_str()),
            from,
            from_part,
            to,
            to_part,
            cable.most.to_string(),
            moment(cable.at, day),
            metres(cable.metres),
            metres(cable.exposed),
            text(cable.run.as_deref().unwrap_or("")),
        ]);
    }
    written(&table)
}

/// The bill as a table, a row each part type and each material; with what is missing where that is asked.
pub fn bill_table(bill: &Bill, missing: Option<&Missing>) -> String {
    let mut head: Vec<String> = ["kind", "type", "label", "amount"].map(String::from).into();
    head.extend(missing.map(|_| "missing".to_string()));
    let mut table = vec![head];
    let mut row = |kind: &str, [name, label]: [&str; 2], amount: u64, lacks: Option<u64>| {
        let mut row = vec![kind.into(), text(name), text(label), amount.to_string()];
        row.extend(lacks.map(|lacks| lacks.to_string()));
        table.push(row);
    };
    let of = |map: &BTreeMap<String, u64>, name: &str| map.get(name).copied().unwrap_or(0);
    for line in &bill.parts {
        let lacks = missing.map(|missing| of(&missing.parts, &line.kind));
        row("part", [&line.kind, &line.label], line.count, lacks);
    }
    for (name, amount) in &bill.materials {
        let lacks = missing.map(|missing| of(&missing.materials, name));
        row("material", [name, name], *amount, lacks);
    }
    written(&table)
}

/// A text as a cell that no spreadsheet takes for a formula.
pub fn text(cell: &str) -> String {
    match cell.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        true => format!("'{cell}"),
        false => cell.to_string(),
    }
}

/// A table of cells, its heading first.
pub fn written(table: &[Vec<String>]) -> String {
    let mut out = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    for row in table {
        // Writing to memory does not fail, and every row has as many cells as the first.
        let _ = out.write_record(row);
    }
    let bytes = out.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_looks_like_a_formula_is_written_as_a_text() {
        for name in ["=1+1", "+1", "-1", "@sum", "\tx"] {
            assert_eq!(text(name), format!("'{name}"));
        }
        for name in ["Lamp", "1+1", "'=1", ""] {
            assert_eq!(text(name), name);
        }
    }
}
