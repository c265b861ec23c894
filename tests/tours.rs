//! The order of visits: published tours, and orders with precedences, whose shortest lengths are known; and random ones, the
//! quick way against the exact one.
//!
//! `tests/fixtures/tours.json` names the source of its instances.

#![cfg(not(target_arch = "wasm32"))]

pub mod simple_engine;

use duskline::works::tour::Tour;
use serde_json::Value;
use simple_engine::generate::Random;

/// A cost that no order has.
const NEVER: u64 = 1_000_000_000;

/// Places with the distances between them; the first is where one starts.
struct Instance {
    distance: Vec<Vec<u64>>,
    before: Vec<(usize, usize)>,
}

impl Instance {
    /// An order of all places but the first, by what is asked, with its length.
    fn ordered(&self, by: fn(&Tour) -> Vec<usize>) -> (Vec<usize>, u64) {
        let tour = Tour {
            count: self.distance.len() - 1,
            start: &|item| self.distance[0][item + 1],
            step: &|a, b| self.distance[a + 1][b + 1],
            before: &self.before,
        };
        let order = by(&tour);
        let mut sorted = order.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, Vec::from_iter(0..tour.count));
        for (a, b) in &self.before {
            let place = |item: &usize| order.iter().position(|found| found == item);
            assert!(place(a) < place(b), "{a} must come before {b} in {order:?}");
        }
        let length = tour.length(&order);
        (order, length)
    }

    fn exact(&self) -> u64 {
        self.ordered(|tour| tour.shortest()).1
    }

    fn good(&self) -> u64 {
        self.ordered(|tour| tour.good()).1
    }

    /// As it is, but ending where it started.
    fn closed(&self) -> Instance {
        let mut distance = self.distance.clone();
        for row in &mut distance {
            row.push(row[0]);
        }
        let last = distance[0].clone();
        distance.push(last);
        let count = distance.len() - 2;
        let mut before = self.before.clone();
        before.extend((0..count).map(|item| (item, count)));
        Instance { distance, before }
    }
}

fn file() -> Value {
    serde_json::from_str(include_str!("fixtures/tours.json")).expect("JSON")
}

/// TSPLIB's GEO distance, from memory and proved by the optima: degrees and minutes on a sphere, pi as 3.141592 and no
/// better.
#[allow(clippy::approx_constant)]
fn geo(a: &Value, b: &Value) -> u64 {
    let radians = |value: &Value| {
        let value = value.as_f64().expect("a number");
        let degrees = value.trunc();
        3.141592 * (degrees + 5.0 * (value - degrees) / 3.0) / 180.0
    };
    let (lat_a, lon_a) = (radians(&a[0]), radians(&a[1]));
    let (lat_b, lon_b) = (radians(&b[0]), radians(&b[1]));
    let q1 = (lon_a - lon_b).cos();
    let q2 = (lat_a - lat_b).cos();
    let q3 = (lat_a + lat_b).cos();
    (6378.388 * (0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3)).acos() + 1.0) as u64
}

fn published(name: &str) -> (Instance, Value) {
    let entry = file()[name].clone();
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let places = list(&entry["coords"]);
    let distance: Vec<Vec<u64>> = match places.is_empty() {
        true => list(&entry["matrix"])
            .iter()
            .map(|row| {
                let cost = |cost: &Value| cost.as_u64().unwrap_or(NEVER);
                list(row).iter().map(cost).collect()
            })
            .collect(),
        false => places
            .iter()
            .map(|a| places.iter().map(|b| geo(a, b)).collect())
            .collect(),
    };
    let mut before = Vec::new();
    for (later, row) in list(&entry["matrix"]).iter().enumerate().skip(1) {
        for (earlier, cost) in list(row).iter().enumerate().skip(1) {
            if cost == &Value::from(-1) {
                before.push((earlier - 1, later - 1));
            }
        }
    }
    (Instance { distance, before }, entry)
}

#[test]
fn published_tours_are_found_by_the_exact_way_and_nearly_by_the_quick_one() {
    for name in ["burma14", "ulysses16", "gr17"] {
        let (open, entry) = published(name);
        let known = |key: &str| entry[key].as_u64().expect("a length");
        let closed = open.closed();
        assert_eq!(open.exact(), known("open_path"), "{name}");
        assert_eq!(closed.exact(), known("optimum"), "{name}");
        assert_eq!(open.good(), known("open_path"), "{name}");
        let quick = closed.good();
        assert!(quick * 100 <= known("optimum") * 103, "{name}: {quick}");
    }
}

#[test]
fn published_orders_with_precedences_are_found() {
    for name in ["ESC07", "ESC11", "ESC12", "br17.10", "br17.12"] {
        let (instance, entry) = published(name);
        let optimum = entry["optimum"].as_u64().expect("a length");
        assert_eq!(instance.exact(), optimum, "{name}");
        let quick = instance.good();
        assert!(quick * 100 <= optimum * 106, "{name}: {quick}");
    }
}

/// Places on a sheet of 40 m by 40 m, in centimetres, with random precedences in the order of their numbers.
fn drawn(seed: u64, count: usize) -> Instance {
    let mut random = Random::new(seed);
    let places: Vec<(i64, i64)> = (0..=count)
        .map(|_| (random.between(0, 4000), random.between(0, 4000)))
        .collect();
    let far =
        |a: &(i64, i64), b: &(i64, i64)| (a.0 - b.0).unsigned_abs() + (a.1 - b.1).unsigned_abs();
    let row = |a| places.iter().map(|b| far(a, b)).collect();
    let mut before = Vec::new();
    for later in 1..count {
        if random.chance(30) {
            before.push((random.index(later), later));
        }
    }
    Instance {
        distance: places.iter().map(row).collect(),
        before,
    }
}

#[test]
fn drawn_orders_of_the_quick_way_are_close_to_the_shortest() {
    let (mut all, mut least) = (0, 0);
    for seed in 0..40 {
        let instance = drawn(seed, 9 + seed as usize % 5);
        let (exact, quick) = (instance.exact(), instance.good());
        assert!(exact <= quick, "plan {seed}: the exact way is not");
        assert!(
            quick * 100 <= exact * 112,
            "plan {seed}: {quick} of {exact}"
        );
        all += quick;
        least += exact;
    }
    println!(
        "the quick way walks {:.2} % more",
        (all as f64 / least as f64 - 1.0) * 100.0
    );
    assert!(all * 100 <= least * 101, "{all} of {least} in all");
}

#[test]
fn many_visits_are_ordered_better_than_as_they_come() {
    for (seed, count) in [(1, 60), (2, 300), (3, 1500)] {
        let instance = drawn(seed, count);
        let own = instance.ordered(|tour| Vec::from_iter(0..tour.count)).1;
        let (order, quick) = instance.ordered(|tour| tour.order());
        assert!(quick * 2 < own, "{quick} of {own}");
        assert_eq!(
            instance.ordered(|tour| tour.order()).0,
            order,
            "always the same"
        );
    }
}
