//! The list of the plans that are kept, with titles and a counter for their order.

use super::browser::{read, write};
use crate::plan::Plan;
use serde_json::{Value, json};

/// Where the list is kept.
pub(super) const LIST: &str = "plans";
/// Where the key of the plan that was open last is kept.
pub(super) const OPEN: &str = "open";

/// Where the plan called `key` is kept.
pub(super) fn plan_at(key: &str) -> String {
    format!("plan/{key}")
}

/// Where the variants of the plan called `key` are kept.
pub fn variants_at(key: &str) -> String {
    format!("variants/{key}")
}

/// A plan in the list of those that are kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Its key.
    pub key: String,
    /// Its title when it was saved.
    pub title: String,
    /// The larger, the later it was saved or opened.
    pub order: u64,
}

/// The plans that are kept, the latest first.
pub(super) fn list() -> Vec<Kept> {
    let value: Value = read(LIST)
        .and_then(|text| serde_json::from_str(&text).ok())
        .unwrap_or_default();
    let entry = |v: &Value| {
        Some(Kept {
            key: v.get("key")?.as_str()?.to_string(),
            title: v.get("title")?.as_str()?.to_string(),
            order: v.get("order")?.as_u64()?,
        })
    };
    let mut plans: Vec<Kept> = value
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(entry)
        .collect();
    plans.sort_by_key(|k| std::cmp::Reverse(k.order));
    plans
}

/// Keeps the list; on failure says why.
pub(super) fn write_list(plans: &[Kept]) -> Result<(), String> {
    let entry = |k: &Kept| json!({ "key": k.key, "title": k.title, "order": k.order });
    let value: Value = plans.iter().map(entry).collect();
    write(LIST, &value.to_string())
}

/// A key that no plan has had: chance, so that two tabs never choose the same.
pub(super) fn new_key() -> String {
    let digit = |_| char::from_digit((js_sys::Math::random() * 36.0) as u32 % 36, 36);
    (0..12).filter_map(digit).collect()
}

/// The text in which a plan is kept.
pub(super) fn text_of(plan: &Plan) -> String {
    plan.to_value().to_string()
}
