//! How long finding the courses of wires takes: all of a board of 2,000 parts and 3,000 wires from nothing, and those that
//! one moved card concerns; and the places of numbers. Run with `cargo bench --bench courses`.
//!
//! Cards stand in uneven rows of 50; each wire leads from a card at random to one a few columns or rows further.

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use duskline::book::Side;
use duskline::plan::{PartId, WireId};
use duskline::sheet::courses::{Courses, Port, WireEnds};
use duskline::sheet::route::Box;

const PARTS: usize = 2000;
const WIRES: usize = 3000;

struct Board {
    places: Vec<(f64, f64)>,
    wires: Vec<(usize, usize)>,
}

fn part(n: usize) -> PartId {
    PartId::from(format!("p{n}"))
}

impl Board {
    fn new() -> Board {
        // A fixed sequence of numbers stands for chance.
        let mut state = 7u32;
        let mut any = |most: u32| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            ((state >> 8) % most) as usize
        };
        let mut place = |n: usize| {
            let (x, y) = (n % 50 * 240 + any(5) * 8, n / 50 * 120 + any(6) * 8);
            (x as f64, y as f64)
        };
        let places = (0..PARTS).map(&mut place).collect();
        let mut join = |_| {
            let from = any(PARTS as u32);
            (from, (from + any(4) + 50 * any(3)) % PARTS)
        };
        let wires = (0..WIRES).map(&mut join).collect();
        Board { places, wires }
    }

    fn put_card(&self, courses: &mut Courses, n: usize) {
        let (x, y) = self.places[n];
        let (w, h) = (176.0, 64.0);
        courses.put_card(&part(n), Box { x, y, w, h });
    }

    fn put_wire(&self, courses: &mut Courses, n: usize) {
        let (a, b) = self.wires[n];
        let (from, to) = (self.places[a], self.places[b]);
        let port = |n, at| Port { part: part(n), at };
        let ends = WireEnds {
            from: port(a, (from.0 + 176.0, from.1 + 32.0)),
            to: port(b, (to.0, to.1 + 32.0)),
            to_side: Side::In,
            lane: (a % 3) as i32 - 1,
            bends: Vec::new(),
        };
        courses.put_wire(&WireId::from(format!("w{n}")), ends);
    }

    fn courses(&self) -> Courses {
        let mut courses = Courses::new();
        (0..PARTS).for_each(|n| self.put_card(&mut courses, n));
        (0..WIRES).for_each(|n| self.put_wire(&mut courses, n));
        courses
    }

    /// Moves a card there or back, its wires with it.
    fn shift(&mut self, courses: &mut Courses, n: usize, by: f64) {
        self.places[n].0 += by;
        self.put_card(courses, n);
        for w in 0..WIRES {
            if self.wires[w].0 == n || self.wires[w].1 == n {
                self.put_wire(courses, w);
            }
        }
    }
}

fn courses(c: &mut Criterion) {
    let mut group = c.benchmark_group("courses");
    group.sample_size(10);
    let mut board = Board::new();
    group.bench_function("all put in", |b| b.iter(|| board.courses()));
    group.bench_function("all found", |b| {
        b.iter_batched(
            || board.courses(),
            |mut courses| courses.settle().len(),
            BatchSize::LargeInput,
        )
    });
    let mut kept = board.courses();
    kept.settle();
    let mut by = 24.0;
    group.bench_function("one card dragged", |b| {
        b.iter(|| {
            board.shift(&mut kept, 1025, by);
            by = -by;
            kept.settle_only([&part(1025)]).len()
        })
    });
    kept.settle();
    group.bench_function("one card moved", |b| {
        b.iter(|| {
            board.shift(&mut kept, 1025, by);
            by = -by;
            kept.settle().len()
        })
    });
    kept.settle();
    group.bench_function("200 numbers found", |b| {
        b.iter_batched(
            || {
                let mut courses = kept.clone();
                (0..200).for_each(|n| put_number(&mut courses, n));
                courses
            },
            |mut courses| {
                courses.settle_numbers();
                courses
            },
            BatchSize::LargeInput,
        )
    });
    (0..WIRES).for_each(|n| put_number(&mut kept, n));
    kept.settle_numbers();
    group.bench_function("one card moved, with 3000 numbers", |b| {
        b.iter(|| {
            board.shift(&mut kept, 1025, by);
            by = -by;
            (kept.settle().len(), kept.settle_numbers().len())
        })
    });
    group.finish();
}

fn put_number(courses: &mut Courses, n: usize) {
    courses.put_number(&WireId::from(format!("w{n}")), Some((55.0, 16.0)));
}

criterion_group!(benches, courses);
criterion_main!(benches);
