//! How long the findings of a plan take, by its size and by how it hangs together, and how many runs of changed plans they
//! cost, which no machine has a say in. Run with `cargo bench --bench findings`.

mod base;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use duskline::proof::findings::{Search, findings};
use std::hint::black_box;

fn all_findings(c: &mut Criterion) {
    for (name, apart) in [
        ("findings, one base", false),
        ("findings, stations apart", true),
    ] {
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        for size in [56, 104, 200] {
            let plan = base::plan(size, apart);
            let mut search = Search::new(&plan);
            let found = search.by_ref().flatten().count();
            println!(
                "{name}, {size} parts: {found} findings, {} runs",
                search.runs()
            );
            group.bench_with_input(BenchmarkId::from_parameter(size), &plan, |b, p| {
                b.iter(|| findings(black_box(p)))
            });
        }
        group.finish();
    }
}

criterion_group!(benches, all_findings);
criterion_main!(benches);
