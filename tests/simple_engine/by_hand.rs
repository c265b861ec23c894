//! Small plans written by hand, for tests of the simple engine: a book that is easy to reckon with, and short ways to say
//! a plan and to read what came of it.

use super::Simple;
use super::outcome::{Moment, Outcome};
use serde_json::{Value, json};

/// A small book: numbers that are easy to reckon with.
pub fn book() -> Value {
    let mut types = vec![
        json!({ "type": "steady", "behaviour": "source", "profile": "steady", "peak": 20 }),
        json!({ "type": "one", "behaviour": "source", "profile": "steady", "peak": 1 }),
        json!({ "type": "wind", "behaviour": "source", "profile": "wind", "peak": 10 }),
        json!({ "type": "sun", "behaviour": "source", "profile": "sun", "peak": 20, "set": { "azimuth": 180, "tilt": 0 } }),
        json!({ "type": "cell", "behaviour": "battery", "capacity": 0.001, "max_in": 30, "max_out": 10, "efficiency": 900,
                "cut_out": 100, "cut_in": 200, "set": { "start": 500 } }),
        json!({ "type": "lamp", "behaviour": "load", "draw": 2 }),
        json!({ "type": "heater", "behaviour": "load", "draw": 3 }),
        json!({ "type": "hold", "behaviour": "load", "draw": 30, "short": "hold" }),
        json!({ "type": "waste", "behaviour": "load", "draw": 30, "short": "waste" }),
        json!({ "type": "pass", "behaviour": "load", "draw": 30, "short": "pass" }),
        json!({ "type": "tap", "behaviour": "tap", "set": { "amount": 1 } }),
        json!({ "type": "divider", "behaviour": "divider", "ways": 3 }),
        json!({ "type": "busbar", "behaviour": "busbar", "ways": 3 }),
        json!({ "type": "changeover", "behaviour": "changeover" }),
        json!({ "type": "meter", "behaviour": "meter" }),
    ];
    for function in [
        "manual",
        "button",
        "relay",
        "and",
        "or",
        "xor",
        "on-delay",
        "off-delay",
        "pulse",
        "latch",
        "impulse",
        "counter",
        "clock",
        "detector",
        "home",
        "twilight",
        "charge",
    ] {
        types.push(
            json!({ "type": function, "behaviour": "contact", "function": function, "coil": 1 }),
        );
    }
    json!({ "name": "by hand", "unit": "u", "step": 1, "lag_ms": 10, "types": types })
}

/// A plan from `id type {settings}` and `from to` pairs, in a day of 14.4 s: a minute of the dial is 10 ms.
pub fn plan(parts: &[(&str, &str, Value)], wires: &[(&str, &str)]) -> Value {
    let parts: Vec<Value> = parts
        .iter()
        .map(|(id, kind, set)| json!({ "id": id, "type": kind, "set": set }))
        .collect();
    let named = wires.iter().enumerate();
    let wires: Vec<Value> = named
        .map(|(i, (from, to))| json!({ "id": format!("w{}", i + 1), "from": from, "to": to }))
        .collect();
    json!({ "book": "by hand", "world": { "day_s": 14.4 }, "parts": parts, "wires": wires })
}

/// Runs a plan with the small book.
pub fn run(plan: &Value, until: i64, at: &[i64]) -> Outcome {
    Simple::new(plan, &book()).run(until, at)
}

/// The first solve.
pub fn first(parts: &[(&str, &str, Value)], wires: &[(&str, &str)]) -> Moment {
    run(&plan(parts, wires), 1, &[0]).moments.remove(0)
}

/// Events as `t part what`.
pub fn told(outcome: &Outcome) -> Vec<String> {
    outcome
        .events
        .iter()
        .map(|e| format!("{} {} {}", e.t, e.part, e.what.word()))
        .collect()
}

/// No settings.
pub fn none() -> Value {
    json!({})
}
