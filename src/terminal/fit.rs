//! `duskline fit`: the world that a table of readings comes to, how sure it is, and what to read next.

use super::table::Table;
use super::{Answer, lines, print, text_of};
use crate::fit::{Fit, Readings, Value as Measured, fit, read_readings};
use crate::sheet::readings::words::{self, Shares, air, dial, label, short};
use serde::Serialize;
use serde_json::{Map, Value, json};
use std::fmt::Write;

#[derive(Serialize)]
struct FitOutput {
    sky: SkyOutput,
    peak: Value,
    day_s: Value,
    capacity: Value,
    /// Per mille.
    efficiency: Value,
    sure: Map<String, Value>,
    residuals: Vec<Value>,
    contradicts: Vec<usize>,
    next: Option<QuestionOutput>,
    undetermined: Vec<&'static str>,
    slack: Value,
}

#[derive(Serialize)]
struct SkyOutput {
    rise: String,
    set: String,
    rise_azimuth: Value,
    highest: Value,
    air: &'static str,
}

#[derive(Serialize)]
struct QuestionOutput {
    at: String,
    azimuth: Value,
    tilt: Value,
}

/// The measured world, as JSON or for reading.
pub(super) fn answer(file: &str, json: bool) -> Result<Answer, String> {
    let readings = read_readings(&text_of(file)?).map_err(|faults| lines(file, &faults))?;
    let found = fit(&readings);
    let text = if json {
        print(&as_json(&found))
    } else {
        as_text(&readings, &found)
    };
    Ok(Answer::new(text, &[]))
}

fn as_json(found: &Fit) -> FitOutput {
    let range = |(value, (low, high)): &(Measured, (f64, f64))| {
        let ends = match value {
            Measured::Rise | Measured::Set => json!([dial(*low), dial(*high)]),
            _ => json!([number(*low), number(*high)]),
        };
        (value.key().to_string(), ends)
    };
    let residuals = found.residuals.iter();
    FitOutput {
        sky: SkyOutput {
            rise: found.rise.to_string(),
            set: found.set.to_string(),
            rise_azimuth: number(found.rise_azimuth),
            highest: number(found.highest),
            air: air(found.air),
        },
        peak: number(found.peak),
        day_s: number(found.day_s),
        capacity: found.capacity.map_or(Value::Null, number),
        efficiency: found.efficiency.map_or(Value::Null, number),
        sure: found.sure.iter().map(range).collect(),
        residuals: residuals.map(|r| number(short(*r, 4))).collect(),
        contradicts: found.contradicts.clone(),
        next: found.next.map(|next| QuestionOutput {
            at: next.at.to_string(),
            azimuth: number(next.aim.azimuth),
            tilt: number(next.aim.tilt),
        }),
        undetermined: found.undetermined.iter().map(|v| v.key()).collect(),
        slack: number(short(found.slack, 4)),
    }
}

/// A number as short as it can be written: whole ones without a point.
fn number(n: f64) -> Value {
    if n == libm::trunc(n) && n.abs() < 9.0e15 {
        json!(n as i64)
    } else {
        json!(n)
    }
}

fn as_text(readings: &Readings, found: &Fit) -> String {
    let mut text = String::new();
    let _ = writeln!(text, "{}", values(found));
    let _ = writeln!(text, "{}", residuals(readings, found));
    let mut say = |sentence: String| {
        let _ = writeln!(text, "{sentence}");
    };
    let contradicts: Vec<String> = found.contradicts.iter().map(ToString::to_string).collect();
    words::contradiction(&contradicts).map(&mut say);
    words::slack(found.slack).map(&mut say);
    words::unsettled(&found.undetermined).map(&mut say);
    say(words::next(found.next));
    text
}

/// The values as a table, each with how sure it is.
fn values(found: &Fit) -> Table {
    let mut table = Table::new(&["value", "", "at least", "at most"]);
    let mut row = |value: Measured, says: String, show: &dyn Fn(f64) -> String| {
        let sure = found.sure.iter().find(|(of, _)| *of == value);
        let (low, high) = sure.map_or((String::new(), String::new()), |(_, (low, high))| {
            (show(*low), show(*high))
        });
        table.row([label(value).to_string(), says, low, high]);
    };
    let degrees = |n: f64| format!("{n}°");
    let steps = |n: f64| format!("{n} steps");
    row(Measured::Rise, found.rise.to_string(), &dial);
    row(Measured::Set, found.set.to_string(), &dial);
    row(Measured::RiseAzimuth, degrees(found.rise_azimuth), &degrees);
    row(Measured::Highest, degrees(found.highest), &degrees);
    row(Measured::Air, air(found.air).into(), &degrees);
    row(Measured::Peak, steps(found.peak), &steps);
    row(Measured::DayS, format!("{} s", found.day_s), &|n| {
        format!("{n} s")
    });
    if let Some(capacity) = found.capacity {
        let hours = |n: f64| format!("{n} step·h");
        row(Measured::Capacity, hours(capacity), &hours);
    }
    if let Some(efficiency) = found.efficiency {
        let mille = |n: f64| format!("{n} ‰");
        row(Measured::Efficiency, mille(efficiency), &mille);
    }
    table
}

/// The readings as a table: what each says, and what the world gives for it.
fn residuals(readings: &Readings, found: &Fit) -> Table {
    let mut table = Table::new(&["reading", "", "says", "world gives", "off by"]);
    let each = readings.list.iter().zip(&found.gives).zip(&found.residuals);
    for (number, ((reading, gives), residual)) in each.enumerate() {
        let said = words::reading(reading, Shares::PerMille);
        let gives = words::given(reading, *gives, Shares::PerMille);
        let off = match residual {
            0.0 => "explained".into(),
            _ => format!("{:+}", short(*residual, 2)),
        };
        table.row([number.to_string(), said.what, said.says, gives, off]);
    }
    table
}
