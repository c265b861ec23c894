//! How long a layout takes: of the fullest example, whose courses are looked at, and of 2,000 parts, where only straight
//! pieces are. Run with `cargo bench --bench tidy`.

use criterion::{Criterion, criterion_group, criterion_main};
use duskline::plan::{Edit, End, Part, PartId, Plan, Wire, WireId, examples, read_plan};
use duskline::sheet::tidy::{Screen, lay_out};
use std::collections::BTreeSet;

const PARTS: usize = 2000;

/// A grown plan: each divider feeds three of the parts after it, which are dividers or lamps.
fn grown() -> Plan {
    let mut plan = Plan::empty();
    let id = |n: usize| PartId::from(format!("p{n}"));
    let is_divider = |n: usize| n.is_multiple_of(3);
    let mut edits = Vec::new();
    for n in 0..PARTS {
        let kind = if is_divider(n) { "divider-3" } else { "lamp" };
        edits.push(Edit::AddPart(n, Part::new(id(n), kind, (0.0, 0.0))));
    }
    let mut wires = 0;
    for n in (0..PARTS).filter(|n| is_divider(*n)) {
        for port in 0..3 {
            let to = n + 1 + port + n % 7 * usize::from(port == 2) * 3;
            if to < PARTS
                && !edits
                    .iter()
                    .any(|e| matches!(e, Edit::AddWire(_, w) if w.to.part == id(to)))
            {
                let wire = WireId::from(format!("w{wires}"));
                let from = End::new(&id(n), &format!("out{}", port + 1));
                let wire = Wire::new(wire, from, End::new(&id(to), "in"));
                edits.push(Edit::AddWire(wires, wire));
                wires += 1;
            }
        }
    }
    plan.apply_all(edits).expect("a grown plan");
    plan
}

fn all(plan: &Plan) -> BTreeSet<PartId> {
    plan.parts.iter().map(|p| p.id.clone()).collect()
}

fn tidy(c: &mut Criterion) {
    let mut group = c.benchmark_group("tidy");
    group.sample_size(10);
    let station = read_plan(examples()[0].1).expect("an example");
    for (name, plan) in [("an example", station), ("2000 parts", grown())] {
        let all = all(&plan);
        group.bench_function(name, |b| b.iter(|| lay_out(&plan, &all, Screen::Wide)));
    }
    group.finish();
}

criterion_group!(benches, tidy);
criterion_main!(benches);
