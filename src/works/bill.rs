//! The bill of materials: how many parts of each type a plan needs, and what they are built of.
//!
//! Banks are multiplied out. Amounts are whole numbers in the units of the book's costs; sums stop at the largest number
//! rather than overflow.

use crate::plan::{Edit, Plan};
use std::collections::BTreeMap;

/// What a plan needs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bill {
    /// The part types in the order in which the plan first names them.
    pub parts: Vec<BillLine>,
    /// The materials by their names: the sum of cost times count.
    pub materials: BTreeMap<String, u64>,
    /// The highest stage that a part needs; 1 where none needs any.
    pub stage: u64,
    /// How many wires there are.
    pub wires: usize,
}

/// One type of part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BillLine {
    /// The type's name in the book.
    pub kind: String,
    /// What people call it.
    pub label: String,
    /// How many are needed.
    pub count: u64,
}

impl Bill {
    /// The bill of a plan. A part whose type is not in the book counts, and costs nothing.
    pub fn of(plan: &Plan) -> Bill {
        let mut bill = Bill {
            stage: 1,
            wires: plan.wires.len(),
            ..Bill::default()
        };
        let mut line_of: BTreeMap<&str, usize> = BTreeMap::new();
        for part in &plan.parts {
            let kind = plan.kind_of(part);
            let at = *line_of.entry(&part.kind).or_insert_with(|| {
                bill.parts.push(BillLine {
                    kind: part.kind.clone(),
                    label: kind.map_or(&part.kind, |kind| &kind.label).clone(),
                    count: 0,
                });
                bill.parts.len() - 1
            });
            let line = &mut bill.parts[at];
            line.count = line.count.saturating_add(part.count);
            let Some(kind) = kind else { continue };
            bill.stage = bill.stage.max(kind.stage);
            add_cost(&mut bill.materials, &kind.cost, part.count);
        }
        bill.materials.retain(|_, amount| *amount > 0);
        bill
    }

    /// How many parts there are in all.
    pub fn part_count(&self) -> u64 {
        let counts = self.parts.iter().map(|line| line.count);
        counts.fold(0, u64::saturating_add)
    }

    /// What a plan needs more of each material, or less where negative, once these edits are made; none where they can't
    /// be. Materials of which nothing changes are left out.
    pub fn change(plan: &Plan, edits: &[Edit]) -> Option<BTreeMap<String, i128>> {
        let mut changed = plan.clone();
        changed.apply_all(edits.to_vec()).ok()?;
        let (before, after) = (Bill::of(plan).materials, Bill::of(&changed).materials);
        let mut change: BTreeMap<String, i128> = BTreeMap::new();
        for (name, amount) in after {
            *change.entry(name).or_default() += i128::from(amount);
        }
        for (name, amount) in before {
            *change.entry(name).or_default() -= i128::from(amount);
        }
        change.retain(|_, amount| *amount != 0);
        Some(change)
    }
}

/// Materials as one says them: `12 copper, 4 glass`; a word where there are none.
pub fn materials_said(materials: &BTreeMap<String, u64>) -> String {
    let said = materials
        .iter()
        .map(|(name, amount)| format!("{amount} {name}"));
    let said: Vec<String> = said.collect();
    match said.is_empty() {
        true => "none".into(),
        false => said.join(", "),
    }
}

/// A change of materials in a sentence: `It takes 3 copper more and saves 1 glass.`; none where nothing changes.
pub fn change_said(change: &BTreeMap<String, i128>) -> Option<String> {
    let side = |more: bool| {
        let amounts = change.iter().filter(|(_, amount)| (**amount > 0) == more);
        let said = amounts.map(|(name, amount)| format!("{} {name}", amount.unsigned_abs()));
        said.collect::<Vec<_>>().join(", ")
    };
    match (side(true), side(false)) {
        (more, less) if more.is_empty() && less.is_empty() => None,
        (more, less) if less.is_empty() => Some(format!("It takes {more} more.")),
        (more, less) if more.is_empty() => Some(format!("It saves {less}.")),
        (more, less) => Some(format!("It takes {more} more and saves {less}.")),
    }
}

/// Adds what so many of one cost.
pub(super) fn add_cost(to: &mut BTreeMap<String, u64>, cost: &[(String, u64)], count: u64) {
    for (material, amount) in cost {
        let sum = to.entry(material.clone()).or_default();
        *sum = sum.saturating_add(amount.saturating_mul(count));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{PartId, examples, read_plan};

    fn plan() -> Plan {
        let book = r#"{ "format": "duskline/book", "version": 1, "name": "own", "label": "Own",
            "unit": "u", "step": 1, "lag_ms": 100, "types": [
            { "type": "lamp", "label": "Lamp", "group": "g", "symbol": "lamp", "behaviour": "load", "draw": 4, "cost": { "glass": 2, "copper": 1 } },
            { "type": "cell", "label": "Cell", "group": "g", "symbol": "battery", "behaviour": "battery", "capacity": 10, "max_in": 1, "max_out": 1,
              "efficiency": 1000, "cut_out": 0, "cut_in": 10, "set": { "start": 500 }, "cost": { "copper": 5 }, "stage": 3 } ] }"#;
        let text = format!(
            r#"{{ "format": "duskline/plan", "version": 1, "book": {book}, "wires": [],
                "parts": [ {{ "id": "p1", "type": "lamp" }}, {{ "id": "p2", "type": "cell", "count": 2 }},
                           {{ "id": "p3", "type": "lamp" }} ] }}"#
        );
        read_plan(&text).unwrap_or_else(|faults| panic!("{faults:?}"))
    }

    #[test]
    fn banks_are_multiplied_out_and_costs_added_up() {
        let bill = Bill::of(&plan());
        let counts: Vec<(&str, u64)> = bill
            .parts
            .iter()
            .map(|l| (l.label.as_str(), l.count))
            .collect();
        assert_eq!(counts, [("Lamp", 2), ("Cell", 2)]);
        assert_eq!(bill.part_count(), 4);
        let amount = |name: &str| bill.materials[name];
        assert_eq!((amount("glass"), amount("copper")), (4, 12));
        assert_eq!((bill.stage, bill.wires), (3, 0));
    }

    #[test]
    fn an_empty_plan_needs_nothing_and_the_first_stage() {
        let bill = Bill::of(&Plan::empty());
        assert!(bill.parts.is_empty() && bill.materials.is_empty());
        assert_eq!((bill.stage, bill.part_count()), (1, 0));
    }

    #[test]
    fn a_change_tells_more_and_less() {
        let plan = plan();
        let count = |id: &str, n| Edit::Count(PartId::from(id), n);
        let change = Bill::change(&plan, &[count("p2", 3)]).expect("edits that fit");
        assert_eq!(change, BTreeMap::from([("copper".into(), 5)]));
        let gone = Bill::change(&plan, &[Edit::RemovePart(PartId::from("p1"))]).expect("fits");
        assert_eq!(gone["glass"], -2);
        assert_eq!(Bill::change(&plan, &[count("p9", 3)]), None);
        let said = |edits: &[Edit]| change_said(&Bill::change(&plan, edits).expect("fits"));
        assert_eq!(
            said(&[count("p2", 3)]).as_deref(),
            Some("It takes 5 copper more.")
        );
        assert_eq!(
            said(&[count("p2", 1)]).as_deref(),
            Some("It saves 5 copper.")
        );
        let both = [count("p1", 3), count("p2", 1)];
        assert_eq!(
            said(&both).as_deref(),
            Some("It takes 4 glass more and saves 3 copper.")
        );
        assert_eq!(said(&[]), None);
    }

    #[test]
    fn examples_need_what_their_parts_cost() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let cost = |part: &crate::plan::Part| {
                let kind = plan.kind_of(part).expect("a type of the book");
                kind.cost.iter().map(|(_, n)| n * part.count).sum::<u64>()
            };
            let all: u64 = plan.parts.iter().map(cost).sum();
            assert_eq!(
                Bill::of(&plan).materials.values().sum::<u64>(),
                all,
                "{name}"
            );
        }
    }
}
