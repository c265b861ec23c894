//! One row of the table of readings.

use super::columns::ReadingKind;
use serde::{Deserialize, Serialize};

/// One row.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingRow {
    /// Its number, never given twice.
    pub id: u64,
    /// What is read.
    pub kind: ReadingKind,
    /// Its entries, a column each.
    pub cells: Vec<String>,
}

impl ReadingRow {
    /// Whether nothing stands in it.
    pub fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}
