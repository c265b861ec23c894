//! What is said of a draft.

use super::impossible::OrderChange;

/// A change of an order in a sentence.
pub fn change_said(change: &OrderChange) -> String {
    let OrderChange {
        change,
        to,
        materials_sum,
        parts,
    } = change;
    let came = format!("a plan of {parts} parts and {materials_sum} materials does it");
    match change.rsplit('.').next() {
        Some("grace_s") => format!("With {change} at {to} s of grace, {came}."),
        Some("only") => format!("Where the load may run on at other times, {came}."),
        _ if to.is_null() => format!("Without {change}, {came}."),
        _ if change.starts_with("may.") => {
            let kind = change.trim_start_matches("may.");
            format!("If up to {to} of {kind} may be used, {came}.")
        }
        _ => format!("With {change} at {to}, {came}."),
    }
}
