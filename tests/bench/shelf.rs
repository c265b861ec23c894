//! How long a shelf of 500 plans takes: reading it from all that is stored, listing, searching, saving one plan, taking it
//! over from an earlier form, and its whole file. Run with `cargo bench --bench shelf`.
//!
//! Every plan is Kittiwake Light under a title of its own; one in five has tags, each has one version.

use criterion::{Criterion, criterion_group, criterion_main};
use duskline::plan::{Plan, examples, read_plan};
use duskline::sheet::thumbnail;
use duskline::shelf::{
    Calendar, Filter, Open, Save, Shelf, Sort, Stored, Versions, export, import, mend, migrate,
    text_of,
};
use std::hint::black_box;

const PLANS: usize = 500;
const NOW: u64 = 1_700_000_000_000;
const TODAY: Calendar = Calendar {
    midnight: NOW,
    room: 1 << 20,
};

fn titled(n: usize) -> Plan {
    let mut plan = read_plan(examples()[0].1).expect("an example reads");
    plan.title = format!("Ledge {n}");
    plan
}

fn full() -> (Shelf, Stored) {
    let (mut shelf, mut stored) = (Shelf::default(), Stored::default());
    let none = Versions::default();
    for n in 0..PLANS {
        let save = Save {
            now: NOW + n as u64,
            versions: Some((&none, TODAY)),
            ..Save::default()
        };
        let open = Open::fresh(format!("k{n}"));
        let saved = shelf.save(&open, &titled(n), &save);
        stored.write_all(&saved.change.writes);
        shelf = saved.change.after;
        if n % 5 == 0 {
            let change = shelf.tag(&open.key, &["shore".into(), format!("tag {}", n % 20)]);
            stored.write_all(&change.writes);
            shelf = change.after;
        }
    }
    (shelf, stored)
}

fn bench(c: &mut Criterion) {
    let (shelf, stored) = full();
    let mut group = c.benchmark_group(format!("a shelf of {PLANS} plans"));
    group.sample_size(20);
    group.bench_function("read", |b| b.iter(|| mend(black_box(&stored))));
    group.bench_function("listed", |b| {
        b.iter(|| shelf.list(black_box(&Filter::default()), Sort::Title).len())
    });
    let search = Filter {
        search: "shore 3".into(),
        ..Filter::default()
    };
    group.bench_function("searched", |b| {
        b.iter(|| shelf.list(black_box(&search), Sort::Changed).len())
    });
    let (plan, open) = (titled(1000), Open::of(&shelf.entries["k7"]));
    let versions = Versions::read(&stored, "k7");
    let save = Save {
        now: NOW + 1,
        versions: Some((&versions, TODAY)),
        ..Save::default()
    };
    group.bench_function("one plan saved", |b| {
        b.iter(|| shelf.save(&open, black_box(&plan), &save))
    });
    group.bench_function("one picture drawn", |b| {
        b.iter(|| thumbnail::picture(black_box(&plan)))
    });
    let old: Vec<(String, String)> = (0..PLANS)
        .map(|n| (format!("duskline:/:plan/k{n}"), text_of(&titled(n))))
        .collect();
    group.bench_function("taken over", |b| {
        b.iter(|| {
            let pairs = old
                .iter()
                .map(|(name, text)| (name.as_str(), text.as_str()));
            migrate(&Shelf::default(), pairs, "duskline:/:")
        })
    });
    group.bench_function("as a file", |b| {
        b.iter(|| export(&shelf, black_box(&stored)))
    });
    let text = export(&shelf, &stored);
    group.bench_function("a file of it read in", |b| {
        b.iter(|| {
            let mut next = 0;
            let mut fresh = || {
                next += 1;
                format!("n{next}")
            };
            import(&Shelf::default(), black_box(&text), NOW, &mut fresh).map(|i| i.added.len())
        })
    });
    group.finish();
    println!(
        "stored: {} bytes, as a file: {} bytes",
        stored.bytes(),
        text.len()
    );
}

criterion_group!(benches, bench);
criterion_main!(benches);
