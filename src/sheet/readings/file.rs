//! The table to a readings file's text and back. Only rows that are sound go into the text.

use super::cells::RowCheck;
use super::columns::ReadingKind;
use super::table::ReadingTable;
use super::words;
use crate::fit::{FORMAT, Reading, Readings, VERSION, read_readings};
use crate::quantity::Short;
use crate::read::Faults;
use serde_json::json;

impl ReadingTable {
    /// What a readings file says; every fault where it is none.
    ///
    /// # Errors
    /// Every fault of the file, each with its place.
    pub fn of_text(text: &str) -> Result<ReadingTable, Faults> {
        Ok(ReadingTable::of_readings(&read_readings(text)?))
    }

    /// Readings as somebody would have typed them.
    pub fn of_readings(readings: &Readings) -> ReadingTable {
        let mut table = ReadingTable::default();
        table.day = readings.day_s.map_or_else(String::new, |s| s.to_string());
        table.air = readings.air;
        for reading in &readings.list {
            let (kind, cells) = typed(reading);
            // No file has more readings than a table.
            table.push(kind, cells);
        }
        table
    }

    /// The text of the readings file: what is known of the day and the air, and the rows that count.
    pub fn to_text(&self) -> String {
        let mut fields = vec![
            format!("  \"format\": {}", json!(FORMAT)),
            format!("  \"version\": {VERSION}"),
        ];
        if let Ok(Some(day_s)) = self.day_s() {
            fields.push(format!("  \"day_s\": {day_s}"));
        }
        if let Some(air) = self.air {
            fields.push(format!("  \"air\": {}", json!(words::air(air))));
        }
        let sound = self.rows.iter().filter_map(|row| RowCheck::of(row).1);
        let lines: Vec<String> = sound.map(|value| format!("\n    {value}")).collect();
        let end = if lines.is_empty() { "" } else { "\n  " };
        fields.push(format!("  \"readings\": [{}{end}]", lines.join(",")));
        format!("{{\n{}\n}}\n", fields.join(",\n"))
    }
}

/// A reading's kind and its entries.
fn typed(reading: &Reading) -> (ReadingKind, Vec<String>) {
    let or_nothing = |n: &Option<f64>| n.map_or_else(String::new, |n| n.to_string());
    match reading {
        Reading::Panel { at, aim, gives } => (
            ReadingKind::Panel,
            vec![
                at.to_string(),
                aim.azimuth.to_string(),
                aim.tilt.to_string(),
                gives.to_string(),
            ],
        ),
        Reading::Rises { at, azimuth } => (
            ReadingKind::Rises,
            vec![at.to_string(), or_nothing(azimuth)],
        ),
        Reading::Sets { at, azimuth } => {
            (ReadingKind::Sets, vec![at.to_string(), or_nothing(azimuth)])
        }
        Reading::Clock { clock_s, dial } => (
            ReadingKind::Watch,
            vec![clock_s.to_string(), dial.to_string()],
        ),
        Reading::Battery {
            falls,
            from,
            to,
            hours,
            draw,
        } => {
            let kind = match falls {
                true => ReadingKind::Falls,
                false => ReadingKind::Charges,
            };
            let level = |per_mille: f64| Short(per_mille / 10.0).to_string();
            let cells = vec![
                level(*from),
                level(*to),
                hours.to_string(),
                draw.to_string(),
            ];
            (kind, cells)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const KITTIWAKE: &str = include_str!("../../../assets/readings/kittiwake-light.json");

    #[test]
    fn the_example_comes_back_as_it_was() {
        let table = ReadingTable::of_text(KITTIWAKE).unwrap();
        assert_eq!(table.rows.len(), 18);
        assert_eq!(table.counted().len(), 18);
        let there = read_readings(KITTIWAKE).unwrap();
        assert_eq!(read_readings(&table.to_text()).unwrap(), there);
        let again = ReadingTable::of_text(&table.to_text()).unwrap();
        assert_eq!(again, table);
    }

    #[test]
    fn only_what_is_sound_goes_into_the_text() {
        let mut table = ReadingTable::default();
        table.day = "48 min".into();
        table.air = Some(crate::sky::Air::None);
        let cells = |texts: &[&str]| texts.iter().map(ToString::to_string).collect();
        table.add(ReadingKind::Panel, cells(&["9", "E", "30", ""]));
        table.add(ReadingKind::Rises, cells(&["5:40"]));
        table.add(ReadingKind::Falls, cells(&["50", "60", "2", "4"]));
        table.add(ReadingKind::Panel, cells(&["9", "E", "30.5", "7"]));
        let text = "{\n  \"format\": \"duskline/readings\",\n  \"version\": 1,\n  \"day_s\": 2880,\n  \"air\": \"none\",\n  \"readings\": [\n    {\"at\":\"09:00\",\"azimuth\":90,\"tilt\":30.5,\"gives\":7},\n    {\"rises\":\"05:40\"}\n  ]\n}\n";
        assert_eq!(table.to_text(), text);
        assert_eq!(table.counted(), [3, 1]);
        let none = ReadingTable::default().to_text();
        assert_eq!(read_readings(&none).unwrap().list, []);
    }

    #[test]
    fn a_file_that_is_none_is_told_with_its_faults() {
        let text = r#"{"format": "duskline/readings", "version": 1, "readings": [{"at": "9:00", "tilt": 30, "gives": 7}]}"#;
        let faults = ReadingTable::of_text(text).unwrap_err();
        assert_eq!(faults[0].place, "readings[0].azimuth");
        assert!(ReadingTable::of_text("no").is_err());
    }
}
