//! Random books as a proptest strategy: every behaviour and function, with odd texts, settings, costs and fields that no
//! program knows.

use duskline::book::{Book, built_in, read_book};
use proptest::prelude::*;
use serde_json::{Map, Value, json};

/// A text without blanks around and without control characters, not empty.
pub fn text() -> impl Strategy<Value = String> {
    let any = prop_oneof![
        "[A-Za-z][a-z]{1,8}( [a-z]{2,7}){0,2}",
        "\\PC{1,9}",
        "[;,\"'=+ -]{1,4}[a-z0-9;,\" ]{1,6}",
    ];
    any.prop_map(|text| {
        let text = text.replace('\u{fffd}', "x");
        let text = text.trim();
        if text.is_empty() {
            "x".into()
        } else {
            text.to_string()
        }
    })
}

/// A unit of power and its step.
fn unit() -> impl Strategy<Value = (String, f64)> {
    let sign = prop::sample::select(vec!["u", "W", "kW", "EU", "µ", "lamp-power"]);
    let step = prop::sample::select(vec![1.0, 0.1, 0.5, 0.25, 10.0, 3.0, 0.001]);
    (sign.prop_map(String::from), step)
}

/// A part type: one of `bare` with other numbers and texts.
fn part_type() -> impl Strategy<Value = Value> {
    let texts = prop::collection::vec(text(), 8);
    let numbers = prop::collection::vec(1u64..5000, 6);
    let flags = prop::collection::vec(any::<bool>(), 12);
    (0usize..27, texts, numbers, flags).prop_map(|(at, texts, numbers, flags)| {
        let bare = built_in("bare").expect("the book");
        let mut map = match bare.types[at].to_value(&bare.unit) {
            Value::Object(map) => map,
            _ => Map::new(),
        };
        for (key, text) in ["label", "group", "symbol"].iter().zip(&texts) {
            map.insert(key.to_string(), text.as_str().into());
        }
        for (n, key) in ["mount", "says", "note", "source"].iter().enumerate() {
            let text = if flags[n] { texts[3 + n].as_str() } else { "" };
            map.insert(key.to_string(), text.into());
        }
        set_numbers(&mut map, &numbers, &flags);
        if flags[4] {
            map.insert(
                "cost".into(),
                json!({ texts[7].clone(): numbers[0], "copper": 0, "salvaged steel": numbers[1] }),
            );
        }
        if flags[5] {
            map.insert("max_run".into(), json!(numbers[2] as f64 / 8.0));
        }
        if flags[6] {
            map.insert(
                "later".into(),
                json!({ "a": [numbers[3], null, texts[0].clone()] }),
            );
        }
        map.insert(
            "stage".into(),
            json!(if flags[7] { 1 } else { numbers[4] % 1001 }),
        );
        Value::Object(map)
    })
}

fn set_numbers(map: &mut Map<String, Value>, numbers: &[u64], flags: &[bool]) {
    let mut put = |key: &str, value: Value| {
        if map.contains_key(key) {
            map.insert(key.into(), value);
        }
    };
    for (n, key) in ["peak", "draw", "coil", "max_in", "max_out"]
        .iter()
        .enumerate()
    {
        put(key, numbers[n].into());
    }
    put(
        "capacity",
        json!(numbers[0] as f64 + if flags[8] { 0.5 } else { 0.0 }),
    );
    put("efficiency", (1 + numbers[1] % 1000).into());
    put("cut_out", (numbers[2] % 500).into());
    put("cut_in", (500 + numbers[3] % 501).into());
    put("ways", (1 + numbers[0] % 64).into());
    if map["behaviour"] == "load" && flags[9] {
        map.insert(
            "short".into(),
            ["hold", "waste"][usize::from(flags[10])].into(),
        );
    }
    let Some(Value::Object(set)) = map.get_mut("set") else {
        if flags[11] {
            map.insert(
                "set".into(),
                json!({ "later; on": [true, "a;b"], "contact": "break" }),
            );
        }
        return;
    };
    for (key, value) in set.iter_mut() {
        match key.as_str() {
            "azimuth" | "delay_s" | "hold_s" => *value = json!(numbers[5] as f64 / 16.0),
            "amount" | "least" | "target" => *value = numbers[5].into(),
            "start" => *value = (numbers[5] % 1001).into(),
            "watches" if flags[8] => *value = "p7".into(),
            _ => {}
        }
    }
    if flags[11] {
        set.insert("unknown".into(), json!({ "x": "y; z" }));
    }
}

/// A whole book, as it stands in a file.
pub fn book() -> impl Strategy<Value = Book> {
    let types = prop::collection::vec(part_type(), 1..12);
    (types, unit(), 1u64..2000, text()).prop_map(|(types, (unit, step), lag, name)| {
        let named = |(n, mut of): (usize, Value)| {
            let own = of["label"]
                .as_str()
                .map(str::to_lowercase)
                .unwrap_or_default();
            of["type"] = if n % 3 == 0 {
                own.into()
            } else {
                format!("t{n}").into()
            };
            of
        };
        let mut types: Vec<Value> = types.into_iter().enumerate().map(named).collect();
        let mut seen = Vec::new();
        types.retain(|of| {
            let new = !seen.contains(&of["type"]);
            seen.push(of["type"].clone());
            new
        });
        let value =
            json!({ "name": name, "unit": unit, "step": step, "lag_ms": lag, "types": types });
        read_book(&value).unwrap_or_else(|faults| panic!("{faults:?} in {value}"))
    })
}
