//! Settings as somebody enters them: a value as text, text as a value, and what is expected where it is none.
//!
//! Shares, per mille in a file, are entered in per cent. What is returned may stand in a plan as it is. It knows no page.

use crate::limits::{Field, Kind};
use crate::plan::Clock;
use crate::quantity::{Decimal, Short, Unit};
use serde_json::Value;

/// How many of the file's unit one of the entered unit is: 10 for per cent, else 1.
fn factor(field: &Field) -> f64 {
    if field.unit == "‰" { 10.0 } else { 1.0 }
}

/// The unit in which the field is entered.
pub fn unit_of(field: &Field, unit: &Unit) -> String {
    match field.unit {
        "‰" => "%".into(),
        "steps" if unit.step == 1.0 => unit.sign.clone(),
        "steps" => format!("× {} {}", Short(unit.step), unit.sign),
        "u·h" => format!("{}·h", unit.sign),
        other => other.into(),
    }
}

/// A number or clock time as it stands in its entry; other kinds have entries of their own and give nothing.
pub fn show(field: &Field, value: &Value) -> String {
    match field.kind {
        Kind::Whole(..) | Kind::Decimal(..) => value
            .as_f64()
            .map_or_else(String::new, |v| Short(v / factor(field)).to_string()),
        Kind::Clock => value.as_str().unwrap_or_default().into(),
        _ => String::new(),
    }
}

/// What the field's entry takes, as words that follow "expected".
pub fn expects(field: &Field) -> String {
    let scaled = |v: f64| Short(v / factor(field)).to_string();
    match field.kind {
        Kind::Whole(least, most) if factor(field) == 1.0 => {
            format!("a whole number from {least} to {most}")
        }
        Kind::Whole(least, most) => format!(
            "a number from {} to {}, to a tenth",
            scaled(least as f64),
            scaled(most as f64)
        ),
        Kind::Decimal(least, most) => {
            format!("a number from {} to {}", scaled(least), scaled(most))
        }
        Kind::Clock => "a time from 00:00 to 24:00".into(),
        Kind::Choice(words) => format!("one of {}", words.join(", ")),
        _ => "another entry".into(),
    }
}

/// The value of an entered number or clock time, or what is wrong with it.
pub fn read(field: &Field, text: &str) -> Result<Value, String> {
    let wrong = || {
        let found = if text.trim().is_empty() {
            "nothing".into()
        } else {
            format!("“{}”", text.trim())
        };
        format!("Found {found}, expected {}.", expects(field))
    };
    if field.kind == Kind::Clock {
        return clock(text)
            .map(|c| Value::from(c.to_string()))
            .ok_or_else(wrong);
    }
    let number = number(text).ok_or_else(wrong)?;
    match field.kind {
        Kind::Whole(least, most) => {
            let exact = Decimal::of(number).ok_or_else(wrong)?;
            let scale = factor(field) as i128;
            let whole = exact.times_rounded(scale);
            let again = whole as f64 / factor(field);
            let fits = (i128::from(least)..=i128::from(most)).contains(&whole);
            match u64::try_from(whole) {
                Ok(whole) if fits && (again - number).abs() < 1e-9 => Ok(Value::from(whole)),
                _ => Err(wrong()),
            }
        }
        Kind::Decimal(least, most) => {
            let value = number * factor(field);
            if (least..=most).contains(&value) {
                Ok(whole_where_it_is(value))
            } else {
                Err(wrong())
            }
        }
        _ => Err(wrong()),
    }
}

/// A number as people write it: a comma will do for the point.
pub fn number(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".").replace('−', "-");
    let right = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-');
    if text.is_empty() || !text.chars().all(right) {
        return None;
    }
    text.parse().ok().filter(|n: &f64| n.is_finite())
}

/// A clock time as people write it: `7`, `7:30`, `07.30`, `0730`.
pub fn clock(text: &str) -> Option<Clock> {
    let text = text.trim().replace(['.', ' '], ":");
    if let Some(found) = Clock::parse(&text) {
        return Some(found);
    }
    if !text.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    match text.len() {
        1 | 2 => Clock::parse(&format!("{text}:00")),
        3 | 4 => {
            let (hour, minute) = text.split_at(text.len() - 2);
            Clock::parse(&format!("{hour}:{minute}"))
        }
        _ => None,
    }
}

fn whole_where_it_is(value: f64) -> Value {
    if value.fract() == 0.0 && value.abs() < 1e15 {
        Value::from(value as i64)
    } else {
        Value::from(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits;

    fn field(kind: Kind, unit: &'static str) -> Field {
        Field {
            key: "k",
            label: "K",
            unit,
            kind,
            optional: false,
        }
    }

    #[test]
    fn a_share_is_entered_in_per_cent() {
        let share = field(Kind::Whole(0, 1000), "‰");
        assert_eq!(read(&share, "12.5"), Ok(Value::from(125)));
        assert_eq!(read(&share, "12,5"), Ok(Value::from(125)));
        assert_eq!(show(&share, &Value::from(125)), "12.5");
        assert_eq!(
            read(&share, "12.55"),
            Err("Found “12.55”, expected a number from 0 to 100, to a tenth.".into())
        );
        assert!(read(&share, "100.1").is_err());
    }

    #[test]
    fn what_is_wrong_names_what_is_expected() {
        let steps = field(Kind::Whole(1, 9), "steps");
        assert_eq!(
            read(&steps, "x"),
            Err("Found “x”, expected a whole number from 1 to 9.".into())
        );
        assert_eq!(
            read(&steps, " "),
            Err("Found nothing, expected a whole number from 1 to 9.".into())
        );
        assert!(read(&steps, "0").is_err() && read(&steps, "2.5").is_err());
        assert!(read(&steps, "1e1").is_err() && read(&steps, "NaN").is_err());
        assert_eq!(read(&steps, "9"), Ok(Value::from(9)));
        let tilt = field(Kind::Decimal(0.0, 180.0), "°");
        assert_eq!(read(&tilt, "35.5"), Ok(Value::from(35.5)));
        assert_eq!(read(&tilt, "35"), Ok(Value::from(35)));
        assert!(read(&tilt, "181").is_err());
    }

    #[test]
    fn clock_times_are_read_as_people_write_them() {
        for (text, said) in [
            ("7", "07:00"),
            ("7:05", "07:05"),
            ("0730", "07:30"),
            ("24", "24:00"),
            ("7.30", "07:30"),
        ] {
            assert_eq!(clock(text).unwrap().to_string(), said);
        }
        for wrong in ["", "25", "7:60", "abc", "12345", "24:01"] {
            assert_eq!(clock(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn what_is_shown_reads_back_as_the_same() {
        for (name, fields) in limits::FUNCTIONS {
            for field in *fields {
                let value = match field.kind {
                    Kind::Whole(least, most) => Value::from(least.max(most / 3)),
                    Kind::Decimal(least, most) => Value::from((least + most) / 4.0),
                    Kind::Clock => Value::from("09:05"),
                    _ => continue,
                };
                let back = read(field, &show(field, &value)).unwrap();
                assert_eq!(back.as_f64(), value.as_f64(), "{name} {}", field.key);
            }
        }
    }
}
