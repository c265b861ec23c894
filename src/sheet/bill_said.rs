//! What is to be gathered for a plan, in words: as a plain text that can be sent, and how far one is, in a sentence.

use super::text_table::TextTable;
use crate::quantity::Short;
use crate::works::{Bill, Missing, WireLength, materials_said};
use std::collections::BTreeMap;
use std::fmt::Write;

/// The bill as plain text, two tables and a line; with what is missing where that is asked, and the metres of wire where
/// the plan has a site.
pub fn gather_text(bill: &Bill, missing: Option<&Missing>, length: Option<WireLength>) -> String {
    let lack = |of: Option<&BTreeMap<String, u64>>, name: &str| match of {
        Some(of) => of.get(name).copied().unwrap_or(0).to_string(),
        None => String::new(),
    };
    let mut text = String::new();
    let last = if missing.is_some() { "missing" } else { "" };
    let mut parts = TextTable::new(&["part", "count", last]);
    for line in &bill.parts {
        let lack = lack(missing.map(|m| &m.parts), &line.kind);
        parts.row([line.label.clone(), line.count.to_string(), lack]);
    }
    let mut materials = TextTable::new(&["material", "amount", last]);
    for (name, amount) in &bill.materials {
        let lack = lack(missing.map(|m| &m.materials), name);
        materials.row([name.clone(), amount.to_string(), lack]);
    }
    for table in [parts, materials] {
        if !table.is_empty() {
            let _ = writeln!(text, "{table}");
        }
    }
    let _ = writeln!(
        text,
        "{} parts in all, {} wires{}, stage {}.",
        bill.part_count(),
        bill.wires,
        length.map_or_else(String::new, length_said),
        bill.stage
    );
    text
}

/// How long the wires are, behind their number: ` of 212.5 m in all`.
pub fn length_said(length: WireLength) -> String {
    let metres = Short(length.metres());
    match length.without {
        0 => format!(" of {metres} m in all"),
        without => format!(" ({metres} m in all, not counting {without} without a run)"),
    }
}

/// How much of it is missing: `Missing: 24 of 38 parts, and for those 12 copper and 3 glass.`
pub fn missing_said(bill: &Bill, missing: &Missing) -> String {
    let (all, lacks) = (bill.part_count(), missing.part_count());
    match (lacks, missing.materials.is_empty()) {
        (0, _) => "All parts are there.".into(),
        (_, true) => format!("Missing: {lacks} of {all} parts. All materials for them are there."),
        (_, false) => format!(
            "Missing: {lacks} of {all} parts, and for those {}.",
            materials_said(&missing.materials)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::works::{StockEntries, StockItem};

    #[test]
    fn what_is_missing_is_a_sentence() {
        let (_, text) = examples()
            .iter()
            .find(|(name, _)| *name == "Dusk lamp")
            .expect("the dusk lamp");
        let plan = read_plan(text).expect("an example reads");
        let bill = Bill::of(&plan);
        let mut entries = StockEntries::default();
        let said = |entries: &StockEntries| missing_said(&bill, &entries.stock().missing(&plan));
        assert_eq!(
            said(&entries),
            "Missing: 6 of 6 parts, and for those 16 copper, 13 glass, 6 resin, 6 salt cells, 6 salvaged steel, 2 timber."
        );
        for material in bill.materials.keys() {
            entries.tick(&plan, &StockItem::Material(material.clone()));
        }
        let all = "Missing: 6 of 6 parts. All materials for them are there.";
        assert_eq!(said(&entries), all);
        entries.tick_all_parts(&plan);
        assert_eq!(said(&entries), "All parts are there.");
    }
}
