//! Timers, latches, edges and counters against the vectors of IEC 61131-3, through the program's public door.
//!
//! IEC 61131-3 Ed. 2:2003, 2.5.2.3, tables 34 to 38 (numbers as quoted in a public survey of the standard). The rules were
//! read in an open compiler's library for the standard and in a maker's manual; the rows are computed by us from
//! them by ourselves, their shape checked against the standard's timing diagrams as that library's comments reproduce them.
//! The standard's own text was not at hand.
//!
//! One scan of a row is one second here; signals are switches with a schedule, and the contact follows a millisecond later. The
//! elapsed time ET of a timer and a counter's value CV have no port here: CV is seen by counters of every target. Down
//! counters (CTD, CTUD) are no function of a contact here.

use duskline::plan::{Plan, read_plan};
use duskline::run;
use serde_json::{Value, json};

/// Milliseconds of a scan.
const SCAN: u64 = 1000;

/// A contact `f` of this function and these settings, after `extra` parts and wires; each signal on a switch that is turned at
/// these scans, off before the first. The day is 24 minutes, so that a minute of the dial is a second.
fn plan(
    function: &str,
    set: Value,
    signals: &[(&str, Vec<u64>)],
    extra: (Vec<Value>, Vec<Value>),
) -> Plan {
    let contact = |name: &str| {
        json!({
            "type": name, "label": name, "group": "g", "symbol": "relay", "behaviour": "contact", "function": name, "coil": 1,
            "set": defaults(name),
        })
    };
    let mut types = vec![
        json!({"type": "source", "label": "Source", "group": "g", "symbol": "generator", "behaviour": "source", "profile": "steady", "peak": 1}),
    ];
    let names = [
        "manual",
        "relay",
        "on-delay",
        "off-delay",
        "pulse",
        "latch",
        "impulse",
        "counter",
    ];
    types.extend(names.map(contact));
    let (mut parts, mut wires) = extra;
    parts.push(json!({"id": "f", "type": function, "set": set}));
    for (number, (end, turns)) in signals.iter().enumerate() {
        let clock = |scan: &u64| format!("{:02}:{:02}", scan / 60, scan % 60);
        let entries: Vec<Value> = (turns.iter().enumerate())
            .map(|(at, scan)| json!([clock(scan), at % 2 == 0]))
            .collect();
        let (source, switch) = (format!("s{number}"), format!("k{number}"));
        parts.push(json!({"id": source, "type": "source"}));
        parts.push(json!({"id": switch, "type": "manual", "set": {"schedule": entries}}));
        wires.push(wire(
            2 * number + 1,
            &format!("{source}.out"),
            &format!("{switch}.feed"),
        ));
        wires.push(wire(2 * number + 2, &format!("{switch}.out"), end));
    }
    let document = json!({
        "format": "duskline/plan", "version": 1, "world": {"day_s": 1440},
        "book": {"name": "vectors", "unit": "u", "step": 1, "lag_ms": 1, "types": types},
        "parts": parts, "wires": wires,
    });
    read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// What a book must give a default for.
fn defaults(function: &str) -> Value {
    match function {
        "on-delay" | "off-delay" | "pulse" => json!({"delay_s": 5}),
        "counter" => json!({"target": 1}),
        _ => json!({}),
    }
}

fn wire(number: usize, from: &str, to: &str) -> Value {
    json!({"id": format!("w{number}"), "from": from, "to": to})
}

/// The scans at which the contact `f` turns, by its record, and how many milliseconds after the scan it does.
fn turns(plan: &Plan, scans: u64) -> Vec<(u64, u64)> {
    let f = plan
        .parts
        .iter()
        .position(|p| p.id.as_str() == "f")
        .unwrap();
    let record = run::run(plan, 1);
    (record.events.iter())
        .filter(|event| event.place() == f && event.t < scans * SCAN)
        .map(|event| (event.t / SCAN, event.t % SCAN))
        .collect()
}

/// The scans at which a function's Q turns.
fn q(function: &str, set: Value, signals: &[(&str, Vec<u64>)], scans: u64) -> Vec<u64> {
    let plan = plan(function, set, signals, (vec![], vec![]));
    let turns = turns(&plan, scans);
    assert!(
        turns.iter().all(|(_, after)| *after == 1),
        "a lag after the scan: {turns:?}"
    );
    turns.into_iter().map(|(scan, _)| scan).collect()
}

/// Block, scans at which IN turns, scans at which Q turns; PT is 5 scans.
///
/// Two rows are this program's own choice where the standard leaves it open, as the open compiler has it too: the third of
/// on-delay (a trigger that drops just as the time runs out) and the third of off-delay (one that comes back then).
const TIMERS: [(&str, &[u64], &[u64]); 17] = [
    ("on-delay", &[0, 10], &[5, 10]),
    ("on-delay", &[0, 4], &[]),
    ("on-delay", &[0, 5], &[]),
    ("on-delay", &[0, 10, 14, 17, 20, 31], &[5, 10, 25, 31]),
    ("on-delay", &[0, 3, 4, 7, 8, 20], &[13, 20]),
    ("off-delay", &[0, 10], &[0, 15]),
    ("off-delay", &[0, 10, 13, 20], &[0, 25]),
    ("off-delay", &[0, 10, 15, 20], &[0, 25]),
    ("off-delay", &[0, 4, 8, 12, 14, 30], &[0, 35]),
    ("off-delay", &[0, 1], &[0, 6]),
    ("pulse", &[0, 10], &[0, 5]),
    ("pulse", &[0, 2], &[0, 5]),
    ("pulse", &[0, 2, 3, 4], &[0, 5]),
    (
        "pulse",
        &[0, 10, 12, 13, 15, 16, 20, 30],
        &[0, 5, 12, 17, 20, 25],
    ),
    ("pulse", &[0, 2, 4, 12], &[0, 5]),
    ("pulse", &[0, 1, 6, 7], &[0, 5, 6, 11]),
    ("pulse", &[0, 50], &[0, 5]),
];

#[test]
fn timers() {
    for (function, input, expected) in TIMERS {
        let found = q(function, json!({}), &[("f.trigger", input.to_vec())], 60);
        assert_eq!(found, expected, "{function} with IN turning at {input:?}");
    }
}

fn bits(row: &str) -> Vec<bool> {
    row.split_whitespace().map(|bit| bit == "1").collect()
}

/// The scans at which a row turns, starting from 0.
fn turning(row: &[bool]) -> Vec<u64> {
    let before = std::iter::once(&false).chain(row);
    (0..)
        .zip(before.zip(row))
        .filter(|(_, (before, now))| before != now)
        .map(|(scan, _)| scan)
        .collect()
}

/// The row that a contact shows which turns at these scans.
fn row(turns: &[u64], scans: usize) -> Vec<bool> {
    (0..scans as u64)
        .map(|scan| turns.iter().filter(|turn| **turn <= scan).count() % 2 == 1)
        .collect()
}

/// SR: Q1 := S1 OR (NOT R AND Q1). RS: Q1 := NOT R1 AND (S OR Q1).
#[test]
fn bistables() {
    let set = bits("0 1 0 0 0 1 0 0 1 1 0");
    let reset = bits("0 0 0 1 0 1 0 1 1 0 1");
    for (dominant, expected) in [
        ("set", "0 1 1 0 0 1 1 0 1 1 0"),
        ("reset", "0 1 1 0 0 0 0 0 0 1 0"),
    ] {
        let signals = [("f.set", turning(&set)), ("f.reset", turning(&reset))];
        let turns = q("latch", json!({"dominant": dominant}), &signals, 11);
        assert_eq!(row(&turns, 11), bits(expected), "{dominant}");
    }
}

/// R_TRIG is true at the scans at which an impulse relay toggles.
#[test]
fn rising_edges() {
    for (clk, expected) in [
        ("0 1 1 0 0 1 0 1 1 0", "0 1 0 0 0 1 0 1 0 0"),
        ("1 1 0 0 1 0", "1 0 0 0 1 0"),
    ] {
        let (clk, expected) = (bits(clk), bits(expected));
        let signals = [("f.trigger", turning(&clk))];
        let found = q("impulse", json!({}), &signals, clk.len() as u64);
        let edges: Vec<u64> = (0..)
            .zip(&expected)
            .filter(|(_, e)| **e)
            .map(|(s, _)| s)
            .collect();
        assert_eq!(found, edges);
    }
}

/// F_TRIG is true at the scans at which an impulse relay toggles that a break relay stands before. As the standard has it, the first
/// scan counts where its input is false: a break relay conducts from the start.
#[test]
fn falling_edges() {
    for (clk, expected) in [
        ("0 1 1 0 0 1 0 1 1 0", "1 0 0 1 0 0 1 0 0 1"),
        ("1 1 0 0 1 0", "0 0 1 0 0 1"),
    ] {
        let (clk, expected) = (bits(clk), bits(expected));
        let parts = vec![
            json!({"id": "feed", "type": "source"}),
            json!({"id": "not", "type": "relay", "set": {"contact": "break"}}),
        ];
        let wires = vec![
            json!({"id": "x1", "from": "feed.out", "to": "not.feed"}),
            json!({"id": "x2", "from": "not.out", "to": "f.trigger"}),
        ];
        let signals = [("not.coil", turning(&clk))];
        let plan = plan("impulse", json!({}), &signals, (parts, wires));
        // The break relay is live at t = 0 even where its coil is too, for a lag: that is an edge of its own.
        let from_first = clk[0];
        let found: Vec<u64> = turns(&plan, clk.len() as u64)
            .into_iter()
            .map(|(s, _)| s)
            .collect();
        let mut edges: Vec<u64> = (0..)
            .zip(&expected)
            .filter(|(_, e)| **e)
            .map(|(s, _)| s)
            .collect();
        if from_first {
            edges.insert(0, 0);
        }
        assert_eq!(found, edges);
    }
}

/// CTU: R: CV := 0, else CV + 1 at a rising CU; Q := CV >= PV. The published row has PV = 3; with the row of CV known, every
/// other PV follows. That counting stops at the target changes no Q.
#[test]
fn up_counters() {
    let count = bits("0 1 1 0 1 0 1 0 1 0 1 1 0 1");
    let reset = bits("0 0 0 0 0 0 0 0 0 0 1 0 0 0");
    let value = [0, 1, 1, 1, 2, 2, 3, 3, 4, 4, 0, 0, 0, 1];
    let published = bits("0 0 0 0 0 0 1 1 1 1 0 0 0 0");
    for target in 1..=5 {
        let signals = [("f.count", turning(&count)), ("f.reset", turning(&reset))];
        let turns = q("counter", json!({"target": target}), &signals, 14);
        let found = row(&turns, 14);
        assert_eq!(found, value.map(|cv| cv >= target), "target {target}");
        assert!(target != 3 || found == published);
    }
}
