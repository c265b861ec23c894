//! The table of readings: rows with their entries as they are typed.
//!
//! Rows have numbers of their own, never given twice in a table, so that a page can keep each in its place. What a row is
//! called on the page is its place in the table, from 1.

use super::columns::{ReadingGroup, ReadingKind};
use super::entered::seconds;
use super::row::ReadingRow;
use crate::fit::Question;
use crate::limits;
use crate::sky::Air;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// A table of readings, as somebody enters it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingTable {
    /// The length of the day, where it is known, as it was typed.
    pub day: String,
    /// The air, where it is known.
    pub air: Option<Air>,
    /// The rows, in their order.
    pub rows: Vec<ReadingRow>,
    next: u64,
}

impl ReadingTable {
    /// Whether nothing at all stands in it.
    pub fn is_empty(&self) -> bool {
        let blank = self.rows.iter().all(ReadingRow::is_blank);
        blank && self.day.trim().is_empty() && self.air.is_none()
    }

    /// The table that was kept as a text by [`ReadingTable::draft`]; none where it is no such text.
    pub fn of_draft(text: &str) -> Option<ReadingTable> {
        let table: ReadingTable = serde_json::from_str(text).ok()?;
        let mut ids: Vec<u64> = table.rows.iter().map(|row| row.id).collect();
        ids.sort_unstable();
        ids.dedup();
        let sound = ids.len() == table.rows.len() && ids.last().is_none_or(|id| *id < table.next);
        (sound && table.rows.len() <= limits::READINGS).then_some(table)
    }

    /// The table as a text, with entries that are wrong or yet to be filled.
    pub fn draft(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// The rows of a group, in their order.
    pub fn rows_of(&self, group: ReadingGroup) -> impl Iterator<Item = &ReadingRow> {
        self.rows
            .iter()
            .filter(move |row| row.kind.group() == group)
    }

    /// The row of this number.
    pub fn row(&self, id: u64) -> Option<&ReadingRow> {
        self.rows.iter().find(|row| row.id == id)
    }

    /// What a row is called: its place, from 1.
    pub fn number(&self, id: u64) -> Option<usize> {
        let at = self.rows.iter().position(|row| row.id == id)?;
        Some(at + 1)
    }

    /// Whether another row would be one too many.
    pub fn is_full(&self) -> bool {
        self.rows.len() >= limits::READINGS
    }

    /// Adds a row with these entries, behind the last of its group; its number, or none where the table is full.
    pub fn add(&mut self, kind: ReadingKind, cells: Vec<String>) -> Option<u64> {
        let group = kind.group();
        let last = self.rows.iter().rposition(|row| row.kind.group() == group);
        self.insert(last.map_or(self.rows.len(), |at| at + 1), kind, cells)
    }

    /// Adds a row behind all.
    pub(super) fn push(&mut self, kind: ReadingKind, cells: Vec<String>) -> Option<u64> {
        self.insert(self.rows.len(), kind, cells)
    }

    fn insert(&mut self, at: usize, kind: ReadingKind, mut cells: Vec<String>) -> Option<u64> {
        if self.is_full() {
            return None;
        }
        cells.resize(kind.columns().len(), String::new());
        let id = self.next;
        self.next += 1;
        self.rows.insert(at, ReadingRow { id, kind, cells });
        Some(id)
    }

    /// Adds the reading to be taken next, all but what it shows, where it does not wait in the table already; its row's
    /// number.
    pub fn add_question(&mut self, question: Question) -> Option<u64> {
        let Question { at, aim } = question;
        let cells = vec![
            at.to_string(),
            aim.azimuth.to_string(),
            aim.tilt.to_string(),
        ];
        let waits = |row: &&ReadingRow| {
            let shows = row
                .cells
                .last()
                .is_some_and(|shows| shows.trim().is_empty());
            row.kind == ReadingKind::Panel && shows && row.cells.starts_with(&cells)
        };
        match self.rows.iter().find(waits) {
            Some(row) => Some(row.id),
            None => self.add(ReadingKind::Panel, cells),
        }
    }

    /// Takes a row away.
    pub fn remove(&mut self, id: u64) {
        self.rows.retain(|row| row.id != id);
    }

    /// Puts an entry into a cell.
    pub fn enter(&mut self, id: u64, cell: usize, text: &str) {
        let row = self.rows.iter_mut().find(|row| row.id == id);
        if let Some(cell) = row.and_then(|row| row.cells.get_mut(cell)) {
            *cell = text.to_string();
        }
    }

    /// Puts rows that were copied in a spreadsheet into the table, the first entry into this cell: entries go to the
    /// right, lines down over rows of the same kind, and where those end into new ones. How many lines had no room; none
    /// where the text is a single entry.
    pub fn paste(&mut self, id: u64, cell: usize, text: &str) -> Option<usize> {
        let text = text.trim_end_matches(['\r', '\n']);
        if !text.contains(['\t', '\n']) {
            return None;
        }
        let kind = self.row(id)?.kind;
        let mut under: Vec<u64> = Vec::new();
        let from = self.rows.iter().skip_while(|row| row.id != id);
        under.extend(from.filter(|row| row.kind == kind).map(|row| row.id));
        let mut last = id;
        let mut left = 0;
        for (line, entries) in text.lines().enumerate() {
            let row = match under.get(line) {
                Some(row) => Some(*row),
                None => {
                    let at = self.rows.iter().position(|row| row.id == last);
                    self.insert(at.map_or(self.rows.len(), |at| at + 1), kind, Vec::new())
                }
            };
            let Some(row) = row else {
                left += 1;
                continue;
            };
            last = row;
            for (step, entry) in entries.split('\t').enumerate() {
                self.enter(row, cell + step, entry.trim());
            }
        }
        Some(left)
    }

    /// The length of the day as a file has it, where it is known; what is wrong with it where it is nothing of the kind.
    pub(super) fn day_s(&self) -> Result<Option<Value>, String> {
        let text = self.day.trim();
        if text.is_empty() {
            return Ok(None);
        }
        let known = seconds(text).filter(|s| (0.001..=limits::SECONDS).contains(s));
        known.map(|s| Some(crate::quantity::number(s))).ok_or_else(|| {
            format!("Found “{text}”, expected nothing, or seconds, or a time such as 48 min or 1.5 h.")
        })
    }

    /// What is wrong with the length of the day.
    pub fn day_fault(&self) -> Option<String> {
        self.day_s().err()
    }

    /// The numbers of the rows that count, in the order of the readings that they make.
    pub fn counted(&self) -> Vec<u64> {
        let counts = self.rows.iter().filter(|row| row.check().reading.is_some());
        counts.map(|row| row.id).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(texts: &[&str]) -> Vec<String> {
        texts.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn rows_come_behind_their_group_and_keep_their_numbers() {
        let mut table = ReadingTable::default();
        let first = table.add(ReadingKind::Panel, Vec::new()).unwrap();
        let sets = table.add(ReadingKind::Sets, Vec::new()).unwrap();
        let second = table.add(ReadingKind::Panel, Vec::new()).unwrap();
        let rises = table.add(ReadingKind::Rises, Vec::new()).unwrap();
        let order: Vec<u64> = table.rows.iter().map(|row| row.id).collect();
        assert_eq!(order, [first, second, sets, rises]);
        assert_eq!(table.number(sets), Some(3));
        table.remove(second);
        assert_eq!(table.number(sets), Some(2));
        let third = table.add(ReadingKind::Panel, Vec::new()).unwrap();
        assert!(third > rises, "no number is given twice");
        assert_eq!(table.rows[0].cells.len(), 4);
        assert_eq!(table.number(second), None);
    }

    #[test]
    fn a_table_is_full_at_the_limit() {
        let mut table = ReadingTable::default();
        for _ in 0..limits::READINGS {
            assert!(table.add(ReadingKind::Rises, Vec::new()).is_some());
        }
        assert!(table.is_full());
        assert_eq!(table.add(ReadingKind::Panel, Vec::new()), None);
        let id = table.rows[199].id;
        assert_eq!(table.paste(id, 0, "6:00\t80\n6:01\t81\n"), Some(1));
        assert_eq!(table.rows.len(), limits::READINGS);
    }

    #[test]
    fn the_next_reading_waits_in_the_table_once() {
        let question = Question {
            at: crate::fit::DialTime::parse("08:30").unwrap(),
            aim: crate::sky::Aim {
                azimuth: 135.0,
                tilt: 60.0,
            },
        };
        let mut table = ReadingTable::default();
        let row = table.add_question(question).unwrap();
        assert_eq!(table.rows[0].cells, ["08:30", "135", "60", ""]);
        assert_eq!(table.add_question(question), Some(row));
        table.enter(row, 3, "7");
        assert_ne!(table.add_question(question), Some(row));
    }

    #[test]
    fn copied_rows_go_right_and_down() {
        let mut table = ReadingTable::default();
        let first = table.add(ReadingKind::Panel, cells(&["8:00"])).unwrap();
        let second = table.add(ReadingKind::Panel, Vec::new()).unwrap();
        let rises = table.add(ReadingKind::Rises, Vec::new()).unwrap();
        assert_eq!(
            table.paste(first, 1, "7"),
            None,
            "one entry is the field's own business"
        );
        let copied = "90\t30\t7\r\n180\t60\t9\t and more\r\n270\t0\t1\r\n";
        assert_eq!(table.paste(first, 1, copied), Some(0));
        let entries = |at: usize| table.rows[at].cells.join(" ");
        assert_eq!(entries(0), "8:00 90 30 7");
        assert_eq!(entries(1), " 180 60 9");
        assert_eq!(entries(2), " 270 0 1");
        assert_eq!((table.rows[1].id, table.rows[3].id), (second, rises));
    }

    #[test]
    fn a_draft_keeps_what_is_wrong_and_what_is_not_there_yet() {
        let mut table = ReadingTable {
            day: "48 minutes or so".into(),
            air: Some(Air::None),
            ..ReadingTable::default()
        };
        table.add(ReadingKind::Panel, cells(&["25:00", "E"]));
        assert_eq!(ReadingTable::of_draft(&table.draft()), Some(table.clone()));
        assert!(
            table
                .day_fault()
                .unwrap()
                .starts_with("Found “48 minutes or so”, expected")
        );
        for wrong in [
            "",
            "[]",
            "{\"day\":\"\",\"air\":null,\"rows\":[{\"id\":3,\"kind\":\"Panel\",\"cells\":[]}],\"next\":3}",
        ] {
            assert_eq!(ReadingTable::of_draft(wrong), None, "{wrong}");
        }
        // A row of another make has cells that are read as far as they go.
        let short = "{\"day\":\"\",\"air\":null,\"rows\":[{\"id\":3,\"kind\":\"Panel\",\"cells\":[]}],\"next\":4}";
        let mut table = ReadingTable::of_draft(short).unwrap();
        table.enter(3, 2, "1");
        assert_eq!(table.rows[0].check().missing.len(), 4);
        assert!(table.is_empty());
    }
}
