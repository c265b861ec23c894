//! Readings as somebody types them: a row each, kept as text, so that one that is wrong is told and not lost.
//!
//! A row counts once it is sound: what is read is of the plan, it can show that, and the time is on the dial. What is wrong
//! is a sentence by the field that it is about; what is not typed yet is no fault. Times are milliseconds since midnight of
//! day 1.

use super::base_reading::{BaseReading, Readable, Shape};
use super::parse::{DAYS, shown};
use super::reading_field::ReadingField;
use super::words::{gone_says, next_field_says, wrong_says};
use crate::clock::DialTime;
use crate::limits::READINGS;
use crate::plan::Plan;
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What was typed into a row.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct ReadingEntry {
    /// What is read; none where nothing was chosen.
    pub of: Option<Readable>,
    /// The word or the number that it shows.
    pub shows: String,
    /// The day; day 1 where nothing was typed.
    pub day: String,
    /// The place on the dial.
    pub time: String,
}

/// How what something shows is entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ShowsEntry {
    /// Not at all, before what is read is chosen.
    Nothing,
    /// By one of these words.
    Words(Vec<&'static str>),
    /// As whole steps.
    Steps,
}

/// What a row comes to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EntryRead {
    /// The reading, where the row counts.
    pub reading: Option<BaseReading>,
    /// What is wrong, by field, in a sentence.
    pub wrong: BTreeMap<ReadingField, String>,
    /// What is still to be filled in, in a sentence; none where something is wrong.
    pub lacks: Option<&'static str>,
}

/// All rows, each with a number of its own, which it keeps.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReadingEntries {
    rows: Vec<(u64, ReadingEntry)>,
    /// The last number given.
    last: u64,
}

impl ReadingEntry {
    /// A row for something at a moment, with nothing read yet.
    pub fn at(plan: &Plan, of: Readable, at: Ms) -> ReadingEntry {
        let day_ms = plan.world.day_ms().max(1);
        ReadingEntry {
            of: Some(of),
            shows: String::new(),
            day: (at / day_ms + 1).to_string(),
            time: DialTime::at(at, day_ms).to_string(),
        }
    }

    /// What is typed into a field that is text.
    pub fn text(&self, field: ReadingField) -> &str {
        match field {
            ReadingField::Of => self.of.as_ref().map_or("", Readable::id),
            ReadingField::Shows => &self.shows,
            ReadingField::Day => &self.day,
            ReadingField::Time => &self.time,
        }
    }

    /// How what it shows is entered.
    pub fn shows_entry(&self, plan: &Plan) -> ShowsEntry {
        match self.of.as_ref().and_then(|of| of.shape(plan)) {
            None => ShowsEntry::Nothing,
            Some(Shape::Wire) => ShowsEntry::Steps,
            Some(shape) => ShowsEntry::Words(shape.words().iter().map(|(word, _)| *word).collect()),
        }
    }

    /// The moment that is typed, where it is one.
    fn moment(&self, plan: &Plan) -> Option<Ms> {
        let day_ms = plan.world.day_ms();
        let into = DialTime::parse(self.time.trim())?.ms(day_ms);
        Some((day(&self.day)? - 1) * day_ms + into)
    }

    fn read(&self, plan: &Plan) -> EntryRead {
        let mut read = EntryRead::default();
        let shape = self.of.as_ref().and_then(|of| of.shape(plan));
        if let (Some(of), None) = (&self.of, shape) {
            read.wrong.insert(ReadingField::Of, gone_says(of));
        }
        let shows = shape.and_then(|shape| shown(shape, self.shows.trim()));
        let wrongs = [
            (ReadingField::Shows, shape.is_some() && shows.is_none()),
            (ReadingField::Day, day(&self.day).is_none()),
            (
                ReadingField::Time,
                DialTime::parse(self.time.trim()).is_none(),
            ),
        ];
        for (field, is_wrong) in wrongs {
            let text = self.text(field).trim();
            if is_wrong && !text.is_empty() {
                read.wrong.insert(field, wrong_says(field, text, shape));
            }
        }
        let at = self.moment(plan);
        if let (Some(of), Some(shows), Some(at)) = (self.of.clone(), shows, at) {
            read.reading = Some(BaseReading { of, shows, at });
        } else if read.wrong.is_empty() {
            let next = match (shape, shows) {
                (None, _) => ReadingField::Of,
                (_, None) => ReadingField::Shows,
                _ => ReadingField::Time,
            };
            read.lacks = Some(next_field_says(next));
        }
        read
    }
}

impl ReadingEntries {
    /// The rows, with their numbers.
    pub fn rows(&self) -> &[(u64, ReadingEntry)] {
        &self.rows
    }

    /// The row of this number.
    pub fn row(&self, number: u64) -> Option<&ReadingEntry> {
        let found = self.rows.iter().find(|(of, _)| *of == number);
        found.map(|(_, row)| row)
    }

    /// Whether there is no row.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Whether no row more may be added.
    pub fn is_full(&self) -> bool {
        self.rows.len() >= READINGS
    }

    /// What each row comes to. Of two sound rows of one thing at one moment the later does not count.
    pub fn read(&self, plan: &Plan) -> Vec<EntryRead> {
        let mut all: Vec<EntryRead> = Vec::new();
        for (_, row) in &self.rows {
            let mut read = row.read(plan);
            let is_same = |other: &EntryRead| {
                let both = other.reading.as_ref().zip(read.reading.as_ref());
                both.is_some_and(|(a, b)| a.of == b.of && a.at == b.at)
            };
            if all.iter().any(is_same) {
                read.reading = None;
                let says = "Another row is of the same thing at the same time: this one is not counted. Remove one of the two.";
                read.wrong.insert(ReadingField::Of, says.into());
            }
            all.push(read);
        }
        all
    }

    /// The readings that count, in the rows' order.
    pub fn readings(&self, plan: &Plan) -> Vec<BaseReading> {
        let all = self.read(plan).into_iter();
        all.filter_map(|read| read.reading).collect()
    }

    /// Adds a row and gives its number; none where there are as many as may be.
    pub fn push(&mut self, row: ReadingEntry) -> Option<u64> {
        if self.is_full() {
            return None;
        }
        self.last += 1;
        self.rows.push((self.last, row));
        Some(self.last)
    }

    /// Begins a row for something at a moment, or finds the one that is there.
    pub fn begin(&mut self, plan: &Plan, of: &Readable, at: Ms) -> Option<u64> {
        let row = ReadingEntry::at(plan, of.clone(), at);
        let at = row.moment(plan);
        self.row_of(plan, of, at).or_else(|| self.push(row))
    }

    /// Enters a whole reading, in place of what was entered of the same thing at the same time.
    pub fn add(&mut self, plan: &Plan, reading: &BaseReading) -> Option<u64> {
        let mut row = ReadingEntry::at(plan, reading.of.clone(), reading.at);
        row.shows = reading.shows.word();
        let number = self.row_of(plan, &reading.of, row.moment(plan));
        let Some(number) = number else {
            return self.push(row);
        };
        self.change(number, |of| of.shows = row.shows);
        Some(number)
    }

    fn row_of(&self, plan: &Plan, of: &Readable, at: Option<Ms>) -> Option<u64> {
        let is_it = |row: &ReadingEntry| row.of.as_ref() == Some(of) && row.moment(plan) == at;
        let found = self.rows.iter().find(|(_, row)| is_it(row));
        found.map(|(number, _)| *number)
    }

    /// Types into a row's field.
    pub fn enter(&mut self, number: u64, field: ReadingField, text: &str) {
        self.change(number, |row| match field {
            ReadingField::Of => {}
            ReadingField::Shows => row.shows = text.into(),
            ReadingField::Day => row.day = text.into(),
            ReadingField::Time => row.time = text.into(),
        });
    }

    /// Chooses what a row is of. What it can't show is not kept.
    pub fn choose(&mut self, plan: &Plan, number: u64, of: Option<Readable>) {
        self.change(number, |row| {
            let shape = of.as_ref().and_then(|of| of.shape(plan));
            let is_shown = shape.is_some_and(|shape| shown(shape, row.shows.trim()).is_some());
            if !is_shown {
                row.shows.clear();
            }
            row.of = of;
        });
    }

    fn change(&mut self, number: u64, change: impl FnOnce(&mut ReadingEntry)) {
        let found = self.rows.iter_mut().find(|(of, _)| *of == number);
        if let Some((_, row)) = found {
            change(row);
        }
    }

    /// Takes a row away.
    pub fn remove(&mut self, number: u64) {
        self.rows.retain(|(of, _)| *of != number);
    }

    /// Takes all rows away; their numbers are not given again.
    pub fn clear(&mut self) {
        self.rows.clear();
    }

    /// A text to be kept, from which [`ReadingEntries::of_draft`] makes the same rows again.
    pub fn draft(&self) -> String {
        let rows: Vec<&ReadingEntry> = self.rows.iter().map(|(_, row)| row).collect();
        // Rows of texts always have a text.
        serde_json::to_string(&rows).unwrap_or_default()
    }

    /// The rows of a text that was kept; none where it is another.
    pub fn of_draft(text: &str) -> Option<ReadingEntries> {
        let rows: Vec<ReadingEntry> = serde_json::from_str(text).ok()?;
        let mut entries = ReadingEntries::default();
        for row in rows {
            entries.push(row)?;
        }
        Some(entries)
    }
}

/// The day that is typed; day 1 where nothing is.
fn day(text: &str) -> Option<u64> {
    let text = text.trim();
    if text.is_empty() {
        return Some(1);
    }
    let digits = text.bytes().all(|b| b.is_ascii_digit());
    let day = digits.then(|| text.parse().ok()).flatten()?;
    (1..=DAYS).contains(&day).then_some(day)
}

#[cfg(test)]
mod tests {
    use super::super::base_reading::{Shows, Trend};
    use super::*;
    use crate::net::testing::plan;
    use crate::plan::{PartId, WireId};

    fn small() -> Plan {
        plan(
            r#"{ "parts": { "gen": "generator", "cell": "battery", "door": "switch", "lamp": "lamp" },
                 "wires": ["gen.out cell.in", "cell.out door.feed", "door.out lamp.in"] }"#,
        )
    }

    fn part(id: &str) -> Readable {
        Readable::Part(PartId::from(id))
    }

    fn row(of: Readable, shows: &str, day: &str, time: &str) -> ReadingEntry {
        let of = Some(of);
        let [shows, day, time] = [shows, day, time].map(String::from);
        ReadingEntry {
            of,
            shows,
            day,
            time,
        }
    }

    fn entries(rows: impl IntoIterator<Item = ReadingEntry>) -> ReadingEntries {
        let mut entries = ReadingEntries::default();
        for row in rows {
            entries.push(row).expect("room for a row");
        }
        entries
    }

    #[test]
    fn a_row_counts_once_all_of_it_is_typed_and_the_day_may_be_left_out() {
        let plan = small();
        let day_ms = plan.world.day_ms();
        let wire = Readable::Wire(WireId::from("w3"));
        for (typed, shows, at) in [
            (
                row(part("lamp"), "off", "", "21:00"),
                Shows::Runs(false),
                75_600_000,
            ),
            (
                row(part("door"), "open", "1", "0:00"),
                Shows::Conducts(false),
                0,
            ),
            (
                row(part("cell"), "still", "2", "00:00:01"),
                Shows::Moves(Trend::Still),
                day_ms + 1000,
            ),
            (
                row(wire, " 12 ", " 3 ", " 24:00 "),
                Shows::Takes(12),
                3 * day_ms,
            ),
        ] {
            let of = typed.of.clone().expect("it is of something");
            let read = typed.read(&plan);
            assert_eq!(
                read.reading,
                Some(BaseReading { of, shows, at }),
                "{typed:?}"
            );
            assert_eq!((read.wrong.len(), read.lacks), (0, None));
        }
    }

    #[test]
    fn what_is_not_typed_yet_is_told_as_the_next_thing_to_do_and_is_no_fault() {
        let plan = small();
        let lacks = |typed: ReadingEntry| {
            let read = typed.read(&plan);
            assert_eq!((read.reading, read.wrong.len()), (None, 0), "{typed:?}");
            read.lacks
        };
        let said = |field| Some(next_field_says(field));
        assert_eq!(lacks(ReadingEntry::default()), said(ReadingField::Of));
        assert_eq!(
            lacks(row(part("lamp"), "", "", "21:00")),
            said(ReadingField::Shows)
        );
        assert_eq!(
            lacks(row(part("lamp"), "off", "2", "")),
            said(ReadingField::Time)
        );
    }

    #[test]
    fn a_wrong_entry_is_told_by_its_field_and_kept() {
        let plan = small();
        let wire = Readable::Wire(WireId::from("w1"));
        for (typed, field, told) in [
            (
                row(part("gone"), "off", "", "21:00"),
                ReadingField::Of,
                "gone",
            ),
            (
                row(part("gen"), "runs", "", "21:00"),
                ReadingField::Of,
                "gen",
            ),
            (
                row(part("lamp"), "open", "", "21:00"),
                ReadingField::Shows,
                "runs or off",
            ),
            (
                row(wire.clone(), "a few", "", "21:00"),
                ReadingField::Shows,
                "whole steps",
            ),
            (
                row(wire, "-1", "", "21:00"),
                ReadingField::Shows,
                "whole steps",
            ),
            (
                row(part("lamp"), "off", "0", "21:00"),
                ReadingField::Day,
                "from 1 to 100000",
            ),
            (
                row(part("lamp"), "off", "x", "21:00"),
                ReadingField::Day,
                "from 1 to 100000",
            ),
            (
                row(part("lamp"), "off", "", "24:01"),
                ReadingField::Time,
                "00:00 to 24:00",
            ),
            (
                row(part("lamp"), "off", "", "noon"),
                ReadingField::Time,
                "00:00 to 24:00",
            ),
        ] {
            let kept = entries([typed.clone()]);
            let read = kept.read(&plan).remove(0);
            assert_eq!((&read.reading, read.lacks), (&None, None), "{typed:?}");
            let fields: Vec<_> = read.wrong.keys().copied().collect();
            assert_eq!(fields, [field], "{typed:?}");
            assert!(read.wrong[&field].contains(told), "{}", read.wrong[&field]);
            assert_eq!(kept.rows()[0].1, typed);
        }
        let two = row(part("lamp"), "of", "", "noon").read(&plan);
        assert_eq!(two.wrong.len(), 2, "every fault of a row is told");
    }

    #[test]
    fn of_two_rows_of_one_thing_at_one_moment_the_later_does_not_count() {
        let plan = small();
        let rows = entries([
            row(part("lamp"), "off", "", "21:00"),
            row(part("lamp"), "runs", "1", "21:00:00"),
            row(part("lamp"), "runs", "2", "21:00"),
        ]);
        let read = rows.read(&plan);
        let counts: Vec<bool> = read.iter().map(|read| read.reading.is_some()).collect();
        assert_eq!(counts, [true, false, true]);
        assert!(read[1].wrong[&ReadingField::Of].contains("same thing at the same time"));
        assert_eq!(rows.readings(&plan).len(), 2);
    }

    #[test]
    fn adding_takes_the_place_of_a_reading_of_the_same_thing_and_time() {
        let plan = small();
        let reading = |shows, at| BaseReading {
            of: part("lamp"),
            shows,
            at,
        };
        let noon = plan.world.day_ms() / 2;
        let mut rows = ReadingEntries::default();
        let first = rows.add(&plan, &reading(Shows::Runs(true), noon));
        let again = rows.add(&plan, &reading(Shows::Runs(false), noon));
        assert_eq!(first, again);
        assert_eq!(rows.readings(&plan), [reading(Shows::Runs(false), noon)]);
        rows.add(&plan, &reading(Shows::Runs(true), 0));
        assert_eq!(rows.readings(&plan).len(), 2);
        // A row that is only begun is filled in.
        let begun = rows.begin(&plan, &part("door"), 0);
        assert_eq!(rows.begin(&plan, &part("door"), 0), begun);
        let door = BaseReading {
            of: part("door"),
            shows: Shows::Conducts(true),
            at: 0,
        };
        assert_eq!(rows.add(&plan, &door), begun);
        assert!(rows.readings(&plan).contains(&door));
    }

    #[test]
    fn choosing_something_else_keeps_what_that_can_show() {
        let plan = small();
        let mut rows = entries([row(part("lamp"), "off", "", "21:00")]);
        let number = rows.rows()[0].0;
        let shows = |rows: &ReadingEntries| rows.rows()[0].1.shows.clone();
        rows.choose(&plan, number, Some(part("lamp")));
        assert_eq!(shows(&rows), "off");
        rows.choose(&plan, number, Some(part("cell")));
        assert_eq!(shows(&rows), "");
        let words = ShowsEntry::Words(vec!["rises", "falls", "still"]);
        assert_eq!(rows.rows()[0].1.shows_entry(&plan), words);
        rows.choose(&plan, number, None);
        assert_eq!(rows.rows()[0].1.shows_entry(&plan), ShowsEntry::Nothing);
    }

    #[test]
    fn rows_are_kept_as_a_text_and_another_text_is_none() {
        let mut rows = entries([
            row(part("lamp"), "a bit", "x", "noon"),
            row(Readable::Wire(WireId::from("w1")), "5", "2", "9:30"),
            ReadingEntry::default(),
        ]);
        let again = ReadingEntries::of_draft(&rows.draft()).expect("its own text");
        assert_eq!(again, rows);
        let last = rows.rows()[2].0;
        rows.clear();
        assert!(rows.is_empty());
        assert!(
            rows.push(ReadingEntry::default()) > Some(last),
            "numbers are not given again"
        );
        for text in ["", "{}", "[1]", r#"[{"of":7}]"#] {
            assert_eq!(ReadingEntries::of_draft(text), None, "{text}");
        }
        let many = format!("[{}]", vec!["{}"; READINGS + 1].join(","));
        assert_eq!(ReadingEntries::of_draft(&many), None);
    }
}
