//! What a builder says is there, as it is typed: an entry a part type or material, kept as text, so that one that is wrong
//! is told and not lost. Whole numbers of parts, and of the units of the book's costs.

use super::stock::{MOST, Missing, Stock};
use crate::plan::Plan;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A thing that may be there.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StockItem {
    /// Parts of a type, by its name in the book.
    Part(String),
    /// A material, by its name.
    Material(String),
}

impl StockItem {
    /// How much of it is missing.
    pub fn lacks(&self, missing: &Missing) -> u64 {
        let found = match self {
            StockItem::Part(name) => missing.parts.get(name),
            StockItem::Material(name) => missing.materials.get(name),
        };
        found.copied().unwrap_or(0)
    }
}

/// Everything that was entered. What nothing was entered of is not there.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct StockEntries {
    #[serde(default)]
    parts: BTreeMap<String, String>,
    #[serde(default)]
    materials: BTreeMap<String, String>,
}

impl StockEntries {
    /// What was entered of one thing; empty where nothing was.
    pub fn entry(&self, item: &StockItem) -> &str {
        let found = match item {
            StockItem::Part(name) => self.parts.get(name),
            StockItem::Material(name) => self.materials.get(name),
        };
        found.map_or("", String::as_str)
    }

    /// Enters something, in place of what was entered of it before.
    pub fn enter(&mut self, item: &StockItem, text: &str) {
        let (of, name) = match item {
            StockItem::Part(name) => (&mut self.parts, name),
            StockItem::Material(name) => (&mut self.materials, name),
        };
        match text.trim().is_empty() {
            true => of.remove(name),
            false => of.insert(name.clone(), text.to_string()),
        };
    }

    /// Enters so much of one thing that none of it is missing for the plan.
    pub fn tick(&mut self, plan: &Plan, item: &StockItem) {
        let lacks = item.lacks(&self.stock().missing(plan));
        let there = amount(self.entry(item)).unwrap_or(0).saturating_add(lacks);
        self.enter(item, &there.to_string());
    }

    /// Enters of every part of the plan so many that none is missing.
    pub fn tick_all_parts(&mut self, plan: &Plan) {
        for (name, _) in self.stock().missing(plan).parts {
            self.tick(plan, &StockItem::Part(name));
        }
    }

    /// Everything of which something was entered: parts, then materials, by name.
    pub fn items(&self) -> impl Iterator<Item = StockItem> {
        let parts = self.parts.keys().cloned().map(StockItem::Part);
        parts.chain(self.materials.keys().cloned().map(StockItem::Material))
    }

    /// Whether nothing was entered.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty() && self.materials.is_empty()
    }

    /// What is wrong with an entry, in a sentence that says what it counts as.
    pub fn wrong(&self, item: &StockItem) -> Option<String> {
        let text = self.entry(item).trim();
        if text.is_empty() || amount(text).is_some() {
            return None;
        }
        let is_large = text.bytes().all(|b| b.is_ascii_digit());
        Some(match is_large {
            true => format!("“{text}” is not counted: enter {MOST} at the most."),
            false => format!("“{text}” is not counted: enter a whole number, or nothing."),
        })
    }

    /// What is there. Entries that are wrong count as nothing.
    pub fn stock(&self) -> Stock {
        let amounts = |of: &BTreeMap<String, String>| {
            let one = |(name, text): (&String, &String)| Some((name.clone(), amount(text)?));
            of.iter().filter_map(one).collect()
        };
        Stock {
            parts: amounts(&self.parts),
            materials: amounts(&self.materials),
        }
    }

    /// A text to be kept, from which [`StockEntries::of_draft`] makes the same entries again.
    pub fn draft(&self) -> String {
        // Maps of texts always have a text.
        serde_json::to_string(self).unwrap_or_default()
    }

    /// The entries of a text that was kept; none where it is another.
    pub fn of_draft(text: &str) -> Option<StockEntries> {
        serde_json::from_str(text).ok()
    }
}

/// The amount that an entry says.
fn amount(text: &str) -> Option<u64> {
    let amount = text.trim().parse().ok();
    amount.filter(|amount| *amount <= MOST)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::works::Bill;

    fn plan() -> Plan {
        let (_, text) = examples()
            .iter()
            .find(|(name, _)| name.starts_with("Kittiwake"))
            .expect("the station");
        read_plan(text).expect("an example reads")
    }

    fn lamp() -> StockItem {
        StockItem::Part("lamp".into())
    }

    #[test]
    fn a_tick_enters_what_is_needed_and_no_more() {
        let plan = plan();
        let mut entries = StockEntries::default();
        entries.enter(&lamp(), "1");
        entries.tick(&plan, &lamp());
        let needed = Bill::of(&plan).parts;
        let needed = needed.iter().find(|line| line.kind == "lamp");
        let needed = needed.expect("the station has lamps").count;
        assert_eq!(entries.entry(&lamp()), needed.to_string());
        entries.enter(&lamp(), "400");
        entries.tick(&plan, &lamp());
        assert_eq!(entries.entry(&lamp()), "400");
        // Of a material: what the missing parts need.
        let copper = StockItem::Material("copper".into());
        entries.tick(&plan, &copper);
        assert!(
            !entries
                .stock()
                .missing(&plan)
                .materials
                .contains_key("copper")
        );
        let all = &Bill::of(&plan).materials["copper"];
        assert!(entries.stock().materials["copper"] < *all);
    }

    #[test]
    fn ticking_all_parts_leaves_nothing_missing() {
        let plan = plan();
        let mut entries = StockEntries::default();
        entries.enter(&lamp(), "some");
        entries.tick_all_parts(&plan);
        assert_eq!(entries.stock().missing(&plan), Missing::default());
    }

    #[test]
    fn a_wrong_entry_is_told_kept_and_not_counted() {
        let mut entries = StockEntries::default();
        let whole = "enter a whole number, or nothing.";
        for (text, asks) in [
            ("a few", whole),
            ("-1", whole),
            ("1.5", whole),
            ("1 2", whole),
            ("1000000000001", "enter 1000000000000 at the most."),
        ] {
            entries.enter(&lamp(), text);
            assert_eq!(
                entries.wrong(&lamp()),
                Some(format!("“{text}” is not counted: {asks}"))
            );
            assert!(entries.stock().parts.is_empty());
            let again = StockEntries::of_draft(&entries.draft());
            assert_eq!(again.as_ref(), Some(&entries));
        }
        for text in ["0", " 3 ", "1000000000000", ""] {
            entries.enter(&lamp(), text);
            assert_eq!(entries.wrong(&lamp()), None, "{text}");
        }
        assert!(entries.is_empty());
        assert_eq!(StockEntries::of_draft("no entries"), None);
        assert_eq!(StockEntries::of_draft("{}"), Some(StockEntries::default()));
    }
}
