//! Checking one setting against the table of limits.

use super::{Clock, Span};
use crate::limits::{Field, Kind};
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::Value;

/// Adds a fault where `value` is nothing that `field` may hold.
pub(crate) fn check(field: &Field, value: &Value, place: &Place, faults: &mut Faults) {
    let expected = || crate::book::words(field.kind);
    let right = match field.kind {
        Kind::Whole(least, most) => {
            read::whole(value, least, most, place, faults);
            return;
        }
        Kind::Decimal(least, most) => {
            read::decimal(value, least, most, place, faults);
            return;
        }
        Kind::Flag => value.is_boolean(),
        Kind::Battery => value.is_string(),
        Kind::Choice(words) => value.as_str().is_some_and(|s| words.contains(&s)),
        Kind::Clock => clock(value).is_some(),
        Kind::Spans => spans(value).is_some(),
        Kind::Schedule => schedule(value).is_some(),
        Kind::Presses => presses(value).is_some(),
    };
    if !right {
        let kind = if value.is_string() {
            FaultKind::Range
        } else {
            FaultKind::Type
        };
        faults.push(place.wrong(kind, value, expected()));
    }
}

/// A clock time.
pub(super) fn clock(value: &Value) -> Option<Clock> {
    Clock::parse(value.as_str()?)
}

/// `[["HH:MM", "HH:MM"], …]`.
pub(super) fn spans(value: &Value) -> Option<Vec<Span>> {
    value.as_array()?.iter().map(Span::read).collect()
}

/// `[["HH:MM", true], …]`.
pub(super) fn schedule(value: &Value) -> Option<Vec<(Clock, bool)>> {
    let entry = |v: &Value| {
        let [at, closed] = v.as_array()?.as_slice() else {
            return None;
        };
        Some((clock(at)?, closed.as_bool()?))
    };
    value.as_array()?.iter().map(entry).collect()
}

/// `["HH:MM", …]`.
pub(super) fn presses(value: &Value) -> Option<Vec<Clock>> {
    value.as_array()?.iter().map(clock).collect()
}
