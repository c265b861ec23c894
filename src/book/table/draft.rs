//! One row as a part type that waits for the table's unit and step: what it does, its numbers as they stand there, its
//! texts.

use super::columns::{COLUMNS, Column, Holds, of_key};
use super::kinds::{self, Kind};
use super::number::{Amount, Sign, amount};
use super::pairs::{Setting, Wrong, read_cost, read_settings};
use super::rows::Row;
use super::sheet::{Sheet, found};
use crate::book::read::{BEHAVIOURS, numbers_of};
use crate::book::{PartType, Short};
use crate::read::{Fault, FaultKind, Faults};
use serde_json::{Map, Value};

/// A row as far as it can be understood by itself.
pub(super) struct Draft {
    /// Its number.
    pub row: usize,
    /// What it does.
    pub behaviour: &'static str,
    /// The plain type that it starts from.
    pub bare: PartType,
    /// Its label; empty where only the name is given.
    pub label: String,
    /// The name by which plans refer to it; empty where only a label is given.
    pub name: String,
    /// Its numbers by their keys, as in the row.
    pub numbers: Vec<(&'static str, Amount)>,
    /// Its settings.
    pub settings: Vec<(String, Setting)>,
    /// Everything else as in a book's file.
    pub rest: Map<String, Value>,
    /// What it does not say, by the column, and what is taken for it.
    pub taken: Vec<(&'static str, String)>,
}

/// The reading of one row.
struct Reading<'a, 'r> {
    sheet: &'a Sheet<'r>,
    row: &'a Row,
    faults: &'a mut Faults,
}

/// Reads a row; `None` where it does not say what the part does.
pub(super) fn draft(sheet: &Sheet, row: &Row, faults: &mut Faults) -> Option<Draft> {
    let mut reading = Reading { sheet, row, faults };
    let (label, name) = (reading.text("label"), reading.text("type"));
    if label.is_empty() && name.is_empty() {
        reading.wrong(FaultKind::Missing, "label", &Wrong::new("", "a label"));
    }
    let mut taken = Vec::new();
    let kind = reading.kind(&mut taken)?;
    let more = reading.more(kind, &mut taken)?;
    let bare = kinds::bare(kind.behaviour, more)?;
    let mut rest = Map::new();
    if let Some(symbol) = kind.symbol {
        rest.insert("symbol".into(), symbol.into());
    }
    reading.texts(&mut rest);
    let numbers = reading.numbers(kind.behaviour, &mut taken);
    let settings = reading.settings(&bare);
    Some(Draft {
        row: row.number,
        behaviour: kind.behaviour,
        bare,
        label,
        name,
        numbers,
        settings,
        rest,
        taken,
    })
}

/// What a column of numbers holds, beside powers and shares, for an error.
fn expected(column: &Column) -> &'static str {
    match column.holds {
        Holds::Whole | Holds::Ms => "a whole number",
        _ => "a number",
    }
}

impl Reading<'_, '_> {
    fn wrong(&mut self, kind: FaultKind, key: &str, wrong: &Wrong) {
        self.faults.push(Fault {
            kind,
            place: self.sheet.place(self.row.number, key),
            found: wrong.found.clone(),
            expected: wrong.expected.clone(),
        });
    }

    fn text(&self, key: &str) -> String {
        self.sheet.cell(self.row, key).into()
    }

    fn word(&self, key: &str) -> &str {
        self.sheet.word(self.row, key)
    }

    /// What the part does: by its word, or by the numbers that it has.
    fn kind(&mut self, taken: &mut Vec<(&'static str, String)>) -> Option<Kind> {
        let word = self.word("behaviour").to_string();
        if !word.is_empty() {
            let found = kinds::kind(&word);
            if found.is_none() {
                let expected = format!(
                    "one of {}, or a word such as lamp or solar panel",
                    BEHAVIOURS.join(", ")
                );
                self.wrong(
                    FaultKind::Unknown,
                    "behaviour",
                    &Wrong::new(&word, expected),
                );
            }
            return found;
        }
        let tells = [
            ("function", "contact"),
            ("capacity", "battery"),
            ("profile", "source"),
            ("peak", "source"),
            ("draw", "load"),
        ];
        let told = tells.iter().find(|(key, _)| !self.word(key).is_empty());
        let Some((_, behaviour)) = told else {
            let expected = format!("one of {}", BEHAVIOURS.join(", "));
            self.wrong(FaultKind::Missing, "behaviour", &Wrong::new("", expected));
            return None;
        };
        taken.push(("behaviour", behaviour.to_string()));
        kinds::kind(behaviour)
    }

    /// The function of a contact or the profile of a source. `Some(None)` where there is neither.
    fn more(
        &mut self,
        kind: Kind,
        taken: &mut Vec<(&'static str, String)>,
    ) -> Option<Option<&'static str>> {
        let (key, read, words): (_, fn(&str) -> Option<&'static str>, _) = match kind.behaviour {
            "contact" => ("function", kinds::function, kinds::functions()),
            "source" => ("profile", kinds::profile, kinds::profiles()),
            _ => return Some(None),
        };
        let word = self.word(key).to_string();
        if !word.is_empty() {
            let found = read(&word);
            if found.is_none() {
                self.wrong(
                    FaultKind::Unknown,
                    key,
                    &Wrong::new(&word, format!("one of {words}")),
                );
            }
            return found.map(Some);
        }
        match (kind.more, key) {
            (Some(more), _) => Some(Some(more)),
            (None, "profile") => {
                taken.push(("profile", "steady".into()));
                Some(Some("steady"))
            }
            (None, _) => {
                self.wrong(
                    FaultKind::Missing,
                    key,
                    &Wrong::new("", format!("one of {words}")),
                );
                None
            }
        }
    }

    fn texts(&mut self, rest: &mut Map<String, Value>) {
        for key in ["group", "symbol", "mount", "says", "note", "source"] {
            let text = self.text(key);
            if !text.is_empty() {
                rest.insert(key.into(), text.into());
            }
        }
        let cost = self.word("cost").to_string();
        match read_cost(&cost) {
            Ok(cost) if !cost.is_empty() => {
                let cost = cost.into_iter().map(|(m, n)| (m, n.into()));
                rest.insert("cost".into(), Value::Object(cost.collect()));
            }
            Ok(_) => {}
            Err(wrong) => self.wrong(FaultKind::Type, "cost", &wrong),
        }
        let extra = self.word("extra").to_string();
        match serde_json::from_str(if extra.is_empty() { "{}" } else { &extra }) {
            Ok(Value::Object(extra)) => rest.extend(extra),
            _ => self.wrong(
                FaultKind::Type,
                "extra",
                &Wrong::new(&extra, "a JSON object"),
            ),
        }
    }

    /// The number in a cell; `None` where there is none, or it is wrong and told.
    fn number(&mut self, key: &str) -> Option<Amount> {
        let cell = self.word(key).to_string();
        if cell.is_empty() {
            return None;
        }
        let found = amount(&cell, self.sheet.sign);
        if found.is_none() {
            let two_ways = [Sign::Point, Sign::Comma]
                .iter()
                .all(|sign| amount(&cell, Some(*sign)).is_some());
            let expected = match (of_key(key), two_ways) {
                (_, true) => "a number that can't be read in two ways: 1000, or 1.0",
                (Some(column), _) => expected(column),
                _ => "a number",
            };
            self.wrong(FaultKind::Type, key, &Wrong::new(&cell, expected));
        }
        found
    }

    /// A number with the unit of its column, which counts no more where it is taken for another one.
    fn with_unit(&self, amount: Amount, key: &str) -> Amount {
        let unit = match amount.unit.as_str() {
            "" => self.sheet.unit(key).unwrap_or("").to_string(),
            own => own.to_string(),
        };
        Amount { unit, ..amount }
    }

    /// The numbers that the behaviour has. One that it does not have is a fault, unless it is 0.
    fn numbers(
        &mut self,
        behaviour: &'static str,
        taken: &mut Vec<(&'static str, String)>,
    ) -> Vec<(&'static str, Amount)> {
        let mut numbers: Vec<(&'static str, Amount)> = Vec::new();
        let has = |key: &str| numbers_of(behaviour).iter().any(|f| f.key == key);
        let power = self.number("power");
        for column in COLUMNS {
            let general = matches!(column.key, "stage" | "max_run");
            let is_number = matches!(
                column.holds,
                Holds::Power | Holds::Energy | Holds::Share | Holds::Whole | Holds::Metres
            );
            if !is_number || matches!(column.key, "power" | "step") {
                continue;
            }
            let Some(amount) = self.number(column.key) else {
                continue;
            };
            if general || has(column.key) {
                numbers.push((column.key, amount));
            } else if amount.number.mantissa != 0 {
                let cell = self.word(column.key).to_string();
                let expected = format!("nothing: a {behaviour} has none");
                self.wrong(FaultKind::Unknown, column.key, &Wrong::new(&cell, expected));
            }
        }
        if let Some(power) = power {
            let power = self.with_unit(power, "power");
            self.share_out(behaviour, power, &mut numbers);
        }
        let get = |numbers: &[(&str, Amount)], key: &str| {
            numbers
                .iter()
                .find(|(k, _)| *k == key)
                .map(|(_, a)| a.clone())
        };
        if behaviour == "battery"
            && get(&numbers, "max_in").is_none()
            && let Some(out) = get(&numbers, "max_out")
        {
            let out = self.with_unit(out, "max_out");
            let value = format!("{} {}", out.number, out.unit);
            taken.push(("takes at most", value.trim_end().into()));
            numbers.push(("max_in", out));
        }
        self.word_of_load(behaviour);
        numbers
    }

    /// What the column of powers says, as the number of its behaviour.
    fn share_out(
        &mut self,
        behaviour: &str,
        power: Amount,
        numbers: &mut Vec<(&'static str, Amount)>,
    ) {
        let key = match behaviour {
            "source" => "peak",
            "load" => "draw",
            "battery" => "max_out",
            "contact" => "coil",
            _ if power.number.mantissa == 0 => return,
            _ => {
                let cell = self.word("power").to_string();
                let expected = format!("nothing: a {behaviour} has none");
                self.wrong(FaultKind::Unknown, "power", &Wrong::new(&cell, expected));
                return;
            }
        };
        match numbers.iter().find(|(k, _)| *k == key) {
            None => numbers.push((key, power)),
            Some((_, own)) if own.number == power.number => {}
            Some((_, own)) => {
                let heading = of_key(key).map_or(key, |c| c.heading);
                let expected = format!("{}, as under {heading}, or nothing", own.number);
                let cell = self.word("power").to_string();
                self.wrong(FaultKind::Doubled, "power", &Wrong::new(&cell, expected));
            }
        }
    }

    /// What a load does when it can't run is a word; nothing else has it.
    fn word_of_load(&mut self, behaviour: &str) {
        let word = self.word("short").to_lowercase();
        if word.is_empty() {
            return;
        }
        if behaviour != "load" {
            let expected = format!("nothing: a {behaviour} has none");
            self.wrong(FaultKind::Unknown, "short", &Wrong::new(&word, expected));
        } else if Short::of(&word).is_none() {
            let wrong = Wrong::new(&word, "one of pass, hold, waste");
            self.wrong(FaultKind::Unknown, "short", &wrong);
        }
    }

    fn settings(&mut self, bare: &PartType) -> Vec<(String, Setting)> {
        let cell = self.word("set").to_string();
        match read_settings(&cell, bare.fields(), self.sheet.sign) {
            Ok(settings) => settings,
            Err(wrong) => {
                self.faults.push(Fault {
                    kind: FaultKind::Type,
                    place: self.sheet.place(self.row.number, "set"),
                    found: wrong.found,
                    expected: wrong.expected,
                });
                Vec::new()
            }
        }
    }
}

/// What stands in a cell, for a fault.
pub(super) fn found_in(sheet: &Sheet, row: &Row, key: &str) -> String {
    found(sheet.cell(row, key))
}
