//! How long the least sizes take, on the station and by the size of the plan, and the reserves. Run with
//! `cargo bench --bench sizes`.
//!
//! A plan of n stations is n copies of the small station side by side, each a piece of its own; in one piece they hang
//! on one busbar and one divider.

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use duskline::plan::{Plan, read_plan};
use duskline::proof::sizes::{Ask, Grid, Measure, sizes, spares};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::hint::black_box;

fn example(text: &str) -> Plan {
    read_plan(text).expect("an example reads")
}

/// `stations` panels, batteries and lamps; all joined where `joined` says so.
fn plan(stations: usize, joined: bool) -> Plan {
    let (mut parts, mut wires, mut duties) = (Vec::new(), Vec::<Value>::new(), Vec::new());
    let mut wire = |from: String, to: String| {
        let id = format!("w{}", wires.len() + 1);
        wires.push(json!({"id": id, "from": from, "to": to}));
    };
    if joined {
        parts.extend([
            json!({"id": "bus", "type": "busbar-4"}),
            json!({"id": "div", "type": "divider-4"}),
        ]);
        wire("bus.out".into(), "div.in".into());
    }
    for n in 1..=stations {
        parts.extend([
            json!({"id": format!("s{n}"), "type": "sun-panel", "count": 4, "set": {"azimuth": (90 + 40 * n) % 360, "tilt": 35}}),
            json!({"id": format!("b{n}"), "type": "battery", "count": 4, "set": {"start": 800}}),
            json!({"id": format!("l{n}"), "type": "lamp"}),
        ]);
        if joined {
            wire(format!("s{n}.out"), format!("bus.in{n}"));
            wire(format!("div.out{n}"), format!("b{n}.in"));
        } else {
            wire(format!("s{n}.out"), format!("b{n}.in"));
        }
        wire(format!("b{n}.out"), format!("l{n}.in"));
        duties.push(json!({"part": format!("l{n}"), "when": "always"}));
    }
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost", "parts": parts, "wires": wires, "duties": duties,
        "world": {"sky": {"latitude": 56, "day_of_year": 80}, "weather": [1.0, 0.6]},
    });
    read_plan(&document.to_string()).expect("the benchmark's own plan reads")
}

fn speed(c: &mut Criterion) {
    let station = example(include_str!("../../assets/examples/kittiwake-light.json"));
    let by = |ask: Ask| move |plan: &Plan| sizes(black_box(plan), &ask, &mut |_| true);
    let mut group = c.benchmark_group("sizes of the station");
    group.sample_size(10);
    let cost = Ask {
        measure: Measure::Cost(BTreeMap::new()),
        ..Ask::default()
    };
    let turned = Ask {
        aims: Some(Grid::default()),
        ..Ask::default()
    };
    let retapped = Ask {
        taps: true,
        ..Ask::default()
    };
    for (name, ask) in [
        ("parts", Ask::default()),
        ("cost", cost),
        ("aims", turned),
        ("taps", retapped),
    ] {
        let find = by(ask);
        group.bench_function(name, |b| b.iter(|| find(&station)));
    }
    group.bench_function("reserves", |b| {
        b.iter(|| spares(black_box(&station), &mut |_, _| true).len())
    });
    group.finish();
    for joined in [false, true] {
        let name = if joined {
            "sizes, one piece"
        } else {
            "sizes, many pieces"
        };
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        let counts: &[usize] = if joined {
            &[1, 2, 3, 4]
        } else {
            &[1, 4, 16, 64]
        };
        for stations in counts {
            let plan = plan(*stations, joined);
            let find = by(Ask::default());
            group.bench_with_input(BenchmarkId::from_parameter(stations), &plan, |b, p| {
                b.iter(|| find(p))
            });
        }
        group.finish();
    }
}

criterion_group!(benches, speed);
criterion_main!(benches);
