//! What a builder has already, and what is missing for a plan: parts that are there need no materials.

use super::bill::{Bill, add_cost};
use crate::plan::Plan;
use crate::read::{self, Fault, Faults, Place};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// What is there.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stock {
    /// Parts by the names of their types.
    pub parts: BTreeMap<String, u64>,
    /// Materials by their names.
    pub materials: BTreeMap<String, u64>,
}

/// What is missing; what is not missing is not named.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Missing {
    /// Parts to be built, by the names of their types.
    pub parts: BTreeMap<String, u64>,
    /// Materials to be gathered for those.
    pub materials: BTreeMap<String, u64>,
}

impl Missing {
    /// How many parts are missing in all.
    pub fn part_count(&self) -> u64 {
        self.parts.values().copied().fold(0, u64::saturating_add)
    }
}

impl Stock {
    /// Reads `{"parts": {"lamp": 1}, "materials": {"copper": 4}}`; either may be left out.
    ///
    /// # Errors
    /// Every fault, with its place, what was found and what was expected.
    pub fn read(text: &str) -> Result<Stock, Vec<Fault>> {
        let value = read::json(text).map_err(|fault| vec![fault])?;
        let mut faults = Vec::new();
        let root = Place::root("stock");
        let mut stock = Stock::default();
        if let Some(map) = read::object(&value, &root, &mut faults) {
            stock.parts = amounts(map, "parts", &root, &mut faults);
            stock.materials = amounts(map, "materials", &root, &mut faults);
        }
        if faults.is_empty() {
            Ok(stock)
        } else {
            Err(faults)
        }
    }

    /// What is missing for a plan.
    pub fn missing(&self, plan: &Plan) -> Missing {
        let mut missing = Missing::default();
        for line in Bill::of(plan).parts {
            let there = self.parts.get(&line.kind).copied().unwrap_or(0);
            let count = line.count.saturating_sub(there);
            if count == 0 {
                continue;
            }
            if let Some(kind) = plan.book.book.find(&line.kind) {
                add_cost(&mut missing.materials, &kind.cost, count);
            }
            missing.parts.insert(line.kind, count);
        }
        for (material, amount) in &mut missing.materials {
            *amount = amount.saturating_sub(self.materials.get(material).copied().unwrap_or(0));
        }
        missing.materials.retain(|_, amount| *amount > 0);
        missing
    }
}

/// The field `key` as names with amounts.
fn amounts(
    map: &Map<String, Value>,
    key: &str,
    root: &Place,
    faults: &mut Faults,
) -> BTreeMap<String, u64> {
    let place = root.key(key);
    let mut amounts = BTreeMap::new();
    let Some(value) = map.get(key) else {
        return amounts;
    };
    for (name, value) in read::object(value, &place, faults).into_iter().flatten() {
        let amount = read::whole(value, 0, MOST, &place.key(name), faults);
        amounts.extend(amount.map(|amount| (name.clone(), amount)));
    }
    amounts
}

/// No more of anything can be there.
pub(super) const MOST: u64 = 1_000_000_000_000;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};

    fn kittiwake() -> Plan {
        let (_, text) = examples()
            .iter()
            .find(|(name, _)| name.starts_with("Kittiwake"))
            .expect("the station");
        read_plan(text).expect("an example reads")
    }

    #[test]
    fn with_nothing_all_is_missing_and_with_all_nothing() {
        let plan = kittiwake();
        let bill = Bill::of(&plan);
        let missing = Stock::default().missing(&plan);
        assert_eq!(missing.parts.values().sum::<u64>(), bill.part_count());
        assert_eq!(missing.materials, bill.materials);
        let parts = bill
            .parts
            .iter()
            .map(|line| (line.kind.clone(), line.count));
        let all = Stock {
            parts: parts.collect(),
            ..Stock::default()
        };
        assert_eq!(all.missing(&plan), Missing::default());
        let materials = Stock {
            materials: bill.materials.clone(),
            ..Stock::default()
        };
        assert!(materials.missing(&plan).materials.is_empty());
        assert_eq!(materials.missing(&plan).parts, missing.parts);
    }

    #[test]
    fn a_part_that_is_there_needs_no_materials() {
        let plan = kittiwake();
        let stock = Stock::read(r#"{ "parts": { "lamp": 1 } }"#).expect("a sound stock");
        let (all, less) = (Stock::default().missing(&plan), stock.missing(&plan));
        let lamp = plan.book.book.find("lamp").expect("a lamp");
        assert_eq!(all.parts["lamp"] - less.parts["lamp"], 1);
        for (material, amount) in &lamp.cost {
            assert_eq!(all.materials[material] - less.materials[material], *amount);
        }
    }

    #[test]
    fn a_fault_names_place_value_and_expectation() {
        let said = |text: &str| {
            let faults = Stock::read(text).expect_err("faults");
            faults
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("\n")
        };
        assert_eq!(
            said(r#"{ "parts": { "lamp": -1 }, "materials": 4 }"#),
            "parts.lamp: found -1, expected a whole number from 0 to 1000000000000\nmaterials: found 4, expected an object"
        );
        assert!(said("[]").contains("expected an object"));
        assert!(said("{").contains("expected"));
    }
}
