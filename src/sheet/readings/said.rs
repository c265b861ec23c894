//! What a measured world is, value by value, each with its range, and what is said of the readings as a whole.

use super::words::{self, Shares};
use crate::fit::{Fit, Value};

/// How a measured world is to be read, as sentences.
pub const HOW_TO_READ: [&str; 3] = [
    "A reading says where a value lies, not what it is: a panel that shows 7 gives 7 or more, and less than 8.",
    "A range holds every world that explains all readings: the true one is in it, if the readings are right and the sun goes on an arc. More readings make it narrower.",
    "“Off by” is how much more a reading says than this world gives, beyond what the reading is right to.",
];

/// One measured value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MeasuredLine {
    /// Which.
    pub value: Value,
    /// Its name.
    pub what: String,
    /// What it is, or that the readings do not settle it.
    pub says: String,
    /// Between what it lies; empty where the readings say nothing of it.
    pub range: String,
    /// Whether the readings settle it.
    pub is_settled: bool,
}

/// Every value, in a fixed order.
pub fn lines(fit: &Fit) -> Vec<MeasuredLine> {
    let all = [
        Value::Rise,
        Value::Set,
        Value::RiseAzimuth,
        Value::Highest,
        Value::Air,
        Value::Peak,
        Value::DayS,
        Value::Capacity,
        Value::Efficiency,
    ];
    all.into_iter().map(|value| line(fit, value)).collect()
}

fn line(fit: &Fit, value: Value) -> MeasuredLine {
    let found = found(fit, value);
    let is_settled = found.is_some() && !fit.undetermined.contains(&value);
    let range = fit.sure.iter().find(|(of, _)| *of == value);
    let range = range.map_or_else(String::new, |(_, (low, high))| between(value, *low, *high));
    MeasuredLine {
        value,
        what: capital(words::label(value)),
        says: match (is_settled, found) {
            (true, Some(found)) => found,
            _ => "not settled by the readings".into(),
        },
        range,
        is_settled,
    }
}

/// What the answer has for a value; none where it has nothing.
fn found(fit: &Fit, value: Value) -> Option<String> {
    Some(match value {
        Value::Rise => fit.rise.to_string(),
        Value::Set => fit.set.to_string(),
        Value::Air => words::air(fit.air).into(),
        Value::RiseAzimuth => with_unit(value, fit.rise_azimuth),
        Value::Highest => with_unit(value, fit.highest),
        Value::Peak => with_unit(value, fit.peak),
        Value::DayS => with_unit(value, fit.day_s),
        Value::Capacity => with_unit(value, fit.capacity?),
        Value::Efficiency => with_unit(value, fit.efficiency?),
    })
}

fn with_unit(value: Value, n: f64) -> String {
    match value {
        Value::Rise | Value::Set => words::dial(n),
        Value::RiseAzimuth | Value::Highest => format!("{n}°"),
        Value::Peak => format!("{n} steps"),
        Value::DayS => format!("{n} s"),
        Value::Capacity => format!("{n} step·h"),
        Value::Efficiency => {
            let shares = Shares::PerCent;
            format!("{}{}", shares.of(n), shares.sign())
        }
        Value::Air => n.to_string(),
    }
}

fn between(value: Value, low: f64, high: f64) -> String {
    let (low, high) = (with_unit(value, low), with_unit(value, high));
    match low == high {
        true => format!("exactly {low}"),
        false => format!("between {low} and {high}"),
    }
}

/// What is to be said of the readings as a whole; `names` are what they are called.
pub fn sentences(fit: &Fit, names: &[String]) -> Vec<String> {
    let mut said = Vec::new();
    let called = |at: &usize| names.get(*at).cloned().unwrap_or_default();
    let contradicts: Vec<String> = fit.contradicts.iter().map(called).collect();
    said.extend(words::contradiction(&contradicts));
    said.extend(words::slack(fit.slack));
    if said.is_empty() && fit.residuals.iter().all(|off| *off == 0.0) {
        said.push("This world explains every reading.".into());
    }
    said
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(|c| c.to_uppercase().collect::<String>());
    first.unwrap_or_default() + chars.as_str()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::{fit, read_readings};

    fn measured(readings: &str) -> Fit {
        let text =
            format!(r#"{{"format": "duskline/readings", "version": 1, "readings": [{readings}]}}"#);
        fit(&read_readings(&text).unwrap())
    }

    fn told(fit: &Fit) -> Vec<String> {
        let all = lines(fit).into_iter();
        all.map(|l| {
            format!("{} {} {}", l.what, l.says, l.range)
                .trim()
                .to_string()
        })
        .collect()
    }

    #[test]
    fn every_value_is_said_with_its_range() {
        let text = include_str!("../../../assets/readings/kittiwake-light.json");
        let fit = fit(&read_readings(text).unwrap());
        let expected = [
            "Sun rises 05:40 between 05:39 and 05:41",
            "Sun sets 18:20 between 18:19 and 18:21",
            "Rises at azimuth 82.05° between 81.36° and 83°",
            "Highest 57.7° between 56.3° and 59.8°",
            "Air none",
            "Peak of a panel 12.51 steps between 12.42 steps and 12.68 steps",
            "Length of a day 2880 s between 2809 s and 2954 s",
            "Battery holds 47.9 step·h between 47.33 step·h and 48.49 step·h",
            "Battery stores 90.1 % between 88 % and 92.2 %",
        ];
        assert_eq!(told(&fit), expected);
        assert_eq!(sentences(&fit, &[]), ["This world explains every reading."]);
    }

    #[test]
    fn what_the_readings_do_not_settle_is_said() {
        let fit = measured(r#"{"rises": "05:40"}"#);
        let told = told(&fit);
        assert_eq!(told[0], "Sun rises 05:40 between 05:39 and 05:41");
        assert_eq!(
            told[1],
            "Sun sets not settled by the readings between 05:40 and 24:00"
        );
        assert_eq!(told[4], "Air not settled by the readings");
        assert_eq!(told[7], "Battery holds not settled by the readings");
    }

    #[test]
    fn readings_that_contradict_are_named_as_they_are_called() {
        let fit = measured(
            r#"{"rises": "05:40"}, {"rises": "05:41"}, {"rises": "06:40"}, {"clock_s": 120, "dial": "01:00"}"#,
        );
        let names: Vec<String> = (1..5).map(|n| n.to_string()).collect();
        let said = sentences(&fit, &names);
        assert_eq!(
            said,
            ["Reading 3 contradicts the others: without it they agree. It is left out."]
        );
    }
}
