//! The settings of parts in words: what a setting is called, what it is set to, and that it is another from here on.
//!
//! Powers have the book's unit, shares are in per cent, times are as the plan's file has them. Nothing fails: a setting that
//! is not known is told by its name in a file.

use crate::plan::{PartId, Plan};
use crate::quantity::Short;
use serde_json::Value;

/// The words for settings of a plan's parts.
pub struct SettingWords<'a> {
    plan: &'a Plan,
    /// What a part is called.
    name: &'a dyn Fn(&PartId) -> String,
}

impl<'a> SettingWords<'a> {
    /// The words for a plan whose parts are called so.
    pub fn new(plan: &'a Plan, name: &'a dyn Fn(&PartId) -> String) -> SettingWords<'a> {
        SettingWords { plan, name }
    }

    /// A setting and its value: `the azimuth to 140°`.
    pub fn set_to(&self, setting: &str, value: &Value) -> String {
        let says = self.value(setting, value);
        let what = match setting {
            "azimuth" => "the azimuth",
            "tilt" => "the tilt",
            "short" => return format!("what it does when it is short to “{says}”"),
            "amount" => "the amount that it sets aside",
            "least" => "the least that keeps it on main",
            "contact" => "the contact",
            "closed" => "the handle",
            "schedule" => "the daily schedule",
            "hold_s" => "the time that a press holds",
            "presses" => "the daily presses",
            "delay_s" => "the delay",
            "dominant" => "the input that wins where both are live",
            "target" => "the target",
            "below" => "the light below which it acts",
            "from" => "the beginning of its hours",
            "to" => "the end of its hours",
            "times" => "the daily times",
            "watches" => "the battery that it watches",
            "low" => "the low mark",
            "high" => "the high mark",
            other => other,
        };
        format!("{what} to {says}")
    }

    /// A value of a setting: `140°`, `3 u`, `closed at 06:00`; `none` for an empty list.
    pub fn value(&self, setting: &str, value: &Value) -> String {
        let number = value.as_f64().map(Short);
        let number = number.map_or_else(|| value.to_string(), |number| number.to_string());
        let word = value.as_str().unwrap_or("");
        match setting {
            "azimuth" | "tilt" => format!("{number}°"),
            "amount" | "least" => match value.as_u64() {
                Some(steps) => self.plan.book.book.unit.say_power(steps),
                None => number,
            },
            "closed" => handle(value.as_bool()).into(),
            "schedule" => list(value, thrown),
            "hold_s" | "delay_s" => format!("{number} s"),
            "presses" => list(value, clock),
            "target" | "below" => number,
            "short" | "contact" | "dominant" | "from" | "to" => word.into(),
            "times" => list(value, span),
            "watches" => self.battery(word),
            "low" | "high" | "start" => share(value),
            _ => value.to_string(),
        }
    }

    /// That a setting of the part `of` is another from here on, in a whole sentence; none stands for no value at all.
    pub fn changed(
        &self,
        of: &PartId,
        setting: &str,
        (from, to): (Option<&Value>, Option<&Value>),
    ) -> String {
        let part = (self.name)(of);
        let told = |value: Option<&Value>| {
            let is_there = |value: &&Value| {
                !value.is_null() && value.as_array().is_none_or(|all| !all.is_empty())
            };
            let there = value.filter(is_there);
            there.map(|value| self.value(setting, value))
        };
        let is_battery = |value: &Value| value.as_str().is_some_and(|id| self.knows(id));
        let (from, to) = match setting {
            "watches" => (
                told(from.filter(|value| is_battery(value))),
                told(to.filter(|value| is_battery(value))),
            ),
            "short" => return short_changed(&part, to),
            _ => (told(from), told(to)),
        };
        match (sentence(setting), from, to) {
            (_, None, None) => format!("{part} is set otherwise now."),
            (Some((is, was)), Some(from), Some(to)) => {
                let (is, was) = (is.replace("{part}", &part), was.replace("{}", &from));
                format!("{}, where {was}.", is.replace("{}", &to))
            }
            (Some((is, _)), None, Some(to)) => {
                format!("{}.", is.replace("{part}", &part).replace("{}", &to))
            }
            (_, Some(_), None) => match listed(setting) {
                Some(what) => format!("{part} has no {what} any more."),
                None if setting == "watches" => format!("{part} watches no battery any more."),
                None => format!("{part} goes by what its type says again."),
            },
            (None, from, Some(to)) => match (listed(setting), from) {
                (Some(what), None) => format!("{part} has {what} now: {to}."),
                (Some(what), Some(from)) => {
                    format!("{part} has other {what} now: {to}. Before, they were {from}.")
                }
                (None, None) => format!("On {part}, {setting} is {to} now."),
                (None, Some(from)) => format!("On {part}, {setting} is {to} now and was {from}."),
            },
        }
    }

    fn knows(&self, id: &str) -> bool {
        self.plan.part(&PartId::from(id)).is_some()
    }

    fn battery(&self, id: &str) -> String {
        match self.knows(id) {
            true => (self.name)(&PartId::from(id)),
            false => "none".into(),
        }
    }
}

/// How it is and how it was, with places for the part and the value.
fn sentence(setting: &str) -> Option<(&'static str, &'static str)> {
    Some(match setting {
        "azimuth" => ("{part} faces {} now", "it faced {}"),
        "tilt" => ("{part} is tilted by {} now", "it was tilted by {}"),
        "amount" => ("{part} sets aside {} now", "it set aside {}"),
        "least" => (
            "{part} stays on main from {} on now",
            "it stayed there from {} on",
        ),
        "contact" => ("{part} has a {} contact now", "it had a {} contact"),
        "closed" => (
            "The handle of {part} stands {} at the start now",
            "it stood {}",
        ),
        "hold_s" => ("A press of {part} holds for {} now", "it held for {}"),
        "delay_s" => ("{part} is set to {} now", "it was set to {}"),
        "dominant" => (
            "Where both inputs of {part} are live, {} wins now",
            "{} won before",
        ),
        "target" => ("{part} counts to {} now", "it counted to {}"),
        "below" => (
            "{part} acts below a light of {} now",
            "it acted below one of {}",
        ),
        "from" => ("The hours of {part} begin at {} now", "they began at {}"),
        "to" => ("The hours of {part} end at {} now", "they ended at {}"),
        "watches" => ("{part} watches {} now", "it watched {}"),
        "low" => ("The low mark of {part} is {} now", "it was {}"),
        "high" => ("The high mark of {part} is {} now", "it was {}"),
        "start" => ("{part} begins charged to {} now", "it began with {}"),
        _ => return None,
    })
}

/// What a setting that is a list is called.
fn listed(setting: &str) -> Option<&'static str> {
    Some(match setting {
        "schedule" => "times at which it is thrown every day",
        "presses" => "times at which it is pressed every day",
        "times" => "daily times",
        _ => return None,
    })
}

/// What a load does from here on when too little comes.
fn short_changed(part: &str, to: Option<&Value>) -> String {
    let does = match to.and_then(Value::as_str) {
        Some("pass") => "passes all of it on",
        Some("hold") => "takes nothing and passes nothing on",
        Some("waste") => "takes all of it to no use",
        _ => "does what its type says again",
    };
    format!("When too little comes to {part}, it {does} now.")
}

/// A setting in per mille as per cent.
pub(super) fn share(value: &Value) -> String {
    let per_mille = value.as_u64();
    per_mille.map_or_else(|| value.to_string(), percent)
}

/// Per mille as per cent: `12.5 %`.
pub(super) fn percent(per_mille: u64) -> String {
    format!("{} %", Short(per_mille as f64 / 10.0))
}

fn handle(closed: Option<bool>) -> &'static str {
    match closed {
        Some(true) => "closed",
        _ => "open",
    }
}

/// The entries of a list, `none` where it has none.
fn list(value: &Value, entry: fn(&Value) -> String) -> String {
    let entries = value.as_array().into_iter().flatten().map(entry);
    let said: Vec<String> = entries.collect();
    match said.is_empty() {
        true => "none".into(),
        false => said.join(", "),
    }
}

fn clock(value: &Value) -> String {
    value.as_str().unwrap_or("").into()
}

/// `06:00–18:00`.
fn span(value: &Value) -> String {
    let at = |index: usize| value.get(index).and_then(Value::as_str).unwrap_or("");
    format!("{}–{}", at(0), at(1))
}

/// `closed at 06:00`.
fn thrown(value: &Value) -> String {
    let at = value.get(0).and_then(Value::as_str).unwrap_or("");
    format!("{} at {at}", handle(value.get(1).and_then(Value::as_bool)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use serde_json::json;

    fn says(setting: &str, from: Value, to: Value) -> String {
        let plan = plan(r#"{"parts": {"a": "tap", "b": "battery"}, "wires": []}"#);
        let name = |id: &PartId| id.to_string();
        let words = SettingWords::new(&plan, &name);
        let there = |value: &Value| (!value.is_null()).then(|| value.clone());
        let (from, to) = (there(&from), there(&to));
        words.changed(&PartId::from("a"), setting, (from.as_ref(), to.as_ref()))
    }

    #[test]
    fn a_setting_that_is_another_is_told_in_a_whole_sentence() {
        let nothing = Value::Null;
        for (said, expected) in [
            (
                says("amount", json!(1), json!(3)),
                "a sets aside 3 u now, where it set aside 1 u.",
            ),
            (
                says("schedule", nothing.clone(), json!([["06:00", true]])),
                "a has times at which it is thrown every day now: closed at 06:00.",
            ),
            (
                says("schedule", json!([["06:00", true]]), nothing.clone()),
                "a has no times at which it is thrown every day any more.",
            ),
            (
                says("presses", json!(["06:00"]), json!(["07:00", "08:00"])),
                "a has other times at which it is pressed every day now: 07:00, 08:00. Before, they were 06:00.",
            ),
            (
                says("watches", nothing.clone(), json!("b")),
                "a watches b now.",
            ),
            (
                says("watches", json!("b"), json!("")),
                "a watches no battery any more.",
            ),
            (
                says("low", json!(125), json!(200)),
                "The low mark of a is 20 % now, where it was 12.5 %.",
            ),
            (
                says("dominant", json!("set"), json!("reset")),
                "Where both inputs of a are live, reset wins now, where set won before.",
            ),
            (
                says("short", nothing.clone(), json!("hold")),
                "When too little comes to a, it takes nothing and passes nothing on now.",
            ),
            (
                says("least", nothing.clone(), json!(4)),
                "a stays on main from 4 u on now.",
            ),
            (
                says("least", json!(4), nothing),
                "a goes by what its type says again.",
            ),
        ] {
            assert_eq!(said, expected);
        }
    }

    /// A half-sentence such as `goes from nothing to break` would come of a setting that was forgotten here.
    #[test]
    fn every_setting_that_a_part_can_have_has_words_of_its_own() {
        use crate::limits::{CHANGEOVER, CHARGE, FUNCTIONS, SHORT, SUN, TAP};
        let of_functions = FUNCTIONS.iter().flat_map(|(_, fields)| *fields);
        let others = [CHANGEOVER, CHARGE, SHORT, SUN, TAP].into_iter().flatten();
        for field in of_functions.chain(others) {
            let is_told = sentence(field.key).is_some() || listed(field.key).is_some();
            assert!(is_told || field.key == "short", "{}", field.key);
        }
    }
}
