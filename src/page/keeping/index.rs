//! The list of the plans that are kept, with titles and a counter for their order.
//!
//! A list that is damaged or gone is made anew from the plans themselves, so that none is lost with it.

use super::browser::{names, read, write};
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
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// Its key.
    pub key: String,
    /// Its title when it was saved.
    pub title: String,
    /// The larger, the later it was saved or opened.
    pub order: u64,
    /// How many parts it has.
    pub parts: u64,
    /// When it was last changed, in milliseconds since 1970; 0 where that is not known.
    pub changed: u64,
    /// Which of those without a title it is, from 1 on; 0 where it has one.
    pub number: u64,
}

impl Kept {
    /// Its title, or what it is called without one.
    pub fn name(&self) -> String {
        match self.number {
            _ if !self.title.is_empty() => self.title.clone(),
            0 | 1 => "Untitled".into(),
            number => format!("Untitled {number}"),
        }
    }
}

/// The least number that no plan without a title has.
pub(super) fn free_number(plans: &[Kept]) -> u64 {
    let is_taken = |n: &u64| (plans.iter()).any(|k| k.title.is_empty() && k.number.max(1) == *n);
    (1..).find(|n| !is_taken(n)).unwrap_or(1)
}

/// The plans that are kept, the latest first.
pub(super) fn list() -> Vec<Kept> {
    let (mut plans, is_whole) = read_list();
    if !is_whole {
        for name in names(&plan_at("")) {
            let key = name.trim_start_matches(&plan_at("")).to_string();
            if !plans.iter().any(|kept| kept.key == key) {
                let found = found_in(&read(&name).unwrap_or_default());
                let number = free_number(&plans);
                plans.push(Kept {
                    key,
                    number,
                    ..found
                });
            }
        }
    }
    plans
}

/// Makes a damaged list anew; answers with how many plans it has then.
pub(super) fn mend_list() -> Option<Result<usize, String>> {
    if read_list().1 {
        return None;
    }
    let plans = list();
    // Without a plan there was no list to be lost.
    (read(LIST).is_some() || !plans.is_empty()).then(|| write_list(&plans).map(|()| plans.len()))
}

/// What a plan's text tells of it; nothing where it can't be read.
fn found_in(text: &str) -> Kept {
    let value: Value = serde_json::from_str(text).unwrap_or_default();
    let title = value.get("title").and_then(Value::as_str);
    let parts = value.get("parts").and_then(Value::as_array);
    Kept {
        title: title.unwrap_or_default().to_string(),
        parts: parts.map_or(0, |parts| parts.len() as u64),
        ..Kept::default()
    }
}

/// What of the list can be read, the latest first, and whether that is all of it.
fn read_list() -> (Vec<Kept>, bool) {
    let value: Value = read(LIST)
        .and_then(|text| serde_json::from_str(&text).ok())
        .unwrap_or_default();
    let entry = |v: &Value| {
        // An earlier version kept no more than title and order.
        let number = |name: &str| v.get(name).and_then(Value::as_u64).unwrap_or(0);
        Some(Kept {
            parts: number("parts"),
            changed: number("changed"),
            number: number("number"),
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
    let is_whole = value.as_array().is_some_and(|all| all.len() == plans.len());
    plans.sort_by_key(|k| std::cmp::Reverse(k.order));
    (plans, is_whole)
}

/// Keeps the list; on failure says why.
pub(super) fn write_list(plans: &[Kept]) -> Result<(), String> {
    let entry = |k: &Kept| {
        json!({
            "key": k.key, "title": k.title, "order": k.order,
            "parts": k.parts, "changed": k.changed, "number": k.number,
        })
    };
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
