//! The list by which a builder gathers: every part type and material of a plan's bill, with what is there and what is
//! missing.

use super::entries::{StockEntries, StockItem};
use super::{Bill, Missing};
use crate::plan::Plan;

/// The list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct GatherList {
    /// What the plan needs.
    pub bill: Bill,
    /// What of it is missing.
    pub missing: Missing,
    /// A row each part type, in the order of the bill.
    pub parts: Vec<GatherRow>,
    /// A row each material, by name.
    pub materials: Vec<GatherRow>,
    /// What is there and this plan does not need.
    pub others: Vec<GatherRow>,
}

/// A row of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GatherRow {
    /// What is counted.
    pub item: StockItem,
    /// What people call it.
    pub label: String,
    /// How much the whole plan needs.
    pub needed: u64,
    /// What was entered of it.
    pub there: String,
    /// How much is missing. Of a material only what parts need that are missing themselves.
    pub lacks: u64,
    /// What is wrong with the entry, in a sentence.
    pub wrong: Option<String>,
}

impl GatherList {
    /// The row of one thing.
    pub fn row(&self, item: &StockItem) -> Option<&GatherRow> {
        let mut rows = self.parts.iter().chain(&self.materials);
        rows.find(|row| row.item == *item)
    }

    /// The list of a plan where this is there.
    pub fn of(plan: &Plan, entries: &StockEntries) -> GatherList {
        let bill = Bill::of(plan);
        let stock = entries.stock();
        let missing = stock.missing(plan);
        let row = |item: StockItem, label: &str, needed: u64| GatherRow {
            label: label.to_string(),
            needed,
            there: entries.entry(&item).to_string(),
            lacks: item.lacks(&missing),
            wrong: entries.wrong(&item),
            item,
        };
        let parts = bill.parts.iter();
        let parts: Vec<_> = parts
            .map(|line| row(StockItem::Part(line.kind.clone()), &line.label, line.count))
            .collect();
        let materials = bill.materials.iter();
        let materials: Vec<_> = materials
            .map(|(name, amount)| row(StockItem::Material(name.clone()), name, *amount))
            .collect();
        let is_needed = |item: &StockItem| parts.iter().chain(&materials).any(|r| r.item == *item);
        let label = |item: &StockItem| match item {
            StockItem::Part(name) => {
                (plan.book.book.find(name)).map_or_else(|| name.clone(), |kind| kind.label.clone())
            }
            StockItem::Material(name) => name.clone(),
        };
        let others = entries.items().filter(|item| !is_needed(item));
        let others = others.map(|item| row(item.clone(), &label(&item), 0));
        GatherList {
            others: others.collect(),
            bill,
            missing,
            parts,
            materials,
        }
    }
}
