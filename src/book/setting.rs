//! Checking one setting against the table of limits. In a list it is the entry that is wrong that is named.

use crate::clock::{Clock, Span};
use crate::limits::{Field, Kind};
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::{Map, Value};

/// What stands where a clock time is expected, in words.
const CLOCK: &str = "a clock time from 00:00 to 24:00";
/// What stands where a stretch of the dial is expected, in words.
const SPAN: &str = "[from, to], two clock times";

/// Adds a fault where `value` is nothing that `field` may hold.
pub(crate) fn check(field: &Field, value: &Value, place: &Place, faults: &mut Faults) {
    let right = match field.kind {
        Kind::Whole(least, most) => {
            read::whole(value, least, most, place, faults);
            return;
        }
        Kind::Decimal(least, most) => {
            read::decimal(value, least, most, place, faults);
            return;
        }
        Kind::Spans => return entries(field, value, place, faults, check_span),
        Kind::Schedule => return entries(field, value, place, faults, check_change),
        Kind::Presses => return entries(field, value, place, faults, check_clock),
        Kind::Flag => value.is_boolean(),
        Kind::Battery => value.is_string(),
        Kind::Choice(words) => value.as_str().is_some_and(|s| words.contains(&s)),
        Kind::Clock => clock(value).is_some(),
    };
    if !right {
        wrong(value, place, words(field.kind), faults);
    }
}

/// Adds a fault where `low` is not below `high`, each of `own` or else of the `book`. Where `own` has neither it is the
/// book's fault, and told there.
pub(crate) fn check_order(
    own: &Map<String, Value>,
    book: &Map<String, Value>,
    place: &Place,
    faults: &mut Faults,
) {
    let value = |key: &str| own.get(key).or_else(|| book.get(key));
    let number = |key: &str| value(key).and_then(Value::as_f64);
    let (Some(low), Some(high)) = (number("low"), number("high")) else {
        return;
    };
    if low < high {
        return;
    }
    if own.contains_key("high") {
        let expected = format!("more than low, which is {low}");
        faults.push(
            place
                .key("high")
                .fault(FaultKind::Range, high.to_string(), expected),
        );
    } else if own.contains_key("low") {
        let expected = format!("less than high, which is {high}");
        faults.push(
            place
                .key("low")
                .fault(FaultKind::Range, low.to_string(), expected),
        );
    }
}

fn wrong(value: &Value, place: &Place, expected: impl Into<String>, faults: &mut Faults) {
    let kind = if value.is_string() {
        FaultKind::Range
    } else {
        FaultKind::Type
    };
    faults.push(place.wrong(kind, value, expected));
}

/// Checks each entry of a list.
fn entries(
    field: &Field,
    value: &Value,
    place: &Place,
    faults: &mut Faults,
    one: impl Fn(&Value, &Place, &mut Faults),
) {
    let Some(list) = value.as_array() else {
        return wrong(value, place, words(field.kind), faults);
    };
    for (index, entry) in list.iter().enumerate() {
        one(entry, &place.index(index), faults);
    }
}

/// Adds a fault where `value` is no clock time.
fn check_clock(value: &Value, place: &Place, faults: &mut Faults) {
    if clock(value).is_none() {
        wrong(value, place, CLOCK, faults);
    }
}

/// Adds a fault where `value` is no stretch of the dial; of its two times the wrong one is named.
pub(crate) fn check_span(value: &Value, place: &Place, faults: &mut Faults) {
    let Some([from, to]) = value.as_array().map(Vec::as_slice) else {
        return wrong(value, place, SPAN, faults);
    };
    check_clock(from, &place.index(0), faults);
    check_clock(to, &place.index(1), faults);
}

/// Adds a fault where `value` is no entry of a schedule.
fn check_change(value: &Value, place: &Place, faults: &mut Faults) {
    let Some([at, closed]) = value.as_array().map(Vec::as_slice) else {
        let expected = "[clock time, true or false]";
        return wrong(value, place, expected, faults);
    };
    check_clock(at, &place.index(0), faults);
    if !closed.is_boolean() {
        wrong(closed, &place.index(1), "true or false", faults);
    }
}

/// The field `key` as a clock time that must be there.
pub(crate) fn clock_of(
    map: &Map<String, Value>,
    key: &str,
    place: &Place,
    faults: &mut Faults,
) -> Option<Clock> {
    let at = place.key(key);
    match map.get(key) {
        Some(value) => check_clock(value, &at, faults),
        None => faults.push(at.fault(FaultKind::Missing, "nothing", CLOCK)),
    }
    map.get(key).and_then(clock)
}

/// A clock time.
pub(crate) fn clock(value: &Value) -> Option<Clock> {
    Clock::parse(value.as_str()?)
}

/// `[["HH:MM", "HH:MM"], …]`.
pub(crate) fn spans(value: &Value) -> Option<Vec<Span>> {
    value.as_array()?.iter().map(Span::read).collect()
}

/// `[["HH:MM", true], …]`.
pub(crate) fn schedule(value: &Value) -> Option<Vec<(Clock, bool)>> {
    let entry = |v: &Value| {
        let [at, closed] = v.as_array()?.as_slice() else {
            return None;
        };
        Some((clock(at)?, closed.as_bool()?))
    };
    value.as_array()?.iter().map(entry).collect()
}

/// `["HH:MM", …]`.
pub(crate) fn presses(value: &Value) -> Option<Vec<Clock>> {
    value.as_array()?.iter().map(clock).collect()
}

/// What a kind of field expects, in words.
pub(crate) fn words(kind: Kind) -> String {
    match kind {
        Kind::Whole(least, most) => format!("a whole number from {least} to {most}"),
        Kind::Decimal(least, most) => format!("a number from {least} to {most}"),
        Kind::Flag => "true or false".into(),
        Kind::Choice(choices) => format!("one of {}", choices.join(", ")),
        Kind::Clock => "a clock time from 00:00 to 24:00".into(),
        Kind::Spans => "a list of [from, to] clock times".into(),
        Kind::Schedule => "a list of [clock time, true or false]".into(),
        Kind::Presses => "a list of clock times".into(),
        Kind::Battery => "the id of a battery".into(),
    }
}
