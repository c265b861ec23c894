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
mod tests;
