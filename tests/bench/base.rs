//! The plans of the benchmarks of proof: n/8 stations with a dusk lamp each, either side by side, so that a change can
//! reach only its own station, or as one base with one battery, so that every part hangs together with every other.
//! `base.mjs` makes the same ones for the browser.

use duskline::plan::{Plan, read_plan};
use serde_json::{Value, json};

/// Parts of one station.
const STATION: usize = 8;

fn id(n: usize, k: usize) -> String {
    format!("p{}", n * STATION + k)
}

fn station(n: usize, apart: bool, parts: &mut Vec<Value>, wire: &mut impl FnMut(String, String)) {
    let kind = |k: usize, kind: &str| json!({"id": id(n, k), "type": kind});
    let port = |k: usize, port: &str| format!("{}.{port}", id(n, k));
    let aim = json!({"azimuth": 150 + n % 60, "tilt": 30 + n % 30});
    parts.extend([
        json!({"id": id(n, 1), "type": "sun-panel-large", "set": aim}),
        kind(2, "tap"),
        kind(3, "busbar-2"),
        // A base of one piece has one battery for all; the others are meters on the way to it.
        if apart || n == 0 {
            json!({"id": id(n, 4), "type": "battery-rack", "count": if apart { 1 } else { 30 }})
        } else {
            kind(4, "meter")
        },
        json!({"id": id(n, 5), "type": "tap", "set": {"amount": 3}}),
        json!({"id": id(n, 6), "type": "relay", "set": {"contact": "break"}}),
        kind(7, "lamp"),
        kind(8, "fan"),
    ]);
    wire(port(1, "out"), port(2, "in"));
    wire(port(2, "tap"), port(6, "coil"));
    wire(port(2, "rest"), port(3, "in1"));
    wire(port(5, "tap"), port(8, "in"));
    wire(port(8, "loop"), port(6, "feed"));
    wire(port(6, "out"), port(7, "in"));
    if apart || n == 0 {
        wire(port(3, "out"), port(4, "in"));
        wire(port(4, "out"), port(5, "in"));
    } else {
        // Panels add up towards the first station, and power is shared out again from there.
        wire(port(3, "out"), format!("{}.in2", id(n - 1, 3)));
        wire(format!("{}.rest", id(n - 1, 5)), port(4, "in"));
        wire(port(4, "out"), port(5, "in"));
    }
}

/// A plan of `size` parts, its stations apart or one base.
pub fn plan(size: usize, apart: bool) -> Plan {
    let (mut parts, mut wires) = (Vec::new(), Vec::new());
    let stations = size / STATION;
    let mut wire = |from: String, to: String| {
        let number = wires.len() + 1;
        wires.push(json!({"id": format!("w{number}"), "from": from, "to": to}));
    };
    (0..stations).for_each(|n| station(n, apart, &mut parts, &mut wire));
    let of = |n: usize| {
        [
            json!({"part": format!("p{}", n * STATION + 7), "when": "dark", "grace_s": 1800}),
            json!({"part": format!("p{}", n * STATION + 8), "when": "always"}),
        ]
    };
    let duties: Vec<Value> = (0..stations).flat_map(of).collect();
    let world = json!({"sky": {"latitude": 56, "day_of_year": 80}});
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost", "world": world, "parts": parts, "wires": wires,
        "duties": duties,
    });
    read_plan(&document.to_string()).expect("the benchmark's own plan reads")
}
