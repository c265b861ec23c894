//! A draft as a part type of a book's file: numbers in steps, per mille and unit-hours, and what the row leaves open.

use super::Remark;
use super::columns::{Holds, of_key, unit_sign};
use super::draft::{Draft, found_in};
use super::number::Amount;
use super::pairs::{Setting, per_mille, share_said};
use super::sheet::Sheet;
use crate::book::read::numbers_of;
use crate::limits::{Field, Kind};
use crate::quantity::{self, Decimal};
use crate::read::{Fault, FaultKind, Faults};
use serde_json::{Map, Value};

/// Makes types of drafts.
pub(super) struct Making<'a, 'r> {
    pub sheet: &'a Sheet<'r>,
    pub unit: String,
    pub step: Decimal,
    pub faults: &'a mut Faults,
    pub taken: Vec<Remark>,
}

impl Making<'_, '_> {
    /// A fault of one cell.
    pub(super) fn fault(&mut self, kind: FaultKind, row: usize, key: &str, expected: String) {
        let body = self.sheet.body.iter().find(|r| r.number == row);
        self.faults.push(Fault {
            kind,
            place: self.sheet.place(row, key),
            found: body.map_or_else(|| "nothing".into(), |row| found_in(self.sheet, row, key)),
            expected,
        });
    }

    /// A row as a type of a book's file.
    pub(super) fn part_type(&mut self, draft: &Draft, name: &str) -> Value {
        let unit = quantity::Unit {
            sign: self.unit.clone(),
            step: self.step.value(),
        };
        let Value::Object(bare) = draft.bare.to_value(&unit) else {
            return Value::Null;
        };
        let mut map = Map::new();
        map.insert("type".into(), name.into());
        let label = if draft.label.is_empty() {
            name
        } else {
            &draft.label
        };
        map.insert("label".into(), label.into());
        for key in ["group", "symbol", "behaviour", "function", "profile"] {
            map.extend(bare.get(key).map(|v| (key.to_string(), v.clone())));
        }
        for field in numbers_of(draft.behaviour) {
            self.number(draft, field, &bare, &mut map);
        }
        for (key, amount) in &draft.numbers {
            if matches!(*key, "stage" | "max_run") {
                let unit = match amount.unit.as_str() {
                    "" => self.sheet.unit(key).unwrap_or("").to_string(),
                    own => unit_sign(own),
                };
                if *key == "max_run" && !matches!(unit.as_str(), "" | "m") {
                    self.fault(FaultKind::Unknown, draft.row, key, "metres".into());
                }
                map.insert((*key).into(), exactly(amount.number));
            }
        }
        self.settings(draft, &bare, &mut map);
        map.extend(draft.rest.clone());
        for (column, value) in &draft.taken {
            self.take(column, value.clone(), draft.row);
        }
        Value::Object(map)
    }

    /// Remarks that something was taken for what a row does not say.
    fn take(&mut self, column: &'static str, value: String, row: usize) {
        let same = self.taken.iter_mut().find_map(|remark| match remark {
            Remark::Taken {
                column: c,
                value: v,
                rows,
            } if *c == column && *v == value => Some(rows),
            _ => None,
        });
        match same {
            Some(rows) => rows.push(row),
            None => self.taken.push(Remark::Taken {
                column,
                value,
                rows: vec![row],
            }),
        }
    }

    /// One number of a behaviour: as the row has it, or else as the plain type has it, where that can be said of any part.
    fn number(
        &mut self,
        draft: &Draft,
        field: &Field,
        bare: &Map<String, Value>,
        map: &mut Map<String, Value>,
    ) {
        let key = field.key;
        if matches!(field.kind, Kind::Choice(_)) {
            if key == "short" {
                let row = self.sheet.body.iter().find(|r| r.number == draft.row);
                let word = row
                    .map_or("", |row| self.sheet.word(row, key))
                    .to_lowercase();
                if !word.is_empty() {
                    map.insert(key.into(), word.into());
                }
            }
            return;
        }
        let Some((_, amount)) = draft.numbers.iter().find(|(k, _)| *k == key) else {
            if matches!(key, "peak" | "draw" | "capacity" | "max_in" | "max_out") {
                // A number that can't be read is told already.
                let row = self.sheet.body.iter().find(|r| r.number == draft.row);
                if row.is_some_and(|r| !self.sheet.word(r, key).is_empty()) {
                    return;
                }
                let shown = of_key(key).map_or("a number", |c| match c.holds {
                    Holds::Energy => "a number of unit-hours",
                    _ => "a number",
                });
                self.fault(FaultKind::Missing, draft.row, key, shown.into());
            } else if let Some(value) = bare.get(key) {
                let heading = of_key(key).map_or("", |c| c.heading);
                let shown = match field.unit {
                    "‰" => format!("{} %", share_said(value.as_u64().unwrap_or(0))),
                    _ => value.to_string(),
                };
                if key != "coil" {
                    self.take(heading, shown, draft.row);
                }
                map.insert(key.into(), value.clone());
            }
            return;
        };
        let value = match (field.unit, field.kind) {
            ("steps", Kind::Whole(least, most)) => {
                self.steps(draft.row, key, amount, (least, most))
            }
            ("‰", Kind::Whole(least, most)) => self.share(draft.row, key, amount, (least, most)),
            ("u·h", _) => self.energy(draft.row, key, amount),
            _ => Some(exactly(amount.number)),
        };
        map.extend(value.map(|value| (key.to_string(), value)));
    }

    /// A power as steps.
    fn steps(
        &mut self,
        row: usize,
        key: &str,
        amount: &Amount,
        (least, most): (u64, u64),
    ) -> Option<Value> {
        let power = self.in_unit(row, key, amount)?;
        let steps = power
            .count_of(self.step)
            .and_then(|n| u64::try_from(n).ok());
        let within = steps.filter(|n| (least..=most).contains(n));
        if within.is_none() {
            let times = |n: u64| {
                let n = Decimal::whole(n);
                n.times(self.step)
                    .map_or_else(String::new, |n| n.to_string())
            };
            let one = Decimal::whole(1);
            let whole = match self.step == one {
                true => String::new(),
                false => format!(" in steps of {}", self.step),
            };
            let expected = format!("a number from {} to {}{whole}", times(least), times(most));
            self.fault(FaultKind::Range, row, key, expected);
        }
        within.map(Value::from)
    }

    /// A share as per mille.
    fn share(
        &mut self,
        row: usize,
        key: &str,
        share: &Amount,
        (least, most): (u64, u64),
    ) -> Option<Value> {
        let unit = match share.unit.as_str() {
            "" => self.sheet.unit(key).unwrap_or("").to_string(),
            own => own.to_string(),
        };
        let number = share.number;
        let found = per_mille(&Amount { number, unit }).filter(|n| (least..=most).contains(n));
        if found.is_none() {
            let (least, most) = (share_said(least), share_said(most));
            let expected = format!("a number from {least} to {most}, to a tenth (per cent)");
            self.fault(FaultKind::Range, row, key, expected);
        }
        found.map(Value::from)
    }

    /// An energy in unit-hours that makes a whole number of step·milliseconds.
    fn energy(&mut self, row: usize, key: &str, amount: &Amount) -> Option<Value> {
        let hours = self.in_unit(row, key, amount)?.value();
        let found = quantity::capacity(hours, self.step.value()).filter(|c| *c > 0);
        if found.is_none() {
            let expected = "unit-hours above 0 that make a whole number of step·milliseconds";
            self.fault(FaultKind::Range, row, key, expected.into());
        }
        found.map(|_| quantity::number(hours))
    }

    fn settings(&mut self, draft: &Draft, bare: &Map<String, Value>, map: &mut Map<String, Value>) {
        let mut set = Map::new();
        for (key, setting) in &draft.settings {
            let value = match setting {
                Setting::Value(value) => Some(value.clone()),
                Setting::Power(field, amount) => match field.kind {
                    Kind::Whole(least, most) => self.steps(draft.row, "set", amount, (least, most)),
                    _ => None,
                },
            };
            set.extend(value.map(|value| (key.clone(), value)));
        }
        let plain = bare.get("set").and_then(Value::as_object);
        for field in draft.bare.fields().iter().filter(|f| !f.optional) {
            let value = plain.and_then(|set| set.get(field.key));
            if let Some(value) = value.filter(|_| !set.contains_key(field.key)) {
                set.insert(field.key.into(), value.clone());
            }
        }
        if !set.is_empty() {
            map.insert("set".into(), Value::Object(set));
        }
    }
}

/// A number for a file, whole where it is.
fn exactly(number: Decimal) -> Value {
    quantity::number(number.value())
}
