//! The whole shelf as one file: plans with tags, versions and variants, worlds and books.

use super::stored::{Record, Store, Stored};
use super::{Shelf, Version};
use crate::read::Head;
use serde_json::{Map, Value, json};

/// The name of the file form.
pub const SHELF_FORMAT: &str = "duskline/shelf";
/// The version of the file form that this program reads and writes.
pub const SHELF_VERSION: u64 = 1;

pub(super) const HEAD: Head = Head {
    format: SHELF_FORMAT,
    version: SHELF_VERSION,
    what: "shelf",
};

/// The shelf that is stored, as a file's text. A plan that can't be read goes as the text that it is.
pub fn export(shelf: &Shelf, stored: &Stored) -> String {
    let mut file = HEAD.written();
    let plans = shelf
        .entries
        .keys()
        .filter_map(|key| plan(shelf, stored, key));
    file.insert("plans".into(), plans.collect());
    for (name, store) in [("worlds", Store::Worlds), ("books", Store::Books)] {
        let documents = stored.of(store);
        let documents = documents.filter_map(|(_, record)| {
            serde_json::from_str::<Value>(Record::read(record).text).ok()
        });
        let documents: Vec<Value> = documents.collect();
        if !documents.is_empty() {
            file.insert(name.into(), documents.into());
        }
    }
    let mut text = Value::Object(file).to_string();
    text.push('\n');
    text
}

fn plan(shelf: &Shelf, stored: &Stored, key: &str) -> Option<Value> {
    let entry = shelf.entry(key)?;
    let text = Record::read(stored.get(Store::Plans, key)?).text;
    let mut map = Map::new();
    match serde_json::from_str::<Value>(text) {
        Ok(plan) => map.insert("plan".into(), plan),
        Err(_) => map.insert("text".into(), text.into()),
    };
    let own = serde_json::to_value(&entry.own).unwrap_or_default();
    if let Value::Object(own) = own {
        map.extend(own);
    }
    map.insert("changed".into(), entry.facts.changed.into());
    let start = format!("{key}/");
    let versions = stored.under(Store::Versions, &start);
    let versions = versions.filter_map(|(_, record)| Version::read(record));
    let versions: Vec<Value> = versions.map(|version| json!(version)).collect();
    if !versions.is_empty() {
        map.insert("history".into(), versions.into());
    }
    let variants = stored.get(Store::Variants, key);
    if let Some(variants) = variants.and_then(|text| serde_json::from_str(text).ok()) {
        map.insert("variants".into(), variants);
    }
    Some(Value::Object(map))
}
