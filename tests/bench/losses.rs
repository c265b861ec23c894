//! How long all single losses of a plan take, by its size and by how it hangs together. Run with `cargo bench --bench
//! losses`.
//!
//! A plan of n parts is n/8 stations with a dusk lamp each, either side by side, so that a loss can reach only its own
//! station, or as one base with one battery, so that every part hangs together with every other.
//! Each station's lamp and fan have a duty, and the days repeat.
//!
//! Or it is a chain: n meters, or n lamps on each other's loops, between a generator and a lamp with a duty. A loss leaves
//! nothing of the one, and something else of the other each time; findings of a chain hang on all its losses.

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use duskline::plan::{Plan, read_plan};
use duskline::proof;
use serde_json::{Value, json};
use std::hint::black_box;

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

fn plan(size: usize, apart: bool) -> Plan {
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

fn all_single_losses(c: &mut Criterion) {
    for (name, apart) in [
        ("losses, one base", false),
        ("losses, stations apart", true),
    ] {
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        for size in [56, 104, 200, 400] {
            let plan = plan(size, apart);
            let whole = proof::check(&plan);
            let all = proof::all_losses(&plan);
            group.bench_with_input(BenchmarkId::from_parameter(size), &plan, |b, p| {
                b.iter(|| proof::losses(black_box(p), &whole, &all).count())
            });
        }
        group.finish();
    }
}

/// A generator, so many parts of a kind one behind the other, and a lamp with a duty; the first lamp of lamps has it.
fn chain(size: usize, kind: &str, out: &str) -> Plan {
    let mut parts = vec![json!({"id": "p0", "type": "generator"})];
    let mut wires = Vec::new();
    for n in 1..=size + 1 {
        let kind = if n > size { "lamp" } else { kind };
        parts.push(json!({"id": format!("p{n}"), "type": kind}));
        let out = if n == 1 { "out" } else { out };
        let from = format!("p{}.{out}", n - 1);
        wires.push(json!({"id": format!("w{n}"), "from": from, "to": format!("p{n}.in")}));
    }
    let first = parts.iter().find(|part| part["type"] == "lamp");
    let duty = json!({"part": first.map(|part| &part["id"]), "when": "always"});
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost", "parts": parts, "wires": wires, "duties": [duty],
    });
    read_plan(&document.to_string()).expect("the benchmark's own plan reads")
}

fn chains(c: &mut Criterion) {
    for (name, kind, out) in [
        ("losses, chain of meters", "meter", "out"),
        ("losses, chain of lamps", "lamp", "loop"),
    ] {
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        for size in [250, 500, 1000, 2000] {
            let plan = chain(size, kind, out);
            let whole = proof::check(&plan);
            let all = proof::all_losses(&plan);
            group.bench_with_input(BenchmarkId::from_parameter(size), &plan, |b, p| {
                b.iter(|| proof::losses(black_box(p), &whole, &all).count())
            });
        }
        group.finish();
    }
    let mut group = c.benchmark_group("findings, chain of meters");
    group.sample_size(10);
    for size in [125, 250, 500] {
        let plan = chain(size, "meter", "out");
        group.bench_with_input(BenchmarkId::from_parameter(size), &plan, |b, p| {
            b.iter(|| proof::findings::findings(black_box(p)))
        });
    }
    group.finish();
}

criterion_group!(benches, all_single_losses, chains);
criterion_main!(benches);
