//! The cells of a row looked at: what is wrong with each, what is missing, and the reading that they make together.

use super::columns::{Column, ReadingKind};
use super::entered::value;
use super::row::ReadingRow;
use crate::fit::{FORMAT, Reading, Readings, VERSION, read_readings};
use crate::quantity::Short;
use crate::read::{Fault, Faults};
use serde_json::{Map, Value, json};

/// What is wrong with one cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellFault {
    /// The cell, by its place in the row.
    pub cell: usize,
    /// Its heading.
    pub head: &'static str,
    /// What was found and what was expected, as a sentence.
    pub says: String,
}

/// How a row stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RowCheck {
    /// The reading, where all is there and right.
    pub reading: Option<Reading>,
    /// What is wrong, cell by cell.
    pub faults: Vec<CellFault>,
    /// The headings of the cells that are yet to be filled.
    pub missing: Vec<&'static str>,
}

impl ReadingRow {
    /// Looks at its entries.
    pub fn check(&self) -> RowCheck {
        RowCheck::of(self).0
    }
}

impl RowCheck {
    /// Looks at a row; the value that stands for it in a file comes with it where it is sound.
    pub(super) fn of(row: &ReadingRow) -> (RowCheck, Option<Value>) {
        let mut check = RowCheck::default();
        let mut map = Map::new();
        if let ReadingKind::Falls | ReadingKind::Charges = row.kind {
            let falls = row.kind == ReadingKind::Falls;
            map.insert(
                "battery".into(),
                if falls { "falls" } else { "rises" }.into(),
            );
        }
        for (cell, column) in row.kind.columns().iter().enumerate() {
            let text = row.cells.get(cell).map_or("", |text| text.trim());
            match value(row.kind, column, text) {
                _ if text.is_empty() && column.optional => {}
                _ if text.is_empty() => check.missing.push(column.head),
                Some(value) => drop(map.insert(column.key.into(), value)),
                None => check.faults.push(wrong(cell, column, text, column.expects)),
            }
        }
        check.faults.extend(level_goes_the_other_way(row, &map));
        if !check.faults.is_empty() || !check.missing.is_empty() {
            return (check, None);
        }
        let value = Value::Object(map);
        match one(&value) {
            Ok(reading) => {
                check.reading = Some(reading);
                (check, Some(value))
            }
            Err(faults) => {
                let faults = faults.iter().map(|fault| fault_at(row, fault));
                check.faults.extend(faults);
                (check, None)
            }
        }
    }

    /// Why the row does not count yet, in words; nothing where it does, or has faults that are told by themselves.
    pub fn left_out(&self) -> Option<String> {
        match &self.missing[..] {
            [] => None,
            [one] => Some(format!("Not counted yet: {one} is empty.")),
            several => Some(format!(
                "Not counted yet: {} are empty.",
                several.join(", ")
            )),
        }
    }
}

fn wrong(cell: usize, column: &Column, text: &str, expected: &str) -> CellFault {
    CellFault {
        cell,
        head: column.head,
        says: format!("Found “{text}”, expected {expected}."),
    }
}

/// The reading that a value is, by the reader of files, whose word is the last.
fn one(value: &Value) -> Result<Reading, Faults> {
    let table = json!({ "format": FORMAT, "version": VERSION, "readings": [value] });
    let first = |readings: Readings| readings.list.first().copied().ok_or_else(Faults::new);
    read_readings(&table.to_string()).and_then(first)
}

/// A fault that the reader found, at its cell.
fn fault_at(row: &ReadingRow, fault: &Fault) -> CellFault {
    let key = fault.place.rsplit('.').next().unwrap_or_default();
    let columns = row.kind.columns();
    let cell = columns.iter().position(|c| c.key == key).unwrap_or(0);
    CellFault {
        cell,
        head: columns.get(cell).map_or("", |c| c.head),
        says: format!("Found {}, expected {}.", fault.found, fault.expected),
    }
}

/// A battery that falls ends lower than it began, one that rises higher.
fn level_goes_the_other_way(row: &ReadingRow, map: &Map<String, Value>) -> Option<CellFault> {
    let level = |key: &str| map.get(key).and_then(Value::as_f64);
    let (from, to) = (level("from")?, level("to")?);
    let (than, is_right) = match row.kind {
        ReadingKind::Falls => ("less", to < from),
        ReadingKind::Charges => ("more", to > from),
        _ => return None,
    };
    let cell = row.kind.columns().iter().position(|c| c.key == "to")?;
    let expected = format!("{than} than before, which was {} %", Short(from / 10.0));
    let text = row.cells.get(cell)?.trim();
    (!is_right).then(|| wrong(cell, &row.kind.columns()[cell], text, &expected))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::number;

    fn row(kind: ReadingKind, cells: &[&str]) -> ReadingRow {
        ReadingRow {
            id: 1,
            kind,
            cells: cells.iter().map(ToString::to_string).collect(),
        }
    }

    #[track_caller]
    fn comes_to(kind: ReadingKind, cells: &[&str], file: Value) {
        assert_eq!(RowCheck::of(&row(kind, cells)).1, Some(file));
    }

    #[test]
    fn entries_are_taken_as_people_write_them() {
        use ReadingKind::{Charges, Falls, Panel, Rises, Sets, Watch};
        let panel = json!({ "at": "09:00", "azimuth": 90, "tilt": 30, "gives": 7 });
        for cells in [
            ["09:00", "90", "30", "7"],
            ["9", "E", "30°", "7"],
            [" 0900 ", "east", "30,0", " 7"],
        ] {
            comes_to(Panel, &cells, panel.clone());
        }
        let flat = json!({ "at": "12:00:30", "azimuth": 225, "tilt": 0, "gives": 0 });
        comes_to(Panel, &["12:00:30", "south west", "flat", "0"], flat);
        comes_to(Rises, &["5:40", ""], json!({ "rises": "05:40" }));
        comes_to(
            Rises,
            &["5:40", "N"],
            json!({ "rises": "05:40", "azimuth": 0 }),
        );
        comes_to(
            Sets,
            &["18:20:05", "N"],
            json!({ "sets": "18:20:05", "azimuth": 360 }),
        );
        for (watch, clock_s) in [
            ("120", 120.0),
            ("120 s", 120.0),
            ("48 min", 2880.0),
            ("48:00", 2880.0),
            ("1:02:05", 3725.0),
            ("1.1 h", 3960.0),
        ] {
            let file = json!({ "clock_s": number(clock_s), "dial": "01:00" });
            comes_to(Watch, &[watch, "1:00"], file);
        }
        let falls = json!({ "battery": "falls", "from": 500, "to": 333, "hours": 2, "draw": 4 });
        comes_to(Falls, &["1/2", "1/3", "2 h", "4"], falls.clone());
        comes_to(Falls, &["50 %", "33.3", "2:00", "4"], falls);
        let rises = json!({ "battery": "rises", "from": 300, "to": 488, "hours": 0.5, "draw": 10 });
        comes_to(Charges, &["30", "48,8", "30 min", "10"], rises);
    }

    #[track_caller]
    fn faults(kind: ReadingKind, cells: &[&str], expected: &[(&str, &str)]) {
        let (check, value) = RowCheck::of(&row(kind, cells));
        let told: Vec<(&str, &str)> = check
            .faults
            .iter()
            .map(|f| (f.head, f.says.as_str()))
            .collect();
        assert_eq!(told, expected);
        assert!(value.is_none() && check.reading.is_none());
    }

    #[test]
    fn what_is_wrong_is_said_at_its_cell() {
        faults(
            ReadingKind::Panel,
            &["25:00", "up", "200", "7.5"],
            &[
                (
                    "At",
                    "Found “25:00”, expected a time of the dial from 00:00 to 24:00, HH:MM or HH:MM:SS.",
                ),
                (
                    "Faces",
                    "Found “up”, expected a way from north in degrees, −360 to 720, or one of N, NE, E, SE, S, SW, W, NW.",
                ),
                (
                    "Tilt",
                    "Found “200”, expected degrees from flat, 0 to 180, or one of flat, upright.",
                ),
                ("Shows", "Found “7.5”, expected whole steps, 0 to 1000000."),
            ],
        );
        faults(
            ReadingKind::Rises,
            &["06:00", "W"],
            &[(
                "Over",
                "Found “W”, expected nothing, or a way from north in degrees, 0 to 180, or one of N, NE, E, SE, S.",
            )],
        );
        faults(
            ReadingKind::Watch,
            &["1:75", "00:00"],
            &[
                (
                    "The watch goes",
                    "Found “1:75”, expected seconds, or a time such as 48 min, 1.5 h or 2:05 for minutes and seconds.",
                ),
                (
                    "The dial goes",
                    "Found “00:00”, expected how far the dial went, from 00:01 to 24:00, HH:MM or HH:MM:SS.",
                ),
            ],
        );
        faults(
            ReadingKind::Falls,
            &["1/3", "1/2", "2", "4"],
            &[(
                "To",
                "Found “1/2”, expected less than before, which was 33.3 %.",
            )],
        );
        faults(
            ReadingKind::Charges,
            &["50", "50", "x", ""],
            &[
                (
                    "In",
                    "Found “x”, expected hours, 0.0001 to 100000, or a time such as 2:30 or 40 min.",
                ),
                (
                    "To",
                    "Found “50”, expected more than before, which was 50 %.",
                ),
            ],
        );
    }

    #[test]
    fn a_row_that_is_not_full_does_not_count_yet() {
        let (check, _) = RowCheck::of(&row(ReadingKind::Panel, &["9:00", "", "30", ""]));
        assert_eq!(
            check.left_out().unwrap(),
            "Not counted yet: Faces, Shows are empty."
        );
        let (check, _) = RowCheck::of(&row(ReadingKind::Sets, &[]));
        assert_eq!(check.left_out().unwrap(), "Not counted yet: At is empty.");
        assert!(check.faults.is_empty());
    }
}
