//! Cells that hold several things: settings (`tilt 35; start 50 %`) and materials (`copper 3; glass 2`), both ways.
//!
//! Powers stand in the book's unit and shares in per cent, as in the columns. What is no plain word or number stands as
//! JSON.

use super::number::{Amount, Sign, amount};
use crate::limits::{Field, Kind};
use crate::quantity::{Decimal, Unit};
use serde_json::{Map, Value};

/// What is wrong with a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Wrong {
    /// What stands there.
    pub found: String,
    /// What was expected.
    pub expected: String,
}

impl Wrong {
    pub(super) fn new(found: &str, expected: impl Into<String>) -> Wrong {
        let cut: String = found.chars().take(40).collect();
        let more = if cut.len() < found.len() { "…" } else { "" };
        Wrong {
            found: match found.trim() {
                "" => "nothing".into(),
                _ => format!("\"{cut}{more}\""),
            },
            expected: expected.into(),
        }
    }
}

/// A setting as it was read.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Setting {
    /// A power in a unit, to be made steps once the table's step is known.
    Power(&'static Field, Amount),
    /// Anything else.
    Value(Value),
}

fn is_power(field: &Field) -> bool {
    field.unit == "steps"
}

/// The pieces of a cell between semicolons and line ends that stand in no quotes and no brackets.
fn pieces(text: &str) -> Vec<&str> {
    let (mut found, mut from) = (Vec::new(), 0);
    let (mut quoted, mut escaped, mut depth) = (false, false, 0i32);
    for (at, c) in text.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' if quoted => escaped = true,
            '"' => quoted = !quoted,
            _ if quoted => {}
            '[' | '{' => depth += 1,
            ']' | '}' => depth -= 1,
            ';' | '\n' | '\r' if depth <= 0 => {
                found.push(&text[from..at]);
                from = at + c.len_utf8();
            }
            _ => {}
        }
    }
    found.push(&text[from..]);
    found.retain(|piece| !piece.trim().is_empty());
    found
}

/// A text as it stands in such a cell: plain where it can't be taken for anything else, in quotes otherwise.
fn plain(text: &str) -> String {
    let odd = |c: char| "\";[]{}\\,".contains(c) || c.is_control();
    let is_json = serde_json::from_str::<Value>(text).is_ok();
    if text.is_empty() || text.trim() != text || text.contains(odd) || is_json {
        return Value::from(text).to_string();
    }
    text.into()
}

/// The text in quotes at the front of a piece, and what follows.
fn quoted(piece: &str) -> Option<(String, &str)> {
    let mut stream = serde_json::Deserializer::from_str(piece).into_iter::<String>();
    let text = stream.next()?.ok()?;
    let rest = &piece[stream.byte_offset()..];
    Some((text, rest))
}

/// Settings as a cell.
pub(super) fn write_settings(set: &Map<String, Value>, fields: &[Field], unit: &Unit) -> String {
    let one = |(key, value): (&String, &Value)| {
        let word = key.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
        let name = match word && !key.is_empty() {
            true => key.clone(),
            false => Value::from(key.as_str()).to_string(),
        };
        let field = fields.iter().find(|f| f.key == key);
        format!("{name} {}", said(value, field, unit))
    };
    set.iter().map(one).collect::<Vec<_>>().join("; ")
}

fn said(value: &Value, field: Option<&Field>, unit: &Unit) -> String {
    if let (Some(field), Some(n)) = (field, value.as_u64()) {
        if is_power(field) {
            return power_said(n, unit);
        }
        if field.unit == "‰" {
            return format!("{} %", share_said(n));
        }
    }
    match value {
        Value::String(text) => plain(text),
        Value::Bool(is) if field.is_some() => if *is { "yes" } else { "no" }.into(),
        other => other.to_string(),
    }
}

/// Steps in the book's unit.
pub(super) fn power_said(steps: u64, unit: &Unit) -> String {
    let steps = Decimal::whole(steps);
    let exact = Decimal::of(unit.step).and_then(|step| steps.times(step));
    exact.map_or_else(String::new, |power| power.to_string())
}

/// Per mille in per cent.
pub(super) fn share_said(per_mille: u64) -> String {
    let share = Decimal {
        mantissa: i128::from(per_mille),
        scale: 1,
    };
    share.to_string()
}

/// The settings in a cell, for a type that has these.
pub(super) fn read_settings(
    text: &str,
    fields: &'static [Field],
    sign: Option<Sign>,
) -> Result<Vec<(String, Setting)>, Wrong> {
    let mut found: Vec<(String, Setting)> = Vec::new();
    for piece in pieces(text) {
        let piece = piece.trim();
        let (key, value) = named(piece, fields)
            .ok_or_else(|| Wrong::new(piece, "a setting and its value, such as tilt 35"))?;
        if found.iter().any(|(other, _)| *other == key) {
            return Err(Wrong::new(piece, format!("{key} once")));
        }
        let field = fields.iter().find(|f| f.key == key);
        let setting = match field {
            Some(field) => setting(value, field, sign)?,
            None => Setting::Value(free(value)),
        };
        found.push((key, setting));
    }
    Ok(found)
}

/// A piece as a setting's name and its value.
fn named<'p>(piece: &'p str, fields: &[Field]) -> Option<(String, &'p str)> {
    let after = |rest: &'p str| {
        let value = rest.trim_start_matches([' ', ':', '=']).trim();
        (!value.is_empty()).then_some(value)
    };
    if piece.starts_with('"') {
        let (key, rest) = quoted(piece)?;
        return Some((key, after(rest)?));
    }
    // By its words: `Sets aside 5`.
    for field in fields {
        let head = piece.get(..field.label.len());
        let matches = head.is_some_and(|head| head.eq_ignore_ascii_case(field.label));
        if matches && piece[field.label.len()..].starts_with([' ', ':', '=']) {
            return Some((field.key.into(), after(&piece[field.label.len()..])?));
        }
    }
    let end = piece.find([' ', ':', '=', '\u{a0}'])?;
    let key = &piece[..end];
    let known = fields.iter().find(|f| f.key.eq_ignore_ascii_case(key));
    let key = known.map_or(key, |field| field.key).to_string();
    Some((key, after(&piece[end..])?))
}

fn setting(text: &str, field: &'static Field, sign: Option<Sign>) -> Result<Setting, Wrong> {
    let named = |said: &str| format!("{said} for {}", field.key);
    let json: Option<Value> = serde_json::from_str(text).ok();
    match field.kind {
        Kind::Whole(..) if is_power(field) => match amount(text, sign) {
            Some(power) => Ok(Setting::Power(field, power)),
            None => Err(Wrong::new(text, named("a number"))),
        },
        Kind::Whole(..) if field.unit == "‰" => {
            let share = amount(text, sign).and_then(|a| per_mille(&a));
            let share = share.filter(|share| *share <= 1000);
            share
                .map(|share| Setting::Value(share.into()))
                .ok_or_else(|| {
                    Wrong::new(text, named("a number from 0 to 100, to a tenth (per cent)"))
                })
        }
        Kind::Whole(..) | Kind::Decimal(..) => match json {
            Some(number @ Value::Number(_)) => Ok(Setting::Value(number)),
            _ => amount(text, sign)
                .map(|a| Setting::Value(crate::quantity::number(a.number.value())))
                .ok_or_else(|| Wrong::new(text, named("a number"))),
        },
        Kind::Flag => match text.to_lowercase().as_str() {
            "yes" | "true" | "on" | "1" => Ok(Setting::Value(true.into())),
            "no" | "false" | "off" | "0" => Ok(Setting::Value(false.into())),
            _ => Err(Wrong::new(text, named("yes or no"))),
        },
        _ => Ok(Setting::Value(free(text))),
    }
}

/// A share as per mille; without a sign it is per cent.
pub(super) fn per_mille(share: &Amount) -> Option<u64> {
    let ten = match super::columns::unit_sign(&share.unit).as_str() {
        "" | "%" => 10,
        "‰" => 1,
        _ => return None,
    };
    let ten = Decimal::whole(ten);
    let one = Decimal::whole(1);
    u64::try_from(share.number.times(ten)?.count_of(one)?).ok()
}

/// JSON where it is JSON, else a text.
fn free(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|_| text.into())
}

/// Materials as a cell.
pub(super) fn write_cost(cost: &[(String, u64)]) -> String {
    let one = |(material, amount): &(String, u64)| {
        let odd = material
            .chars()
            .any(|c| c.is_ascii_digit() || "+×:=".contains(c));
        let name = if odd {
            Value::from(material.as_str()).to_string()
        } else {
            plain(material)
        };
        format!("{name} {amount}")
    };
    cost.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// The materials in a cell: `copper 3; glass 2`, `3 copper, 2 glass`, `copper x3`.
pub(super) fn read_cost(text: &str) -> Result<Vec<(String, u64)>, Wrong> {
    let expected = "materials with whole amounts, such as copper 3; glass 2";
    let mut found: Vec<(String, u64)> = Vec::new();
    let split = |piece: &'_ str| -> Vec<String> {
        match piece.contains('"') {
            true => vec![piece.into()],
            false => piece.split([',', '+']).map(String::from).collect(),
        }
    };
    for piece in pieces(text).into_iter().flat_map(split) {
        let piece = piece.trim();
        if piece.is_empty() {
            continue;
        }
        let (material, amount) = one_cost(piece).ok_or_else(|| Wrong::new(piece, expected))?;
        if found.iter().any(|(other, _)| *other == material) {
            return Err(Wrong::new(piece, format!("{material} once")));
        }
        found.push((material, amount));
    }
    Ok(found)
}

fn one_cost(piece: &str) -> Option<(String, u64)> {
    let number = |text: &str| -> Option<u64> {
        let text = text.trim().trim_start_matches(['x', '×', ':', '=']);
        text.trim_end_matches(['x', '×']).trim().parse().ok()
    };
    if piece.starts_with('"') {
        let (material, rest) = quoted(piece)?;
        return Some((material, number(rest)?));
    }
    let named = |name: &str, amount: u64| {
        let name = name.trim().trim_end_matches(['×', ':', '=']).trim();
        let name = name
            .strip_suffix(" x")
            .unwrap_or(name)
            .trim_start_matches("x ");
        (!name.is_empty()).then(|| (name.to_string(), amount))
    };
    if let Some((name, amount)) = piece.rsplit_once([' ', ':', '=', '×', '\u{a0}'])
        && let Some(amount) = number(amount)
    {
        return named(name, amount);
    }
    let (amount, name) = piece.split_once([' ', '×', '\u{a0}'])?;
    named(name, number(amount)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits;
    use serde_json::json;

    #[test]
    fn materials_are_read_as_people_write_them() {
        let wanted = vec![("copper".to_string(), 3), ("salvaged steel".to_string(), 2)];
        for text in [
            "copper 3; salvaged steel 2",
            "3 copper, 2 salvaged steel",
            "copper x3; salvaged steel x2",
            "3x copper; 2 x salvaged steel",
            "copper: 3 + salvaged steel: 2",
            "copper=3\nsalvaged steel=2;",
            "\"copper\" 3; \"salvaged steel\" 2",
        ] {
            assert_eq!(read_cost(text).as_ref(), Ok(&wanted), "{text}");
        }
        for text in [
            "copper",
            "copper 1.5",
            "3",
            "copper -1",
            "copper 1; copper 2",
        ] {
            assert!(read_cost(text).is_err(), "{text}");
        }
        let odd = vec![
            ("a; \"b\", 2".to_string(), 1),
            ("steel 7".to_string(), 9),
            (" x".into(), 2),
        ];
        assert_eq!(read_cost(&write_cost(&odd)), Ok(odd));
    }

    #[test]
    fn settings_are_read_as_people_write_them() {
        let value = |text: &str, fields| -> Value {
            let found = read_settings(text, fields, None).unwrap();
            let one = |(key, setting)| match setting {
                Setting::Value(value) => (key, value),
                Setting::Power(_, power) => (key, format!("{}{}", power.number, power.unit).into()),
            };
            Value::Object(found.into_iter().map(one).collect())
        };
        let wanted = json!({ "azimuth": 180, "tilt": 35.5 });
        for text in [
            "azimuth 180; tilt 35.5",
            "Faces: 180; Tilt=35,5",
            "azimuth 180°\ntilt 35.5 °;",
        ] {
            assert_eq!(value(text, limits::SUN), wanted, "{text}");
        }
        assert_eq!(value("start 50", limits::CHARGE), json!({ "start": 500 }));
        assert_eq!(
            value("start 12.5 %", limits::CHARGE),
            json!({ "start": 125 })
        );
        assert_eq!(
            value("start 125 ‰", limits::CHARGE),
            json!({ "start": 125 })
        );
        assert_eq!(
            value("Sets aside 0,5 W", limits::TAP),
            json!({ "amount": "0.5W" })
        );
        let manual = limits::of_function("manual");
        assert_eq!(
            value(
                "closed yes; schedule [[\"07:00\", true]]; contact break; later {\"a;b\": 1}",
                manual
            ),
            json!({ "closed": true, "schedule": [["07:00", true]], "contact": "break", "later": { "a;b": 1 } })
        );
        let wrong = |text| read_settings(text, limits::SUN, None).unwrap_err();
        assert_eq!(
            wrong("tilt").expected,
            "a setting and its value, such as tilt 35"
        );
        assert_eq!(
            wrong("tilt steep"),
            Wrong::new("steep", "a number for tilt")
        );
        assert_eq!(wrong("tilt 3; tilt 4").expected, "tilt once");
    }
}
