//! The random small book: one or two part types for every behaviour and one for every contact function.

use super::Random;
use serde_json::{Value, json};

/// Every contact function.
pub(super) const FUNCTIONS: [&str; 17] = [
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
    "twilight",
    "clock",
    "home",
    "detector",
    "charge",
];

/// A book's types; numbers differ from book to book.
pub(super) fn types(random: &mut Random) -> Vec<Value> {
    let mut types = Vec::new();
    for (name, profile, low, high) in [
        ("steady", "steady", 1, 12),
        ("sun", "sun", 5, 30),
        ("wind", "wind", 3, 15),
    ] {
        let mut source = kind(name, "source");
        source["peak"] = random.between(low, high).into();
        source["profile"] = profile.into();
        if name == "sun" {
            source["set"] = json!({ "azimuth": 180, "tilt": 30 });
        }
        types.push(source);
    }
    for name in ["cell", "tank"] {
        types.push(battery(name, random));
    }
    for (name, short) in [
        ("lamp", None),
        ("heater", Some("pass")),
        ("pump", Some("hold")),
        ("fan", Some("waste")),
    ] {
        let mut load = kind(name, "load");
        load["draw"] = random.between(1, 6).into();
        if let Some(short) = short {
            load["short"] = short.into();
        }
        types.push(load);
    }
    let mut tap = kind("tap", "tap");
    tap["set"] = json!({ "amount": random.between(1, 4) });
    types.push(tap);
    for (stem, behaviour) in [("divider", "divider"), ("busbar", "busbar")] {
        for ways in 2..=4 {
            let mut part = kind(&format!("{stem}-{ways}"), behaviour);
            part["ways"] = ways.into();
            types.push(part);
        }
    }
    types.push(kind("changeover", "changeover"));
    types.push(kind("meter", "meter"));
    for function in FUNCTIONS {
        types.push(contact(function, random));
    }
    types
}

fn kind(name: &str, behaviour: &str) -> Value {
    json!({ "type": name, "label": name, "group": behaviour, "symbol": behaviour, "behaviour": behaviour })
}

/// A battery of some thousand step·ms: a few seconds at a few steps.
fn battery(name: &str, random: &mut Random) -> Value {
    let mut battery = kind(name, "battery");
    // 0.00001 unit-hours are 36 step·ms.
    battery["capacity"] = (random.between(20, 800) as f64 / 100_000.0).into();
    battery["max_in"] = random.between(1, 12).into();
    battery["max_out"] = random.between(1, 12).into();
    battery["efficiency"] = [1000, 1000, 900, 777, 500, 1][random.index(6)].into();
    let cut_out = if random.chance(40) {
        0
    } else {
        random.between(0, 400)
    };
    let cut_in = if random.chance(15) {
        1000
    } else {
        random.between(cut_out + 1, 1000)
    };
    battery["cut_out"] = cut_out.into();
    battery["cut_in"] = cut_in.into();
    battery["set"] = json!({ "start": 500 });
    battery
}

fn contact(function: &str, random: &mut Random) -> Value {
    let mut part = kind(function, "contact");
    part["function"] = function.into();
    part["coil"] = if random.chance(70) {
        1
    } else {
        random.between(1, 3)
    }
    .into();
    let set = match function {
        "button" => json!({ "hold_s": 0.3 }),
        "on-delay" | "off-delay" | "pulse" => json!({ "delay_s": 0.2 }),
        "counter" => json!({ "target": 3 }),
        "twilight" => json!({ "below": 0.137 }),
        "clock" => json!({ "from": "18:00", "to": "06:00" }),
        "charge" => json!({ "watches": "", "low": 300, "high": 700 }),
        _ => json!({}),
    };
    part["set"] = set;
    part
}

/// A type's name, the commoner ones oftener.
pub(super) fn any_type(random: &mut Random) -> &'static str {
    match random.between(0, 99) {
        0..=17 => random.pick(&["steady", "sun", "wind"]),
        18..=31 => random.pick(&["cell", "tank"]),
        32..=51 => random.pick(&["lamp", "heater", "pump", "fan"]),
        52..=59 => "tap",
        60..=66 => random.pick(&["divider-2", "divider-3", "divider-4"]),
        67..=72 => random.pick(&["busbar-2", "busbar-3", "busbar-4"]),
        73..=76 => "changeover",
        77..=78 => "meter",
        _ => random.pick(&FUNCTIONS),
    }
}

/// The names of a type's input and output ports.
pub(super) fn ports(kind: &Value) -> (Vec<String>, Vec<String>) {
    let list = |names: &[&str]| -> Vec<String> { names.iter().map(ToString::to_string).collect() };
    let ways = kind["ways"].as_i64().unwrap_or(0);
    let numbered = |stem: &str| -> Vec<String> {
        (1..=ways).map(|number| format!("{stem}{number}")).collect()
    };
    match kind["behaviour"].as_str().expect("a word") {
        "source" => (vec![], list(&["out"])),
        "load" => (list(&["in"]), list(&["loop"])),
        "tap" => (list(&["in"]), list(&["tap", "rest"])),
        "divider" => (list(&["in"]), numbered("out")),
        "busbar" => (numbered("in"), list(&["out"])),
        "changeover" => (list(&["main", "backup"]), list(&["out"])),
        "contact" => {
            let mut inputs = list(&["feed"]);
            inputs.extend(list(match kind["function"].as_str().expect("a word") {
                "relay" => &["coil"],
                "and" | "or" | "xor" => &["a", "b"],
                "on-delay" | "off-delay" | "pulse" | "impulse" => &["trigger"],
                "latch" => &["set", "reset"],
                "counter" => &["count", "reset"],
                _ => &[],
            }));
            (inputs, list(&["out"]))
        }
        _ => (list(&["in"]), list(&["out"])),
    }
}

/// Whether an input port of that name is no signal port.
pub(super) fn is_feed(port: &str) -> bool {
    port.starts_with("in") || ["main", "backup", "feed"].contains(&port)
}
