//! The unit and the step that a table's numbers have.

use super::Remark;
use super::columns::{COLUMNS, Holds, of_key, unit_sign};
use super::draft::Draft;
use super::making::Making;
use super::number::{Amount, amount};
use super::pairs::Setting;
use crate::quantity::{self, Decimal};
use crate::read::{Fault, FaultKind};
use serde_json::Value;

/// The unit of power in the sign of a unit of energy: `W` in `W·h` or `Wh`.
fn without_hours(unit: &str) -> Option<&str> {
    let unit = unit.strip_suffix('h')?;
    Some(unit.trim_end_matches(['·', '*', '.', ' ', '⋅', '-']))
}

/// By which power of ten a unit is larger than another: 3 for kW and W.
fn larger(unit: &str, than: &str) -> Option<i32> {
    if unit.eq_ignore_ascii_case(than) {
        return Some(0);
    }
    let split = |unit: &str| -> Vec<(i32, String)> {
        let mut ways = vec![(0, unit.to_string())];
        for (prefix, exponent) in [("k", 3), ("M", 6), ("m", -3)] {
            let rest = unit.strip_prefix(prefix).filter(|rest| !rest.is_empty());
            ways.extend(rest.map(|rest| (exponent, rest.to_string())));
        }
        ways
    };
    let (ours, theirs) = (split(unit), split(than));
    let mut pairs = ours.iter().flat_map(|a| theirs.iter().map(move |b| (a, b)));
    let found = pairs.find(|(a, b)| a.1 == b.1)?;
    Some(found.0.0 - found.1.0)
}

impl Making<'_, '_> {
    /// The unit that headings name, or else the cells; `u` where none does.
    pub(super) fn find_unit(&self, drafts: &[Draft]) -> String {
        let of = |holds: Holds, unit: &str| match holds {
            Holds::Energy => without_hours(unit).map(String::from),
            _ => Some(unit.to_string()),
        };
        let columns = COLUMNS
            .iter()
            .filter(|c| matches!(c.holds, Holds::Power | Holds::Energy));
        let heading = columns
            .clone()
            .find_map(|c| of(c.holds, self.sheet.unit(c.key)?));
        let cell = || {
            let numbers = drafts.iter().flat_map(|d| &d.numbers);
            let mut named = numbers.filter(|(_, amount)| !amount.unit.is_empty());
            named.find_map(|(key, amount)| {
                let column = columns.clone().find(|c| c.key == *key)?;
                of(column.holds, &unit_sign(&amount.unit))
            })
        };
        heading.or_else(cell).unwrap_or_else(|| "u".into())
    }

    /// A power or an energy in the book's unit; `None` where its unit is another one, which is told.
    pub(super) fn in_unit(&mut self, row: usize, key: &str, amount: &Amount) -> Option<Decimal> {
        let is_energy = of_key(key).is_some_and(|c| c.holds == Holds::Energy);
        let own = unit_sign(&amount.unit);
        let unit = match own.as_str() {
            "" => self.sheet.unit(key).unwrap_or(""),
            own => own,
        };
        let power = if is_energy {
            without_hours(unit)
        } else {
            Some(unit)
        };
        let exponent = match unit {
            "" => Some(0),
            _ => power.and_then(|unit| larger(unit, &self.unit)),
        };
        let Some(exponent) = exponent else {
            let hours = if is_energy { "·h" } else { "" };
            let expected = format!("{}{hours}", self.unit);
            if own.is_empty() {
                let place = self.sheet.heading_place(key);
                let told = Fault {
                    kind: FaultKind::Unknown,
                    place,
                    found: format!("the unit {unit}"),
                    expected,
                };
                if !self.faults.contains(&told) {
                    self.faults.push(told);
                }
            } else {
                self.fault(
                    FaultKind::Unknown,
                    row,
                    key,
                    format!("a number of {expected}"),
                );
            }
            return None;
        };
        let ten = Decimal {
            mantissa: 10i128.pow(exponent.max(0) as u32),
            scale: exponent.min(0).unsigned_abs(),
        };
        amount.number.times(ten)
    }

    /// The step that a column names, or the largest of 1, 0.1, 0.01 … of which every power is a whole number.
    pub(super) fn find_step(&mut self, drafts: &[Draft], remarks: &mut Vec<Remark>) -> Decimal {
        if let Some(step) = self.told_step() {
            return step;
        }
        let step = Decimal {
            mantissa: 1,
            scale: self.places(drafts),
        };
        if step.scale > 0 {
            remarks.push(Remark::Step(format!("{step} {}", self.unit)));
        }
        step
    }

    /// The step that a column names.
    fn told_step(&mut self) -> Option<Decimal> {
        let mut told: Option<Decimal> = None;
        for row in self.sheet.body {
            let cell = self.sheet.word(row, "step");
            if cell.is_empty() {
                continue;
            }
            let read =
                amount(cell, self.sheet.sign).and_then(|a| self.in_unit(row.number, "step", &a));
            match (read, told) {
                (Some(step), _) if step.mantissa <= 0 => {
                    self.fault(
                        FaultKind::Range,
                        row.number,
                        "step",
                        "a number above 0".into(),
                    );
                }
                (Some(step), Some(other)) if step != other => {
                    let expected = format!("{other}, as in the rows above");
                    self.fault(FaultKind::Range, row.number, "step", expected);
                }
                (Some(step), _) => told = Some(step),
                (None, _) => self.fault(FaultKind::Type, row.number, "step", "a number".into()),
            }
        }
        told
    }

    /// The most places that a power has behind the point.
    fn places(&mut self, drafts: &[Draft]) -> u32 {
        let mut places = 0;
        for draft in drafts {
            let is_power = |key: &str| of_key(key).is_some_and(|c| c.holds == Holds::Power);
            let powers = draft.numbers.iter().filter(|(key, _)| is_power(key));
            let settings = draft.settings.iter().filter_map(|(_, s)| match s {
                Setting::Power(_, amount) => Some(("set", amount)),
                Setting::Value(_) => None,
            });
            for (key, amount) in powers.map(|(key, a)| (*key, a)).chain(settings) {
                let power = self.in_unit(draft.row, key, amount);
                let scale = power.map_or(0, |p| p.scale);
                if scale > 6 {
                    let expected = "a number with at most 6 places behind the point".into();
                    self.fault(FaultKind::Range, draft.row, key, expected);
                } else {
                    places = places.max(scale);
                }
            }
        }
        places
    }

    /// The lag that a column names.
    pub(super) fn lag(&mut self) -> Option<Value> {
        let mut told: Option<Value> = None;
        for row in self.sheet.body {
            let cell = self.sheet.word(row, "lag_ms");
            if cell.is_empty() {
                continue;
            }
            let read =
                amount(cell, self.sheet.sign).filter(|a| matches!(a.unit.as_str(), "" | "ms"));
            let lag = read.map(|a| quantity::number(a.number.value()));
            match (&lag, &told) {
                (None, _) => self.fault(
                    FaultKind::Type,
                    row.number,
                    "lag_ms",
                    "a whole number".into(),
                ),
                (Some(lag), _)
                    if lag
                        .as_u64()
                        .is_none_or(|n| !(1..=1_000_000_000).contains(&n)) =>
                {
                    let expected = "a whole number from 1 to 1000000000".into();
                    self.fault(FaultKind::Range, row.number, "lag_ms", expected);
                }
                (Some(lag), Some(other)) if lag != other => {
                    let expected = format!("{other}, as in the rows above");
                    self.fault(FaultKind::Range, row.number, "lag_ms", expected);
                }
                _ => told = lag,
            }
        }
        told
    }
}
