//! How long all single losses of a plan take, by its size and by how it hangs together. Run with `cargo bench --bench
//! losses`.
//!
//! Plans are those of `base.rs`, of stations apart or of one base. Each station's lamp and fan have a duty, and the days
//! repeat.
//!
//! Or it is a chain: n meters, or n lamps on each other's loops, between a generator and a lamp with a duty. A loss leaves
//! nothing of the one, and something else of the other each time; findings of a chain hang on all its losses.

mod base;

use base::plan;
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use duskline::plan::{Plan, read_plan};
use duskline::proof;
use serde_json::json;
use std::hint::black_box;

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
