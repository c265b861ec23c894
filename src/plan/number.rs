//! Numbers as they stand in a file.

use serde_json::{Value, json};

/// A number as short as it was written: whole ones without a point.
pub(super) fn number(n: f64) -> Value {
    if n.fract() == 0.0 && n.abs() < 9.0e15 {
        json!(n as i64)
    } else {
        json!(n)
    }
}
