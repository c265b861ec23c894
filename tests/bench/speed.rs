//! How long an instant, a day and a check take, by the size of the plan, and finding the best aims of one panel. Run with `cargo bench`.
//!
//! A plan of n parts is n/8 dusk-lamp stations side by side, each aimed a little differently, so that events grow with
//! the plan as they do in real ones; in the dense one a flasher works in every station all night.

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use duskline::net::{Controls, Live, Net};
use duskline::plan::{Edit, Plan, read_plan};
use duskline::run::{Engine, Playback, Prepared};
use duskline::sky::{Air, Path, Sky};
use duskline::{proof, run};
use serde_json::{Value, json};
use std::hint::black_box;

/// Parts of one station.
const STATION: usize = 8;

fn station(n: usize, dense: bool, parts: &mut Vec<Value>, wires: &mut Vec<Value>) {
    let id = |k: usize| format!("p{}", n * STATION + k);
    let delay = if dense { 120 } else { 3600 };
    parts.extend([
        json!({"id": id(1), "type": "sun-panel", "set": {"azimuth": 90 + n % 180, "tilt": 20 + n % 50}}),
        json!({"id": id(2), "type": "tap"}),
        json!({"id": id(3), "type": "battery"}),
        json!({"id": id(4), "type": "heater"}),
        json!({"id": id(5), "type": "relay", "set": {"contact": "break"}}),
        json!({"id": id(6), "type": "lamp"}),
        json!({"id": id(7), "type": "on-delay", "set": {"delay_s": delay, "contact": "break"}}),
        json!({"id": id(8), "type": "off-delay", "set": {"delay_s": delay}}),
    ]);
    let mut wire = |from: (usize, &str), to: (usize, &str)| {
        let number = wires.len() + 1;
        let (from, to) = (
            format!("{}.{}", id(from.0), from.1),
            format!("{}.{}", id(to.0), to.1),
        );
        wires.push(json!({"id": format!("w{number}"), "from": from, "to": to}));
    };
    wire((1, "out"), (2, "in"));
    wire((2, "tap"), (5, "coil"));
    wire((2, "rest"), (3, "in"));
    wire((3, "out"), (4, "in"));
    wire((4, "loop"), (5, "feed"));
    wire((5, "out"), (6, "in"));
    if dense {
        // An on-delay that breaks its own trigger.
        wire((6, "loop"), (7, "feed"));
        wire((7, "out"), (7, "trigger"));
    } else {
        wire((6, "loop"), (8, "feed"));
        wire((8, "out"), (7, "trigger"));
    }
}

fn plan(size: usize, dense: bool) -> Plan {
    let (mut parts, mut wires) = (Vec::new(), Vec::new());
    (0..size.div_ceil(STATION)).for_each(|n| station(n, dense, &mut parts, &mut wires));
    let duties = json!([{"part": "p6", "when": "dark"}]);
    let world = json!({"sky": {"latitude": 56, "day_of_year": 80}});
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost", "world": world, "parts": parts, "wires": wires,
        "duties": duties,
    });
    read_plan(&document.to_string()).expect("the benchmark's own plan reads")
}

/// A whole solve: nothing is kept from the one before.
fn whole(net: &Net, controls: &Controls) -> Live {
    let mut live = Live::new(net);
    live.solve(net, controls);
    live
}

/// What a day would cost at the least if everything were solved at every event, or at every second, as against the day
/// as it is run. The batteries and contacts of these two are not even moved on.
fn compared(c: &mut Criterion) {
    for size in [48, 504] {
        let plan = plan(size, false);
        let net = Net::compile(&plan);
        let mut controls = Controls::new(plan.parts.len());
        for (part, of) in plan.parts.iter().enumerate() {
            controls.available[part] = if of.kind == "sun-panel" { 5 } else { 0 };
            controls.output[part] = true;
        }
        let mut times: Vec<u64> = run::run(&plan, 1).events.iter().map(|e| e.t).collect();
        times.dedup();
        let mut group = c.benchmark_group(format!("a day of {size} parts"));
        group.sample_size(10);
        group.bench_function("as it is run", |b| b.iter(|| run::run(black_box(&plan), 1)));
        group.bench_function("everything solved at every event", |b| {
            b.iter(|| {
                times
                    .iter()
                    .map(|_| whole(&net, black_box(&controls)).take.len())
                    .sum::<usize>()
            })
        });
        group.bench_function("everything solved at every second", |b| {
            b.iter(|| {
                (0..86_400)
                    .map(|_| whole(&net, black_box(&controls)).take.len())
                    .sum::<usize>()
            })
        });
        group.finish();
    }
}

/// What a face asks for at every edit and every move of the cursor: a fingerprint, a plan made ready, an instant with
/// problems of structure found anew and with those found before, and one part moved.
fn edits(c: &mut Criterion) {
    for size in [504, 2000] {
        let plan = plan(size, false);
        let noon = plan.world.day_ms() / 2;
        let mut group = c.benchmark_group(format!("a face's questions, {size} parts"));
        group.sample_size(20);
        group.bench_function("fingerprint", |b| b.iter(|| black_box(&plan).fingerprint()));
        group.bench_function("made ready", |b| b.iter(|| Prepared::new(black_box(&plan))));
        let mut engine = Engine::new(&plan);
        engine.advance(noon + 1);
        group.bench_function("instant, all problems found anew", |b| {
            b.iter(|| engine.instant(black_box(&plan), noon))
        });
        let mut playback = Playback::new(&plan);
        playback.at(&plan, noon);
        group.bench_function("instant of a playback", |b| {
            b.iter(|| playback.at(black_box(&plan), noon))
        });
        playback.at(&plan, 60 * plan.world.day_ms());
        let mut at = 0;
        group.bench_function("any of the instants of 60 days", |b| {
            b.iter(|| {
                at = (at + 37) % 59;
                playback.at(black_box(&plan), at * plan.world.day_ms() + noon)
            })
        });
        let mut moved = plan.clone();
        let id = moved.parts[size / 2].id.clone();
        let mut x = 0.0;
        group.bench_function("one part moved", |b| {
            b.iter(|| {
                x += 8.0;
                moved.apply(Edit::MovePart(id.clone(), Some((x, 0.0))))
            })
        });
        group.finish();
    }
}

fn speed(c: &mut Criterion) {
    let mut group = c.benchmark_group("instant");
    for size in [48, 1000] {
        let plan = plan(size, false);
        group.bench_with_input(BenchmarkId::from_parameter(size), &plan, |b, p| {
            b.iter(|| run::at(black_box(p), 0))
        });
    }
    group.finish();
    for (name, dense) in [("day", false), ("dense day", true)] {
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        for size in [48, 504, 1000, 5000] {
            let plan = plan(size, dense);
            group.bench_with_input(BenchmarkId::from_parameter(size), &plan, |b, p| {
                b.iter(|| run::run(black_box(p), 1))
            });
        }
        group.finish();
    }
    compared(c);
    let mut group = c.benchmark_group("best aims");
    group.sample_size(10);
    for (latitude, peak) in [(56.0, 12), (56.0, 24), (0.0, 24), (56.0, 200)] {
        let path = Path::Place {
            latitude,
            day_of_year: 80.0,
        };
        let sky = Sky {
            path,
            air: Air::Clear,
            day_ms: 86_400_000,
        };
        let name = format!("{peak} steps at {latitude}°");
        group.bench_with_input(BenchmarkId::from_parameter(name), &sky, |b, sky| {
            b.iter(|| black_box(sky).best_aims(peak, 1.0, 1))
        });
    }
    group.finish();
    let mut group = c.benchmark_group("check");
    group.sample_size(10);
    let plan = plan(200, false);
    group.bench_with_input(BenchmarkId::from_parameter(200), &plan, |b, p| {
        b.iter(|| proof::check(black_box(p)))
    });
    group.finish();
}

criterion_group!(benches, speed, edits);
criterion_main!(benches);
