//! What is there for the open plan.

use crate::page::build::kept_entries::UndoableEntries;
use crate::page::store::Store;
use crate::works::{StockEntries, StockItem};
use leptos::prelude::*;

/// The entries. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Gathering {
    /// What was entered.
    pub(super) stock: UndoableEntries<StockEntries, StockItem>,
    /// Counts the rows that were made, for ids of their own.
    rows: StoredValue<u64>,
}

/// The entries, from the context that the page's second part provides.
pub(super) fn use_gathering() -> Gathering {
    expect_context()
}

impl Gathering {
    /// Follows which plan is open. Call it in the page's root.
    pub fn start(store: Store) -> Gathering {
        Gathering {
            stock: UndoableEntries::start(store),
            rows: StoredValue::new(0),
        }
    }

    /// An id for what is said of a row, of its own on the page.
    pub(super) fn new_id(self) -> String {
        self.rows.update_value(|rows| *rows += 1);
        format!("gather-wrong-{}", self.rows.get_value())
    }
}
