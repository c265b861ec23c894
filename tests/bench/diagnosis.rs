//! How long it takes to find the faults that explain readings of day 1, by the size of the plan and by how it hangs
//! together. Run with `cargo bench --bench diagnosis`.
//!
//! Plans are those of `base.rs`. Read is a lamp of the station in the middle that is dark in the evening, and how a battery
//! does at noon; one hand tries all faults.

mod base;

use base::plan;
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use duskline::diagnosis::{diagnose, reading_of_text};
use std::hint::black_box;

fn faults(c: &mut Criterion) {
    for (name, apart) in [
        ("faults, one base", false),
        ("faults, stations apart", true),
    ] {
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        for size in [56, 104, 200] {
            let plan = plan(size, apart);
            let lamp = format!("p{}=off@22:00", size / 16 * 8 + 7);
            let readings = [lamp.as_str(), "p4=rises@12:00"];
            let readings = readings.map(|text| reading_of_text(&plan, text).expect("a reading"));
            group.bench_with_input(BenchmarkId::from_parameter(size), &plan, |b, plan| {
                b.iter(|| diagnose(black_box(plan), &readings))
            });
        }
        group.finish();
    }
}

criterion_group!(benches, faults);
criterion_main!(benches);
