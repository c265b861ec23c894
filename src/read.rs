//! Reading JSON with errors that name the place, the value found and what was expected.
//!
//! A [`Fault`] is data: its kind apart from its wording. Readers go on after a fault where that is sensible, so one
//! reading finds all of them.

mod head;
mod json;

pub use head::{Head, format_of};
pub use json::json;

use serde_json::{Map, Value};
use std::fmt;

/// What kind of thing is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// The text is no JSON at all.
    NotJson,
    /// The document is none of ours.
    Format,
    /// The document is of a later version than this program.
    Newer,
    /// A field that must be there is missing.
    Missing,
    /// A value of another type.
    Type,
    /// A value of the right type outside its limits.
    Range,
    /// A name that nothing has.
    Unknown,
    /// A name or a port used twice.
    Doubled,
}

/// One thing wrong with a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What kind of thing is wrong.
    pub kind: FaultKind,
    /// Where: a path such as `parts[3].set.amount`, or `line 2, column 7`.
    pub place: String,
    /// What stands there.
    pub found: String,
    /// What was expected.
    pub expected: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}: found {}, expected {}",
            self.place, self.found, self.expected
        )
    }
}

/// The faults of one reading, in the document's order.
pub type Faults = Vec<Fault>;

/// A place in a document: a linked path, written out only where a fault needs it.
#[derive(Clone, Copy)]
pub struct Place<'p> {
    up: Option<&'p Place<'p>>,
    step: Step<'p>,
}

#[derive(Clone, Copy)]
enum Step<'p> {
    Root(&'p str),
    Key(&'p str),
    Index(usize),
}

impl<'p> Place<'p> {
    /// The document itself, called `name` in faults.
    pub const fn root(name: &'p str) -> Place<'p> {
        Place {
            up: None,
            step: Step::Root(name),
        }
    }

    /// The field `key` of this place.
    pub const fn key(&'p self, key: &'p str) -> Place<'p> {
        Place {
            up: Some(self),
            step: Step::Key(key),
        }
    }

    /// The entry `index` of this place.
    pub const fn index(&'p self, index: usize) -> Place<'p> {
        Place {
            up: Some(self),
            step: Step::Index(index),
        }
    }

    /// A fault at this place.
    pub fn fault(
        &self,
        kind: FaultKind,
        found: impl Into<String>,
        expected: impl Into<String>,
    ) -> Fault {
        Fault {
            kind,
            place: self.to_string(),
            found: found.into(),
            expected: expected.into(),
        }
    }

    /// A fault of type or limits: `value` stands where `expected` should.
    pub fn wrong(&self, kind: FaultKind, value: &Value, expected: impl Into<String>) -> Fault {
        self.fault(kind, brief(value), expected)
    }
}

impl fmt::Display for Place<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // The document's name stands only where nothing else would, or before an index.
        let index = matches!(self.step, Step::Index(_));
        let inner = self.up.is_some_and(|up| index || up.up.is_some());
        if let Some(up) = self.up.filter(|_| inner) {
            up.fmt(f)?;
        }
        match self.step {
            Step::Root(name) => f.write_str(name),
            Step::Key(key) if inner => write!(f, ".{key}"),
            Step::Key(key) => f.write_str(key),
            Step::Index(index) => write!(f, "[{index}]"),
        }
    }
}

/// A value in a few words, for a fault: long texts and big structures are cut.
pub fn brief(value: &Value) -> String {
    match value {
        Value::Array(a) => format!("a list of {}", a.len()),
        Value::Object(_) => "an object".into(),
        Value::String(s) if s.chars().count() > 40 => {
            format!("\"{}…\"", s.chars().take(39).collect::<String>())
        }
        other => other.to_string(),
    }
}

/// The value as an object.
pub fn object<'v>(
    value: &'v Value,
    place: &Place,
    faults: &mut Faults,
) -> Option<&'v Map<String, Value>> {
    let found = value.as_object();
    if found.is_none() {
        faults.push(place.wrong(FaultKind::Type, value, "an object"));
    }
    found
}

/// The field `key` as a list; an absent field is an empty list.
pub fn list<'v>(
    map: &'v Map<String, Value>,
    key: &str,
    place: &Place,
    faults: &mut Faults,
) -> &'v [Value] {
    match map.get(key) {
        None => &[],
        Some(Value::Array(entries)) => entries,
        Some(other) => {
            faults.push(place.key(key).wrong(FaultKind::Type, other, "a list"));
            &[]
        }
    }
}

/// The field `key` as a text, if it is there.
pub fn text<'v>(
    map: &'v Map<String, Value>,
    key: &str,
    place: &Place,
    faults: &mut Faults,
) -> Option<&'v str> {
    let value = map.get(key)?;
    let found = value.as_str();
    if found.is_none() {
        faults.push(place.key(key).wrong(FaultKind::Type, value, "a text"));
    }
    found
}

/// The field `key` as a text that must be there and not be empty.
pub fn name<'v>(
    map: &'v Map<String, Value>,
    key: &str,
    place: &Place,
    faults: &mut Faults,
) -> Option<&'v str> {
    named(map, key, place, "a text", faults)
}

/// As [`name`], where more can be said of what is `expected` than that it is a text.
pub fn named<'v>(
    map: &'v Map<String, Value>,
    key: &str,
    place: &Place,
    expected: &str,
    faults: &mut Faults,
) -> Option<&'v str> {
    let at = place.key(key);
    let fault = match map.get(key) {
        None => at.fault(FaultKind::Missing, "nothing", expected),
        Some(Value::String(text)) if text.is_empty() => {
            at.fault(FaultKind::Range, "an empty text", expected)
        }
        Some(Value::String(text)) => return Some(text),
        Some(other) => at.wrong(FaultKind::Type, other, expected),
    };
    faults.push(fault);
    None
}

/// The field `key` as yes or no, if it is there.
pub fn flag(
    map: &Map<String, Value>,
    key: &str,
    place: &Place,
    faults: &mut Faults,
) -> Option<bool> {
    let value = map.get(key)?;
    let found = value.as_bool();
    if found.is_none() {
        faults.push(
            place
                .key(key)
                .wrong(FaultKind::Type, value, "true or false"),
        );
    }
    found
}

/// A whole number from `least` to `most`; `5.0` counts as whole.
pub fn whole(
    value: &Value,
    least: u64,
    most: u64,
    place: &Place,
    faults: &mut Faults,
) -> Option<u64> {
    let expected = || format!("a whole number from {least} to {most}");
    let Some(number) = value.as_f64() else {
        faults.push(place.wrong(FaultKind::Type, value, expected()));
        return None;
    };
    let exact = value.as_u64().or_else(|| {
        (number.fract() == 0.0 && (0.0..9.0e15).contains(&number)).then_some(number as u64)
    });
    let found = exact.filter(|n| (least..=most).contains(n));
    if found.is_none() {
        faults.push(place.wrong(FaultKind::Range, value, expected()));
    }
    found
}

/// A number from `least` to `most`.
pub fn decimal(
    value: &Value,
    least: f64,
    most: f64,
    place: &Place,
    faults: &mut Faults,
) -> Option<f64> {
    let expected = || format!("a number from {least} to {most}");
    let Some(number) = value.as_f64() else {
        faults.push(place.wrong(FaultKind::Type, value, expected()));
        return None;
    };
    if (least..=most).contains(&number) {
        return Some(number);
    }
    faults.push(place.wrong(FaultKind::Range, value, expected()));
    None
}

/// The fields of `map` that are not in `known`: kept, so that a round trip loses nothing.
pub fn extra(map: &Map<String, Value>, known: &[&str]) -> Map<String, Value> {
    map.iter()
        .filter(|(key, _)| !known.contains(&key.as_str()))
        .map(|(k, v)| (k.clone(), v.clone()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_written_as_a_path() {
        let root = Place::root("plan");
        let (parts, set) = (root.key("parts"), "set");
        let third = parts.index(3);
        let set = third.key(set);
        assert_eq!(set.key("amount").to_string(), "parts[3].set.amount");
        assert_eq!(root.to_string(), "plan");
        assert_eq!(root.index(1).index(0).to_string(), "plan[1][0]");
    }

    #[test]
    fn a_whole_number_outside_its_limits_is_a_fault_that_names_all_three() {
        let mut faults = Faults::new();
        let root = Place::root("plan");
        assert_eq!(
            whole(&serde_json::json!(0), 1, 9, &root.key("count"), &mut faults),
            None
        );
        assert_eq!(
            faults[0].to_string(),
            "count: found 0, expected a whole number from 1 to 9"
        );
        assert_eq!(
            whole(&serde_json::json!(5.0), 1, 9, &root, &mut faults),
            Some(5)
        );
    }
}
