//! Plans from a short JSON, for tests: parts by name in their order, each a type or `[type, settings, count]`, wires as
//! `"from to"`, a world, duties and a book if the test needs its own. The book is the built-in `outpost` otherwise.

use crate::plan::{Plan, read_plan};
use crate::run;
use serde_json::{Value, json};

/// The plan that `text` stands for; parts are called by their ids.
pub fn plan(text: &str) -> Plan {
    let short: Value = serde_json::from_str(text).expect("short JSON");
    let parts: Vec<Value> = short["parts"]
        .as_object()
        .expect("parts by name")
        .iter()
        .map(|(id, part)| {
            let (kind, set, count) = match part {
                Value::Array(list) => (&list[0], list.get(1), list.get(2)),
                kind => (kind, None, None),
            };
            json!({ "id": id, "name": id, "type": kind, "at": [0, 0],
                    "set": set.cloned().unwrap_or_else(|| json!({})), "count": count.cloned().unwrap_or(json!(1)) })
        })
        .collect();
    let wires: Vec<Value> = short["wires"]
        .as_array()
        .expect("wires")
        .iter()
        .enumerate()
        .map(|(at, wire)| {
            let (from, to) = wire
                .as_str()
                .and_then(|w| w.split_once(' '))
                .expect("from to");
            json!({ "id": format!("w{}", at + 1), "from": from, "to": to })
        })
        .collect();
    let mut whole = json!({ "format": "duskline/plan", "version": 1, "book": "outpost", "parts": parts, "wires": wires });
    for key in ["world", "book", "duties"] {
        if let Some(own) = short.get(key) {
            whole[key] = own.clone();
        }
    }
    read_plan(&whole.to_string()).expect("a sound plan")
}

/// Offer and take of each wire at t = 0, in the plan's order.
pub fn flows(plan: &Plan) -> Vec<(u64, u64)> {
    let wires = run::at(plan, 0).wires;
    wires.iter().map(|w| (w.offer, w.take)).collect()
}

/// The problems of one kind at t = 0, each as `weight [parts] [wires] sentence`.
pub fn said(plan: &Plan, code: &str) -> Vec<String> {
    said_at(plan, code, 0)
}

/// As [`said`], at another time.
pub fn said_at(plan: &Plan, code: &str, t: u64) -> Vec<String> {
    let list = |ids: Vec<&str>| ids.join(" ");
    run::at(plan, t)
        .problems
        .iter()
        .filter(|p| p.kind.code() == code)
        .map(|p| {
            let parts = list(p.parts.iter().map(|id| id.as_str()).collect());
            let wires = list(p.wires.iter().map(|id| id.as_str()).collect());
            format!("{} [{parts}] [{wires}] {}", p.weight.word(), p.says(plan))
        })
        .collect()
}
